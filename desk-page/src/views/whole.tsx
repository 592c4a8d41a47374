import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { useLooks } from "../looks";
import type { Look, Scene } from "../scene";
import { answer, isBehind, piece, refusal, solid, station, view } from "../store";
import { theme } from "../theme";
import { words } from "../words";
import { StationSlider } from "./walk";

const shows = signal({ person: true, sitting: false, loop: true, segments: true, hull: true, cut: false });
const explode = signal(0);

export function Whole() {
  useLooks(["solid"]);
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
    gap: answer.value?.gap ?? 0.01,
    cut: shows.value.cut && here ? { x: here.x, y: here.y, out: here.out } : null,
    chosen: piece.value,
  };
  useEffect(() => {
    if (isReady && solid.value) scene.current?.show(solid.value, look);
  }, [isReady, solid.value, JSON.stringify(look)]);
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
          {(["home", "side", "top", "inside"] as const).map((name) => (
            <button type="button" class="quiet" key={name} onClick={() => scene.current?.from(name)}>
              {words.whole[name]}
            </button>
          ))}
        </span>
        {tick("person", words.whole.person)}
        {tick("sitting", words.whole.sit)}
        {tick("hull", words.whole.hull)}
        {tick("loop", words.whole.loop)}
        {tick("segments", words.whole.segments)}
        {tick("cut", words.whole.cut)}
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
      {shows.value.cut && <StationSlider />}
    </div>
  );
}
