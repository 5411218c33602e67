import { frame } from "../../words/frame";

export default function Help() { return <h1>{frame.pages.help}</h1>; }
