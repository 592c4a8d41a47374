// Light, dark, or as the system says.
import { effect, signal } from "@preact/signals";
import { remember } from "./store";

type Theme = "auto" | "light" | "dark";

function kept(): Theme {
  try {
    const found = localStorage.getItem("desk.theme");
    return found === "light" || found === "dark" ? found : "auto";
  } catch {
    return "auto";
  }
}

export const theme = signal<Theme>(kept());

effect(() => {
  document.documentElement.dataset.theme = theme.value;
  remember("theme", theme.value);
});
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => {
  if (theme.value === "auto") {
    theme.value = "light";
    theme.value = "auto";
  }
});
