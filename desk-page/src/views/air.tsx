import { signal } from "@preact/signals";
import { SheetTabs } from "../sheet-tabs";
import { answer } from "../store";
import { words } from "../words";

const chosen = signal("air-fan");
const SHEETS: [string, string][] = [
  ["air-fan", words.air.fan],
  ["air-power", words.air.power],
  ["air-watts", words.air.watts],
];

export function Air() {
  const facts = (answer.value?.facts ?? []).filter(([name]) => ["Air", "Fan", "", "Pressure"].includes(name));
  return (
    <div class="column">
      <p class="caution">{words.air.caution}</p>
      <SheetTabs label={words.views.air} sheets={SHEETS} chosen={chosen} />
      <ul class="facts">
        {facts.slice(0, 4).map(([, text]) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </div>
  );
}
