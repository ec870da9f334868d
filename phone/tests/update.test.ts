import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { holdCard, Update } from "../src/update.svelte";

type Listener = () => void;

/** As much of a browser as the taking over of a version needs: workers, locks, and a page that is loaded anew. */
function browser({ controlled = true, waiting = true, locking = true } = {}) {
  const heard = new Map<string, Listener[]>();
  const on = (name: string, listener: Listener): unknown => heard.set(name, [...(heard.get(name) ?? []), listener]);
  const told: unknown[] = [];
  const worker = { postMessage: (message: unknown) => told.push(message), addEventListener: on, state: "installed" };
  const registration = { waiting: waiting ? worker : null, installing: null as typeof worker | null, addEventListener: on, update: async () => undefined };
  const held: { mode: string; left: Promise<void> }[] = [];
  const locks = {
    async request(_name: string, options: { mode?: string; ifAvailable?: boolean }, take: (lock: object | null) => unknown): Promise<unknown> {
      if (options.ifAvailable) return take(held.length > 0 ? null : {});
      const one = { mode: options.mode ?? "exclusive", left: Promise.resolve(take({})) as Promise<void> };
      held.push(one);
      await one.left;
      held.splice(held.indexOf(one), 1);
      return undefined;
    },
  };
  const reload = vi.fn();
  vi.stubGlobal("navigator", { serviceWorker: { controller: controlled ? {} : null, addEventListener: on, register: async () => registration }, ...(locking ? { locks } : {}) });
  vi.stubGlobal("location", { reload });
  vi.stubGlobal("document", { addEventListener: on, visibilityState: "visible" });
  vi.stubGlobal("addEventListener", on);
  const happens = (name: string): void => heard.get(name)?.forEach((listener) => listener());
  return { told, reload, happens, registration, worker };
}

let update = new Update();
beforeEach(() => void (update = new Update()));
afterEach(() => vi.unstubAllGlobals());

describe("a newer version of the app", () => {
  it("that waits takes over at the start where no card is open, and the page is loaded anew", async () => {
    const { told, reload, happens } = browser();
    await update.open(() => false);
    expect(told).toEqual(["take over"]);
    happens("controllerchange");
    expect(reload).toHaveBeenCalledOnce();
  });

  it("waits while a card is open here", async () => {
    const { told, reload, happens } = browser();
    await update.open(() => true);
    expect(update.ready).toBe(true);
    expect(told).toEqual([]);
    happens("controllerchange");
    expect(reload).not.toHaveBeenCalled();
  });

  it("waits while a card is open in another window, and starts when that is left", async () => {
    const { told } = browser();
    const leave = holdCard();
    await update.open(() => false);
    expect(told).toEqual([]);
    expect(await update.start()).toBe(false);
    leave();
    await new Promise((done) => setTimeout(done));
    expect(await update.start()).toBe(true);
    expect(told).toEqual(["take over"]);
  });

  it("waits for the card of this window where the browser has no locks, also when the hand asks, and starts then", async () => {
    const { told } = browser({ locking: false });
    let card = true;
    await update.open(() => card);
    expect(await update.start()).toBe(false);
    expect(told).toEqual([]);
    card = false;
    expect(await update.start()).toBe(true);
    expect(told).toEqual(["take over"]);
  });

  it("waits where the page is loaded anew over a card: the card is held before anything is asked for", async () => {
    const { told, happens } = browser();
    let card = true;
    const opened = update.open(() => card);
    const other = new Update();
    await other.open(() => false);
    await opened;
    expect(told).toEqual([]);
    expect(await update.start()).toBe(false);
    expect(await other.start()).toBe(false);
    card = false;
    happens("hashchange");
    await new Promise((done) => setTimeout(done));
    expect(await other.start()).toBe(true);
    expect(told).toEqual(["take over"]);
  });

  it("waits for a card that is come to later, and for one after the other", async () => {
    const { told, happens } = browser({ waiting: false });
    let card = false;
    await update.open(() => card);
    for (const at of [true, true, false, true]) {
      card = at;
      happens("hashchange");
      await new Promise((done) => setTimeout(done));
      expect(await update.start()).toBe(!at);
    }
    expect(told).toEqual([]);
  });

  it("that is laid down meanwhile is told of, and does not start by itself", async () => {
    const { told, happens, registration, worker } = browser({ waiting: false });
    await update.open(() => false);
    expect(update.ready).toBe(false);
    registration.installing = worker;
    happens("updatefound");
    registration.waiting = worker;
    happens("statechange");
    expect(update.ready).toBe(true);
    expect(told).toEqual([]);
  });

  it("is none where it is the first: the page has its files", async () => {
    const { told, reload, happens } = browser({ controlled: false, waiting: false });
    await update.open(() => false);
    happens("controllerchange");
    expect(reload).not.toHaveBeenCalled();
    expect(told).toEqual([]);
  });

  it("is none where the browser holds no apps", async () => {
    vi.stubGlobal("navigator", {});
    await expect(update.open(() => false)).resolves.toBeUndefined();
  });
});
