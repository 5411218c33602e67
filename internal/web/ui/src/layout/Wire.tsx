import "./Wire.css";
import { address, here, pages } from "../core/router";
import { caseDoc } from "../core/session";
import { frame } from "../words/frame";

/** The way through the job, drawn as what the job is about: a wire with stations. The
 *  present station is filled. */
export function Wire() {
  const { page, id } = here.value;
  const open = id || caseDoc.value?.id || "";
  return (
    <nav class="wire" aria-label={frame.job}>
      <ol>{pages.map((p) => {
        const to = address(p, open);
        const says = frame.pages[p];
        return <li key={p} class={p === page ? "present" : ""}>
          {to ? <a href={to} aria-current={p === page ? "page" : undefined}><span class="stop" aria-hidden="true" />{says}</a>
            : <span class="closed"><span class="stop" aria-hidden="true" />{says}<span class="unseen">, {frame.needsCase}</span></span>}
        </li>;
      })}</ol>
    </nav>
  );
}
