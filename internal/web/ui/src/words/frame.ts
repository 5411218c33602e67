// The texts of the frame. Each page has its own file beside this one; words/index.ts is the
// whole catalogue, for whoever translates it.
import type { PageName } from "../core/router";

export const frame = {
  name: "Backroad",
  skip: "Skip to the page",
  job: "The job, station by station",
  pages: {
    cases: "Cases", patient: "Patient and occlusion", routes: "Routes", gear: "Gear", plan: "Plan", brief: "Brief",
    walk: "Walk through", practice: "Practice", house: "House rules", help: "Help",
  } satisfies Record<PageName, string>,
  needsCase: "open a case first",
  theme: "Dark or light", themes: { system: "as the system", dark: "dark", light: "light" },
  undo: "Undo", redo: "Redo",
  noAnswer: "The program does not answer. Nothing is lost: what you type is kept on this page and saved when it is back.",
  verdicts: { works: "works", tight: "tight", fails: "fails", unknown: "unknown" },
  verdictSays: {
    works: "works", tight: "tight: some margin is thin", fails: "fails", unknown: "unknown: something is missing",
  },
  case: "Case", joint: "all margins hold", park: "Park at", shows: "shows", noPark: "no parking mark",
  lastValid: "of the last valid values", working: "working it out",
  noShelf: "No shelf yet: a plan needs one.", addShelf: "Go to Gear",
  noPlan: "no plan yet",
  state: {
    saved: (v: number) => `Saved, version ${v}`,
    waiting: "Not saved yet", saving: "Saving…",
    away: "Not saved: the program does not answer, trying again",
    faults: (n: number) => `Not saved: ${n === 1 ? "1 field needs" : `${n} fields need`} attention`,
    refused: (says: string, hint: string) => `Not saved: ${[says, hint].filter(Boolean).join("; ")}`,
    conflict: "Not saved: somebody saved since", look: "Not saved: a text needs a second look",
  },
  conflict: {
    title: "Somebody saved this since you began",
    says: (what: string, v: number, when: string) => `${what} has a version ${v}, saved ${when}. Nothing of yours was lost and nothing of theirs was overwritten. These values differ:`,
    place: "Place", was: "Both began from", theirs: "Theirs", yours: "Yours", none: "nothing", asWas: "(as it was)",
    merge: "Put my changes on theirs", take: "Take theirs, give mine up", top: "Save mine on top", topSays: "Theirs stays in the history.",
    noDifference: "No value differs.",
  },
  look: {
    title: "This looks like something that names a patient",
    says: "The workbench keeps case codes only. Look again before this is stored:",
    store: "It is none of these: store it", change: "Change it",
  },
  close: "Close", cancel: "Cancel",
  notSaid: "not said", unknown: "unknown", yes: "yes", no: "no",
  loading: "One moment…", retry: "Try again",
  lost: (says: string) => `This can't be opened: ${says}.`,
  backToCases: "Back to the cases",
  footer: "On this machine only. Nothing is sent anywhere.",
};
