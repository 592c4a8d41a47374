import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { useLooks } from "../looks";
import type { Look, Scene } from "../scene";
import { answer, isBehind, keptSolid, piece, refusal, solid, station, view } from "../store";
import { theme } from "../theme";
import { words } from "../words";
import { StationSlider } from "./walk";

const shows = signal({ person: true, letters: true, loop: true, segments: true, hull: true, cut: false });
const stands = signal<Look["stands"]>("hover");
const explode = signal(0);
const isInside = signal(false); // looks outboard at the station, and goes along with it

export function Whole() {
  useLooks(["solid"], ["solid"]);
  const host = useRef<HTMLDivElement>(null);
  const scene = useRef<Scene | null>(null);
  const [isReady, setReady] = useState(false);
  const [cannot, setCannot] = useState(false);
  useEffect(() => {
    let isHere = true;
    import("../scene")
      .then(({ Scene }) => {
        if (!isHere || !host.current) return;
        const element = host.current;
        scene.current = new Scene(element, (triangles, revision) => {
          element.dataset.triangles = String(triangles);
          element.dataset.revision = String(revision);
        });
        setReady(true);
      })
      .catch(() => setCannot(true));
    return () => {
      isHere = false;
      scene.current?.close();
      scene.current = null;
    };
  }, []);
  const here = answer.value?.stations.find((one) => one.id === station.value);
  const look: Look = {
    ...shows.value,
    explode: explode.value,
    stands: stands.value,
    cut: shows.value.cut && here ? { x: here.x, y: here.y, out: here.out } : null,
    chosen: piece.value,
  };
  useEffect(() => {
    if (isReady && solid.value) scene.current?.show(solid.value, look, keptSolid.value);
  }, [isReady, solid.value, keptSolid.value, JSON.stringify(look)]);
  useEffect(() => {
    if (!isReady || !here || !solid.value) return;
    if (isInside.value) scene.current?.inside(here, answer.value?.depth ?? 0.3);
  }, [isReady, isInside.value, here?.id, solid.value === null]);
  useEffect(() => scene.current?.theme(), [theme.value]);

  const onPointerDown = (event: PointerEvent) => {
    const element = event.currentTarget as HTMLElement;
    element.setPointerCapture(event.pointerId);
    let x = event.clientX;
    let y = event.clientY;
    let isMoved = false;
    const move = (next: PointerEvent) => {
      const dx = next.clientX - x;
      const dy = next.clientY - y;
      if (!isMoved && Math.hypot(dx, dy) < 4) return;
      isMoved = true;
      [x, y] = [next.clientX, next.clientY];
      if (next.buttons === 2 || next.shiftKey) scene.current?.pan(-dx * 0.0012, dy * 0.0012);
      else scene.current?.orbit(-dx * 0.008, -dy * 0.008);
    };
    const up = (next: PointerEvent) => {
      element.removeEventListener("pointermove", move);
      element.removeEventListener("pointerup", up);
      element.removeEventListener("pointercancel", up);
      if (isMoved || next.type !== "pointerup") return;
      const found = scene.current?.pick(next.clientX, next.clientY);
      piece.value = found?.piece ?? "";
    };
    element.addEventListener("pointermove", move);
    element.addEventListener("pointerup", up);
    element.addEventListener("pointercancel", up);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const moves: Record<string, () => void> = {
      ArrowLeft: () => scene.current?.orbit(-0.1, 0),
      ArrowRight: () => scene.current?.orbit(0.1, 0),
      ArrowUp: () => scene.current?.orbit(0, -0.08),
      ArrowDown: () => scene.current?.orbit(0, 0.08),
      "+": () => scene.current?.closer(0.85),
      "-": () => scene.current?.closer(1.18),
      "0": () => scene.current?.from("home"),
    };
    if (!moves[event.key]) return;
    event.preventDefault();
    moves[event.key]();
  };
  const tick = (name: keyof typeof shows.value, label: string) => (
    <label class="tick">
      <input
        type="checkbox"
        checked={shows.value[name]}
        onChange={(event) => (shows.value = { ...shows.value, [name]: (event.currentTarget as HTMLInputElement).checked })}
      />
      {label}
    </label>
  );
  const chosen = answer.value?.pieces.find((row) => row.code === piece.value);
  const isOld = isBehind.value && refusal.value !== null;
  if (cannot) return <p class="waiting">{words.whole.none}</p>;
  return (
    <div class="whole">
      <div
        ref={host}
        class={`solid${isOld ? " is-old" : ""}`}
        role="application"
        aria-roledescription="model"
        aria-label={`${words.whole.summary(solid.value?.parts.length ?? 0)} ${words.whole.orbit}`}
        tabIndex={0}
        onPointerDown={onPointerDown}
        onKeyDown={onKeyDown}
        onWheel={(event) => {
          event.preventDefault();
          scene.current?.closer(Math.exp(event.deltaY * 0.001));
        }}
        onContextMenu={(event) => event.preventDefault()}
      />
      {chosen && (
        <p class="chosen" role="status">
          <strong>{chosen.code}</strong> {chosen.name}
          <button type="button" class="quiet" onClick={() => (view.value = "pieces")}>
            {words.views.pieces}
          </button>
        </p>
      )}
      <div class="whole-tools">
        <span class="buttons">
          {(["home", "side", "top"] as const).map((name) => (
            <button
              type="button"
              class="quiet"
              key={name}
              onClick={() => {
                isInside.value = false;
                scene.current?.from(name);
              }}
            >
              {words.whole[name]}
            </button>
          ))}
          <button type="button" class="quiet" aria-pressed={isInside.value} onClick={() => {
              if (isInside.value) scene.current?.from("home");
              isInside.value = !isInside.value;
            }}>
            {words.whole.inside}
          </button>
        </span>
        {tick("person", words.whole.person)}
        {tick("letters", words.whole.letters)}
        {tick("hull", words.whole.hull)}
        {tick("loop", words.whole.loop)}
        {tick("segments", words.whole.segments)}
        {tick("cut", words.whole.cut)}
        <label class="tick">
          {words.whole.stands}
          <select aria-label={words.whole.standsHow} value={stands.value} onChange={(event) => (stands.value = (event.currentTarget as HTMLSelectElement).value as Look["stands"])}>
            {(["hover", "touch", "sit"] as const).map((one) => (
              <option key={one} value={one}>
                {words.whole.standing[one]}
              </option>
            ))}
          </select>
        </label>
        <label class="tick">
          {words.whole.explode}
          <input
            type="range"
            min={0}
            max={1}
            step={0.05}
            value={explode.value}
            onInput={(event) => (explode.value = Number((event.currentTarget as HTMLInputElement).value))}
          />
        </label>
      </div>
      {(shows.value.cut || isInside.value) && <StationSlider />}
      <WholeCaption />
    </div>
  );
}

/** One sentence, and the numbers of what is drawn as a table. */
function WholeCaption() {
  const found = answer.value;
  const shown = solid.value;
  if (!found || !shown) return null;
  const say = words.whole;
  const length = (metres: number) => `${Math.round(1000 * metres)} mm`;
  const count = (kind: string) => shown.parts.filter((part) => part.kind === kind).length;
  const rows: [string, string][] = [
    [say.rows.panels, String(count("loop"))],
    [say.rows.segments, String(count("face"))],
    [say.rows.seams, [...new Set(shown.letters.map((one) => one.text))].join(" ")],
    [say.rows.post, length(1.75)],
    [say.rows.gap, length(-shown.ground.hover)],
    [say.rows.bottom, length(found.clearance)],
    [say.rows.sits, length(shown.ground.sit)],
    ...found.facts.filter(([name]) => name === "Sizes").map(([name, text]): [string, string] => [name, text]),
  ];
  return (
    <div class="whole-caption">
      <p>
        {say.says(count("loop"), count("face"))} {stands.value === "sit" ? say.lying : ""} {keptSolid.value ? words.walk.ghost : ""}
      </p>
      <details class="numbers">
        <summary>{words.sheet.numbers}</summary>
        <table class="numbers-table">
          <tbody>
            {rows.map(([name, text]) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                <td>{text}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </div>
  );
}
