import { useEffect, useRef } from "preact/hooks";
import { practice as w } from "../../words/practice";
import { letGo, press } from "./state";

/** The pedal: pictures come while it is held down, by hand, by finger or by the key P. */
export function Pedal() {
  const since = useRef(0);
  const down = () => { if (since.current) return; since.current = performance.now(); void press(); };
  const up = () => { if (!since.current) return; const s = (performance.now() - since.current) / 1000; since.current = 0; void letGo(s); };
  useEffect(() => {
    const writes = (e: Event) => (e.target as Element | null)?.matches?.("input, textarea, select");
    const keyDown = (e: KeyboardEvent) => { if (e.key.toLowerCase() === "p" && !e.ctrlKey && !e.metaKey && !e.altKey && !writes(e)) { e.preventDefault(); down(); } };
    const keyUp = (e: KeyboardEvent) => { if (e.key.toLowerCase() === "p") up(); };
    addEventListener("keydown", keyDown);
    addEventListener("keyup", keyUp);
    addEventListener("blur", up);
    return () => { removeEventListener("keydown", keyDown); removeEventListener("keyup", keyUp); removeEventListener("blur", up); };
  }, []);
  const held = (e: KeyboardEvent) => e.key === " " || e.key === "Enter";
  return <p class="pedal"><button type="button" onPointerDown={(e) => { e.currentTarget.setPointerCapture(e.pointerId); down(); }} onPointerUp={up} onPointerCancel={up}
    onKeyDown={(e) => { if (held(e)) { e.preventDefault(); down(); } }} onKeyUp={(e) => { if (held(e)) up(); }} onContextMenu={(e) => e.preventDefault()} aria-describedby="pedal-hint">{w.pedal}</button>
    <span class="hint" id="pedal-hint">{w.pedalHint}</span></p>;
}
