// Words of the editor of plain files.
export const fileWords = {
  unsaved: "What is typed above must be saved first; then the file can be changed here.",
  save: "Check and save this text",
  back: "Back to what is saved",
  download: "Download the file",
  saved: (version: number) => `The file is saved as version ${version}.`,
  conflict: "Somebody saved since. Copy what you wrote, go back to what is saved, and put it in again.",
  fromFile: "Or take one from a file (YAML)",
  at: (line: number, col: number) => (line > 0 ? `Line ${line}, character ${col}:` : ""),
};
