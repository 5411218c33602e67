// What documents need of the browser and the program.
import { load, save, turn } from "./api";
import type { Ports } from "./document";

export const ports: Ports = {
  save, load, turn,
  keep(key, text) { try { text === null ? localStorage.removeItem(key) : localStorage.setItem(key, text); } catch { /* a full or forbidden storage: the page itself still holds it */ } },
  kept(key) { try { return localStorage.getItem(key); } catch { return null; } },
  later(run, ms) { const t = setTimeout(run, ms); return () => clearTimeout(t); },
};
