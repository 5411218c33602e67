// The one catalogue of every text shown: each page and part that has texts of its own has
// its file here.
export { cases } from "./cases";
export { frame } from "./frame";
export { plan } from "./plan";
export { routes } from "./routes";
export { briefWords as brief } from "./brief";
export { explainWords as explain, helpWords as help } from "./help";
export { fileWords as file } from "./file";
export { fieldWords as fields, patientWords as patient, totalWords as totals } from "./patient";
export { classWords as classes, gearWords as gear, keyWords as keys } from "./gear";
export { houseWords as house } from "./house";
export { intervalWords as intervals, kidneyWords as kidney, limitWords as limits, rateWords as rates, scoreWords as scores, sourceWords as sources } from "./figures";
export { heart } from "./heart";
export { lumen } from "./lumen";
export { practice } from "./practice";
export { rail } from "./rail";
export { scene } from "./scene";
export { walk } from "./walk";
