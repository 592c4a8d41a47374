import { signal } from "@preact/signals";
import { useLooks } from "../looks";
import { answer, isBehind, job, say, state } from "../store";
import { Verdict } from "../verdict";
import { words } from "../words";

const accepted = signal<string[]>([]);

export function Take() {
  useLooks([]);
  const say_ = words.take;
  const failing = (answer.value?.findings ?? []).filter((one) => one.verdict === "fail");
  const now = job.value;
  const isRunning = now?.state === "running";
  const accept = accepted.value.filter((rule) => failing.some((one) => one.rule === rule));
  return (
    <div class="column take">
      <h2>{say_.heading}</h2>
      <div class="two">
        <section>
          <h3>{say_.pack}</h3>
          <p>{say_.packSays}</p>
          {failing.length > 0 && (
            <fieldset>
              <legend>{say_.accept}</legend>
              {failing.map((one) => (
                <label key={one.rule} class="tick">
                  <input
                    type="checkbox"
                    checked={accept.includes(one.rule)}
                    onChange={(event) =>
                      (accepted.value = (event.currentTarget as HTMLInputElement).checked
                        ? [...accepted.value, one.rule]
                        : accepted.value.filter((rule) => rule !== one.rule))
                    }
                  />
                  <Verdict of="fail" word="" /> {one.title}
                </label>
              ))}
            </fieldset>
          )}
          <p class="buttons">
            <button type="button" disabled={isRunning || isBehind.value} onClick={() => say("job", { what: "pack", accept })}>
              {say_.make}
            </button>
            {isRunning && (
              <button type="button" class="quiet" onClick={() => say("cancel")}>
                {say_.cancel}
              </button>
            )}
          </p>
          {now && (
            <div class="job" role="status">
              {isRunning && (
                <>
                  <progress max={now.total || 1} value={now.done} aria-label={say_.pack} />
                  <span>
                    {say_.running(now.done, now.total)} <code>{now.what}</code>
                  </span>
                </>
              )}
              {now.state === "done" && (
                <>
                  <a class="button" href="/take/pack.zip" download>
                    {say_.get}
                  </a>
                  {now.revision !== state.value?.revision && <span>{say_.older}</span>}
                </>
              )}
              {now.state === "cancelled" && <span>{say_.cancelled}</span>}
              {now.state === "failed" && (
                <span>
                  {say_.failed} {now.why}
                </span>
              )}
            </div>
          )}
          <h3>{say_.whole}</h3>
          <ul class="files">
            {Object.entries(say_.files).map(([name, label]) => (
              <li key={name}>
                <a href={`/take/${name}`} download>
                  {label}
                </a>
              </li>
            ))}
          </ul>
        </section>
        <section class="cautions">
          <h3>{say_.cautionHeading}</h3>
          <ul>
            {say_.cautions.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
          <h3>{say_.hoverHeading}</h3>
          <ul>
            {say_.hovers.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
        </section>
      </div>
    </div>
  );
}
