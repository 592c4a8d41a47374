// The whole design file, in groups as a builder thinks.
import { Field } from "./field";
import { findingsByKey, group, mayEdit, problems, say, state, told, type Block } from "./store";
import { Verdict } from "./verdict";
import { words } from "./words";

const ALWAYS_OPEN = /^(project|craft|hull|skirt|cloth|making|air|air\.fan|air\.water|air\.battery)$/;

export function Fields() {
  const groups = state.value?.groups ?? [];
  const chosen = groups.find((one) => one.name === group.value) ?? groups[0];
  return (
    <section class="fields" aria-label={words.fields.heading}>
      <div class="group-tabs" role="tablist" aria-label={words.fields.heading} onKeyDown={arrows}>
        {groups.map((one) => (
          <button
            type="button"
            role="tab"
            key={one.name}
            id={`group-${one.name}`}
            aria-selected={one === chosen}
            aria-controls="group-panel"
            tabIndex={one === chosen ? 0 : -1}
            onClick={() => (group.value = one.name)}
          >
            {words.groups[one.name]}
            <Mark keys={one.blocks.flatMap((block) => block.rows.map((row) => row.key))} />
          </button>
        ))}
      </div>
      {chosen && (
        <div class="blocks" role="tabpanel" id="group-panel" aria-labelledby={`group-${chosen.name}`} tabIndex={0}>
          {chosen.blocks.map((block) => (
            <BlockOf key={block.key} block={block} />
          ))}
          {mayEdit.value && (
            <div class="adds">
              {chosen.adds.map((one) => (
                <button type="button" class="quiet" key={one.key} onClick={() => say("add", { key: one.key })}>
                  {words.fields.add(words.blocks[one.path] ?? one.path)}
                </button>
              ))}
            </div>
          )}
        </div>
      )}
    </section>
  );
}

/** The worst of what concerns some keys, as a shape with a word for those who do not see it. */
function Mark({ keys }: { keys: string[] }) {
  const verdicts = keys.flatMap((key) => [
    ...(problems.value[key] ? ["fail"] : []),
    ...(findingsByKey.value[key] ?? []).map((one) => one.verdict),
  ]);
  if (!verdicts.length) return null;
  const worst = verdicts.includes("fail") ? "fail" : "warn";
  return (
    <span class="mark">
      <Verdict of={worst} word="" />
      <span class="unseen">{words.verdicts[worst]}</span>
    </span>
  );
}

function BlockOf({ block }: { block: Block }) {
  const isMain = (index: number) => {
    const row = block.rows[index];
    const says = told.value[row.path];
    const isNeeded = says?.default === undefined && !says?.absent;
    return row.given || isNeeded || problems.value[row.key] !== undefined || says?.default !== undefined;
  };
  const main = block.rows.filter((_, index) => isMain(index));
  const more = block.rows.filter((_, index) => !isMain(index));
  const entry = /\[(\d+)\]$/.exec(block.key);
  const name = block.rows.find((row) => row.key.endsWith(".name"))?.text;
  const title = `${words.blocks[block.path] ?? block.path}${entry ? ` ${Number(entry[1]) + 1}` : ""}${name && entry ? `: ${name}` : ""}`;
  const inside = (
    <>
      {main.map((row) => (
        <Field key={row.key} row={row} />
      ))}
      {more.length > 0 && (
        <details class="more">
          <summary>
            {words.fields.more} ({more.length})
          </summary>
          {more.map((row) => (
            <Field key={row.key} row={row} />
          ))}
        </details>
      )}
      {mayEdit.value && (block.removable || entry) && (
        <div class="adds">
          {entry && (
            <button type="button" class="quiet" onClick={() => say("add", { key: block.key })}>
              {words.fields.after}
            </button>
          )}
          {block.removable && (
            <button type="button" class="quiet" onClick={() => say("remove", { key: block.key })}>
              {words.fields.remove}
            </button>
          )}
        </div>
      )}
    </>
  );
  const isOpen = main.length > 0 && (ALWAYS_OPEN.test(block.path) || /^(craft\.load|hull\.edge|skirt\.|cloth\.)/.test(block.path));
  return (
    <details class="block" data-block={block.key} open={isOpen}>
      <summary>
        {title} <Mark keys={block.rows.map((row) => row.key)} />
      </summary>
      {inside}
    </details>
  );
}

/** Arrow keys go along a row of tabs. */
export function arrows(event: KeyboardEvent): void {
  const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
  const tabs = [...(event.currentTarget as HTMLElement).querySelectorAll<HTMLElement>('[role="tab"]')];
  const at = tabs.indexOf(document.activeElement as HTMLElement);
  if (step === undefined || at < 0) return;
  event.preventDefault();
  const next = tabs[(at + step + tabs.length) % tabs.length];
  next.focus();
  next.click();
}
