import { tick } from "svelte";

import { VERSIONS, type FactOf, type Kind } from "../../contract/facts";
import { Api, type CardAnswer, type FinishAnswer, type LevelAnswer, type Me, type MeterAnswer } from "./api";
import type { Card, Screen, TrayItem } from "./card";
import { sha256 } from "./digest";
import { canonical, effective, type Fact } from "./fact";
import { momentText, offsetAt } from "./moment";
import { openStore } from "./outbox/idb";
import { MemoryStore } from "./outbox/memory";
import { NOTHING, Outbox, type Item, type Summary } from "./outbox/outbox";
import type { MediaType, Store } from "./outbox/store";
import { Way } from "./outbox/way";
import { evaluate } from "./gates";
import { factsOf, progress, resumeAt } from "./progress";
import { uuid7 } from "./uuid7";
import { t, type Word } from "./words";

type BodyOf<K extends Kind> = FactOf[K]["body"];

/** A fact still to be given its number: its kind and body. */
export type New = { [K in Kind]: { kind: K; body: BodyOf<K> } }[Kind];

/** What the card is kept as, so that it opens again where the server gives none. */
interface Kept {
  answer: CardAnswer;
  facts: Fact[];
}

export type Aside =
  | { what: "leave_out"; screen: Screen }
  | { what: "gate"; key: string; says: string }
  | { what: "look_for"; item: TrayItem }
  | { what: "finding" }
  | { what: "steps" }
  | { what: "outbox" };

const AGAIN_MS = 3000;
// 231 cubic inches, exactly.
const LITRES_PER_GALLON = 3.785411784;

/** The work on one job: the card, its facts, where the hand is, and what still waits to be sent. */
class Work {
  card = $state.raw<Card | null>(null);
  meterShown = $state.raw<{ shown_h: number; at: string | null } | null>(null);
  place = $state(0);
  /** Grows whenever another screen is entered; what hangs on it starts afresh. */
  turn = $state(0);
  busy = $state(false);
  said = $state("");
  /** What the outbox holds: what waits, what was refused, what the server has. */
  outgoing = $state.raw<Summary>(NOTHING);
  waiting = $derived({ facts: this.outgoing.facts, attachments: this.outgoing.attachments });
  /** The browser lets nothing be kept: what is not sent would be lost with the page, and the person is told. */
  keepsNothing = $state(false);
  /** The browser has not promised to keep what is on the phone when it runs short of room. */
  mayBeCleared = $state(false);
  /** What lies over the step for a while. */
  aside = $state.raw<Aside | null>(null);
  /** Where "back" goes while a page within a step is open; null for the step before. */
  within = $state.raw<(() => Promise<void>) | null>(null);

  private recorded = $state.raw<Fact[]>([]);
  facts = $derived(effective(this.recorded));
  progress = $derived(this.card ? progress(this.card, this.facts) : { done: 0, total: 0 });
  screen = $derived(this.card?.screens[this.place] ?? null);

  readonly api = new Api();
  private store!: Store;
  private outbox!: Outbox;
  private me!: Me;
  private job = "";
  private answer!: CardAnswer;
  private notes: Record<string, unknown> = {};
  private timer: ReturnType<typeof setTimeout> | undefined;
  private readonly pictures = new Map<string, string>();

  /** Open the card of a job: from the server, else as it was kept. Resolves when there is something to show. */
  async open(job: string, csrf: string): Promise<void> {
    this.job = job;
    this.api.csrf = csrf;
    this.store = await openStore().catch((): Store => {
      this.keepsNothing = true;
      return new MemoryStore();
    });
    this.outbox = new Outbox(this.store, new Way({ csrf: () => this.api.csrf }), { onchange: () => void this.count() });
    // Asks the browser not to clear what is kept when the phone runs short; it may refuse, and then the outbox says so.
    const asked = navigator.storage?.persist?.() ?? Promise.resolve(false);
    void asked.catch(() => false).then((kept) => (this.mayBeCleared = !kept));
    const waiting = await this.outbox.factsOfJob(job);
    for (;;) {
      const kept = await this.store.kept<Kept>(`card ${job}`);
      const [me, answer] = await Promise.all([this.api.me(), this.api.card(job)]);
      const known = me ?? (await this.store.kept<Me>("me"));
      const shown = answer ?? kept?.answer;
      if (known && shown) {
        this.me = known;
        this.api.csrf = known.csrf || csrf;
        if (me) await this.store.keep("me", me);
        this.recorded = once([...(answer ? answer.facts : (kept?.facts ?? [])), ...waiting]);
        this.answer = shown;
        break;
      }
      await new Promise((done) => setTimeout(done, AGAIN_MS));
    }
    this.notes = (await this.store.kept<Record<string, unknown>>(`notes ${job}`)) ?? {};
    const meter = this.answer.state?.meter;
    this.meterShown = typeof meter?.shown_h === "number" ? { shown_h: meter.shown_h, at: meter.at } : null;
    this.card = this.answer.card;
    this.place = resumeAt(this.card, this.facts, this.note<string>("place"));
    await this.keepCard();
    await this.count();
    this.kick();
    addEventListener("online", () => this.kick({ force: true }));
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.kick({ force: true }));
  }

  t(word: Word, values: Record<string, string | number> = {}): string {
    return t(word, values);
  }

  get units(): "metric" | "us" {
    return this.card?.units ?? "metric";
  }

  /** The unit that volumes are typed in, and how it is written. */
  get volume(): { unit: "l" | "gal"; symbol: string } {
    return this.units === "us" ? { unit: "gal", symbol: this.t("unit_gal") } : { unit: "l", symbol: this.t("unit_l") };
  }

  get temperature(): { unit: "c" | "f"; symbol: string } {
    return this.units === "us" ? { unit: "f", symbol: this.t("unit_f") } : { unit: "c", symbol: this.t("unit_c") };
  }

  get torque(): { unit: "nm" | "lbf_ft"; symbol: string } {
    return this.units === "us" ? { unit: "lbf_ft", symbol: this.t("unit_lbf_ft") } : { unit: "nm", symbol: this.t("unit_nm") };
  }

  taskName(screen: Screen): string {
    return this.card?.tasks.find((task) => task.key === screen.task)?.name ?? "";
  }

  reasonSays(key: unknown): string {
    return this.card?.reasons.find((reason) => reason.key === key)?.says ?? String(key);
  }

  /** Litres as the card has them, as a number in the unit that is typed here: what a stepper starts from. */
  amount(litres: number): string {
    const gallons = this.volume.unit === "gal";
    return (gallons ? litres / LITRES_PER_GALLON : litres).toFixed(gallons || litres < 1 ? 2 : 1);
  }

  /** What the meter showed last: on this job, else as the machine is known. */
  get meterBefore(): number | null {
    const read = this.facts.findLast((fact) => fact.kind === "meter_read");
    const reading = (read?.body["reading"] as { value?: string } | undefined)?.value;
    return reading === undefined ? (this.meterShown?.shown_h ?? null) : Number(reading);
  }

  /** The minutes since the latest wait of this job began, to start a question from. */
  minutesSinceWait(): string | null {
    const starts = Object.entries(this.notes).flatMap(([name, value]) => (name.startsWith("wait ") && typeof value === "number" ? [value] : []));
    return starts.length === 0 ? null : String(Math.min(999, Math.floor((Date.now() - Math.max(...starts)) / 60_000)));
  }

  hasStep(step: string): boolean {
    return this.placeOf(step) >= 0;
  }

  askLevel(request: object): Promise<LevelAnswer | { refused: string } | null> {
    return this.api.level(this.job, request);
  }

  askFinish(): Promise<FinishAnswer | null> {
    return this.api.finish(this.job);
  }

  /** Ask the server what it thinks of a reading; with no answer in time the card goes on without. */
  askMeter(reading: string): Promise<MeterAnswer | null> {
    return this.api.meter(this.job, reading);
  }

  // where the hand is

  async goTo(place: number): Promise<void> {
    const last = (this.card?.screens.length ?? 1) - 1;
    this.place = Math.min(last, Math.max(0, place));
    this.aside = null;
    this.said = "";
    this.turn += 1;
    scrollTo(0, 0);
    await this.setNote("place", this.screen?.key ?? null);
  }

  async goToStep(step: string): Promise<void> {
    const place = this.placeOf(step);
    if (place >= 0) await this.goTo(place);
  }

  /** The screen of a step, or the one on which a part goes back into this place of a tray. */
  private placeOf(step: string): number {
    const screens = this.card?.screens ?? [];
    const own = screens.findIndex((screen) => screen.step === step || screen.key === step);
    if (own >= 0) return own;
    return screens.findIndex((screen) => screen.kind === "tray_in" && screen.tray?.items.some((item) => item.place === step));
  }

  /** What a screen keeps for itself while it is being filled in: it outlives an interruption. */
  note<T>(name: string): T | null {
    return (this.notes[name] as T | undefined) ?? null;
  }

  async setNote(name: string, value: unknown): Promise<void> {
    this.notes = { ...this.notes, [name]: value };
    if (value === null) delete this.notes[name];
    await this.store.keep(`notes ${this.job}`, $state.snapshot(this.notes));
  }

  // recording

  /** Do one thing at a time: a second tap while the first is being recorded does nothing. */
  async act(action: () => Promise<void>): Promise<void> {
    if (this.busy) return;
    const pressed = document.activeElement;
    this.busy = true;
    this.said = "";
    try {
      await action();
    } catch (fault) {
      this.said = this.t("record_failed", { why: fault instanceof Error ? fault.message : String(fault) });
    } finally {
      this.busy = false;
    }
    // A button that was shut or went away meanwhile took the focus with it: give it back, or to the page's heading.
    await tick();
    if (document.activeElement !== document.body) return;
    const next = pressed instanceof HTMLElement && pressed.isConnected ? pressed : document.querySelector<HTMLElement>("main h1");
    next?.focus({ preventScroll: true });
  }

  /** Record facts of this job at one moment; they are on the disk when this resolves. */
  async record(...news: New[]): Promise<void> {
    const now = Date.now();
    const at = momentText(now, offsetAt(now));
    const made: Fact[] = [];
    await this.outbox.record(
      this.me.device.next_number,
      news.map(({ kind, body }) => (number) => {
        const fact = this.make(kind, body as unknown as Record<string, unknown>, at, now, number);
        made.push(fact);
        return { id: fact.id, text: canonical(fact), job: this.job };
      }),
    );
    this.recorded = [...this.recorded, ...made];
    await this.keepCard();
    await this.count();
    this.kick();
  }

  private make(kind: Kind, body: Record<string, unknown>, at: string, now: number, number: number): Fact {
    return {
      id: uuid7(now, crypto.getRandomValues(new Uint8Array(10))),
      kind,
      version: VERSIONS[kind],
      subject: { type: "machine", id: this.card!.machine.id },
      job: this.job,
      at,
      recorded: at,
      device: this.me.device.id,
      number,
      person: this.me.person.id,
      app: this.me.app,
      body,
    };
  }

  /** Record what a screen records; where that alone does not make it done, record the step as done too. Then go on. */
  async finish(screen: Screen, ...news: New[]): Promise<void> {
    if (news.length > 0) await this.record(...news);
    if (!evaluate(screen.done_when, this.facts).met) {
      await this.record({ kind: "step_done", body: { step: screen.step } });
    }
    await this.goTo(this.place + 1);
  }

  /** The last things that were recorded here at one moment, and may be taken back. */
  lastBatch = $derived.by((): Fact[] => {
    const own = this.facts.filter((fact) => fact.kind !== "job_opened" && fact.device === this.me.device.id);
    const last = own.at(-1);
    return last && last.kind !== "job_closed" ? own.filter((fact) => fact.at === last.at) : [];
  });

  /** Take back: each fact is withdrawn by another, and the screen that recorded it is shown again. */
  async takeBack(facts: readonly Fact[]): Promise<void> {
    if (facts.length === 0) return;
    const place = this.card?.screens.findIndex((screen) => factsOf(screen, facts).length > 0) ?? -1;
    await this.record(
      ...facts.map((fact): New => ({ kind: "correction", body: { of: fact.id, action: "withdraw", reason: "undo" } })),
    );
    await this.goTo(place >= 0 ? place : this.place);
    this.said = this.t("undone");
  }

  /** Keep bytes that facts name, and return the name. */
  async attach(type: MediaType, bytes: Uint8Array<ArrayBuffer>): Promise<string> {
    const sha = await sha256(bytes);
    await this.outbox.attach({ sha, type, bytes });
    if (type === "image/jpeg") this.pictures.set(sha, URL.createObjectURL(new Blob([bytes], { type })));
    await this.count();
    return sha;
  }

  /** Keep a text that a fact names, or nothing where nothing was written. */
  async attachText(text: string): Promise<string | undefined> {
    const bare = text.trim();
    return bare ? this.attach("text/plain; charset=utf-8", new TextEncoder().encode(bare)) : undefined;
  }

  /** Where a photo is to be seen: here while it is fresh, else at the server. */
  pictureAt(sha: string): string {
    return this.pictures.get(sha) ?? `/api/attachments/${sha}`;
  }

  /**
   * Close the job: the closing fact names every fact of the job with its text's hash. The server has them all by then
   * and says which they are; what was recorded a moment ago and is still in line is added from here.
   */
  async closeJob(): Promise<void> {
    await this.send();
    const answer = await this.api.finish(this.job);
    if (!answer) throw new Error(this.t("finish_no_answer"));
    const own = await this.outbox.sealsOfJob(this.job);
    const facts = [...new Map([...answer.facts, ...own])].sort(([one], [other]) => (one < other ? -1 : 1));
    await this.record({ kind: "job_closed", body: { facts } });
    await this.send();
  }

  // sending

  /** Send now what waits, without being waited for. */
  kick(options: { force?: boolean } = {}): void {
    clearTimeout(this.timer);
    void this.send(options);
  }

  /** Send what it is time to send; `force` when a person asks, or the network is back. */
  async send({ force = false }: { force?: boolean } = {}): Promise<void> {
    const round = await this.outbox.send({ force });
    await this.count();
    if (round.stays === "sign_in") await this.renew();
    clearTimeout(this.timer);
    if (round.againS !== null) this.timer = setTimeout(() => void this.send(), Math.max(1, round.againS) * 1000);
  }

  /** Offer what was refused or set aside once more. */
  async offerAgain(items: readonly Item[]): Promise<void> {
    await this.outbox.offerAgain(items);
    this.kick();
  }

  /** Say why something that was refused is not sent. It stays on the phone, and the card no longer counts it. */
  async setAside(item: Item, why: string): Promise<void> {
    await this.outbox.setAside(item, why);
    await this.uncount(item.id);
  }

  /** Record a refused fact anew with other values; the card counts that one in its place. */
  async mend(item: Item, body: Record<string, unknown>, at: string): Promise<void> {
    const { device, app } = this.me;
    const made = await this.outbox.mend(item, body, at, { device: device.id, app, leastNumber: device.next_number });
    await this.uncount(item.id, ...(made.job === this.job ? [made] : []));
    this.kick();
  }

  /** What was not sent, as a file. */
  exported(): Promise<string> {
    return this.outbox.exported();
  }

  /** Read back what was not sent, and how much of it was not on the phone. */
  async readBack(text: string): Promise<number> {
    const fresh = await this.outbox.readBack(text, this.me.device.id);
    this.recorded = once([...this.recorded, ...(await this.outbox.factsOfJob(this.job))]);
    await this.keepCard();
    this.kick();
    return fresh.facts + fresh.attachments;
  }

  private async uncount(id: string, ...instead: Fact[]): Promise<void> {
    this.recorded = [...this.recorded.filter((fact) => fact.id !== id), ...instead];
    await this.keepCard();
  }

  /** After a new sign-in the page's token is an old one. */
  private async renew(): Promise<void> {
    const me = await this.api.me();
    if (me) {
      this.me = me;
      this.api.csrf = me.csrf;
      await this.store.keep("me", me);
    }
  }

  private async count(): Promise<void> {
    this.outgoing = await this.outbox.summary();
  }

  private keepCard(): Promise<void> {
    return this.store.keep(`card ${this.job}`, { answer: this.answer, facts: this.recorded } satisfies Kept);
  }
}

function once(facts: readonly Fact[]): Fact[] {
  return [...new Map(facts.map((fact) => [fact.id, fact])).values()];
}

export const work = new Work();
