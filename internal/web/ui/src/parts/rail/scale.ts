// Where things of the rail lie on the screen, and nothing else: no figure of the rail is
// worked out here.
//
// Laws, tested in scale.test.ts
//   R1  x and mm are each other's inverse.
//   R2  Zooming keeps the place under the hand where it is, and never shows more than all.
//   R3  Labels of one row do not overlap, and each stays on the picture.

/** The stretch of the axis that is shown, in mm, over a width in px. */
export interface View { from: number; to: number }

/** The shortest stretch that can be shown, in mm: nearer, a station's line is thicker than a ruler's. */
export const LEAST = 40;

export const toX = (v: View, width: number, mm: number): number => ((mm - v.from) / (v.to - v.from)) * width;
export const toMM = (v: View, width: number, x: number): number => v.from + (x / width) * (v.to - v.from);

/** A view within all, as long as it was where that is possible. */
export function within(v: View, all: View): View {
  const span = Math.min(Math.max(v.to - v.from, LEAST), Math.max(all.to - all.from, LEAST));
  const middle = (v.from + v.to) / 2;
  const from = Math.max(all.from, Math.min(middle - span / 2, all.to - span));
  return { from, to: from + span };
}

/** The view with its span times a factor; the place `about` stays where it is on the screen. */
export function zoom(v: View, all: View, factor: number, about: number): View {
  const span = Math.min(Math.max((v.to - v.from) * factor, LEAST), Math.max(all.to - all.from, LEAST));
  const share = (about - v.from) / (v.to - v.from);
  const from = about - share * span;
  return within({ from, to: from + span }, all);
}

export const pan = (v: View, all: View, mm: number): View => within({ from: v.from + mm, to: v.to + mm }, all);

/** Places for figures along the axis: steps of 1, 2 or 5 times a power of ten, at least `room` px apart. */
export function ticks(v: View, width: number, room: number): number[] {
  const least = ((v.to - v.from) * room) / width;
  const power = 10 ** Math.floor(Math.log10(least));
  const step = [1, 2, 5, 10].map((n) => n * power).find((s) => s >= least - 1e-9) ?? 10 * power;
  const list: number[] = [];
  for (let i = Math.ceil(v.from / step - 1e-9); i * step <= v.to + 1e-9; i++) list.push(i * step || 0);
  return list;
}

/** Where a text of a width sits that would be centred at x, kept on the picture. */
export const middle = (x: number, wide: number, width: number): number =>
  wide >= width ? width / 2 : Math.max(wide / 2, Math.min(x, width - wide / 2));

/** The row of each label, from the left, so that none meets another of its row. */
export function rows(labels: { x: number; wide: number }[], width: number, gap = 8): number[] {
  const ends: number[] = [];
  const order = labels.map((l, i) => ({ i, at: middle(l.x, l.wide, width), wide: l.wide })).sort((a, b) => a.at - b.at || a.i - b.i);
  const row = new Array<number>(labels.length).fill(0);
  for (const l of order) {
    const left = l.at - l.wide / 2;
    let r = ends.findIndex((e) => e + gap <= left);
    if (r < 0) r = ends.length;
    ends[r] = l.at + l.wide / 2;
    row[l.i] = r;
  }
  return row;
}

/** A length as it stands in a leg, with another number: its deviation and its unit stay. */
export function withLength(text: string, mm: number): string {
  const m = /^\s*[\d.]+\s*(mm|cm)\s*((?:±|\+\/?-)\s*.+)?$/.exec(text);
  if (!m) return `${mm} mm`;
  const number = m[1] === "cm" ? String(Math.round(mm) / 10) : String(mm);
  return `${number} ${m[1]}${m[2] ? " " + m[2].trim() : ""}`;
}

/** How wide a text of this many letters is, about, at 13 px, in px. */
export const wide = (...lines: string[]): number => Math.max(...lines.map((l) => l.length)) * 7.8 + 6;
