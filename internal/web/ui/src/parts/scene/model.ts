// Where things are on the rail while a movement is under way.
import type { Place, Scene, Thing } from "../../core/walk";

export interface View { from: number; to: number }

const place = (stations: Place[], key: string): number | undefined => stations.find((s) => s.key === key)?.mm;

/** From a little before the donor guide's tip to a little beyond the antegrade one. */
export function coronary(stations: Place[]): View {
  const list = ["donor_tip", "channel_entry", "distal_cap", "recipient_ostium", "antegrade_tip"].map((k) => place(stations, k)).filter((v): v is number => v !== undefined);
  return { from: Math.min(...list) - 60, to: Math.max(...list) + 60 };
}
/** From valve to valve, with what shows outside them. */
export function whole(stations: Place[], scene: Scene | null): View {
  const ends = (scene?.things ?? []).flatMap((t) => [t.tail_mm, t.tip_mm]);
  return { from: Math.min(-100, ...ends) - 20, to: Math.max((place(stations, "antegrade_valve") ?? 2000) + 100, ...ends) + 20 };
}

/** What is seen a share of 0 to 1 into a movement: what is there before and after goes
 *  evenly; what comes or goes is seen while it moves. */
export function between(before: Scene | null, after: Scene | null, share: number): Thing[] {
  if (!after) return before?.things ?? [];
  if (!before || share >= 1) return after.things;
  const was = new Map(before.things.map((t) => [t.role, t]));
  return after.things.map((t) => {
    const b = was.get(t.role);
    if (!b || b.item !== t.item) return t;
    return { ...t, tip_mm: b.tip_mm + (t.tip_mm - b.tip_mm) * share, tail_mm: b.tail_mm + (t.tail_mm - b.tail_mm) * share };
  });
}

/** Whether a movement is to be seen in a view; one that moves nothing is. */
export function movesIn(view: View, before: Scene | null, after: Scene): boolean {
  const was = new Map((before?.things ?? []).map((t) => [t.role, t.tip_mm]));
  const moved = before ? after.things.filter((t) => t.tip_mm !== was.get(t.role)) : [];
  return moved.length === 0 || moved.some((t) => { const b = was.get(t.role) ?? t.tip_mm; return Math.max(b, t.tip_mm) >= view.from && Math.min(b, t.tip_mm) <= view.to; });
}
