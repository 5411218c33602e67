import { frame } from "../../words/frame";

export default function House() { return <h1>{frame.pages.house}</h1>; }
