// A rate in 1,000 with its interval, as a line with a knot; the figures stand beside it in words.
import "./Interval.css";
import { intervalWords as w } from "../../words/figures";
import { rate } from "./rate";

const width = 160;

/** where puts a rate in 1,000 on the line: by its square root, so that rare events keep apart. */
export function where(per1000: number): number {
  return width * Math.sqrt(Math.min(Math.max(per1000, 0), 1000) / 1000);
}

/** Interval draws low to high with a knot at the value. */
export function Interval({ value, low, high }: { value: number; low: number; high: number }) {
  const [a, b, v] = [where(low), where(high), where(value)];
  return (
    <svg class="interval" viewBox={`-6 0 ${width + 12} 16`} preserveAspectRatio="xMinYMid meet" role="img" aria-label={w.label(rate(value), rate(low), rate(high))}>
      <line class="interval-scale" x1={0} x2={width} y1={8} y2={8} />
      <line class="interval-reach" x1={a} x2={b} y1={8} y2={8} />
      <path class="interval-end" d={`M${a} 3v10M${b} 3v10`} />
      <circle class="interval-value" cx={v} cy={8} r={3.2} />
    </svg>
  );
}
