import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { JobOf } from "../job";
import { useLooks } from "../looks";
import type { Scene } from "../scene";
import type { Solid } from "../solid";
import { answer, jobs, studies, type Study } from "../store";
import { Answer } from "../study";
import { theme } from "../theme";
import { words } from "../words";

interface Inflated extends Study {
  rows: { id: string; run: string; rise: string; loop: string; change: string; trim: string }[];
  model: { points: number[]; corners: number[]; frames: { share: number; points: number[] }[] };
}

const STEP = 900; // ms from one pressure to the next

export function Inflate() {
  useLooks([]);
  const study = studies.value.inflated as Inflated | undefined;
  const say = words.inflate;
  const kept = answer.value?.inflation;
  return (
    <div class="column">
      <h2>{say.heading}</h2>
      <JobOf of="inflate" says={say.says} />
      {kept && (kept.used || kept.why) && <p class="quiet-words" data-kept={kept.used ? "used" : "unused"}>{kept.used ? say.used : kept.why}</p>}
      {study && (
        <div class={`study${study.revision !== answer.value?.revision ? " is-old" : ""}`} data-study="inflated" data-revision={study.revision}>
          {study.revision !== answer.value?.revision && <p role="status" class="quiet-words">{words.jobs.older}</p>}
          <Answer name="inflated" study={study} />
          <Model study={study} />
          <Stations study={study} />
        </div>
      )}
    </div>
  );
}

function Stations({ study }: { study: Inflated }) {
  const say = words.inflate;
  return (
    <div class="scroll" tabIndex={0} role="group" aria-label={say.table}>
      <table>
        <caption>{say.table}</caption>
        <thead>
          <tr>
            {say.columns.map((label) => (
              <th scope="col" key={label}>{label}</th>
            ))}
          </tr>
        </thead>
        <tbody>
          {study.rows.map((row) => (
            <tr key={row.id}>
              <th scope="row">{row.id}</th>
              <td>{row.run}</td>
              <td class="number">{row.rise}</td>
              <td class="number">{row.loop}</td>
              <td class="number">{row.change || say.leave}</td>
              <td class="number">{row.trim || say.atLine}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** The inflated cloth, both halves, as the whole-skirt view draws the one that is drawn. */
function Model({ study }: { study: Inflated }) {
  const host = useRef<HTMLDivElement>(null);
  const scene = useRef<Scene | null>(null);
  const [isReady, setReady] = useState(false);
  const [cannot, setCannot] = useState(false);
  const count = study.model.frames.length;
  const [asked, setAsked] = useState(count); // 0 .. count, between two frames too; `count` is the shape at rest
  const shownOf = useRef(study);
  const at = shownOf.current === study ? asked : count;
  const put = (next: number) => {
    shownOf.current = study;
    setAsked(next);
  };
  const index = useMemo(() => bothIndex(study), [study]);
  const solid = useMemo(() => bothHalves(study, at, index), [study, at]);
  useEffect(() => {
    let isHere = true;
    import("../scene")
      .then(({ Scene }) => {
        if (!isHere || !host.current) return;
        const element = host.current;
        scene.current = new Scene(element, (triangles) => (element.dataset.triangles = String(triangles)));
        setReady(true);
      })
      .catch(() => setCannot(true));
    return () => {
      isHere = false;
      scene.current?.close();
      scene.current = null;
    };
  }, []);
  useEffect(() => {
    const look = { person: false, explode: 0, stands: "hover", loop: true, segments: true, hull: true, letters: false, cut: null, chosen: "" } as const;
    if (isReady) scene.current?.show(solid, look, null);
  }, [isReady, solid, theme.value]);
  useEffect(() => scene.current?.theme(), [theme.value]);
  if (cannot) return <p class="waiting">{words.whole.none}</p>;
  return (
    <>
      <div ref={host} class="solid solid-inflated" data-at={at} role="img" aria-label={words.inflate.model} />
      <p class="buttons">
        {(["home", "side", "top", "inside"] as const).map((name) => (
          <button type="button" class="quiet" key={name} onClick={() => scene.current?.from(name)}>
            {words.whole[name]}
          </button>
        ))}
      </p>
      {count > 0 && <Slowly study={study} at={at} put={put} />}
      {count === 0 && jobs.value.inflate?.state === "running" && <p class="waiting">{words.inflate.stillBlowing}</p>}
    </>
  );
}

/** From hanging cloth to the full pressure: by hand, or played; from one pressure to the next at once where motion is not wanted. */
function Slowly({ study, at, put }: { study: Inflated; at: number; put: (at: number) => void }) {
  const say = words.inflate;
  const { frames } = study.model;
  const [isPlaying, setPlaying] = useState(false);
  useEffect(() => setPlaying(false), [study]);
  useEffect(() => {
    if (!isPlaying) return;
    const from = at >= frames.length ? 0 : at;
    const isStill = matchMedia("(prefers-reduced-motion: reduce)").matches;
    const began = performance.now();
    let asked = requestAnimationFrame(function next(now) {
      const gone = from + Math.max(0, now - began) / STEP;
      put(Math.min(frames.length, isStill ? Math.floor(gone) : gone));
      if (gone >= frames.length) setPlaying(false);
      else asked = requestAnimationFrame(next);
    });
    return () => cancelAnimationFrame(asked);
  }, [isPlaying]);
  const nearest = Math.round(at);
  const share = say.share(Math.round(100 * (frames[nearest]?.share ?? 1)));
  return (
    <div class="slowly" role="group" aria-label={say.slowly}>
      <button type="button" class="quiet" onClick={() => setPlaying(!isPlaying)}>
        {isPlaying ? say.pause : say.play}
      </button>
      <input
        type="range"
        min={0}
        max={frames.length}
        step={1}
        value={nearest}
        aria-label={say.slowly}
        aria-valuetext={share}
        onInput={(event) => {
          setPlaying(false);
          put(Number((event.currentTarget as HTMLInputElement).value));
        }}
      />
      <span>{share}</span>
      <span class="quiet-words">{say.onTheWay}</span>
    </div>
  );
}

/** Points of the port half on the way up, metres; `at` as in `Model`. */
function pointsAt({ points, frames }: Inflated["model"], at: number): Float32Array {
  const low = Math.min(Math.floor(at), frames.length);
  const part = at - low;
  const shape = (k: number): [number[], number] => (k < frames.length ? [frames[k].points, 1e3] : [points, 1e4]);
  const [one, per] = shape(low);
  const [two, perTwo] = shape(low + 1);
  return Float32Array.from(one, (value, i) => ((1 - part) * value) / per + (part * two[i]) / perTwo);
}

function bothHalves(study: Inflated, at: number, index: Uint32Array): Solid {
  const points = pointsAt(study.model, at);
  const count = points.length / 3;
  const all = new Float32Array(2 * points.length);
  for (let i = 0; i < points.length; i++) {
    all[i] = points[i];
    all[points.length + i] = i % 3 === 1 ? -points[i] : points[i];
  }
  const part = { name: "inflated", kind: "loop", rows: 1, columns: 2 * count, piece: "", first: 0 };
  const gap = answer.value?.gap ?? 0.01;
  const ground = { hover: -gap, touch: 0, sit: 0 };
  return { name: "inflated", revision: study.revision, letters: [], ground, parts: [part], points: all, shape: `inflated ${study.revision} ${count}`, index };
}

function bothIndex(study: Inflated): Uint32Array {
  const { points, corners } = study.model;
  const count = points.length / 3;
  const index = new Uint32Array(2 * corners.length);
  for (let i = 0; i < corners.length; i += 3) {
    const turned = [corners[i], corners[i + 2], corners[i + 1]];
    for (let k = 0; k < 3; k++) {
      index[i + k] = corners[i + k];
      index[corners.length + i + k] = turned[k] + count;
    }
  }
  return index;
}
