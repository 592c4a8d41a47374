// Dimensions to drag on a drawing: by pointer or by arrow keys, always with a target of 44 px.
import { dragTo, newGesture, release, type Wanted } from "./drag";
import type { Place } from "./sheet";
import { say, textOf, told, type Drawing, type Handle } from "./store";
import { words } from "./words";

const TARGET = 22.5; // px, half of it
const KNOB = 6.5; // px
const STEP = 0.005; // m by an arrow key
const FINE = 0.001; // m with Shift

interface Properties {
  handle: Handle;
  place: Place;
  drawing: Drawing;
  svg: { current: SVGSVGElement | null };
  px: number; // of one millimetre on the sheet
}

export function HandleOf({ handle, place, drawing, svg, px }: Properties) {
  const label = labelOf(handle);
  const x = place.x(handle.at[0]);
  const y = place.y(handle.at[1]);
  const angle = (-Math.atan2(handle.along[1], handle.along[0]) * 180) / Math.PI;
  const shown = handle.also ? `${textOf(handle.key)}, ${textOf(handle.also.key)}` : textOf(handle.key);
  const onPointerDown = (event: PointerEvent) => {
    event.stopPropagation();
    event.preventDefault();
    const element = event.currentTarget as SVGGElement;
    element.setPointerCapture(event.pointerId);
    element.focus();
    const matrix = svg.current!.getScreenCTM()!.inverse();
    const at = (next: PointerEvent) => new DOMPoint(next.clientX, next.clientY).matrixTransform(matrix);
    const start = at(event);
    const gesture = newGesture();
    const move = (next: PointerEvent) => {
      const now = at(next);
      const way: [number, number] = [(now.x - start.x) * place.metres, (start.y - now.y) * place.metres];
      dragTo(moved(handle, way, drawing), next.shiftKey, gesture);
    };
    const up = () => {
      element.removeEventListener("pointermove", move);
      element.removeEventListener("pointerup", up);
      element.removeEventListener("pointercancel", up);
      release();
    };
    element.addEventListener("pointermove", move);
    element.addEventListener("pointerup", up);
    element.addEventListener("pointercancel", up);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const ways: Record<string, [number, number]> = { ArrowUp: [0, 1], ArrowDown: [0, -1], ArrowRight: [1, 0], ArrowLeft: [-1, 0] };
    const way = ways[event.key];
    if (!way) return;
    event.preventDefault();
    event.stopPropagation();
    stepBy(stepped(handle, way, event.shiftKey ? FINE : STEP));
  };
  const r = KNOB / px;
  const arrow = `M${-2.4 * r} 0h${4.8 * r}M${2.4 * r} 0l${-r} ${-0.7 * r}M${2.4 * r} 0l${-r} ${0.7 * r}M${-2.4 * r} 0l${r} ${-0.7 * r}M${-2.4 * r} 0l${r} ${0.7 * r}`;
  return (
    <g
      class={`handle handle-${handle.group ?? "length"}`}
      data-handle={handle.key}
      transform={`translate(${x} ${y}) rotate(${angle})`}
      role="slider"
      tabindex={0}
      aria-label={words.sheet.handle(label)}
      aria-valuenow={Math.round(handle.value * 1000)}
      aria-valuetext={shown}
      onPointerDown={onPointerDown}
      onKeyDown={onKeyDown}
    >
      <title>{`${label}: ${shown}. ${words.sheet.dragHint}`}</title>
      <circle r={TARGET / px} class="reach" />
      <path d={arrow} />
      {handle.also && <path d={arrow} transform="rotate(90)" />}
      {handle.group === "hull" ? <rect x={-r} y={-r} width={2 * r} height={2 * r} class="knob" /> : <circle r={r} class="knob" />}
    </g>
  );
}

function labelOf(handle: Handle): string {
  const named = words.sheet.points[handle.group ?? ""];
  if (named) return named(words.runs[String(handle.entry)] ?? String(handle.entry));
  return told.value[handle.key.replace(/\[\d+\]/g, "")]?.label ?? handle.key;
}

const dot = (a: [number, number], b: [number, number]) => a[0] * b[0] + a[1] * b[1];

/** What a handle wants after it was moved by so many metres from where it stood. */
function moved(handle: Handle, way: [number, number], drawing: Drawing): Wanted {
  if (handle.on === "joint" && drawing.line) {
    return { key: handle.key, metres: nearestAlong(drawing.line, handle.at[0] + way[0], handle.at[1] + way[1]) };
  }
  const wanted: Wanted = { key: handle.key, metres: handle.value + handle.gain * dot(way, handle.along) };
  if (handle.also) {
    wanted.also = handle.also.key;
    wanted.metres_also = handle.also.value + handle.also.gain * dot(way, handle.also.along);
  }
  return wanted;
}

/** What an arrow key adds to the length that lies nearest to its way, up where none does; from `from` as drawn. */
function stepped(handle: Handle, way: [number, number], size: number): { key: string; by: number; from: number } {
  const along = dot(way, handle.along);
  const also = handle.also ? dot(way, handle.also.along) : 0;
  if (handle.also && Math.abs(also) > Math.abs(along)) return { key: handle.also.key, by: Math.sign(also) * size, from: handle.also.value };
  const sign = Math.abs(along) > 0.3 ? Math.sign(along) : way[0] + way[1];
  return { key: handle.key, by: sign * size, from: handle.value };
}

/** Keys may be faster than drawings: the desk adds to what the field says by then, if that is a length. */
function stepBy({ key, by, from }: { key: string; by: number; from: number }): void {
  const relative = /\d/.test(textOf(key));
  say("move", { key, metres: relative ? by : from + by, also: null, metres_also: null, fine: true, gesture: 0, relative });
}

function nearestAlong(line: [number, number, number][], x: number, y: number): number {
  let best = 0;
  let least = Infinity;
  for (let i = 0; i + 1 < line.length; i++) {
    const [ax, ay, as] = line[i];
    const [bx, by, bs] = line[i + 1];
    const size = Math.max(1e-12, (bx - ax) ** 2 + (by - ay) ** 2);
    const share = Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / size));
    const far = Math.hypot(ax + share * (bx - ax) - x, ay + share * (by - ay) - y);
    if (far < least) [least, best] = [far, as + share * (bs - as)];
  }
  return best;
}
