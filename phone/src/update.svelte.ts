/** A newer version of the app, and when it takes over: never while a card is open, in whichever window. */
export class Update {
  /** One is laid on the phone and waits. */
  ready = $state(false);
  private waiting: ServiceWorker | null = null;
  private cardIsOpen: () => boolean = () => false;

  /** Have the app held on this phone, and hear of newer versions. `cardIsOpen` goes by the address of this window. */
  async open(cardIsOpen: () => boolean): Promise<void> {
    const workers = navigator.serviceWorker;
    // A plain http address of another machine has none: the app works there as long as there is a network.
    if (!workers) return;
    this.cardIsOpen = cardIsOpen;
    // Before anything is asked for: a page that is loaded anew over a card has it open before it is drawn.
    holdWhile(cardIsOpen);
    let held = workers.controller !== null;
    workers.addEventListener("controllerchange", () => {
      // The first one has laid down the files of this very page; the next one brings others.
      if (held && !cardIsOpen()) location.reload();
      held = true;
    });
    const registration = await workers.register("/phone/sw.js", { updateViaCache: "none" }).catch(() => null);
    if (!registration) return;
    const look = (): void => {
      this.waiting = registration.waiting;
      this.ready = this.waiting !== null && workers.controller !== null;
    };
    registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", look));
    look();
    if (this.ready && !cardIsOpen()) await this.start();
    const ask = (): void => void registration.update().catch(() => undefined);
    addEventListener("online", ask);
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && ask());
  }

  /** Start the newer version unless a card is open in some window; whether it starts. */
  async start(): Promise<boolean> {
    // Of this window it needs nobody to tell: a browser without locks knows of no other.
    if (this.cardIsOpen()) return false;
    const take = (): boolean => {
      this.waiting?.postMessage("take over");
      return true;
    };
    if (!navigator.locks) return take();
    return navigator.locks.request(CARD, { ifAvailable: true }, (lock) => lock !== null && take());
  }
}

const CARD = "coldmark card";

/** Say to all windows whether a card is open in this one, at once and at each new address. */
function holdWhile(cardIsOpen: () => boolean): void {
  let end: (() => void) | null = null;
  const follow = (): void => {
    if (cardIsOpen()) end ??= holdCard();
    else {
      end?.();
      end = null;
    }
  };
  addEventListener("hashchange", follow);
  follow();
}

/** Say to all windows that a card is open in this one; returns what ends it. */
export function holdCard(): () => void {
  let end = (): void => undefined;
  const left = new Promise<void>((done) => (end = done));
  void navigator.locks?.request(CARD, { mode: "shared" }, () => left);
  return end;
}

export const update = new Update();
