// The views, in their order. A new one: its component, and a line here; it shows where `stands` says that it can.
import type { FunctionComponent } from "preact";
import { answer } from "./store";
import { Air } from "./views/air";
import { Checks } from "./views/checks";
import { Compare } from "./views/compare";
import { Hull } from "./views/hull";
import { Inflate } from "./views/inflate";
import { Layout } from "./views/layout";
import { Pieces } from "./views/pieces";
import { PlanView } from "./views/plan";
import { Rides } from "./views/rides";
import { Sits } from "./views/sits";
import { Take } from "./views/take";
import { Walk } from "./views/walk";
import { Whole } from "./views/whole";

export interface View {
  name: string; // its words are words.views[name]
  component: FunctionComponent;
  stands: () => boolean;
}

const always = () => true;
const solved = () => answer.value !== null;

export const views: View[] = [
  { name: "walk", component: Walk, stands: always },
  { name: "plan", component: PlanView, stands: solved },
  { name: "whole", component: Whole, stands: solved },
  { name: "hull", component: Hull, stands: solved },
  { name: "pieces", component: Pieces, stands: solved },
  { name: "air", component: Air, stands: solved },
  { name: "sits", component: Sits, stands: solved },
  { name: "rides", component: Rides, stands: solved },
  { name: "layout", component: Layout, stands: solved },
  { name: "inflate", component: Inflate, stands: solved },
  { name: "checks", component: Checks, stands: solved },
  { name: "compare", component: Compare, stands: solved },
  { name: "take", component: Take, stands: solved },
];
