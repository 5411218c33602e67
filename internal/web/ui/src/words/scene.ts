export const scene = {
  title: "The rail at this step, to scale", says: "The rail at this step, donor side on the left; the same in words stands below.",
  part: "Coronary part", whole: "From valve to valve", words: "The same in words", heads: ["What", "Tip, from the donor valve", "Shows outside", "Rides on", "State"],
  rod: "no end to read", outside: "outside", nearest: (room: string) => `a rule is nearest here: ${room} of room`,
  stations: { donor_valve: "donor valve", donor_tip: "donor tip", channel_entry: "way in", channel_exit: "way out", distal_cap: "distal cap", proximal_cap: "proximal cap", recipient_ostium: "ostium", antegrade_tip: "antegrade tip", antegrade_hub: "antegrade hub", antegrade_valve: "antegrade valve" } as Record<string, string>,
};
