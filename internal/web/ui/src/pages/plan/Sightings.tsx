import { useSignal } from "@preact/signals";
import { plain, role } from "../../core/names";
import { typed } from "../../core/number";
import { eventFaults } from "../../core/plan";
import { events, setEvents } from "../../core/session";
import { Button } from "../../parts/button/Button";
import { Entry, Select, withUnit } from "../../parts/field/Field";
import { plan as w } from "../../words/plan";

const devices = ["retro_microcatheter", "crossing_wire", "antegrade_microcatheter"];
const stations = ["donor_tip", "channel_entry", "channel_exit", "distal_cap", "proximal_cap", "recipient_ostium", "antegrade_tip"];
const options = (list: string[], name: (k: string) => string) => list.map((value) => ({ value, says: name(value) }));

/** What was read at the table: marks after it are the sharper ones. */
export function Sightings() {
  const device = useSignal(devices[0] as string), at = useSignal("distal_cap"), shows = useSignal("");
  const guide = useSignal("donor_guide"), way = useSignal("out"), by = useSignal("");
  const enter = (text: string) => setEvents([...events.value, text]);
  return <>
    <h2>{w.sightings}</h2>
    <p>{w.sightingsSays}</p>
    {events.value.length === 0 ? <p class="soft">{w.noneYet}</p> : <ol class="events">{events.value.map((e, i) => {
      const fault = eventFaults.value.find((f) => f.in === `events/${i}`);
      return <li key={i}>{e} <Button quiet label={`${w.takeBack}: ${e}`} onClick={() => setEvents(events.value.filter((_, j) => j !== i))}>{w.takeBack}</Button>{fault && <span class="fault">{fault.says}</span>}</li>;
    })}</ol>}
    <div class="fields entry">
      <Select label={w.sightingRole} value={device.value} options={options(devices, role)} onChange={(v) => { device.value = v; }} />
      <Select label={w.sightingAt} value={at.value} options={options(stations, plain)} onChange={(v) => { at.value = v; }} />
      <Entry label={`${w.sightingShows}, mm`} value={shows.value} example="143 mm" onInput={(v) => { shows.value = v; }} />
      <div class="field"><Button disabled={!shows.value.trim()} onClick={() => { enter(`${device.value} at ${at.value} shows ${withUnit(typed(shows.value), "mm")}`); shows.value = ""; }}>{w.enter}</Button></div>
    </div>
    <div class="fields entry">
      <Select label={w.moved} value={guide.value} options={options(["donor_guide", "antegrade_guide"], role)} onChange={(v) => { guide.value = v; }} />
      <Select label={w.way} value={way.value} options={[{ value: "out", says: w.out }, { value: "in", says: w.in }]} onChange={(v) => { way.value = v; }} />
      <Entry label={`${w.by}, mm`} value={by.value} example="10 mm" onInput={(v) => { by.value = v; }} />
      <div class="field"><Button disabled={!by.value.trim()} onClick={() => { enter(`moved ${guide.value} ${way.value} ${withUnit(typed(by.value), "mm")}`); by.value = ""; }}>{w.enterMove}</Button></div>
    </div>
  </>;
}
