// The shapes of "Walking and practising" in docs/api.md.
import type { Verdict } from "./types";

export interface Thing {
  role: string; item: string; wire: boolean; donor_side: boolean; tip_mm: number; tail_mm: number; outside_mm: number | null; rides: string; beside: string;
  rx_mm: number; bare_mm: number; state: string[];
}
export interface Circle { role: string; item: string; diameter_mm: number; x_mm: number; y_mm: number; bore_mm: number | null; spare_mm: number | null; inside: { role: string; item: string; diameter_mm: number }[] }
export interface Lumen { tube: string; item: string; bore_mm: number; at_mm: number; spare_mm: number; verdict: Verdict; circles: Circle[] }
export interface Scene {
  things: Thing[]; tubes: { role: string; item: string; from_mm: number; to_mm: number }[]; lumens: Lumen[];
  antegrade: { tip_mm: number; hub_mm: number; valve_mm: number; stands_off: boolean }; state: string[];
}
export interface Move { role: string; item: string; way: "push" | "pull"; from_mm: number; to_mm: number; place: string; donor_side: boolean; shows_from_mm: number | null; shows_to_mm: number | null }
export interface Mark { role: string; item: string; place: string; shows_mm: number; sd_mm: number; was_mm: number; was_sd_mm: number }
export interface Nearest { rule: string; says: string; role: string; at_mm: number; room_mm: number }
export interface Broken { rule: string; severity: string; says: string; rule_says: string; harm: string; way_out: string; source: string }
export interface Action { line: string; says: string; moves: Move[]; marks: Mark[]; nearest: Nearest | null; findings: Broken[]; scene: Scene | null }
export interface Step { id: string; title: string; optional: boolean; called: string; holds: { rule: string; says: string }[]; watch: string; who: string; if_fails: string; actions: Action[] }
export interface Place { key: string; mm: number; sd_mm?: number; was_mm?: number; was_sd_mm?: number }
export interface Sighting { step: number; action: number; role: string; station: string; text: string; expects_mm: number; sd_mm: number; sharpens: { step: number; action: number; role: string; place: string; sd_mm: number; then_sd_mm: number }[] }
export interface Sharpened { step: number; action: number; role: string; place: string; was_mm: number; was_sd_mm: number; mm: number; sd_mm: number }
export interface Walk {
  route: string; finish: string; treat_over: string; verdict: Verdict; probability: number | null; ran: boolean; kit: Record<string, string>;
  stations: Place[]; start: Scene | null; steps: Step[]; sightings: Sighting[]; sharpened: Sharpened[];
}

export interface Outcome { line: string; says: string; notices: string[]; violations: Broken[]; moves: Move[]; marks: Mark[]; nearest: Nearest | null; refused: boolean }
export interface Can { role: string; act: string; line: string; asks: { unit: string; least: number; most: number; words: string[] } | null; with: string[] }
export interface Fluoroscopy { curves: { stretch: string; points: [number, number][] }[]; tips: { role: string; wire: boolean; stretch: string; share: number; x: number; y: number }[] }
export interface View {
  clock_min: number; pedal_s: number; called: string; watcher: string; ticked: string[];
  shafts: { role: string; item: string; donor_side: boolean; wire: boolean; shows_mm: number | null; rides: string; state: string[] }[];
  holds: { tube: string; roles: string[] }[]; damped: string[]; fluoroscopy: Fluoroscopy | null; scene: Scene | null; stations: Place[] | null; deeper_mm: Record<string, number> | null;
}
export interface Practice {
  title: string; tells: string; teaches: string; route: string; finish: string; treat_over: string; mode: "open" | "lab"; revealed: boolean;
  log: string[]; text: string; outcomes: Outcome[]; broken: { rule: string; severity: string; rule_says: string; times: number; first: number }[];
  view: View; can: Can[]; compare: { step: string; planned: string; done: string; at: number }[] | null; invented: Record<string, number> | null;
}
