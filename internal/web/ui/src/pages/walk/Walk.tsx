import { frame } from "../../words/frame";

export default function Walk() { return <h1>{frame.pages.walk}</h1>; }
