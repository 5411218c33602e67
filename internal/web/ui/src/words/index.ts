// The one catalogue of every text shown.
export { frame } from "./frame";
