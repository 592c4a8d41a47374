// Which drawings this page looks at: those of the view that is open, and of the kept variant with them.
import { useEffect } from "preact/hooks";
import { looks, state } from "./store";

export function useLooks(names: string[], ghosts: string[] = []): void {
  const kept = state.value?.kept ?? null;
  const all = [...names, ...(kept === null ? [] : ghosts.map((name) => `kept:${name}`))];
  const key = all.join();
  useEffect(() => {
    looks.value = all;
  }, [key]);
}
