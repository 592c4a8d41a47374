import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { Units } from "./field";
import { arrows, Fields } from "./fields";
import { Start, Tour } from "./start";
import { answer, goTo, isBehind, isOpen, link, mayEdit, notice, refusal, say, state, textOf, view } from "./store";
import { theme } from "./theme";
import { Verdict } from "./verdict";
import { views } from "./views";
import { words } from "./words";
import "./style.css";

function Desk() {
  useEffect(() => {
    const onKeyDown = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || !mayEdit.value) return;
      const key = event.key.toLowerCase();
      if (key === "s") save();
      else if (key === "z" && !event.shiftKey) say("undo");
      else if (key === "y" || (key === "z" && event.shiftKey)) say("redo");
      else return;
      event.preventDefault();
    };
    const onLeave = (event: BeforeUnloadEvent) => {
      if (link.unsent > 0) event.preventDefault();
    };
    addEventListener("keydown", onKeyDown);
    addEventListener("beforeunload", onLeave);
    return () => {
      removeEventListener("keydown", onKeyDown);
      removeEventListener("beforeunload", onLeave);
    };
  }, []);
  const now = state.value;
  const name = textOf("project.name");
  useEffect(() => {
    document.title = name ? `${now?.dirty ? "• " : ""}${name} – ${words.title}` : words.title;
  }, [name, now?.dirty]);
  if (!now) return <p class="waiting">{words.opening}</p>;
  if (now.empty) return <Start />;
  const standing = views.filter((one) => one.stands());
  const chosen = standing.find((one) => one.name === view.value) ?? standing[0];
  const Chosen = chosen.component;
  return (
    <>
      <Bar name={name} />
      <Notices />
      <Fields />
      <main class="view">
        <div class="view-tabs" role="tablist" aria-label={words.bar.views} onKeyDown={arrows}>
          {standing.map((one) => (
            <button
              type="button"
              role="tab"
              key={one.name}
              id={`view-${one.name}`}
              aria-selected={one === chosen}
              aria-controls="view-panel"
              tabIndex={one === chosen ? 0 : -1}
              onClick={() => (view.value = one.name)}
            >
              {words.views[one.name as keyof typeof words.views]}
            </button>
          ))}
        </div>
        <Refusal />
        <div class="panel" role="tabpanel" id="view-panel" aria-labelledby={`view-${chosen.name}`}>
          <Chosen />
        </div>
      </main>
      <Strip name={name} />
      <Tour />
    </>
  );
}

function save(): void {
  if (state.value?.disk === "new") document.getElementById("file-name")?.focus();
  else say("save", { over: false });
}

function Bar({ name }: { name: string }) {
  const now = state.value!;
  const [file, setFile] = useState("");
  return (
    <header class="bar">
      <h1>{name || words.title}</h1>
      <div class="buttons">
        <button type="button" class="quiet" disabled={!now.undo || !mayEdit.value} title={now.undo} onClick={() => say("undo")}>
          {words.bar.undo}
        </button>
        <button type="button" class="quiet" disabled={!now.redo || !mayEdit.value} title={now.redo} onClick={() => say("redo")}>
          {words.bar.redo}
        </button>
        {now.disk === "new" ? (
          <form
            class="save-as"
            onSubmit={(event) => {
              event.preventDefault();
              say("save_as", { name: (file || now.suggested).slice(0, 80) });
            }}
          >
            <input id="file-name" aria-label={words.bar.fileName} value={file || now.suggested} onInput={(event) => setFile((event.currentTarget as HTMLInputElement).value)} />
            <button type="submit" disabled={!mayEdit.value}>
              {words.bar.saveAs}
            </button>
          </form>
        ) : (
          <button type="button" disabled={!now.dirty || !mayEdit.value} onClick={save}>
            {words.bar.save}
          </button>
        )}
        <span class="saved" role="status">
          {now.disk === "new" ? words.bar.noFile : now.dirty ? words.bar.unsaved : words.bar.saved}
        </span>
      </div>
      <div class="picks">
        <Units />
        <label class="pick">
          <span>{words.bar.theme}</span>
          <select value={theme.value} onChange={(event) => (theme.value = (event.currentTarget as HTMLSelectElement).value as typeof theme.value)}>
            <option value="auto">{words.bar.auto}</option>
            <option value="light">{words.bar.light}</option>
            <option value="dark">{words.bar.dark}</option>
          </select>
        </label>
      </div>
    </header>
  );
}

function Notices() {
  const now = state.value!;
  useEffect(() => {
    if (!notice.value) return;
    const timer = setTimeout(() => (notice.value = ""), 8000);
    return () => clearTimeout(timer);
  }, [notice.value]);
  const offers = (text: string, ...actions: [string, () => void][]) => (
    <p class="notice">
      <Verdict of="warn" word="" /> {text}
      {mayEdit.value &&
        actions.map(([label, act]) => (
          <button type="button" class="quiet" key={label} onClick={act}>
            {label}
          </button>
        ))}
    </p>
  );
  return (
    <div class="notices" role="status" aria-live="polite">
      {!isOpen.value && offers(words.link.lost)}
      {!mayEdit.value && offers(words.link.look)}
      {now.disk === "changed" && offers(words.disk.changed, [words.disk.take, () => say("reload")], [words.disk.keep, () => say("save", { over: true })])}
      {now.disk === "gone" && offers(words.disk.gone)}
      {now.recovery && offers(words.disk.recovery, [words.disk.recover, () => say("recover")], [words.disk.forget, () => say("forget")])}
      {now.undo === "" && now.disk === "new" && now.warnings.map((text) => <p class="notice" key={text}>{text}</p>)}
      {notice.value && <p class="notice">{notice.value}</p>}
    </div>
  );
}

function Refusal() {
  const found = refusal.value;
  if (!found) return null;
  const problem = found.problems[0];
  return (
    <section class="refusal" role="alert">
      <p class="reason">
        <Verdict of="fail" word={words.refused} /> {found.reason}
      </p>
      {found.would_do && (
        <p>
          <strong>{words.wouldDo}:</strong> {found.would_do}
        </p>
      )}
      {answer.value && <p class="quiet-words">{words.stale}</p>}
      {mayEdit.value && (
        <p class="buttons">
          {state.value?.undo && (
            <button type="button" onClick={() => say("undo")}>
              {words.stepBack}
            </button>
          )}
          {problem && (
            <button type="button" class="quiet" onClick={() => goTo(problem.key)}>
              {words.goTo}
            </button>
          )}
        </p>
      )}
    </section>
  );
}

/** Along the foot, as a title block: what it is and whether it holds. */
function Strip({ name }: { name: string }) {
  const now = state.value!;
  const found = answer.value;
  const fact = (label: string) => (found?.facts.find(([one]) => one === label)?.[1] ?? "").split(/[;(]/)[0].trim();
  const fails = found?.findings.filter((one) => one.verdict === "fail").length ?? 0;
  const warns = found?.findings.filter((one) => one.verdict === "warn").length ?? 0;
  const verdict = refusal.value ? "fail" : fails ? "fail" : warns ? "warn" : "pass";
  const word = refusal.value ? words.refused : fails ? words.fails : words.holds;
  const cell = (label: string, text: string, kind = "") => (
    <div class={`cell ${kind}`}>
      <dt>{label}</dt>
      <dd>{text}</dd>
    </div>
  );
  return (
    <footer class="strip">
      <dl>
        <div class="cell cell-verdict">
          <dt>{words.strip.verdict}</dt>
          <dd>
            <button type="button" class="link" onClick={() => (view.value = "checks")}>
              {found || refusal.value ? <Verdict of={verdict} word={word} /> : words.solving}
              {found && !refusal.value && (fails || warns) ? <small> {words.checks.counts(fails, warns, found.findings.filter((one) => one.verdict === "pass").length)}</small> : null}
            </button>
            {found && (isBehind.value || !found.whole) && !refusal.value && <span class="solving">{words.solving}</span>}
          </dd>
        </div>
        {cell(words.strip.pressure, fact("Pressure"))}
        {cell(words.strip.sizes, fact("Sizes"))}
        {cell(words.strip.craft, `${name} ${textOf("project.revision")}`, "cell-craft")}
        {cell(words.strip.file, now.file || words.bar.noFile)}
        {cell(words.strip.revision, String(now.revision))}
      </dl>
    </footer>
  );
}

render(<Desk />, document.getElementById("desk")!);
