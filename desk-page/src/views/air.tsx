import { signal } from "@preact/signals";
import { SheetTabs } from "../sheet-tabs";
import { words } from "../words";

const chosen = signal("air-fan");
const SHEETS: [string, string][] = [
  ["air-fan", words.air.fan],
  ["air-power", words.air.power],
  ["air-watts", words.air.watts],
];

export function Air() {
  return (
    <div class="column">
      <p class="caution">{words.air.caution}</p>
      <SheetTabs label={words.views.air} sheets={SHEETS} chosen={chosen} />
    </div>
  );
}
