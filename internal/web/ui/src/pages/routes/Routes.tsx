import { frame } from "../../words/frame";

export default function Routes() { return <h1>{frame.pages.routes}</h1>; }
