// One field of the design file. What is typed belongs to the builder until it is sent; what is shown otherwise is the desk's.
import { useEffect, useRef, useState } from "preact/hooks";
import { findingsByKey, textOf, mayEdit, problems, say, state, told, view, type Row } from "./store";
import { Verdict } from "./verdict";
import { words } from "./words";

const PATIENCE = 250; // ms that typed digits wait
const LONGEST = 2000;

export function Field({ row }: { row: Row }) {
  const says = told.value[row.path];
  const problem = problems.value[row.key];
  const findings = findingsByKey.value[row.key] ?? [];
  const [typed, setTyped] = useState<string | null>(null);
  const [refused, setRefused] = useState("");
  const [isOpen, setOpen] = useState(false);
  const timer = useRef(0);
  const settled = useRef<string | null>(null); // what the desk made of the last thing that was sent
  useEffect(() => () => clearTimeout(timer.current), []);
  useEffect(() => {
    if (settled.current === null || row.text === settled.current) return;
    settled.current = null; // it was changed elsewhere since: undo, another page
    setTyped(null);
  }, [row.text]);
  if (!says) return null;
  const id = `field-${row.key}`;
  const shown = typed ?? row.text;
  const wrong = refused || problem?.wrong || "";

  const send = async (value: string) => {
    clearTimeout(timer.current);
    if (value.length > LONGEST) return setRefused(words.fields.tooLong);
    if (value === row.text && row.given) return setRefused("");
    if (value.trim() === "" && says.kind !== "words") return takeOut();
    const found = await say("set", { key: row.key, value });
    setRefused(found?.key ? `${found.wrong} ${found.would_do}` : "");
    if (!found) settled.current = textOf(row.key);
  };
  const takeOut = async () => {
    clearTimeout(timer.current);
    setTyped(null);
    setRefused("");
    if (row.given) await say("set", { key: row.key, value: null });
  };
  const step = async (count: number, event: KeyboardEvent) => {
    event.preventDefault();
    clearTimeout(timer.current);
    if (typed !== null && typed !== row.text) await send(typed);
    setTyped(null);
    say("step", { key: row.key, count, size: event.shiftKey ? "coarse" : event.altKey ? "fine" : "plain" });
  };
  const onInput = (event: InputEvent) => {
    const value = (event.currentTarget as HTMLInputElement).value;
    if (value.length > LONGEST) {
      (event.currentTarget as HTMLInputElement).value = row.text;
      setTyped(null);
      return setRefused(words.fields.tooLong);
    }
    settled.current = null;
    setTyped(value);
    clearTimeout(timer.current);
    timer.current = window.setTimeout(() => send(value), PATIENCE);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const isNumber = ["quantity", "number", "whole"].includes(says.kind);
    if (event.key === "Enter") void send((event.currentTarget as HTMLInputElement).value).then(() => setTyped(null));
    else if (event.key === "Escape") setTyped(null);
    else if (isNumber && event.key === "ArrowUp") step(1, event);
    else if (isNumber && event.key === "ArrowDown") step(-1, event);
    else if (isNumber && event.key === "PageUp") step(10, event);
    else if (isNumber && event.key === "PageDown") step(-10, event);
  };
  const onBlur = (event: FocusEvent) => {
    const value = (event.currentTarget as HTMLInputElement).value;
    if (typed !== null && value !== row.text) send(value);
    setTyped(null);
  };
  const common = {
    id,
    disabled: !mayEdit.value,
    "aria-invalid": wrong !== "" ? true : undefined,
    "aria-describedby": wrong ? `${id}-wrong` : undefined,
  };
  const options = says.kind === "switch" ? ["true", "false"] : says.choices;
  return (
    <div class={`field${row.given ? "" : " is-default"}${wrong ? " is-wrong" : ""}`}>
      <label for={id}>{says.label}</label>
      {options ? (
        <select {...common} value={row.text} onChange={(event) => send((event.currentTarget as HTMLSelectElement).value)}>
          {row.text === "" && <option value="">{words.fields.unset}</option>}
          {options.map((option) => (
            <option key={option} value={option}>
              {says.kind === "switch" ? (option === "true" ? words.fields.on : words.fields.off) : option}
            </option>
          ))}
        </select>
      ) : (
        <input
          {...common}
          type="text"
          autocomplete="off"
          spellcheck={false}
          value={shown}
          placeholder={words.fields.unset}
          onInput={onInput}
          onKeyDown={onKeyDown}
          onBlur={onBlur}
        />
      )}
      <button
        type="button"
        class="about"
        aria-label={words.fields.about(says.label)}
        aria-expanded={isOpen}
        onClick={() => setOpen(!isOpen)}
      >
        {findings.length ? <Verdict of={findings.some((one) => one.verdict === "fail") ? "fail" : "warn"} word="" /> : "?"}
      </button>
      {row.hint && <span class="hint">{row.hint}</span>}
      {wrong && (
        <p class="wrong" id={`${id}-wrong`}>
          {wrong} {!refused && problem?.would_do}
        </p>
      )}
      {isOpen && (
        <div class="about-text">
          <p>{says.says}</p>
          {says.default !== undefined && (
            <p>
              {words.fields.defaultIs(says.default)} {says.reason}{" "}
              <cite>
                {words.fields.source}: {says.source}
              </cite>
            </p>
          )}
          {says.absent && <p>{words.fields.absent(says.absent)}</p>}
          {findings.map((one) => (
            <button type="button" class="finding-link" key={one.rule} onClick={() => (view.value = "checks")}>
              <Verdict of={one.verdict} /> {one.title}: {one.words}. {one.change}
            </button>
          ))}
          {row.given && (says.default !== undefined || says.absent) && mayEdit.value && (
            <button type="button" class="quiet" onClick={takeOut}>
              {words.fields.takeOut}
            </button>
          )}
        </div>
      )}
    </div>
  );
}

/** The units of words and drawings: a key of the design like any other. */
export function Units() {
  const row = state.value?.groups.flatMap((one) => one.blocks.flatMap((block) => block.rows)).find((one) => one.key === "project.show");
  if (!row) return null;
  return (
    <label class="pick">
      <span>{words.bar.units}</span>
      <select
        value={row.text}
        disabled={!mayEdit.value}
        onChange={(event) => say("set", { key: row.key, value: (event.currentTarget as HTMLSelectElement).value })}
      >
        <option value="metric">{words.bar.metric}</option>
        <option value="imperial">{words.bar.imperial}</option>
        <option value="both">{words.bar.both}</option>
      </select>
    </label>
  );
}
