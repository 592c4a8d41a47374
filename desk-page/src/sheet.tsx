// A Sheet of the paper on the screen: pan, zoom, the kept variant behind it, dimensions to drag, numbers below.
import type { ComponentChildren } from "preact";
import { useEffect, useId, useLayoutEffect, useRef, useState } from "preact/hooks";
import { answer, drawings, isBehind, mayEdit, refusal, type Drawing } from "./store";
import { HandleOf } from "./handles";
import { words } from "./words";

type Box = [number, number, number, number];
const GEOMETRY = ["hull", "loop", "segment", "ground", "sew", "finished", "ghost", "cut"];

export interface Place {
  x: (metres: number) => number;
  y: (metres: number) => number;
  metres: number; // of one millimetre on the sheet
}

export function placeOn(drawing: Drawing): Place | null {
  if (!drawing.frame) return null;
  const [scale, x0, y0] = drawing.frame;
  return {
    x: (metres) => (1000 / scale) * metres + x0,
    y: (metres) => drawing.height - ((1000 / scale) * metres + y0),
    metres: scale / 1000,
  };
}

interface Properties {
  name: string;
  overlay?: (drawing: Drawing, place: Place | null) => ComponentChildren;
  onPick?: (x: number, y: number) => void;
  bare?: boolean;
  hasNumbers?: boolean;
  groups?: string[]; // of the handles to show; all where it is not said
}

export function SheetOf({ name, overlay, onPick, bare, hasNumbers = true, groups }: Properties) {
  const drawing = drawings.value[name];
  const kept = drawings.value[`kept:${name}`];
  const svg = useRef<SVGSVGElement>(null);
  const [box, setBox] = useState<Box | null>(null);
  const id = useId();
  const [px, setPx] = useState(2); // of one millimetre on the sheet
  const size = drawing?.box?.join();
  useEffect(() => setBox(null), [name, size]);
  useEffect(() => {
    const element = svg.current;
    if (!element) return;
    const wheel = (event: WheelEvent) => {
      event.preventDefault();
      const at = pointOf(element, event);
      setBox((now) => zoomed(now ?? drawing.box, Math.exp(event.deltaY * 0.0015), at, drawing.box));
    };
    element.addEventListener("wheel", wheel, { passive: false });
    return () => element.removeEventListener("wheel", wheel);
  }, [name, size]);
  const boxed = (box ?? drawing?.box)?.join();
  useLayoutEffect(() => {
    const element = svg.current;
    if (!element) return;
    const measure = () => setPx(Math.max(0.05, element.getScreenCTM()?.a ?? 2));
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(element);
    return () => watch.disconnect();
  }, [name, boxed]);
  if (!drawing || drawing.missing) {
    return <p class="waiting">{drawing?.missing ? `${words.sheet.missing} ${drawing.why ?? ""}` : refusal.value ? words.sheet.none : words.sheet.waiting}</p>;
  }
  const now = box ?? drawing.box;
  const place = placeOn(drawing);
  const isOld = isBehind.value && refusal.value !== null;

  const pan = { x: 0, y: 0, moved: false, active: false };
  const onPointerDown = (event: PointerEvent) => {
    if ((event.target as Element).closest("[data-handle]")) return;
    Object.assign(pan, { x: event.clientX, y: event.clientY, moved: false, active: true });
    const element = event.currentTarget as SVGSVGElement;
    const start = now;
    const scale = start[2] / Math.max(1, element.getBoundingClientRect().width);
    const move = (next: PointerEvent) => {
      const dx = next.clientX - pan.x;
      const dy = next.clientY - pan.y;
      if (!pan.moved && Math.hypot(dx, dy) < 4) return;
      pan.moved = true;
      setBox([start[0] - dx * scale, start[1] - dy * scale, start[2], start[3]]);
    };
    const up = (next: PointerEvent) => {
      removeEventListener("pointermove", move);
      removeEventListener("pointerup", up);
      removeEventListener("pointercancel", up);
      if (!pan.moved && onPick && place && next.type === "pointerup") {
        const at = pointOf(element, next);
        const [scaleOf, x0, y0] = drawing.frame!;
        onPick(((at.x - x0) * scaleOf) / 1000, ((drawing.height - at.y - y0) * scaleOf) / 1000);
      }
    };
    addEventListener("pointermove", move);
    addEventListener("pointerup", up);
    addEventListener("pointercancel", up);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.target !== svg.current) return;
    const by = now[2] * 0.08;
    const middle = { x: now[0] + now[2] / 2, y: now[1] + now[3] / 2 };
    const moves: Record<string, Box> = {
      ArrowLeft: [now[0] - by, now[1], now[2], now[3]],
      ArrowRight: [now[0] + by, now[1], now[2], now[3]],
      ArrowUp: [now[0], now[1] - by, now[2], now[3]],
      ArrowDown: [now[0], now[1] + by, now[2], now[3]],
      "+": zoomed(now, 0.8, middle, drawing.box),
      "-": zoomed(now, 1.25, middle, drawing.box),
      "0": drawing.box,
    };
    if (!moves[event.key]) return;
    event.preventDefault();
    setBox(moves[event.key]);
  };
  const zoom = (by: number) => setBox(zoomed(now, by, { x: now[0] + now[2] / 2, y: now[1] + now[3] / 2 }, drawing.box));
  return (
    <figure class={`sheet${isOld ? " is-old" : ""}`}>
      <svg
        ref={svg}
        viewBox={now.join(" ")}
        role="group"
        aria-roledescription="drawing"
        aria-labelledby={`${id}-title`}
        tabindex={0}
        data-revision={drawing.revision}
        data-name={name}
        onPointerDown={onPointerDown}
        onKeyDown={onKeyDown}
      >
        <title id={`${id}-title`}>{drawing.summary}</title>
        {kept && !kept.missing && <Ghost kept={kept} over={drawing} />}
        <svg x={drawing.box[0]} y={drawing.box[1]} width={drawing.box[2]} height={drawing.box[3]} viewBox={drawing.box.join(" ")} aria-hidden="true">
          <g class={`ink ink-${drawing.kind}`} dangerouslySetInnerHTML={{ __html: drawing.svg }} />
        </svg>
        {overlay?.(drawing, place)}
        {place &&
          mayEdit.value &&
          !bare &&
          drawing.handles
            .filter((one) => !groups || groups.includes(one.group ?? ""))
            .map((handle) => <HandleOf key={`${handle.key} ${handle.entry ?? ""}`} handle={handle} place={place} drawing={drawing} svg={svg} px={px} />)}
      </svg>
      {!bare && (
        <div class="sheet-tools">
          <button type="button" aria-label={words.sheet.closer} onClick={() => zoom(0.75)}>
            +
          </button>
          <button type="button" aria-label={words.sheet.away} onClick={() => zoom(1.333)}>
            −
          </button>
          <button type="button" aria-label={words.sheet.fit} onClick={() => setBox(null)}>
            ⤢
          </button>
        </div>
      )}
      {!bare && (
        <figcaption>
          <p>
            {drawing.summary}
            {kept?.frame && ` ${words.walk.ghost}`}
          </p>
          {hasNumbers && <Lines name={name} />}
          <TakeSheet name={name} />
          {hasNumbers && drawing.table.length > 0 && (
            <details class="numbers">
              <summary>{words.sheet.numbers}</summary>
              <Numbers name={name} />
            </details>
          )}
        </figcaption>
      )}
    </figure>
  );
}

/** The numbers of a drawing, with those of the kept variant beside them. */
export function Numbers({ name }: { name: string }) {
  const drawing = drawings.value[name];
  const kept = drawings.value[`kept:${name}`];
  if (!drawing || drawing.missing) return null;
  return (
    <table class="numbers-table">
      <caption class="unseen">{drawing.title}</caption>
      <tbody>
        {drawing.table.map(([label, value], row) => (
          <tr key={row}>
            <th scope="row">{label}</th>
            <td>{value}</td>
            {kept && !kept.missing && <td class="was">{kept.table[row]?.[1]}</td>}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** What the lines mean, each drawn as on the sheet. */
export function Lines({ name }: { name: string }) {
  const rows = drawings.value[name]?.legend;
  if (!rows) return null;
  return (
    <ul class="lines" aria-label={words.sheet.lines}>
      {rows.map(([width, dash, grey, text]) => (
        <li key={text}>
          <svg viewBox="0 0 15 3" aria-hidden="true" class={grey > 0.2 ? "is-grey" : ""}>
            <path d="M0 1.5H15" stroke-width={width} stroke-dasharray={dash.join(" ")} />
          </svg>
          {text}
        </li>
      ))}
    </ul>
  );
}

export function TakeSheet({ name }: { name: string }) {
  return (
    <p class="take-sheet">
      {words.sheet.take}{" "}
      {["pdf", "dxf", "svg", "png"].map((kind) => (
        <a key={kind} href={`/take/${name}.${kind}`} download>
          {kind.toUpperCase()}
        </a>
      ))}
    </p>
  );
}

/** The same drawing of the kept variant, its geometry only, laid on this one's scale. */
function Ghost({ kept, over }: { kept: Drawing; over: Drawing }) {
  if (!kept.frame || !over.frame) return null;
  const ratio = kept.frame[0] / over.frame[0];
  const dx = over.frame[1] - ratio * kept.frame[1];
  const dy = over.height - over.frame[2] - ratio * (kept.height - kept.frame[2]);
  return (
    <g
      class={`ghost ${GEOMETRY.map((layer) => `shows-${layer}`).join(" ")}`}
      aria-hidden="true"
      transform={`translate(${dx} ${dy}) scale(${ratio})`}
      dangerouslySetInnerHTML={{ __html: kept.svg }}
    />
  );
}

function pointOf(svg: SVGSVGElement, event: { clientX: number; clientY: number }): DOMPoint {
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM()!.inverse());
}

function zoomed(box: Box, by: number, at: { x: number; y: number }, whole: Box): Box {
  const width = Math.min(whole[2] * 1.5, Math.max(whole[2] / 40, box[2] * by));
  const ratio = width / box[2];
  return [at.x - (at.x - box[0]) * ratio, at.y - (at.y - box[1]) * ratio, width, box[3] * ratio];
}

export const hasAnswer = () => answer.value !== null;
