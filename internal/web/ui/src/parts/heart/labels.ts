// Where the numbers of tips stand: beside their tip, inside the picture, none upon another.
export interface Tip { x: number; y: number }
export interface Label { x: number; y: number; end: boolean }

const box = 1000, near = 40, wide = 44, line = 36;

/** The place of each tip's number, in the picture's own units; `end` is for one that stands
 *  left of its tip. Tips closer than a number is wide share a column, one line for each. */
export function labels(tips: Tip[]): Label[] {
  const lines = new Map<number, number>();
  return tips.map((t, i) => {
    const first = tips.findIndex((o) => Math.abs(o.x - t.x) < near && Math.abs(o.y - t.y) < near);
    const at = tips[first === -1 ? i : first] ?? t;
    const n = lines.get(first) ?? 0;
    lines.set(first, n + 1);
    const end = at.x > box - 2 * wide, down = at.y < box / 2;
    const y = down ? Math.max(at.y + 12, line) + n * line : Math.min(at.y + 12, box - 8) - n * line;
    return { x: end ? at.x - 26 : at.x + 26, y, end };
  });
}
