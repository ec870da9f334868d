/** Bring what just appeared into sight: what was wrong may stand above or below the part of the page that is seen. */
export function seen(node: HTMLElement): void {
  node.scrollIntoView({ block: "center" });
}
