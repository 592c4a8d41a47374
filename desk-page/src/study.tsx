// What takes longer and is worked out beside the page: sentences first, then a drawing, then everything that is said.
import { signal, type Signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useLooks } from "./looks";
import { SheetOf } from "./sheet";
import { answer, drawings, goTo, refusal, studies, type Study } from "./store";
import { Ticked } from "./ticked";
import { Verdict } from "./verdict";
import { words } from "./words";

const chosen: Record<string, Signal<string>> = {};

function choiceOf(name: string): Signal<string> {
  return (chosen[name] ??= signal(""));
}

export function StudyOf({ name, children }: { name: string; children?: ComponentChildren }) {
  useLooks([`study-${name}`]);
  const study = studies.value[name];
  if (!study) return <p class="waiting" role="status">{refusal.value ? words.study.cannot : words.study.working}</p>;
  const isOld = study.revision !== answer.value?.revision || refusal.value !== null;
  return (
    <div class={`study${isOld ? " is-old" : ""}`} data-study={name} data-revision={study.revision}>
      {(isOld || refusal.value) && <p role="status" class="quiet-words">{refusal.value ? words.stale : words.study.older}</p>}
      {study.why ? <p class="refusal">{study.why}</p> : <Answer name={name} study={study} />}
      {children}
    </div>
  );
}

export function Answer({ name, study }: { name: string; study: Study }) {
  const [first, ...rest] = study.verdict.split(/\s{2,}/);
  const attention = study.findings.filter((one) => one.verdict === "fail" || one.verdict === "warn");
  return (
    <>
      <p class="study-verdict">
        <strong>
          <Ticked text={first} />
        </strong>{" "}
        {rest.join(" ")}
      </p>
      <ul class="study-sentences">
        {study.sentences.map((one) => (
          <li key={one}>
            <Ticked text={one} />
          </li>
        ))}
      </ul>
      {attention.map((one) => (
        <p key={one.rule + one.where} class={`check check-${one.verdict}`}>
          <span>
            <Verdict of={one.verdict} /> <b>{one.title}</b> {one.words}
          </span>
          <span class="change">
            <Ticked text={one.change} />
          </span>
          {one.keys.length > 0 && (
            <span class="keys">
              {one.keys.slice(0, 4).map((key) => (
                <button type="button" class="quiet" key={key} onClick={() => goTo(key)}>
                  <code>{key}</code>
                </button>
              ))}
            </span>
          )}
        </p>
      ))}
      <div class="caution">
        {study.cautions.map((one) => (
          <p key={one}>
            <Ticked text={one} />
          </p>
        ))}
      </div>
      <StudySheets name={name} study={study} />
      <details class="numbers">
        <summary>{words.study.everything}</summary>
        <pre class="why-lines" tabIndex={0}>
          {study.lines}
        </pre>
      </details>
    </>
  );
}

function StudySheets({ name, study }: { name: string; study: Study }) {
  const choice = choiceOf(name);
  const names = study.sheets.map((one) => one.name);
  const at = Math.max(0, names.indexOf(choice.value));
  const shown = names[at];
  if (!shown || !drawings.value[shown]) return null;
  return (
    <>
      <div class="study-sheets">
        <label for={`sheets-${name}`}>{words.study.drawing}</label>
        <select id={`sheets-${name}`} value={shown} onChange={(event) => (choice.value = (event.currentTarget as HTMLSelectElement).value)}>
          {study.sheets.map((one) => (
            <option key={one.name} value={one.name}>
              {one.title}
            </option>
          ))}
        </select>
        <button type="button" class="quiet" disabled={at === 0} onClick={() => (choice.value = names[at - 1])}>
          {words.study.before}
        </button>
        <button type="button" class="quiet" disabled={at === names.length - 1} onClick={() => (choice.value = names[at + 1])}>
          {words.study.after}
        </button>
      </div>
      <SheetOf name={shown} />
    </>
  );
}
