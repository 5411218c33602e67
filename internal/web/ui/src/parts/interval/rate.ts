// How rates are written: as many figures as the studies carry.

/** rate writes a rate in 1,000: one decimal below 10, whole numbers above. */
export function rate(per1000: number): string {
  return per1000 < 9.95 ? trim(per1000.toFixed(1)) : String(Math.round(per1000));
}

/** percent writes a share, 0 to 1: a decimal below 10 %. */
export function percent(share: number): string {
  const p = 100 * share;
  return (p < 9.95 ? trim(p.toFixed(1)) : trim(p.toFixed(1))) + " %";
}

function trim(text: string): string {
  return text.replace(/\.0$/, "");
}
