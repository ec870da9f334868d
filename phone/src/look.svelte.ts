export type Look = "day" | "sun" | "dark";

const NAME = "coldmark look";

/** The look of the screen: as chosen on this phone, else as the page came. */
export const look = $state<{ now: Look }>({ now: "day" });

function known(text: string | null | undefined): Look | null {
  return text === "day" || text === "sun" || text === "dark" ? text : null;
}

export function openLook(): void {
  setLook(known(localStorage.getItem(NAME)) ?? known(document.documentElement.dataset["look"]) ?? "day");
}

export function setLook(chosen: Look): void {
  look.now = chosen;
  document.documentElement.dataset["look"] = chosen;
  localStorage.setItem(NAME, chosen);
}
