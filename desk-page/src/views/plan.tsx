import { signal } from "@preact/signals";
import { useLooks } from "../looks";
import { SheetOf } from "../sheet";
import { answer, drawings, mayEdit, station, studies } from "../store";
import { words } from "../words";
import { nearest, StationMark, StationSlider } from "./walk";

const shades = ["none", "gap", "strain"] as const;
const groups = ["none", "hull", "corner", "station"] as const;
const shade = signal<(typeof shades)[number]>("none");
const group = signal<(typeof groups)[number]>("hull");
const load = signal(0);
const STUDY = { none: "", gap: "sits", strain: "strain" };

export function PlanView() {
  const study = STUDY[shade.value];
  useLooks(study ? ["plan", `study-${study}`] : ["plan"], ["plan"]);
  const shaded = (studies.value[study]?.sheets ?? []).map((one) => one.name).filter((name) => /^(sits-shade-|strain-plan)/.test(name));
  const name = study ? (shaded[Math.min(load.value, shaded.length - 1)] ?? "") : "plan";
  const isOld = study !== "" && studies.value[study] !== undefined && studies.value[study].revision !== answer.value?.revision;
  const why = studies.value[study]?.why;
  const pick = (x: number, y: number) => (station.value = nearest(x, y));
  const count = (one: string) => (drawings.value.plan?.handles ?? []).filter((handle) => handle.group === one).length;
  return (
    <div class="column plan">
      <div class="choices">
        <label class="pick">
          <span>{words.plan.shade}</span>
          <select value={shade.value} onChange={(event) => (shade.value = (event.currentTarget as HTMLSelectElement).value as typeof shade.value)}>
            {shades.map((one) => (
              <option key={one} value={one}>
                {words.plan.shades[one]}
              </option>
            ))}
          </select>
        </label>
        {shade.value === "gap" && shaded.length > 1 && (
          <label class="pick">
            <span>{words.plan.load}</span>
            <select value={load.value} onChange={(event) => (load.value = Number((event.currentTarget as HTMLSelectElement).value))}>
              {shaded.map((one, index) => (
                <option key={one} value={index}>
                  {drawings.value[one]?.title.replace(/^[^:]*: /, "")}
                </option>
              ))}
            </select>
          </label>
        )}
        {mayEdit.value && study === "" && (
          <label class="pick">
            <span>{words.plan.handles}</span>
            <select value={group.value} onChange={(event) => (group.value = (event.currentTarget as HTMLSelectElement).value as typeof group.value)}>
              {groups.map((one) => (
                <option key={one} value={one}>
                  {words.plan.groups[one]}
                  {one !== "none" && ` (${count(one)})`}
                </option>
              ))}
            </select>
          </label>
        )}
        <span class="quiet-words">{words.plan.pick}</span>
        {isOld && <span role="status" class="quiet-words">{words.study.older}</span>}
      </div>
      {study === "" && group.value === "station" && count("station") === 0 && <p class="quiet-words">{words.plan.noStations}</p>}
      {why && <p class="refusal">{why}</p>}
      {name === "" && !why && <p role="status" class="quiet-words">{words.study.working}</p>}
      <SheetOf name={name || "plan"} groups={study ? [] : [group.value]} onPick={pick} overlay={(_, place) => <StationMark place={place} />} />
      <StationSlider />
    </div>
  );
}
