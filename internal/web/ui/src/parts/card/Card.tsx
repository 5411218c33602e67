// The brief card as a drawing: the SVG that the program makes of the same drawing calls as
// the PDF, put into the page as a drawing and never as markup.
import "./Card.css";
import { useEffect, useRef } from "preact/hooks";

/** The card's letters, as the PDF has them; asked for when the first card is shown. */
let lettered = false;
function letters(): void {
  if (lettered) return;
  lettered = true;
  for (const [file, weight] of [["go-regular", "normal"], ["go-bold", "bold"]] as const) {
    const face = new FontFace("Go", `url(/fonts/${file}.ttf)`, { weight });
    document.fonts.add(face);
    face.load().catch(() => {}); // the lengths of all texts are given: another letter fits as well
  }
}

/** parsed reads an SVG page; null where it is none. */
export function parsed(svg: string): Element | null {
  const page = new DOMParser().parseFromString(svg, "image/svg+xml");
  const root = page.documentElement;
  return root.localName === "svg" && !page.querySelector("parsererror, script, foreignObject") ? root : null;
}

/** Card shows a card; nothing where the text is no drawing. */
export function Card({ svg, label }: { svg: string; label: string }) {
  const sheet = useRef<HTMLDivElement>(null);
  useEffect(letters, []);
  useEffect(() => {
    const drawing = svg ? parsed(svg) : null;
    sheet.current?.replaceChildren(...(drawing ? [document.importNode(drawing, true)] : []));
  }, [svg]);
  return <div class="card-frame" role="region" aria-label={label} tabIndex={0}><div class="card-sheet" ref={sheet} /></div>;
}
