// A few drawings of one subject, one at a time.
import type { Signal } from "@preact/signals";
import { arrows } from "./fields";
import { useLooks } from "./looks";
import { SheetOf } from "./sheet";

export function SheetTabs({ label, sheets, chosen }: { label: string; sheets: [string, string][]; chosen: Signal<string> }) {
  useLooks([chosen.value]);
  return (
    <>
      <div class="sub-tabs" role="tablist" aria-label={label} onKeyDown={arrows}>
        {sheets.map(([name, words]) => (
          <button
            type="button"
            role="tab"
            key={name}
            aria-selected={chosen.value === name}
            tabIndex={chosen.value === name ? 0 : -1}
            onClick={() => (chosen.value = name)}
          >
            {words}
          </button>
        ))}
      </div>
      <SheetOf name={chosen.value} />
    </>
  );
}
