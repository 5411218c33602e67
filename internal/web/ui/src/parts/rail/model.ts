// What the drawing needs of /api/plan's picture, and how it is laid out from top to bottom.
import { cm, mm } from "../../core/number";
import { rail as w } from "../../words/rail";
import { middle, rows, toX, wide, within, type View } from "./scale";

export interface Station { key: string; name: string; mm: number; sd_mm: number; leg: string }
export interface Device { role: string; item: string; label: string; from_mm: number; tip_mm: number; donor_side: boolean; outside_mm: number }
type Stretch = [number, number];
export interface Picture {
  stations: Station[]; channel_mm: Stretch; occlusion_mm: Stretch; donor_guide_mm: Stretch; antegrade_guide_mm: Stretch; extension_mm: Stretch | null;
  window_mm: Stretch | null; set_mm: number | null; devices: Device[]; valves_mm: { donor: number; antegrade: number };
}

export const nameOf = (s: { key: string; name: string }): string => w.stations[s.key] ?? s.name;

/** Everything: from what shows outside the donor valve to what shows outside the other one. */
export function whole(p: Picture): View {
  const before = Math.max(0, ...p.devices.filter((d) => d.donor_side).map((d) => d.outside_mm));
  const after = Math.max(0, ...p.devices.filter((d) => !d.donor_side).map((d) => d.outside_mm));
  return { from: p.valves_mm.donor - before - 80, to: p.valves_mm.antegrade + after + 80 };
}

/** From one guide's tip to the other's, rounded outward to 10 mm so that it stands still while a leg is nudged. */
export function coronary(p: Picture): View {
  const places = p.stations.map((s) => s.mm);
  const lo = Math.min(...places), hi = Math.max(...places);
  const room = Math.max(15, (hi - lo) * 0.07);
  return within({ from: Math.floor((lo - room) / 10) * 10, to: Math.ceil((hi + room) / 10) * 10 }, whole(p));
}

export interface Label { station: Station; x: number; at: number; row: number; lines: [string, string] }

const labelHeight = 36, gripHeight = 48, laneHeight = 40, bracketHeight = 30, vesselHeight = 56, softHeight = 20, axisHeight = 30;

/** The heights of the rows of the picture, in px. */
export interface Layout {
  width: number; height: number; x: (mm: number) => number; view: View;
  labels: Label[]; grips: { label: Label; y: number }[]; soft: { station: Station; row: number }[];
  donor: Device[]; antegrade: Device[]; donorTop: number; bracket: number; vessel: number; antegradeTop: number; softTop: number; axis: number;
}
export const heights = { label: labelHeight, grip: gripHeight, lane: laneHeight, bracket: bracketHeight, vessel: vesselHeight, soft: softHeight, axis: axisHeight };

export function layout(p: Picture, view: View, width: number): Layout {
  const x = (at: number) => toX(view, width, at);
  const seen = p.stations.filter((s) => s.mm >= view.from && s.mm <= view.to);
  const labels = labelled(seen, x, width);
  const gripped = labels.filter((l) => l.station.leg !== "");
  const gripRows = rows(gripped.map((l) => ({ x: l.x, wide: gripHeight })), width, 0);
  const top = labelHeight * (1 + Math.max(-1, ...labels.map((l) => l.row))) + 4;
  const donor = p.devices.filter((d) => d.donor_side), antegrade = p.devices.filter((d) => !d.donor_side);
  const donorTop = top + gripHeight * (1 + Math.max(-1, ...gripRows));
  const bracket = donorTop + laneHeight * donor.length;
  const vessel = bracket + bracketHeight + 10;
  const antegradeTop = vessel + vesselHeight;
  const softTop = antegradeTop + laneHeight * antegrade.length + 6;
  const unsure = seen.filter((s) => s.sd_mm > 0);
  const softRows = rows(unsure.map((s) => ({ x: x(s.mm), wide: Math.max(8, x(s.mm + 2 * s.sd_mm) - x(s.mm - 2 * s.sd_mm)) })), width * 9, 4);
  const axis = softTop + softHeight * (1 + Math.max(-1, ...softRows)) + 4;
  return { width, height: axis + axisHeight, x, view, labels, grips: gripped.map((label, i) => ({ label, y: top + gripHeight * ((gripRows[i] as number) + 0.5) })),
    soft: unsure.map((station, i) => ({ station, row: softRows[i] as number })), donor, antegrade, donorTop, bracket, vessel, antegradeTop, softTop, axis };
}

function labelled(seen: Station[], x: (mm: number) => number, width: number): Label[] {
  const list = seen.map((station) => {
    const lines: [string, string] = [nameOf(station), mm(station.mm) + (station.sd_mm > 0 ? ` ± ${station.sd_mm.toFixed(0)}` : "")];
    return { station, x: x(station.mm), lines, wide: wide(...lines) };
  });
  const row = rows(list, width);
  return list.map((l, i) => ({ station: l.station, x: l.x, lines: l.lines, at: middle(l.x, l.wide, width), row: row[i] as number }));
}

/** What is written on a shaft: short where the picture is narrow. */
export function shaftText(d: Device, width: number): string {
  const long = `${d.label}: ${w.outside(cm(d.outside_mm), d.donor_side ? "donor" : "antegrade")}`;
  return wide(long) <= width ? long : wide(`${d.label}: ${cm(d.outside_mm)}`) <= width ? `${d.label}: ${cm(d.outside_mm)}` : d.item;
}
