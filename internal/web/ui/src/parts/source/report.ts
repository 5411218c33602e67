// The answers of /api/risk and /api/limits, as docs/json.md tells them.

export interface Outcome {
  what: string;
  in: string;
  rate_low: number | null;
  rate_high: number | null;
  own: boolean;
}

export interface Score {
  key: string;
  name: string;
  points_low: number | null;
  points_high: number | null;
  points_max: number | null;
  classes: string[];
  outcomes: Outcome[];
  missing: string[];
  derived: string;
  cautions: string[];
  source: string;
}

export interface Figure {
  value: number | null;
  missing?: string[];
  source: string;
}

export interface Heparin {
  with_inhibitor: boolean;
  low_units: number | null;
  high_units: number | null;
}

export interface Rate {
  event: string;
  route: string;
  per_1000: number;
  low: number;
  high: number;
  own: boolean;
  cautions: string[];
  source: string;
}

export interface Risk {
  questions: string[];
  routes: { name: string; scores: Score[] }[];
  kidney: Record<string, Figure>;
  heparin: Heparin[];
  heparin_source: string;
  of_1000: Rate[];
}

export interface Mark {
  at: number;
  kind: string;
  says: string;
  effect?: string;
  then?: string[];
  source: string;
}

export interface Standing {
  measure: string;
  unit: string;
  total: number | null;
  passed: Mark | null;
  next: Mark | null;
  away: number | null;
  ahead_min: number | null;
  ahead_low_min: number | null;
  ahead_high_min: number | null;
  ahead_method?: string;
  missing: string[];
}

export interface Limits {
  questions: string[];
  standings: Standing[];
}
