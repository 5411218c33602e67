// Addresses of pages: / is the list of cases, /cases/ID/PAGE a page of a case, /PAGE one
// that needs no case.
import { computed, signal } from "@preact/signals";

export type PageName = "cases" | "patient" | "routes" | "gear" | "plan" | "brief" | "walk" | "practice" | "house" | "help";

/** The stations of the job, in its order. */
export const pages: PageName[] = ["cases", "patient", "routes", "gear", "plan", "brief", "walk", "practice", "house", "help"];
/** Pages that are there without a case as well. */
const free: PageName[] = ["cases", "gear", "practice", "house", "help"];

const path = signal(location.pathname);
const pattern = /^\/cases\/([^/]+)\/([a-z]+)\/?$/;

export const here = computed<{ page: PageName; id: string }>(() => {
  const m = pattern.exec(path.value);
  const page = (m ? m[2] : path.value.replaceAll("/", "")) as PageName;
  const id = m ? decodeURIComponent(m[1] as string) : "";
  return { page: pages.includes(page) && (m || free.includes(page)) ? page : "cases", id };
});

/** The address of a page, of a case where one is given; "" where the page needs one. */
export function address(page: PageName, id: string): string {
  if (page === "cases") return "/";
  if (id) return `/cases/${encodeURIComponent(id)}/${page}`;
  return free.includes(page) ? `/${page}` : "";
}

export function go(to: string): void {
  if (to !== location.pathname + location.search) history.pushState(null, "", to);
  path.value = location.pathname;
  scrollTo(0, 0);
}

/** Follows links of our own without loading the page anew, and the browser's buttons. */
export function follow(): void {
  addEventListener("popstate", () => { path.value = location.pathname; });
  addEventListener("click", (e) => {
    const a = (e.target as Element | null)?.closest?.("a[href]") as HTMLAnchorElement | null;
    if (!a || e.defaultPrevented || e.button !== 0 || e.ctrlKey || e.metaKey || e.shiftKey || a.target || a.hasAttribute("download")) return;
    if (a.origin !== location.origin || a.pathname.startsWith("/api/") || a.getAttribute("href")?.startsWith("#")) return;
    e.preventDefault();
    go(a.pathname + a.search);
  });
}
