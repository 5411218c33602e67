// What the program answers to the values as they stand: asked again at every change, the
// latest wins, and what was answered last stays until there is something new.
import { useEffect, useState } from "preact/hooks";
import { Away, post, Refusal } from "../../core/api";
import type { Fault } from "../../core/types";

export interface Answer<T> {
  value: T | null; // the last one
  stale: boolean; // it is not of the values as they stand
  faults: Fault[]; // why there is no newer one
  says: string; // the same in words, where no value is at fault
}

const wait = 50; // ms: a burst of changes is one request

/** useAnswer posts a body whenever it differs; null asks nothing. */
export function useAnswer<T>(path: string, body: unknown): Answer<T> {
  const key = body === null ? "" : JSON.stringify(body);
  const [answer, put] = useState<Answer<T>>({ value: null, stale: true, faults: [], says: "" });
  useEffect(() => {
    if (!key) return;
    const stop = new AbortController();
    put((a) => ({ ...a, stale: true }));
    const timer = setTimeout(() => {
      post<T & { faults?: Fault[] | null }>(path, JSON.parse(key), stop.signal).then(
        (value) => {
          const faults = (typeof value === "object" && value.faults) || [];
          put((a) => (faults.length > 0 ? { ...a, stale: true, faults, says: "" } : { value, stale: false, faults: [], says: "" }));
        },
        (e) => {
          if (stop.signal.aborted) return;
          const says = e instanceof Refusal ? [e.message, e.hint].filter(Boolean).join("; ") : e instanceof Away ? e.message : String(e);
          put((a) => ({ ...a, stale: true, faults: e instanceof Refusal ? e.faults : [], says }));
        },
      );
    }, wait);
    return () => { clearTimeout(timer); stop.abort(); };
  }, [path, key]);
  return answer;
}
