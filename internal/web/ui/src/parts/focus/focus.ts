// Where the keyboard goes on after the thing that had it is gone.

/** refocus gives the focus to the first match within an element, once the page is drawn. */
export function refocus(within: ParentNode | null | undefined, selector: string): void {
  setTimeout(() => within?.querySelector<HTMLElement>(selector)?.focus());
}
