// A station in the hand: its leg gets longer or shorter by as much as the hand moves.
//
// Laws, tested in drag.test.ts
//   G1  A drag to a place and typing the length that it gives are the same edit.
//   G2  Escape, or a hand that is lost, puts the length back.
//   G3  A length is a whole number of mm, never below 0.
import { withLength } from "./scale";

export interface Leg { name: string; text: string; mm: number }
/** What a drag does to the document: shows a length, keeps it, puts back what was. */
export interface Edits { preview: (leg: string, text: string) => void; keep: (leg: string, text: string) => void; back: (leg: string, text: string) => void }

/** The longest leg that a hand can make, in mm: longer than any vessel of a heart. */
export const MOST = 600;
export const bounded = (mm: number): number => Math.min(MOST, Math.max(0, Math.round(mm)));

export class Drag {
  private at: number;
  constructor(private readonly leg: Leg, private readonly station: number, private readonly edits: Edits) { this.at = bounded(leg.mm); }

  /** Where the station is in the hand, on the axis. */
  get place(): number { return this.station + this.at - this.leg.mm; }
  get moved(): boolean { return this.at !== bounded(this.leg.mm); }

  /** The hand is this far from where it took hold. */
  to(moved: number): void {
    const next = bounded(this.leg.mm + moved);
    if (next === this.at) return;
    this.at = next;
    this.edits.preview(this.leg.name, withLength(this.leg.text, next));
  }
  drop(): void { if (this.moved) this.edits.keep(this.leg.name, withLength(this.leg.text, this.at)); else this.cancel(); }
  cancel(): void { this.edits.back(this.leg.name, this.leg.text); }
}

/** What a key does to a leg, in mm; null where it is no key of ours. */
export function nudge(key: string, shift: boolean): number | null {
  const by = shift ? 5 : 1;
  return key === "ArrowRight" || key === "ArrowUp" ? by : key === "ArrowLeft" || key === "ArrowDown" ? -by : null;
}
