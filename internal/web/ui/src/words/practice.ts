export const practice = {
  lead: "Make the mistakes here. The gear can be moved freely; what breaks a rule is named when it happens. Nothing is scored.",
  what: "What to practise", own: (c: string) => `The plan of the case ${c}`, mode: "How it is seen", open: "with the rail in sight", lab: "as in a laboratory: shafts, pressures, pictures only on the pedal",
  begin: "Begin", again: "Begin again", undo: "Take the last step back", unknownGear: "What to do now", of: "With", room: "the room",
  acts: {
    push: "Push by", pull: "Pull by", "push-until": "Push until it shows", "pull-until": "Pull until it shows", "push-to": "Push to", "pull-to": "Pull to", insert: "Insert", "take-out": "Take out", "draw-out": "Draw out",
    inflate: "Inflate", deflate: "Deflate", clip: "Clip", unclip: "Take the clip off", hold: "Hold", release: "Let go", capture: "Capture", cut: "Cut", feed: "Feed", extend: "Extend", expand: "Expand",
    "guide-in": "Push the guide in by", "guide-out": "Pull the guide out by", seat: "Seat", "stand-off": "Stand off", ease: "Ease", inject: "Inject", check: "Check", dilate: "Dilate", dissect: "Dissect", open: "Open", wait: "Wait", call: "Call", watch: "Who watches", tick: "Tick", minutes: "Minutes pass", pedal: "Step on the pedal",
  } as Record<string, string>,
  over: "over or through", alone: "nothing", doIt: "Do it", least: (a: string, b: string) => `${a} to ${b}`, name: "Name",
  pedal: "Hold for a picture", pedalHint: "Hold the button, or the key P; pictures come only while it is held, and the seconds are counted.",
  happened: "What happened", first: "Nothing yet. Insert the first device.", refused: "It could not be done", harm: "It would", wayOut: "Way out", broke: "Breaks a rule",
  shafts: "Shafts at the valves", shaftHeads: ["What", "Shows outside", "Rides on", "State"], rod: "no end to read", holds: "What lies in what", holdsIn: (tube: string, roles: string) => `${tube}: ${roles}`, damped: (g: string) => `The pressure curve of the ${g} is damped.`,
  clock: (m: number, p: number) => `${m} min gone by, ${p} s on the pedal`, lumens: "What lies in the lumens, to scale",
  reveal: "Show what really happened", hide: "Back to what a laboratory sees", compare: "Compare with the planned order", compareHeads: ["Step", "As planned", "As done"],
  broken: "Rules that were broken", brokenHeads: ["Rule", "Severity", "How often"], nothingBroken: "No rule was broken so far.", teaches: "What it is about", invented: "Invented figures", inventedSays: "These figures of the exercise are invented; they are no measurement of any guide or wire.",
  log: "The log", save: "Keep the log as a file", keep: "Keep it in the archive", kept: (t: string) => `Kept as ${t}.`, title: "Its title", titleOf: (t: string, d: string) => `${t}, ${d}`, load: "Take in a log", said: (n: number) => `${n} lines`, from: "Kept practices", goOn: "Go on with it",
  scenarioOf: (t: string) => `Scenario: ${t}`, minutes: "min", seconds: "s", faults: "These lines of the log can't be read",
};
