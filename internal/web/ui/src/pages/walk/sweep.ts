// The share of a movement that has been shown: from 0 to 1 in SWEEP ms, at the rate of the
// screen; at once where the reader wants no motion.
import { useLayoutEffect, useState } from "preact/hooks";

export const SWEEP = 900;

export function useSweep(key: string, moves: boolean): { share: number; again: () => void } {
  const [share, setShare] = useState(1);
  const [round, setRound] = useState(0);
  useLayoutEffect(() => {
    if (!moves || matchMedia("(prefers-reduced-motion: reduce)").matches) { setShare(1); return; }
    setShare(0); // before the first picture: the end must not flash up
    const began = performance.now();
    let frame = requestAnimationFrame(function draw(now) {
      const s = Math.min(1, Math.max(0, (now - began) / SWEEP));
      setShare(s);
      if (s < 1) frame = requestAnimationFrame(draw);
    });
    return () => cancelAnimationFrame(frame);
  }, [key, round, moves]);
  return { share, again: () => setRound((r) => r + 1) };
}
