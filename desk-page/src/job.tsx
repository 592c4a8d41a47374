// Long work beside the page: begin, how far, cancel, what came of it. One piece at a time.
import { answer, isBehind, jobs, mayEdit, say, state } from "./store";
import { words } from "./words";

export function JobOf({ of, says }: { of: "layout" | "patterns" | "inflate"; says: string }) {
  const now = jobs.value[of];
  const isRunning = now?.state === "running";
  const others = Object.values(jobs.value).some((one) => one.state === "running");
  const name = words.jobs.begin[of];
  return (
    <section class="job-of" aria-label={name} data-job={of} data-state={now?.state ?? ""}>
      <p>{says}</p>
      <p class="buttons">
        <button type="button" disabled={others || isBehind.value || !answer.value || !mayEdit.value} onClick={() => say("job", { what: of, accept: [] })}>
          {name}
        </button>
        {isRunning && (
          <button type="button" class="quiet" onClick={() => say("cancel")}>
            {words.jobs.stop[of]}
          </button>
        )}
      </p>
      {now && (
        <div class="job" role="status">
          {isRunning && (
            <>
              {now.total > 0 ? <progress max={now.total} value={now.done} aria-label={name} /> : <progress aria-label={name} />}
              <span>
                {now.total > 0 ? words.jobs.running(now.done, now.total) : now.done > 0 ? words.jobs.steps(now.done) : words.jobs.starting} {now.what}
              </span>
            </>
          )}
          {now.state === "done" && <span>{now.revision === state.value?.revision ? words.jobs.done : words.jobs.older}</span>}
          {now.state === "cancelled" && <span>{words.take.cancelled}</span>}
          {now.state === "failed" && (
            <span>
              {words.jobs.failed} {now.why}
            </span>
          )}
        </div>
      )}
    </section>
  );
}
