import { tick } from "svelte";

import { t } from "./words";

/** So long what is being said is waited for. */
const HEAR_OUT_MS = 5_000;

/** What the hand does, on whatever screen: one thing at a time. */
class Hand {
  busy = $state(false);
  said = $state("");
  /** Where "back" goes while a page within a screen is open; null where it goes to the screen before. */
  within = $state.raw<(() => Promise<void>) | null>(null);
  /** Hears out what is being said into the phone, and keeps it; null while nobody speaks. */
  hearOut: (() => Promise<void>) | null = null;

  /** Do what may end the page: what is still being said is heard out first, so that it belongs to what is kept. */
  goOn(action: () => Promise<void>): Promise<void> {
    return this.act(async () => {
      // A browser that does not come to the end of it holds nobody up.
      if (this.hearOut) await Promise.race([this.hearOut(), new Promise((done) => setTimeout(done, HEAR_OUT_MS))]);
      this.hearOut = null;
      await action();
    });
  }

  /** Say that it could not be recorded, and why. */
  failed(fault: unknown): void {
    this.said = t("record_failed", { why: fault instanceof Error ? fault.message : String(fault) });
  }

  /** Do one thing at a time: a second tap while the first is being done does nothing. */
  async act(action: () => Promise<void>): Promise<void> {
    if (this.busy) return;
    const pressed = document.activeElement;
    this.busy = true;
    this.said = "";
    try {
      await action();
    } catch (fault) {
      this.failed(fault);
    } finally {
      this.busy = false;
    }
    // A button that was shut or went away meanwhile took the focus with it: give it back, or to the page's heading.
    await tick();
    if (document.activeElement !== document.body) return;
    const next = pressed instanceof HTMLElement && pressed.isConnected ? pressed : document.querySelector<HTMLElement>("main h1");
    next?.focus({ preventScroll: true });
  }
}

export const hand = new Hand();
