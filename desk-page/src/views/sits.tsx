import { signal } from "@preact/signals";
import { arrows } from "../fields";
import { StudyOf } from "../study";
import { words } from "../words";

const chosen = signal("sits");

export function Sits() {
  return (
    <div class="column">
      <div class="sub-tabs" role="tablist" aria-label={words.views.sits} onKeyDown={arrows}>
        {["sits", "water"].map((name) => (
          <button
            type="button"
            role="tab"
            key={name}
            aria-selected={chosen.value === name}
            tabIndex={chosen.value === name ? 0 : -1}
            onClick={() => (chosen.value = name)}
          >
            {words.study.parts[name]}
          </button>
        ))}
      </div>
      <StudyOf key={chosen.value} name={chosen.value} />
    </div>
  );
}
