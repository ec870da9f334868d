import { VERSIONS, type FactOf, type Kind } from "../../contract/facts";
import { Api, type Me } from "./api";
import { canonical, type Fact } from "./fact";
import { openLook } from "./look.svelte";
import { momentAfter, momentText, offsetAt } from "./moment";
import { openStore } from "./outbox/idb";
import { MemoryStore } from "./outbox/memory";
import { NOTHING, Outbox, type Item, type Summary } from "./outbox/outbox";
import type { Why } from "./outbox/queue";
import type { Store } from "./outbox/store";
import { Way } from "./outbox/way";
import { routeOf, type Route } from "./routes";
import { uuid7 } from "./uuid7";
import type { LastAt } from "./whereabouts";
import { t } from "./words";

/** A fact still to be given its number: its kind and body. */
export type New = { [K in Kind]: { kind: K; body: FactOf[K]["body"] } }[Kind];

/** What is open here hears of facts that count no more, and of those that count in their place or came from a file. */
export type OnRecords = (gone: readonly string[], fresh: readonly Fact[]) => void;

/** What is being written when the store is lost is let come to its end. */
const LET_WRITE_MS = 500;
/** So long after a stumble of the phone's own it is tried again. */
const STUMBLED_S = 30;
/** The moment at which something was recorded last [ms], in the phone's store. */
const LAST_MS = "last at";
/** So long the job that was worked on last stays, with what was begun in it. */
const STAYS_MS = 24 * 3_600_000;
/** Where one worked last, in the phone's store too. */
const LAST_MACHINE = "last worked on";

/** This phone: who works with it, where one is in the app, what it keeps and what still has to be sent. */
class Phone {
  route = $state.raw<Route>(routeOf(location.hash));
  /** What is kept here has been read. */
  opened = $state(false);
  me = $state.raw<Me | null>(null);
  /** Why nobody is known: the server was asked and gave no answer to it. */
  unknown = $state.raw<Why | null>(null);
  /** What the outbox holds: what waits, what was refused, what the server has. */
  outgoing = $state.raw<Summary>(NOTHING);
  waiting = $derived({ facts: this.outgoing.facts, attachments: this.outgoing.attachments });
  /** The browser lets nothing be kept: what is not sent would be lost with the page, and the person is told. */
  keepsNothing = $state(false);
  /** A page with an older version of the app is open, and has to be closed before this one can read what is kept. */
  openElsewhere = $state(false);
  /** The browser has not promised to keep what is on the phone when it runs short of room. */
  mayBeCleared = $state(false);

  /** The job whose card is open on the screen. */
  openJob = "";
  private lastMs = 0;
  /** Where something was recorded last on this phone: its site can be told in an emergency. */
  lastAt = $state.raw<LastAt | null>(null);

  readonly api = new Api();
  store!: Store;
  outbox!: Outbox;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private meeting: Promise<Me | null> | null = null;
  private readonly listeners = new Set<OnRecords>();

  async open(): Promise<void> {
    addEventListener("hashchange", () => (this.route = routeOf(location.hash)));
    // A newer page took the database over, or the browser took it away: what is on the disk is whole, and so is this page
    // when it is opened anew.
    const lost = (): void => void setTimeout(() => location.reload(), LET_WRITE_MS);
    this.store = await openStore("coldmark", () => (this.openElsewhere = true), lost).catch((): Store => {
      this.keepsNothing = true;
      return new MemoryStore();
    });
    this.openElsewhere = false;
    this.outbox = new Outbox(this.store, new Way({ csrf: () => this.api.csrf }), { onchange: () => void this.count() });
    // Asks the browser not to clear what is kept when the phone runs short; it may refuse, and then the outbox says so.
    const asked = navigator.storage?.persist?.() ?? Promise.resolve(false);
    void asked.catch(() => false).then((kept) => (this.mayBeCleared = !kept));
    this.me = await this.store.kept<Me>("me");
    openLook(this.me?.look);
    this.lastAt = await this.store.kept<LastAt>(LAST_MACHINE);
    this.api.csrf = this.me?.csrf ?? "";
    await this.count();
    this.opened = true;
    addEventListener("online", () => this.kick({ force: true }));
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.kick({ force: true }));
  }

  /** Ask the server who is there; null where it gives no answer. Who is known stays known without one. */
  meet(): Promise<Me | null> {
    this.meeting ??= this.ask().finally(() => (this.meeting = null));
    return this.meeting;
  }

  private async ask(): Promise<Me | null> {
    const told = await this.api.me();
    if (!("ok" in told)) {
      this.unknown = "stays" in told ? told.stays : "server";
      return null;
    }
    this.unknown = null;
    this.me = told.ok;
    this.api.csrf = told.ok.csrf;
    openLook(told.ok.look);
    await this.store.keep("me", told.ok).catch(() => undefined); // a full phone knows it as long as the page lives
    return told.ok;
  }

  /** Record facts of a job, or of none, at one moment; they are on the disk when this resolves. */
  async record(machine: string, job: string | null, news: readonly New[]): Promise<Fact[]> {
    const me = this.me!;
    // Another window of this phone may have recorded meanwhile.
    const kept = (await this.store.kept<number>(LAST_MS)) ?? 0;
    const now = momentAfter(Math.max(this.lastMs, kept), Date.now());
    this.lastMs = now;
    const at = momentText(now, offsetAt(now));
    const made: Fact[] = [];
    await this.outbox.record(
      me.device.next_number,
      news.map(({ kind, body }) => (number) => {
        const fact: Fact = {
          id: uuid7(now, crypto.getRandomValues(new Uint8Array(10))),
          kind,
          version: VERSIONS[kind],
          subject: { type: "machine", id: machine },
          job,
          at,
          recorded: at,
          device: me.device.id,
          number,
          person: me.person.id,
          app: me.app,
          body: body as unknown as Record<string, unknown>,
        };
        made.push(fact);
        return { id: fact.id, text: canonical(fact), job };
      }),
    );
    void this.store.keep(LAST_MS, now).catch(() => undefined);
    this.lastAt = { machine, job, at: now };
    void this.store.keep(LAST_MACHINE, this.lastAt).catch(() => undefined);
    // Whoever came back to the job meanwhile hears of it too.
    this.tell([], made);
    return made;
  }

  /** Jobs of which something is still to be sent, the one that is open, and the one that was worked on last. */
  async busyJobs(): Promise<Set<string>> {
    const line = await this.store.line();
    const last = this.lastAt && Date.now() - this.lastAt.at < STAYS_MS ? (this.lastAt.job ?? "") : "";
    return new Set([this.openJob, last, ...line.map((entry) => entry.job ?? "")].filter((job) => job !== ""));
  }

  // sending

  /** Send now what waits, without being waited for. */
  kick(options: { force?: boolean } = {}): void {
    clearTimeout(this.timer);
    void this.send(options).catch(() => undefined);
  }

  /** Send what it is time to send; `force` when a person asks, or the network is back. */
  async send({ force = false }: { force?: boolean } = {}): Promise<void> {
    let againS: number | null = STUMBLED_S;
    try {
      const round = await this.outbox.send({ force });
      againS = round.againS;
      await this.count();
      // After a new sign-in the token kept here is an old one.
      if (round.stays === "sign_in") await this.meet();
    } finally {
      // Also where what is kept could not be read or written just now: nothing may wait for a tap.
      clearTimeout(this.timer);
      if (againS !== null) this.timer = setTimeout(() => void this.send().catch(() => undefined), Math.max(1, againS) * 1000);
    }
  }

  async count(): Promise<void> {
    this.outgoing = await this.outbox.summary();
  }

  // what was refused, and what comes from a file

  /** Hear of facts that come and go otherwise than by being recorded; returns what ends it. */
  listen(onrecords: OnRecords): () => void {
    this.listeners.add(onrecords);
    return () => this.listeners.delete(onrecords);
  }

  private tell(gone: readonly string[], fresh: readonly Fact[]): void {
    for (const onrecords of this.listeners) onrecords(gone, fresh);
  }

  /** Offer what was refused or set aside once more. */
  async offerAgain(items: readonly Item[]): Promise<void> {
    await this.outbox.offerAgain(items);
    this.kick();
  }

  /** Say why something that was refused is not sent. It stays on the phone, and no card counts it any more. */
  async setAside(item: Item, why: string): Promise<void> {
    await this.outbox.setAside(item, why);
    this.tell([item.id], []);
  }

  /** Record a refused fact anew with other values; the card counts that one in its place. */
  async mend(item: Item, body: Record<string, unknown>, at: string): Promise<void> {
    if (!this.me) await this.meet();
    const me = this.me;
    if (!me) throw new Error(t("waits_no_answer"));
    const made = await this.outbox.mend(item, body, at, { device: me.device.id, app: me.app, leastNumber: me.device.next_number });
    this.tell([item.id], [made]);
    this.kick();
  }

  /** What was not sent, as a file. */
  exported(): Promise<string> {
    return this.outbox.exported();
  }

  /** Read back what was not sent, and say how much of it was not on the phone. */
  async readBack(text: string): Promise<number> {
    const fresh = await this.outbox.readBack(text, this.me?.device.id ?? "");
    const line = await this.store.line();
    this.tell([], line.filter((entry) => entry.standing.is === "waiting").map((entry) => JSON.parse(entry.text) as Fact));
    this.kick();
    return fresh.facts + fresh.attachments;
  }
}

export const phone = new Phone();
