// Which fault belongs beside which field.
import type { Fault } from "../../core/types";
import { join } from "../../core/tree";

const place = (f: Fault): string => (f.missing ? f.path + join(f.missing) : f.path);

/** The first fault of a value: of its place, of its length where it is a group, of what it lacks. */
export function faultAt(faults: Fault[], path: string): Fault | undefined {
  return faults.find((f) => place(f) === path || place(f) === path + "/length");
}

/** Faults that no field of the page shows: under a place, but for those that are taken. */
export function faultsUnder(faults: Fault[], path: string, taken: string[] = []): Fault[] {
  return faults.filter((f) => (place(f) === path || place(f).startsWith(path + "/")) && !taken.includes(place(f)));
}
