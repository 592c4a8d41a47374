// Dragging a dimension: the newest wins, one wish on its way at a time; a drag is one step of undo.
import { say } from "./store";

let wanted: { key: string; metres: number; fine: boolean } | null = null;
let isBusy = false;

export function dragTo(key: string, metres: number, fine: boolean): void {
  wanted = { key, metres, fine };
  if (!isBusy) void send();
}

export function release(): void {
  if (!isBusy && wanted) void send();
}

async function send(): Promise<void> {
  isBusy = true;
  while (wanted) {
    const next = wanted;
    wanted = null;
    await say("drag", next);
  }
  isBusy = false;
}
