// One explanation: what it is called, what it says, how it is worked out, where it is from.
import { explainWords as w } from "../../words/help";
import { Source } from "../source/Source";
import type { Entry } from "./search";

/** Explain shows one entry; its anchor is `group-id`, so that other pages can point at it. */
export function Explain({ entry, group }: { entry: Entry; group: string }) {
  return (
    <article class="explain" id={`${group}-${entry.id}`}>
      <h3 class="explain-title">
        {entry.title} {entry.title.toLowerCase() !== entry.id && <code class="soft">{entry.id}</code>}
      </h3>
      {entry.says && <p>{entry.says}</p>}
      {entry.more.length > 0 && (
        <dl class="figures">
          {entry.more.map(([name, text]) => (
            <div class="figures-row" key={name}>
              <dt>{name}</dt>
              <dd>{name === w.formula ? <code>{text}</code> : text}</dd>
            </div>
          ))}
        </dl>
      )}
      {entry.source && <Source source={entry.source} of={entry.title} />}
    </article>
  );
}
