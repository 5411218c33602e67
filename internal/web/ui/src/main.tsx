import "./style.css";
import { render } from "preact";
import { bind, listen } from "./core/keys";
import { begin as beginNames } from "./core/names";
import { begin as beginPlan } from "./core/plan";
import { follow } from "./core/router";
import { begin as beginSession, caseDoc, shelfDoc, houseDoc } from "./core/session";
import { here } from "./core/router";
import { apply } from "./core/theme";
import { App } from "./layout/App";
import { frame } from "./words/frame";

/** The document that a page edits: what Undo undoes. */
const edited = () => (here.peek().page === "gear" ? shelfDoc : here.peek().page === "house" ? houseDoc : caseDoc).peek();

apply();
follow();
listen();
beginSession();
beginPlan();
beginNames();
bind({ keys: "Ctrl+Z", says: frame.undo, run: () => void edited()?.undo() });
bind({ keys: "Ctrl+Shift+Z Ctrl+Y", says: frame.redo, run: () => void edited()?.redo() });
render(<App />, document.getElementById("app") as HTMLElement);
