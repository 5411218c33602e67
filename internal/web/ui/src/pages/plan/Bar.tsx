/** A margin to scale: a line for nought, a bar to the mean, a whisker of one deviation to
 *  either side. A margin below nought hangs to the left, hatched by its outline only. */
export function Bar({ mean, sd, most }: { mean: number | null; sd: number | null; most: number }) {
  if (mean === null) return null;
  const half = 90, x = (v: number) => half + (Math.max(-most, Math.min(most, v)) / most) * half;
  const from = x(Math.min(0, mean)), to = x(Math.max(0, mean));
  return (
    <svg class="bar" viewBox="0 0 180 20" width="180" height="20" aria-hidden="true">
      <line x1={half} y1="1" x2={half} y2="19" class="nought" />
      <rect x={from} y="6" width={Math.max(1, to - from)} height="8" class={mean < 0 ? "below" : "above"} />
      {sd !== null && <path d={`M${x(mean - sd)} 10 H${x(mean + sd)} M${x(mean - sd)} 6 v8 M${x(mean + sd)} 6 v8`} class="whisker" />}
    </svg>
  );
}
