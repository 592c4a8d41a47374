import { useLooks } from "../looks";
import { SheetOf } from "../sheet";
import { station } from "../store";
import { words } from "../words";
import { nearest, StationMark, StationSlider } from "./walk";

export function PlanView() {
  useLooks(["plan"], ["plan"]);
  return (
    <div class="column">
      <SheetOf name="plan" onPick={(x, y) => (station.value = nearest(x, y))} overlay={(_, place) => <StationMark place={place} />} />
      <StationSlider />
      <p class="quiet-words">{words.plan.pick}</p>
    </div>
  );
}
