// An empty desk asks five questions; a first design gets a short look round.
import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { remember, say } from "./store";
import { words } from "./words";

export const tour = signal(-1);

export function Start() {
  const say_ = words.start;
  const [wrong, setWrong] = useState<{ key: string; wrong: string; would_do: string } | null>(null);
  const onSubmit = async (event: SubmitEvent) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget as HTMLFormElement);
    const text = (name: string) => String(form.get(name) ?? "").trim().slice(0, 80);
    const found = await say("start", {
      name: text("name"),
      seats: Number(text("seats")) || 0,
      mass: text("mass"),
      length: text("length"),
      beam: text("beam"),
      ground: text("ground"),
    });
    const said = found as typeof wrong;
    const isLeft = said !== null && ["mass", "length", "beam"].includes(said.key) && text(said.key) === "";
    setWrong(said && isLeft ? { ...said, wrong: `${say_[said.key as "beam"]}. ${say_.suited} ${said.wrong}` } : said);
    if (said) document.getElementById(`start-${said.key}`)?.focus();
    if (!found) tour.value = 0;
  };
  const line = (name: "mass" | "length" | "beam") => (
    <div class="question">
      <label for={`start-${name}`}>{say_[name]}</label>
      <input id={`start-${name}`} name={name} placeholder={say_.examples[name]} autocomplete="off" aria-describedby="start-hint" aria-invalid={wrong?.key === name || undefined} />
    </div>
  );
  return (
    <main class="start">
      <form onSubmit={onSubmit}>
        <h1>{say_.heading}</h1>
        <p>{say_.says}</p>
        <div class="question">
          <label for="start-name">{say_.name}</label>
          <input id="start-name" name="name" defaultValue={say_.defaultName} autocomplete="off" required />
        </div>
        <div class="question">
          <label for="start-seats">{say_.seats}</label>
          <input id="start-seats" name="seats" type="number" min={1} max={12} defaultValue="4" required />
        </div>
        {line("mass")}
        {line("length")}
        {line("beam")}
        <div class="question">
          <label for="start-ground">{say_.ground}</label>
          <select id="start-ground" name="ground">
            {Object.entries(say_.grounds).map(([name, label]) => (
              <option key={name} value={name}>
                {label}
              </option>
            ))}
          </select>
        </div>
        <p class="quiet-words" id="start-hint">
          {say_.hint}
        </p>
        {wrong && (
          <p class="wrong" role="alert">
            {wrong.wrong} {wrong.would_do}
          </p>
        )}
        <button type="submit">{say_.make}</button>
      </form>
    </main>
  );
}

export function Tour() {
  const at = tour.value;
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    if (at >= 0 && box.current && !box.current.open) box.current.show();
    box.current?.querySelector<HTMLElement>("button")?.focus();
  }, [at]);
  if (at < 0) return null;
  const step = words.tour.steps[at];
  const isLast = at === words.tour.steps.length - 1;
  const end = () => {
    tour.value = -1;
    remember("tour", "done");
  };
  return (
    <dialog ref={box} class={`tour tour-${at}`} aria-labelledby="tour-title" onCancel={end}>
      <h2 id="tour-title">{step[0]}</h2>
      <p>{step[1]}</p>
      <p class="buttons">
        <button type="button" onClick={() => (isLast ? end() : (tour.value = at + 1))}>
          {isLast ? words.tour.done : words.tour.next}
        </button>
        {!isLast && (
          <button type="button" class="quiet" onClick={end}>
            {words.tour.skip}
          </button>
        )}
      </p>
    </dialog>
  );
}
