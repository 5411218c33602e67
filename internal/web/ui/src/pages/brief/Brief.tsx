import { frame } from "../../words/frame";

export default function Brief() { return <h1>{frame.pages.brief}</h1>; }
