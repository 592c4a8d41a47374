// Dragging a dimension: the newest wins, one wish on its way at a time; a drag is one step of undo.
import { say } from "./store";

export interface Wanted {
  key: string;
  metres: number;
  also?: string; // the second length of a point
  metres_also?: number;
}

let wanted: (Wanted & { fine: boolean }) | null = null;
let isBusy = false;

export function dragTo(to: Wanted, fine: boolean): void {
  wanted = { ...to, fine };
  if (!isBusy) void send();
}

export function release(): void {
  if (!isBusy && wanted) void send();
}

async function send(): Promise<void> {
  isBusy = true;
  while (wanted) {
    const { also, metres_also, ...next } = wanted;
    wanted = null;
    if (also === undefined) await say("drag", next);
    else await say("move", { ...next, also, metres_also });
  }
  isBusy = false;
}
