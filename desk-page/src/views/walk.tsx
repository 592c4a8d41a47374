import { signal } from "@preact/signals";
import { useRef } from "preact/hooks";
import { arrows } from "../fields";
import { useLooks } from "../looks";
import { Lines, Numbers, SheetOf, type Place } from "../sheet";
import { answer, drawings, remember, station } from "../store";
import { words } from "../words";

const shows = signal<"dimensions" | "forces">("dimensions");
const isTaut = signal(false);
const pins = signal<string[]>(read());

function read(): string[] {
  try {
    return JSON.parse(localStorage.getItem("desk.pins") ?? "[]");
  } catch {
    return [];
  }
}

export function nearest(x: number, y: number): string {
  const stations = answer.value?.stations ?? [];
  let best = station.value;
  let least = Infinity;
  for (const one of stations) {
    const far = Math.hypot(one.x - x, one.y - Math.abs(y));
    if (far < least) [least, best] = [far, one.id];
  }
  return best;
}

export function StationMark({ place }: { place: Place | null }) {
  const here = answer.value?.stations.find((one) => one.id === station.value);
  const depth = answer.value?.depth ?? 0.3;
  if (!place || !here) return null;
  const reach = [0.25, -2 * depth - 0.1];
  return (
    <g class="station-mark" aria-hidden="true">
      {[1, -1].map((side) => (
        <line
          key={side}
          x1={place.x(here.x + reach[0] * here.out[0])}
          y1={place.y(side * (here.y + reach[0] * here.out[1]))}
          x2={place.x(here.x + reach[1] * here.out[0])}
          y2={place.y(side * (here.y + reach[1] * here.out[1]))}
        />
      ))}
      <circle cx={place.x(here.x)} cy={place.y(here.y)} r={2.6} />
    </g>
  );
}

export function StationSlider() {
  const stations = answer.value?.stations ?? [];
  const at = Math.max(0, stations.findIndex((one) => one.id === station.value));
  const here = stations[at];
  if (!here) return null;
  const isPinned = pins.value.includes(here.id);
  const setPins = (next: string[]) => {
    pins.value = next;
    remember("pins", JSON.stringify(next));
  };
  return (
    <div class="slider-row">
      <label for="station">{words.walk.ofRun(here.id, here.run)}</label>
      <input
        id="station"
        type="range"
        min={0}
        max={stations.length - 1}
        step={1}
        value={at}
        aria-label={words.walk.slider}
        aria-valuetext={words.walk.ofRun(here.id, here.run)}
        onInput={(event) => (station.value = stations[Number((event.currentTarget as HTMLInputElement).value)].id)}
      />
      <button
        type="button"
        class="quiet"
        aria-pressed={isPinned}
        onClick={() => setPins(isPinned ? pins.value.filter((id) => id !== here.id) : [...pins.value, here.id])}
      >
        {isPinned ? words.walk.unpin : words.walk.pin}
      </button>
      <span class="pins" role="group" aria-label={words.walk.pins}>
        {pins.value
          .filter((id) => stations.some((one) => one.id === id))
          .map((id) => (
            <button type="button" class="quiet" key={id} aria-pressed={id === here.id} onClick={() => (station.value = id)}>
              {id}
            </button>
          ))}
      </span>
    </div>
  );
}

export function Walk() {
  const section = `section-${station.value}${shows.value === "forces" ? "-forces" : isTaut.value ? "-taut" : ""}`;
  const last = useRef(section);
  if (drawings.value[section]) last.current = section; // until the new one is drawn, the old one stays
  useLooks(station.value ? [section, "plan"] : [], [section]);
  return (
    <div class="walk">
      <div class="walk-section">
        <div class="sub-row">
        <div class="sub-tabs" role="tablist" aria-label={words.walk.drawing} onKeyDown={arrows}>
          {(["dimensions", "forces"] as const).map((one) => (
            <button
              type="button"
              role="tab"
              key={one}
              aria-selected={shows.value === one}
              tabIndex={shows.value === one ? 0 : -1}
              onClick={() => (shows.value = one)}
            >
              {words.walk[one]}
            </button>
          ))}
        </div>
        {shows.value === "dimensions" && (
          <label class="tick">
            <input type="checkbox" checked={isTaut.value} onChange={(event) => (isTaut.value = (event.currentTarget as HTMLInputElement).checked)} />
            {words.walk.taut}
          </label>
        )}
        </div>
        <SheetOf name={last.current} hasNumbers={false} />
      </div>
      <div class="walk-side">
        <div class="walk-plan" role="group" aria-label={words.walk.where}>
          <SheetOf name="plan" bare onPick={(x, y) => (station.value = nearest(x, y))} overlay={(_, place) => <StationMark place={place} />} />
        </div>
        <Numbers name={last.current} />
        <Lines name={last.current} />
      </div>
      <StationSlider />
    </div>
  );
}
