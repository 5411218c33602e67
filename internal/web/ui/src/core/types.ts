// The shapes of docs/api.md that more than one page uses. Lengths are millimetres where a
// name ends in _mm.

/** A value of a tree: a text as a file would have it, with its unit; a list; a group. */
export type Value = string | Value[] | Tree;
export interface Tree { [key: string]: Value }

export type Kind = "case" | "shelf" | "house";
export type Verdict = "works" | "tight" | "fails" | "unknown";

export interface Version {
  kind: Kind; id: string; version: number; title: string; saved: string; note: string;
  of: number; before: number; gone: boolean;
  plans?: number; last_plan?: { verdict: Verdict; route: string; finish: string } | null;
  changed?: string[];
}
export interface Document extends Version { tree: Tree; text: string; can_undo?: boolean; can_redo?: boolean }

export interface Fault {
  in: string; path: string; missing?: string; kind: string; found: string; expected: string; hint: string; says: string;
  line: number; col: number;
}
export interface Warning { path: string; text: string; looks_like: string; says: string }
export interface Change { path: string; base: Value | null; theirs: Value | null; yours: Value | null }
export interface Conflict { base: number; head: Version; changes: Change[] }

export interface About { notice: string; version: string; store: string; schemas: Record<string, string>; today: string; demo: boolean }

export interface Rank {
  route: string; finish: string; treat_over: string; verdict: Verdict; probability: number | null; tied: boolean;
  assumed: boolean; typical: boolean; smallest: { id: string; mm: number | null } | null; kit: Record<string, string>;
}
export interface Apply { in: Kind; path: string; value: Value | null }
export interface Margin {
  id: string; mm: number | null; sd_mm: number | null; probability: number | null; verdict: Verdict;
  assumed: boolean; typical: boolean; missing?: string[];
}
export interface Finding { rule: string; severity: string; step: string | null; says: string; remedy: string[]; source: string }
export interface Show { route: string; finish: string; treat_over: string }

/** What /api/plan says of the plan shown. Pages that need more of it read docs/json.md. */
export interface Shown extends Show {
  verdict: Verdict; probability: number | null; assumed: boolean; typical: boolean; tied: boolean;
  kit: Record<string, string>; margins: Margin[]; findings: Finding[];
  park: { lo_mm: number; hi_mm: number; set_mm: number; set_shows_mm: number; ruler: number; shows_min_mm: number; shows_max_mm: number } | null;
  // eslint-free corner: the long tail of json.md
  [key: string]: any;
}
export interface PlanPage {
  case: string; measure_first: { leg: string; probability_if_known: number; ruler_if_known: number | null } | null;
  not_offered: { route: string; finish: string; why: string }[]; house: { name: string; source: string }[];
  ranking: Rank[]; shown: Shown | null; picture: any; risk: any;
}
export interface PlanAnswer { faults: Fault[] | null; inputs: Record<string, { id: string; version: number } | null>; plan: PlanPage | null }

export interface Words {
  rules: { id: string; severity: string; says: string; source: string }[];
  margins: { id: string; says: string; formula: string }[];
  settings: { name: string; says: string; value: string; kind: string; form: string; source: string; own: boolean }[];
  roles: { id: string; name: string; classes: string[] }[];
  classes: { class: string; keys: { name: string; required: boolean; kind: string; words?: string[]; example?: string; says?: string }[] }[];
  finishes: { id: string; name: string }[];
  typical: { id: string; closed: string; says: string; channel: string; legs: Record<string, any>; source: string }[];
  case_keys: Record<string, { kind: string; words?: string[]; says: string; required?: boolean; example?: string }>;
  protocols: any[];
}
