import { signal } from "@preact/signals";
import type { ComponentType } from "preact";
import { useEffect } from "preact/hooks";
import { here, type PageName } from "../core/router";
import { explaining } from "../core/plan";
import { about, caseDoc, trouble } from "../core/session";
import { setTheme, theme, type Theme } from "../core/theme";
import { Select } from "../parts/field/Field";
import { Say } from "../parts/say/Say";
import { frame } from "../words/frame";
import { Band, Gone } from "./Band";
import { Questions } from "./Questions";
import { Wire } from "./Wire";

/** Each page is loaded when it is first asked for. */
const loaders: Record<PageName, () => Promise<{ default: ComponentType }>> = {
  cases: () => import("../pages/cases/Cases"), patient: () => import("../pages/patient/Patient"), routes: () => import("../pages/routes/Routes"),
  gear: () => import("../pages/gear/Gear"), plan: () => import("../pages/plan/Plan"), brief: () => import("../pages/brief/Brief"),
  walk: () => import("../pages/walk/Walk"), practice: () => import("../pages/practice/Practice"), house: () => import("../pages/house/House"), help: () => import("../pages/help/Help"),
};
const loaded = signal<Partial<Record<PageName, ComponentType>>>({});
const failed = signal("");

function load(page: PageName): void {
  if (loaded.peek()[page]) return;
  failed.value = "";
  loaders[page]().then((m) => { loaded.value = { ...loaded.value, [page]: m.default }; }, () => { failed.value = frame.noAnswer; });
}

export function App() {
  const { page, id } = here.value;
  load(page);
  const Page = loaded.value[page];
  useEffect(() => { document.title = `${frame.pages[page]}${caseDoc.value ? `, ${caseDoc.value.head.value.title}` : ""} · ${frame.name}`; }, [page, caseDoc.value]);
  useEffect(() => { if (document.activeElement === document.body) document.getElementById("main")?.focus({ preventScroll: true }); }, [page]);
  const waits = id !== "" && caseDoc.value?.id !== id;
  return <>
    <a class="skip" href="#main">{frame.skip}</a>
    <header><Wire /><Gone />{page !== "cases" && <Band />}</header>
    <main id="main" tabIndex={-1} aria-busy={explaining.value || undefined}>
      {failed.value || trouble.value ? <><h1>{frame.pages[page]}</h1><p role="alert">{failed.value || frame.lost(trouble.value)}</p><p><a href="/">{frame.backToCases}</a></p></>
        : Page && !waits ? <Page /> : <><h1>{frame.pages[page]}</h1><p class="soft">{frame.loading}</p></>}
    </main>
    <footer class="page">
      <p><b>{about.value?.notice}</b></p>
      <p>{frame.footer} {about.value?.version}</p>
      <Select label={frame.theme} value={theme.value} options={(["system", "dark", "light"] as const).map((t) => ({ value: t, says: frame.themes[t] }))} onChange={(v) => setTheme(v as Theme)} />
    </footer>
    <Questions />
    <Say />
  </>;
}
