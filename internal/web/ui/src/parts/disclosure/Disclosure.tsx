import "./Disclosure.css";
import type { ComponentChildren } from "preact";

/** More of it, for whoever asks: sources, formulas, the long form. */
export function Disclosure({ title, children, open }: { title: ComponentChildren; children: ComponentChildren; open?: boolean }) {
  return <details open={open}><summary>{title}</summary><div class="more">{children}</div></details>;
}
