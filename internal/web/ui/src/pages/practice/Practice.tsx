import { frame } from "../../words/frame";

export default function Practice() { return <h1>{frame.pages.practice}</h1>; }
