import { StudyOf } from "../study";

export function Rides() {
  return (
    <div class="column">
      <StudyOf name="rides" />
    </div>
  );
}
