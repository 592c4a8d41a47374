import { JobOf } from "../job";
import { StudyOf } from "../study";
import { words } from "../words";

export function Layout() {
  return (
    <div class="column">
      <JobOf of="layout" says={words.jobs.says.layout} />
      <StudyOf name="layout" />
    </div>
  );
}
