import { signal } from "@preact/signals";
import { SheetTabs } from "../sheet-tabs";
import { words } from "../words";

const chosen = signal("hull-lines");
const SHEETS: [string, string][] = [
  ["hull-lines", words.hull.lines],
  ["hull-body-plan", words.hull.body],
];

export function Hull() {
  return (
    <div class="column">
      <SheetTabs label={words.views.hull} sheets={SHEETS} chosen={chosen} />
    </div>
  );
}
