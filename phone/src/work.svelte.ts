import { VERSIONS, type FactOf, type Kind } from "../../contract/facts";
import type { CardAnswer, FinishAnswer, LevelAnswer, MeterAnswer, Told } from "./api";
import type { Card, Screen, TrayItem } from "./card";
import { sha256 } from "./digest";
import { canonical, effective, type Fact } from "./fact";
import { evaluate } from "./gates";
import { hand } from "./hand.svelte";
import { momentText, offsetAt } from "./moment";
import type { MediaType } from "./outbox/store";
import { phone } from "./phone.svelte";
import { factsOf, progress, resumeAt } from "./progress";
import { uuid7 } from "./uuid7";
import { allTogether } from "./together";
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
  /** What lies over the step for a while. */
  aside = $state.raw<Aside | null>(null);
  private recorded = $state.raw<Fact[]>([]);
  facts = $derived(effective(this.recorded));
  progress = $derived(this.card ? progress(this.card, this.facts) : { done: 0, total: 0 });
  screen = $derived(this.card?.screens[this.place] ?? null);

  /** Why there is no card to be seen: what the server or the bench said, or why there is no answer. */
  trouble = $state.raw<Exclude<Told<never>, { ok: never }> | null>(null);
  job = $state("");

  private answer!: CardAnswer;
  private notes: Record<string, unknown> = {};
  private ends: (() => void)[] = [];
  private readonly pictures = new Map<string, string>();

  /** Open the card of a job: from the server, else as it was kept; it is tried again until there is something to show. */
  async open(job: string): Promise<void> {
    this.close();
    this.job = job;
    const gone = (): boolean => this.job !== job;
    this.ends.push(phone.listen((out, fresh) => void this.correct(out, fresh)));
    const waiting = await phone.outbox.factsOfJob(job);
    const notes = (await phone.store.kept<Record<string, unknown>>(`notes ${job}`)) ?? {};
    for (;;) {
      const kept = await phone.store.kept<Kept>(`card ${job}`);
      const [, answer] = await Promise.all([phone.meet(), phone.api.card(job)]);
      if (gone()) return;
      const shown = "ok" in answer ? answer.ok : kept?.answer;
      if (phone.me && shown) {
        this.show(shown, once([...("ok" in answer ? shown.facts : (kept?.facts ?? [])), ...waiting]), notes);
        break;
      }
      this.trouble = "ok" in answer ? { stays: phone.unknown ?? "silence" } : answer;
      await new Promise((done) => setTimeout(done, AGAIN_MS));
      if (gone()) return;
    }
    await this.keepCard();
    phone.kick();
  }

  private show(answer: CardAnswer, facts: Fact[], notes: Record<string, unknown>): void {
    this.trouble = null;
    this.notes = notes;
    this.recorded = facts;
    this.answer = answer;
    const meter = answer.state?.meter;
    this.meterShown = typeof meter?.shown_h === "number" ? { shown_h: meter.shown_h, at: meter.at } : null;
    this.card = allTogether(answer.card);
    this.place = resumeAt(answer.card, this.facts, this.note<string>("place"));
    this.turn += 1;
  }

  /** Leave the card: what is recorded and noted is kept. */
  close(): void {
    for (const end of this.ends.splice(0)) end();
    this.job = "";
    this.card = null;
    this.recorded = [];
    this.aside = null;
    this.trouble = null;
    hand.within = null;
    hand.said = "";
    for (const address of this.pictures.values()) URL.revokeObjectURL(address);
    this.pictures.clear();
  }

  /** Facts that were refused and set aside count no more; those that came in their place or from a file do. */
  private async correct(out: readonly string[], fresh: readonly Fact[]): Promise<void> {
    const own = fresh.filter((fact) => fact.job === this.job);
    this.recorded = once([...this.recorded.filter((fact) => !out.includes(fact.id)), ...own]);
    await this.keepCard();
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

  async askLevel(request: object): Promise<Told<LevelAnswer>> {
    return allTogether(await phone.api.level(this.job, request));
  }

  async askFinish(): Promise<Told<FinishAnswer>> {
    return allTogether(await phone.api.finish(this.job));
  }

  /** Ask what is to be thought of a reading; with no answer in time the card goes on without. */
  async askMeter(reading: string): Promise<Told<MeterAnswer>> {
    return allTogether(await phone.api.meter(this.job, reading));
  }

  // where the hand is

  async goTo(place: number): Promise<void> {
    const last = (this.card?.screens.length ?? 1) - 1;
    this.place = Math.min(last, Math.max(0, place));
    this.aside = null;
    hand.said = "";
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
    await phone.store.keep(`notes ${this.job}`, $state.snapshot(this.notes));
  }

  // recording

  /** Record facts of this job at one moment; they are on the disk when this resolves. */
  async record(...news: New[]): Promise<void> {
    const now = Date.now();
    const at = momentText(now, offsetAt(now));
    const made: Fact[] = [];
    await phone.outbox.record(
      phone.me!.device.next_number,
      news.map(({ kind, body }) => (number) => {
        const fact = this.make(kind, body as unknown as Record<string, unknown>, at, now, number);
        made.push(fact);
        return { id: fact.id, text: canonical(fact), job: this.job };
      }),
    );
    this.recorded = [...this.recorded, ...made];
    await this.keepCard();
    phone.kick();
  }

  private make(kind: Kind, body: Record<string, unknown>, at: string, now: number, number: number): Fact {
    const me = phone.me!;
    return {
      id: uuid7(now, crypto.getRandomValues(new Uint8Array(10))),
      kind,
      version: VERSIONS[kind],
      subject: { type: "machine", id: this.card!.machine.id },
      job: this.job,
      at,
      recorded: at,
      device: me.device.id,
      number,
      person: me.person.id,
      app: me.app,
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
    const own = this.facts.filter((fact) => fact.kind !== "job_opened" && fact.device === phone.me?.device.id);
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
    hand.said = this.t("undone");
  }

  /** Keep bytes that facts name, and return the name. */
  async attach(type: MediaType, bytes: Uint8Array<ArrayBuffer>): Promise<string> {
    const sha = await sha256(bytes);
    await phone.outbox.attach({ sha, type, bytes });
    if (type === "image/jpeg") this.pictures.set(sha, URL.createObjectURL(new Blob([bytes], { type })));
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
    await phone.send();
    const answer = await this.askFinish();
    if (!("ok" in answer)) throw new Error(this.t("finish_no_answer"));
    const own = await phone.outbox.sealsOfJob(this.job);
    const facts = [...new Map([...answer.ok.facts, ...own])].sort(([one], [other]) => (one < other ? -1 : 1));
    await this.record({ kind: "job_closed", body: { facts } });
    await phone.send();
  }

  private keepCard(): Promise<void> {
    return phone.store.keep(`card ${this.job}`, { answer: this.answer, facts: this.recorded } satisfies Kept);
  }
}

function once(facts: readonly Fact[]): Fact[] {
  return [...new Map(facts.map((fact) => [fact.id, fact])).values()];
}

export const work = new Work();
