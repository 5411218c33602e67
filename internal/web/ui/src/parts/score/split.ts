// Scores that are the same for every route are of the patient and the occlusion: they are
// shown once.
import type { Score } from "../source/report";

interface Route { name: string; scores: Score[] }

/** split parts the scores that all routes share from those that differ. */
export function split(routes: Route[]): { whole: Score[]; routes: Route[] } {
  const first = routes[0]?.scores ?? [];
  const text = (s: Score | undefined) => JSON.stringify(s);
  const shared = (s: Score) => routes.every((r) => text(r.scores.find((o) => o.key === s.key)) === text(s));
  const whole = first.filter(shared);
  const keys = new Set(whole.map((s) => s.key));
  return { whole, routes: routes.map((r) => ({ name: r.name, scores: r.scores.filter((s) => !keys.has(s.key)) })).filter((r) => r.scores.length > 0) };
}
