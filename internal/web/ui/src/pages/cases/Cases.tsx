import { frame } from "../../words/frame";

export default function Cases() { return <h1>{frame.pages.cases}</h1>; }
