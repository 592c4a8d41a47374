// Dragging a dimension: the newest wins, one wish on its way at a time.
import { say } from "./store";

export interface Wanted {
  key: string;
  metres: number;
  also?: string; // the second length of a point
  metres_also?: number;
}

let wanted: (Wanted & { fine: boolean; gesture: number }) | null = null;
let isBusy = false;

/** Have a drag's newest lengths put; all of one gesture is one step of undo. */
export function dragTo(to: Wanted, fine: boolean, gesture: number): void {
  wanted = { ...to, fine, gesture };
  if (!isBusy) void send();
}

export function release(): void {
  if (!isBusy && wanted) void send();
}

async function send(): Promise<void> {
  isBusy = true;
  while (wanted) {
    const { also = null, metres_also = null, ...next } = wanted;
    wanted = null;
    await say("move", { ...next, also, metres_also, relative: false });
  }
  isBusy = false;
}

/** A number for a drag from press to release. */
export const newGesture = (): number => 1 + Math.floor(Math.random() * 2 ** 40);
