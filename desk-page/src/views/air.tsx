import { arrows } from "../fields";
import { useLooks } from "../looks";
import { SheetOf } from "../sheet";
import { airSheet, answer } from "../store";
import { words } from "../words";

const SHEETS: [string, string][] = [
  ["air-fan", words.air.fan],
  ["air-power", words.air.power],
  ["air-watts", words.air.watts],
];

export function Air() {
  useLooks([airSheet.value]);
  const facts = (answer.value?.facts ?? []).filter(([name]) => ["Air", "Fan", "", "Pressure"].includes(name));
  return (
    <div class="column">
      <p class="caution">{words.air.caution}</p>
      <div class="sub-tabs" role="tablist" aria-label={words.views.air} onKeyDown={arrows}>
        {SHEETS.map(([name, label]) => (
          <button
            type="button"
            role="tab"
            key={name}
            aria-selected={airSheet.value === name}
            tabIndex={airSheet.value === name ? 0 : -1}
            onClick={() => (airSheet.value = name)}
          >
            {label}
          </button>
        ))}
      </div>
      <SheetOf name={airSheet.value} />
      <ul class="facts">
        {facts.slice(0, 4).map(([, text]) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </div>
  );
}
