export const heart = {
  dark: "No picture: nobody is on the pedal",
  seen: (n: number) => `Schematic heart with ${n} tips; they are listed below`,
  schematic: "A schematic heart, the same for everybody: it has no scale. A ring is a device's tip, a cross a wire's.",
  place: (stretch: string, percent: number) => `${stretch}, ${percent} % along`,
};
