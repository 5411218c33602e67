import { frame } from "../../words/frame";

export default function Gear() { return <h1>{frame.pages.gear}</h1>; }
