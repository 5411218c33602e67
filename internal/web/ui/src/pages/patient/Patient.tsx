import { frame } from "../../words/frame";

export default function Patient() { return <h1>{frame.pages.patient}</h1>; }
