// The one catalogue of every text shown: each page and part that has texts of its own has
// its file here.
export { cases } from "./cases";
export { frame } from "./frame";
export { plan } from "./plan";
export { routes } from "./routes";
