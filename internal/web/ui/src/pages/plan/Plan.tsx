import { frame } from "../../words/frame";

export default function Plan() { return <h1>{frame.pages.plan}</h1>; }
