// A protocol as it is read: its steps with what is done, who watches what, and the way out.
import { helpWords as w } from "../../words/help";

export interface Step {
  id: string;
  title: string;
  do: string[];
  holds?: string[] | null;
  watch?: string;
  who?: string;
  if_it_fails?: string;
  optional?: boolean;
}

function Line({ name, text }: { name: string; text: string | undefined }) {
  if (!text) return null;
  return (
    <div class="figures-row">
      <dt>{name}</dt>
      <dd>{text}</dd>
    </div>
  );
}

/** Protocol lists the steps in their order. */
export function Protocol({ steps }: { steps: Step[] }) {
  return (
    <ol class="protocol">
      {steps.map((s) => (
        <li key={s.id}>
          <p class="protocol-title">
            {s.title} {s.optional && <span class="soft">({w.optional})</span>}
          </p>
          <dl class="figures">
            <Line name={w.holds} text={(s.holds ?? []).join(", ")} />
            <Line name={w.does} text={s.do.join("; ")} />
            <Line name={w.watch} text={s.watch} />
            <Line name={w.who} text={s.who} />
            <Line name={w.ifFails} text={s.if_it_fails} />
          </dl>
        </li>
      ))}
    </ol>
  );
}
