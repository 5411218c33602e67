// Figures as people read and write them.

/** Between a figure and its unit no line may break. */
const blank = "\u00a0";

/** A figure with a number of decimals and its unit; unknown in words. */
export function figure(v: number | null | undefined, unit: string, decimals = 0): string {
  if (v === null || v === undefined || !Number.isFinite(v)) return "unknown";
  const text = (Object.is(Number(v.toFixed(decimals)), -0) ? 0 : v).toFixed(decimals);
  return (text.startsWith("-") ? "−" + text.slice(1) : text) + (unit ? blank + unit : "");
}

/** Millimetres; signed where it is a margin. */
export const mm = (v: number | null | undefined, decimals = 0): string => figure(v, "mm", decimals);
export function signedMM(v: number | null | undefined): string {
  const text = mm(v);
  return v !== null && v !== undefined && v >= 0.5 ? "+" + text : text;
}
/** A length outside a valve, as it is read on a shaft: centimetres with one decimal. */
export const cm = (v: number | null | undefined): string => figure(v === null || v === undefined ? v : v / 10, "cm", 1);

/** A probability of 0 to 1: never rounded to certainty. */
export function chance(p: number | null | undefined): string {
  if (p === null || p === undefined) return "unknown";
  if (p > 0.995 && p < 1 - 1e-12) return `more than 99${blank}%`;
  if (p < 0.005 && p > 1e-12) return `less than 1${blank}%`;
  return `${Math.round(100 * p)}${blank}%`;
}

/** What was typed, as a file has it: a decimal comma becomes a point. A comma before three
 *  digits may be either: it is left for the program to ask about. */
export function typed(text: string): string {
  return text.trim().replace(/(\d),(\d{1,2}|\d{4,})(?!\d)/g, "$1.$2").replace(/\+\/?-/g, "±").replace(/\s+/g, " ");
}

/** A day and time for people, in their own way of writing. */
export function when(iso: string): string {
  const d = new Date(iso);
  return Number.isNaN(d.getTime()) ? "unknown" : d.toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
}
