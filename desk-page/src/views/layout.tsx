import { StudyOf } from "../study";

export function Layout() {
  return (
    <div class="column">
      <StudyOf name="layout" />
    </div>
  );
}
