export type Look = "day" | "sun" | "dark";

const NAME = "coldmark look";

/** The look that was chosen while this page is open: where the browser keeps nothing, it stays chosen all the same. */
let here: Look | null = null;

/** The look of the screen: as chosen on this phone, else as its person has the office's pages. */
export const look = $state<{ now: Look }>({ now: "day" });

function known(text: string | null | undefined): Look | null {
  return text === "day" || text === "sun" || text === "dark" ? text : null;
}

function show(chosen: Look): void {
  look.now = chosen;
  document.documentElement.dataset["look"] = chosen;
}

/** What is kept on this phone; nothing where the browser forbids to look. */
function kept(): Look | null {
  try {
    return known(localStorage.getItem(NAME));
  } catch {
    return null;
  }
}

/** Show the look that was chosen on this phone; else `otherwise`, where it is told. */
export function openLook(otherwise?: string): void {
  show(here ?? kept() ?? known(otherwise) ?? look.now);
}

export function setLook(chosen: Look): void {
  here = chosen;
  show(chosen);
  try {
    localStorage.setItem(NAME, chosen);
  } catch {
    // It is not kept: the next page has the look that its person has in the office.
  }
}
