import "./Button.css";
import type { ComponentChildren } from "preact";

interface Props { children: ComponentChildren; onClick: () => void; label?: string; main?: boolean; quiet?: boolean; disabled?: boolean; pressed?: boolean; describedby?: string; id?: string }

/** A button says what it does. `main` is the one that the page is for; there is one at most. */
export function Button(p: Props) {
  return <button type="button" id={p.id} class={p.main ? "main" : p.quiet ? "quiet" : ""} onClick={p.onClick} disabled={p.disabled}
    aria-label={p.label} aria-pressed={p.pressed} aria-describedby={p.describedby}>{p.children}</button>;
}

/** A link that looks like a button: another page, or a file to download. */
export function LinkButton(p: { href: string; children: ComponentChildren; main?: boolean; download?: boolean; blank?: boolean }) {
  return <a class={`button ${p.main ? "main" : ""}`} href={p.href} download={p.download} target={p.blank ? "_blank" : undefined} rel={p.blank ? "noopener" : undefined}>{p.children}</a>;
}
