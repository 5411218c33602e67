// Dark, light, or as the system has it. A class would do; an attribute of the root does it
// before the first paint as well.
import { signal } from "@preact/signals";

export type Theme = "system" | "dark" | "light";
const key = "theme";
const stored = (): Theme => { try { const t = localStorage.getItem(key); return t === "dark" || t === "light" ? t : "system"; } catch { return "system"; } };

export const theme = signal<Theme>(stored());

export function setTheme(t: Theme): void {
  theme.value = t;
  try { t === "system" ? localStorage.removeItem(key) : localStorage.setItem(key, t); } catch { /* kept for this page only */ }
  apply();
}

export function apply(): void {
  if (theme.value === "system") delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = theme.value;
}
