export type Look = "day" | "sun" | "dark";

const NAME = "coldmark look";

/** The look of the screen: as chosen on this phone, else as its person has the office's pages. */
export const look = $state<{ now: Look }>({ now: "day" });

function known(text: string | null | undefined): Look | null {
  return text === "day" || text === "sun" || text === "dark" ? text : null;
}

function show(chosen: Look): void {
  look.now = chosen;
  document.documentElement.dataset["look"] = chosen;
}

/** Show the look that was chosen on this phone; else `otherwise`, where it is told. */
export function openLook(otherwise?: string): void {
  show(known(localStorage.getItem(NAME)) ?? known(otherwise) ?? look.now);
}

export function setLook(chosen: Look): void {
  show(chosen);
  localStorage.setItem(NAME, chosen);
}
