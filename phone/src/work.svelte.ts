import { createContext } from "svelte";
import type { CardAnswer, FinishAnswer, LevelAnswer, MeterAnswer } from "./api";
import { asideAgain, keptAside, type Aside, type KeptAside } from "./aside";
import type { Card, Screen } from "./card";
import type { Worked } from "./desk/desk";
import { toCloseWith } from "./closing";
import { sha256 } from "./digest";
import { canonical, effective, type ClockErrors, type Fact } from "./fact";
import { evaluate } from "./gates";
import { hand } from "./hand.svelte";
import { notesOf, type Notes } from "./notes.svelte";
import { phone, type New } from "./phone.svelte";
import { factsOf, progress, resumeAt } from "./progress";
import type { KeptCard } from "./sync/held";
import { sync } from "./sync/sync.svelte";
import { allTogether } from "./together";
import { t } from "./words";

/** The name under which the page over the step is kept. */
const ASIDE = "aside";
/** And the one for a page within the step. */
const WITHIN = "within";
const AGAIN_MS = 3000;
/** So long closing waits for what others have recorded meanwhile. */
const CATCH_UP_MS = 8000;
// 231 cubic inches, exactly.
const LITRES_PER_GALLON = 3.785411784;

/** The work on one job: the card, its facts, where the hand is, and what still waits to be sent. */
class Work {
  card = $state.raw<Card | null>(null);
  meterShown = $state.raw<{ shown_h: number; at: string | null } | null>(null);
  place = $state(0);
  /** Grows whenever another screen is entered; what hangs on it starts afresh. */
  turn = $state(0);
  private over = $state.raw<Aside | null>(null);
  private recorded = $state.raw<Fact[]>([]);
  private clockErrors = $state.raw<ClockErrors>({});
  facts = $derived(effective(this.recorded, this.clockErrors));
  progress = $derived(this.card ? progress(this.card, this.facts) : { done: 0, total: 0 });
  screen = $derived(this.card?.screens[this.place] ?? null);

  /** Why there is no card to be seen: what was refused, or why nothing answers. */
  trouble = $state.raw<Exclude<Worked<never>, { ok: never }> | null>(null);
  /** What has to be said with the card. */
  said = $state("");

  /** What the screens keep for themselves. */
  readonly notes: Notes;

  private answer: CardAnswer | null = null;
  private tag: string | null = null;
  private left = false;
  /** Something is being recorded here, and the card is kept with it. */
  private recording = 0;
  private ends: (() => void)[] = [];

  constructor(readonly job: string) {
    this.notes = notesOf(job, phone.store);
  }

  /**
   * Open the card: as it was kept, else as the phone's own bench or the server makes it, which is tried again until
   * there is something to show. What is taken along meanwhile is laid beside what was recorded here.
   */
  async open(): Promise<void> {
    phone.openJob = this.job;
    const [kept] = await Promise.all([sync.held.card(this.job), this.notes.read()]);
    if (this.left) return;
    this.ends.push(phone.listen((out, fresh) => void this.correct(out, fresh)), sync.listen(() => void this.renew()), sync.watch(this.job));
    if (kept && phone.me) await this.show(kept.answer, kept);
    void sync.soon();
    while (!(await this.renew()) && !this.card && !this.left) await new Promise((done) => setTimeout(done, AGAIN_MS));
  }

  /** Have the card made from what is known by now; false where nothing makes it. */
  private async renew(): Promise<boolean> {
    const kept = await sync.held.card(this.job);
    if (this.card) this.recorded = once([...this.recorded, ...sync.factsTaken(this.job)]);
    if (!phone.me) await phone.meet();
    const told = await sync.desk.card(this.job);
    if (this.left) return true;
    if (!("ok" in told) || !phone.me) {
      if (!this.card) this.trouble = "ok" in told ? { waits: "no_answer" } : told;
      return false;
    }
    await this.show(told.ok, kept);
    this.said = told.note ?? "";
    return true;
  }

  private async show(answer: CardAnswer, kept: KeptCard | null): Promise<void> {
    const shown = new Set(this.recorded);
    const [waiting, parked] = await Promise.all([phone.outbox.factsOfJob(this.job), phone.outbox.parked()]);
    if (this.left) return;
    // Where the job was taken along, what is known of it holds the corrections too; else the server's word stands alone,
    // and without one what was kept. What the hand recorded this moment belongs to it in any case.
    const trusted = sync.jobs.has(this.job) || answer === kept?.answer;
    const known = trusted ? [...(kept?.facts ?? []), ...this.recorded] : this.recorded.filter((fact) => !shown.has(fact));
    const before = known.filter((fact) => !parked.has(fact.id));
    this.recorded = once([...answer.facts, ...before, ...sync.factsTaken(this.job), ...waiting]);
    this.clockErrors = { ...sync.bundle?.clock_errors, ...answer.clock_errors };
    this.tag = sync.taken?.tag ?? null;
    this.answer = answer;
    this.trouble = null;
    const meter = answer.state?.meter;
    this.meterShown = typeof meter?.shown_h === "number" ? { shown_h: meter.shown_h, at: meter.at } : null;
    const card = allTogether(answer.card);
    if (!this.card) {
      this.card = card;
      this.place = resumeAt(card, this.facts, this.notes.get<string>("place"));
      this.aside = this.screen && asideAgain(this.notes.get<KeptAside>(ASIDE), card, this.screen, this.facts);
      this.turn += 1;
    } else if (JSON.stringify(card) !== JSON.stringify(this.card)) {
      const before = this.screen?.key ?? null;
      this.place = resumeAt(card, this.facts, before);
      this.card = card;
      // What lay over a step that is no more on the card would be taken for the next one's.
      if (this.screen?.key !== before) this.aside = null;
    }
    await this.keepCard();
  }

  /** Leave the card: what is recorded and noted is kept, and what a screen has still begun is recorded of this job. */
  close(): void {
    this.left = true;
    for (const end of this.ends.splice(0)) end();
    if (phone.openJob === this.job) phone.openJob = "";
    hand.within = null;
    hand.said = "";
  }

  /** Facts that were refused and set aside count no more; those that came in their place or from a file do. */
  private async correct(out: readonly string[], fresh: readonly Fact[]): Promise<void> {
    const own = fresh.filter((fact) => fact.job === this.job);
    this.recorded = once([...this.recorded.filter((fact) => !out.includes(fact.id)), ...own]);
    if (!this.recording) await this.keepCard();
  }

  get units(): "metric" | "us" {
    return this.card?.units ?? "metric";
  }

  /** The unit that volumes are typed in, and how it is written. */
  get volume(): { unit: "l" | "gal"; symbol: string } {
    return this.units === "us" ? { unit: "gal", symbol: t("unit_gal") } : { unit: "l", symbol: t("unit_l") };
  }

  get temperature(): { unit: "c" | "f"; symbol: string } {
    return this.units === "us" ? { unit: "f", symbol: t("unit_f") } : { unit: "c", symbol: t("unit_c") };
  }

  get torque(): { unit: "nm" | "lbf_ft"; symbol: string } {
    return this.units === "us" ? { unit: "lbf_ft", symbol: t("unit_lbf_ft") } : { unit: "nm", symbol: t("unit_nm") };
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
    const starts = this.notes.all().flatMap(([name, value]) => (name.startsWith("wait ") && typeof value === "number" ? [value] : []));
    return starts.length === 0 ? null : String(Math.min(999, Math.floor((Date.now() - Math.max(...starts)) / 60_000)));
  }

  hasStep(step: string): boolean {
    return this.placeOf(step) >= 0;
  }

  async askLevel(request: Record<string, unknown>): Promise<Worked<LevelAnswer>> {
    return allTogether(await sync.desk.level(this.job, request));
  }

  async askFinish(): Promise<Worked<FinishAnswer>> {
    return allTogether(await sync.desk.finish(this.job));
  }

  /** Ask what is to be thought of a reading; with no answer in time the card goes on without. */
  async askMeter(reading: string): Promise<Worked<MeterAnswer>> {
    return allTogether(await sync.desk.meter(this.job, { reading_h: reading }, sync.moment()));
  }

  // where the hand is

  /** What lies over the step for a while. It is kept with the job until the hand leaves it. */
  get aside(): Aside | null {
    return this.over;
  }
  set aside(aside: Aside | null) {
    this.over = aside;
    const kept = keptAside(aside, this.screen?.key ?? "");
    if (JSON.stringify(kept) !== JSON.stringify(this.notes.get(ASIDE))) void this.notes.set(ASIDE, kept);
  }

  /** The page within the step of this screen that is open, as the screen keeps it; null where none is. */
  within<T>(screen: Screen): T | null {
    const kept = this.notes.get<{ step: string; page: T }>(WITHIN);
    return kept?.step === screen.key ? kept.page : null;
  }

  /** Say what was done, unless the job was left meanwhile. */
  say(what: string): void {
    if (!this.left) hand.said = what;
  }

  /** Keep which page within the step of this screen is open, until the hand leaves the page or the step. */
  async keepWithin(screen: Screen, page: unknown): Promise<void> {
    if (page !== null) await this.notes.set(WITHIN, { step: screen.key, page });
    else if (this.within(screen) !== null) await this.notes.set(WITHIN, null);
  }

  async goTo(place: number): Promise<void> {
    const last = (this.card?.screens.length ?? 1) - 1;
    this.place = Math.min(last, Math.max(0, place));
    this.over = null;
    this.turn += 1;
    if (!this.left) {
      hand.said = "";
      scrollTo(0, 0);
    }
    // Written as the step is shown, and at once: the next thing may be that the phone dies.
    await this.notes.put({ place: this.screen?.key ?? null, [ASIDE]: null, [WITHIN]: null });
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

  // recording

  /** Record facts of this job at one moment; they are on the disk when this resolves. */
  async record(...news: New[]): Promise<void> {
    this.recording += 1;
    try {
      const made = await phone.record(this.card!.machine.id, this.job, news);
      this.recorded = once([...this.recorded, ...made]);
      await this.keepCard();
    } finally {
      this.recording -= 1;
    }
    phone.kick();
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
    const last = own.reduce<Fact | null>((one, other) => (one && one.number > other.number ? one : other), null);
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
    this.say(t("undone"));
  }

  /**
   * Close the job: the closing fact names every fact of the job that is known here with its text's hash. What others
   * recorded meanwhile is asked for first; where no network is, it will show as recorded after closing.
   */
  async closeJob(): Promise<void> {
    await Promise.race([sync.now(), new Promise((done) => setTimeout(done, CATCH_UP_MS))]);
    const answer = await this.askFinish();
    const taken = await sync.sealsTaken(this.job);
    if (!("ok" in answer) && !sync.jobs.has(this.job)) throw new Error(t("finish_no_answer"));
    // What this phone recorded and a backup covers by now is in the outbox no more; those that know better come after.
    const here = this.recorded.filter((fact) => fact.device === phone.me?.device.id && fact.job === this.job);
    const own = await phone.outbox.sealsOfJob(this.job);
    const told = "ok" in answer ? answer.ok.facts : [];
    const parked = await sealsOf(await phone.outbox.parked());
    const facts = toCloseWith([await sealsOf(here.map((fact) => [fact.id, canonical(fact)])), told, taken, own], parked);
    await this.record({ kind: "job_closed", body: { facts } });
    await sync.closed(this.job);
    void sync.now();
  }

  private async keepCard(): Promise<void> {
    // Once the job is left, the outbox has what comes late.
    if (!this.left && this.answer) await sync.held.keepCard(this.job, { answer: this.answer, facts: this.recorded, tag: this.tag });
  }
}

function sealsOf(texts: Iterable<readonly [string, string]>): Promise<[string, string][]> {
  return Promise.all([...texts].map(async ([id, text]): Promise<[string, string]> => [id, await sha256(text)]));
}

function once(facts: readonly Fact[]): Fact[] {
  return [...new Map(facts.map((fact) => [fact.id, fact])).values()];
}

/** The work on a job. It outlives the screens, which may still have something to record when they are left. */
export function workOn(job: string): Work {
  let work!: Work;
  $effect.root(() => {
    work = new Work(job);
  });
  return work;
}

/** The work that a screen belongs to; to be asked for while the screen is made. */
export const [thisWork, setWork] = createContext<Work>();
