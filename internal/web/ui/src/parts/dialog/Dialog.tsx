import "./Dialog.css";
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

/** A question that must be answered before anything else. Escape is onClose. */
export function Dialog({ title, children, onClose }: { title: string; children: ComponentChildren; onClose: () => void }) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => { if (!box.current?.open) box.current?.showModal(); }, []);
  return (
    <dialog ref={box} aria-labelledby="dialog-title" onCancel={(e) => { e.preventDefault(); onClose(); }}>
      <h2 id="dialog-title">{title}</h2>
      {children}
    </dialog>
  );
}
