import { Bench, type BenchState } from "../desk/bench";
import { ServerDesk } from "../desk/server-desk";
import { TwoDesks } from "../desk/two-desks";
import { WorkerDesk, type Held } from "../desk/worker-desk";
import { sha256 } from "../digest";
import { draftsText, loose, staysHere } from "../drafts";
import { canonical, type Fact } from "../fact";
import { momentText, offsetAt } from "../moment";
import { forgetNotes } from "../notes.svelte";
import type { Why } from "../outbox/queue";
import { phone } from "../phone.svelte";
import type { Bundle, Kit, MachinePart } from "./bundle";
import { Lasting, MemoryHeld, openHeld, type HeldStore, type OwnJob, type Taken } from "./held";
import { cardsWanted, dayOf, daysOf, jobsOf, plan, type Days, type KnownJob } from "./plan";
import { pull } from "./pull";

/** The list of all sums as it was last, in the phone's store. */
export const SUMS = "sums";

/** How it went with the server last. */
export type SyncState = { is: "asleep" | "asking" | "done" | "failed" } | { is: "stays"; why: Why } | { is: "refused"; says: string };

/** A phone that comes to light so often asks no more than this. */
const PAUSE_MS = 60_000;
const EVERY_MS = 10 * 60_000;
/** So often it is asked, while a card is open and seen, whether others have recorded something of its job. */
const OTHERS_MS = 10_000;
/** And so seldom where nothing answers: what is sent goes before. */
const OTHERS_MOST_MS = 160_000;
/** So long the pull waits for what is being sent; then it goes ahead, and what was recorded here is laid over it. */
const SENDING_MS = 10_000;

/** What this phone has taken along, how it is kept up, and who works things out from it. */
class Sync {
  state = $state.raw<SyncState>({ is: "asleep" });
  bench = $state.raw<BenchState>({ is: "starting" });
  taken = $state.raw<Taken | null>(null);
  /** Jobs that were opened or closed here. */
  own = $state.raw<OwnJob[]>([]);
  /** What was taken along last could not be kept: it is here until the page is closed. */
  full = $state(false);
  /** What was read from the phone's own store. */
  opened = $state(false);
  readonly jobs = $derived<Map<string, KnownJob>>(this.taken ? jobsOf(this.taken.bundle, this.own) : new Map());

  held!: HeldStore;
  desk!: TwoDesks;
  worker!: WorkerDesk;
  private running: Promise<void> | null = null;
  private building: Promise<void> = Promise.resolve();
  /** What was said and was named in no draft when that was looked at last. */
  private loose: ReadonlySet<string> = new Set();
  private askedAt = -Infinity;
  private readonly listeners = new Set<() => void>();

  get bundle(): Bundle | null {
    return this.taken?.bundle ?? null;
  }

  /** The bundle's machine of this id. */
  machine(id: string): MachinePart | null {
    return this.bundle?.machines.find((machine) => machine.id === id) ?? null;
  }

  /** What a planned job wants brought, as far as that was taken along. */
  kitOf(job: string): Kit | null {
    for (const visit of this.bundle?.visits ?? []) for (const one of visit.jobs) if (one.job === job) return one.bring ?? null;
    return null;
  }

  days(): Days | null {
    return this.bundle ? daysOf(this.bundle, this.own, dayOf(Date.now(), offsetAt(Date.now()))) : null;
  }

  async open(): Promise<void> {
    this.held = new Lasting(await openHeld().catch((): HeldStore => new MemoryHeld()), (lasts) => (this.full = !lasts));
    [this.taken, this.own] = await Promise.all([this.held.taken(), this.held.jobs()]);
    const bench = new Bench(undefined, (state) => {
      this.bench = state;
      if (state.is === "ready") void this.keepList();
      void this.buildCards();
    });
    const holdingJob = async (job: string): Promise<Held | null> => {
      const known = this.jobs.get(job);
      return known ? this.holding(known.machine, known.tasks) : null;
    };
    this.worker = new WorkerDesk(bench, holdingJob, (machine) => this.holding(machine, []));
    this.desk = new TwoDesks(this.worker, new ServerDesk(phone.api), () => bench.state.is === "ready");
    this.opened = true;
    addEventListener("online", () => void this.now());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && void this.soon());
    setInterval(() => document.visibilityState === "visible" && void this.soon(), EVERY_MS);
    // A new sign-in, another unit, a newer server: what is known of who is here may be old.
    void phone.meet();
    void this.now();
  }

  /** Hear when something else has been taken along; returns what ends it. */
  listen(ontaken: () => void): () => void {
    this.listeners.add(ontaken);
    return () => this.listeners.delete(ontaken);
  }

  /** Send and take along, unless that was done a moment ago. */
  soon(): Promise<void> {
    return performance.now() - this.askedAt < PAUSE_MS ? Promise.resolve() : this.now();
  }

  /** Send first, then ask what there is to take along. */
  now(): Promise<void> {
    this.running ??= this.round().finally(() => (this.running = null));
    return this.running;
  }

  /** Take along what others record of a job while its card is open; returns what ends it. */
  watch(job: string): () => void {
    let heardTo = -1;
    /** Look once; whether the server answered. */
    const look = async (): Promise<boolean> => {
      const { bundle } = this;
      if (!bundle || this.running || document.visibilityState !== "visible") return true;
      const told = await phone.api.since(Math.max(heardTo, bundle.arrival));
      if (!("ok" in told)) return false;
      const { epoch, texts, last } = told.ok;
      const news = texts.map((text) => JSON.parse(text) as Fact).some((fact) => fact.job === job && fact.device !== phone.me?.device.id);
      if (news || epoch !== bundle.epoch) {
        await this.running; // which may have asked before they arrived
        await this.now();
        // What was not taken along after all is asked for again.
        if (this.state.is !== "done") return false;
      }
      heardTo = epoch === bundle.epoch ? last : -1;
      return true;
    };
    let timer: ReturnType<typeof setTimeout>;
    let ended = false;
    const next = (pauseMs: number): void => {
      timer = setTimeout(async () => {
        const answered = await look().catch(() => false);
        if (!ended) next(answered ? OTHERS_MS : Math.min(OTHERS_MOST_MS, 2 * pauseMs));
      }, pauseMs);
    };
    next(OTHERS_MS);
    return () => {
      ended = true;
      clearTimeout(timer);
    };
  }

  private async round(): Promise<void> {
    this.askedAt = performance.now();
    this.state = { is: "asking" };
    try {
      this.state = await this.ask();
    } catch {
      // What is kept could not be read or written; another time it may.
      this.state = { is: "failed" };
    }
  }

  private async ask(): Promise<SyncState> {
    const sending = phone.send({ force: true }).catch(() => undefined);
    await Promise.race([sending, new Promise((done) => setTimeout(done, SENDING_MS))]);
    const told = await pull(this.taken?.tag ?? null);
    if ("stays" in told) {
      // A key or a sign-in that holds no more, or never was: who is there?
      if (told.stays === "sign_in") await phone.meet();
      return { is: "stays", why: told.stays };
    }
    if ("gone" in told || "refused" in told) {
      await this.forget();
      if ("gone" in told) await phone.meet();
      return "gone" in told ? { is: "stays", why: "sign_in" } : { is: "refused", says: told.refused };
    }
    if (told.bundle && this.taken && told.bundle.person.id !== this.taken.bundle.person.id) await phone.meet();
    if (!phone.me) await phone.meet();
    const taken = { bundle: told.bundle ?? this.taken!.bundle, tag: told.tag, at: Date.now() };
    await this.held.take(taken);
    this.taken = taken;
    if (told.bundle) await phone.outbox.heard({ epoch: told.bundle.epoch, backedUpTo: told.bundle.backed_up_to });
    this.state = { is: "done" };
    await this.follow(taken, told.bundle !== null);
    return this.state;
  }

  /**
   * Drop all that was taken along: whoever works here may see it no more. What was recorded stays until a backup covers
   * it, and with it the card of a job of which something is still to be sent.
   */
  private async forget(): Promise<void> {
    const [photos, cards, busy] = await Promise.all([this.held.photos(), this.held.cards(), phone.busyJobs()]);
    const quiet = (job: string): boolean => !busy.has(job);
    await this.held.untake();
    await this.held.drop({ photos, cards: cards.filter(quiet), jobs: this.own.map((one) => one.job).filter(quiet) });
    this.taken = null;
    this.own = await this.held.jobs();
    for (const ontaken of this.listeners) ontaken();
    await this.dropDrafts({ atOnce: true });
  }

  /** Fetch, work out and drop what a bundle asks for. What fails is left for the next time. */
  private async follow({ bundle }: Taken, fresh: boolean): Promise<void> {
    const [photos, cards] = await Promise.all([this.held.photos(), this.held.cards()]);
    const busy = await phone.busyJobs();
    const todo = plan(bundle, { photos, cards, jobs: this.own, busy, now: Date.now() });
    await this.held.drop({ photos: todo.photos.drop, cards: todo.cards.drop, jobs: todo.jobs.drop });
    this.own = await this.held.jobs();
    if (fresh) for (const ontaken of this.listeners) ontaken();
    for (const sha of todo.photos.fetch) {
      const photo = await phone.api.photo(sha);
      if (photo === "silence") break;
      if (photo) await this.held.keepPhoto(sha, photo);
    }
    await this.buildCards();
    await this.dropDrafts();
  }

  /** Drop what was begun and never recorded of jobs and machines that are not held here any more. */
  private async dropDrafts({ atOnce = false } = {}): Promise<void> {
    const { store } = phone;
    const names = await store.names();
    const busy = await phone.busyJobs();
    const here = { jobs: new Set([...this.jobs.keys(), ...busy]), machines: new Set(this.bundle?.machines.map(({ id }) => id)) };
    for (const name of names) {
      if (staysHere(name, here)) continue;
      if (name.startsWith("notes ")) forgetNotes(name.slice("notes ".length));
      await store.keep(name, null);
    }
    const found = loose(names, await draftsText(store));
    for (const name of found) if (atOnce || this.loose.has(name)) await store.keep(name, null);
    this.loose = found;
  }

  /**
   * Work out the cards that are wanted, one set at a time: by the phone's own bench once it has started, by the server
   * where it cannot start, so that each opens without a network.
   */
  private buildCards(): Promise<void> {
    this.building = this.building.then(() => this.buildAll()).catch(() => undefined);
    return this.building;
  }

  private async buildAll(): Promise<void> {
    const { taken } = this;
    if (!taken || this.bench.is === "starting") return;
    const { bundle, tag } = taken;
    for (const { job } of cardsWanted(bundle, this.own)) {
      const kept = await this.held.card(job);
      if (kept?.tag === tag || phone.openJob === job) continue;
      const told = await this.desk.card(job);
      if (phone.openJob === job) continue; // it was opened meanwhile, and is kept by who works on it
      if ("ok" in told) await this.held.keepCard(job, { answer: told.ok, facts: (await this.held.card(job))?.facts ?? [], tag });
      else if ("waits" in told && told.waits !== "not_held") break;
    }
  }

  /** The list of all sums, kept so that it stands there at once the next time. */
  private async keepList(): Promise<void> {
    const told = await this.worker.sums("");
    if ("ok" in told) await phone.store.keep(SUMS, told.ok).catch(() => undefined);
  }

  /** Keep that a job was opened or closed here. */
  async keepJob(job: OwnJob): Promise<void> {
    await this.held.keepJob(job);
    this.own = await this.held.jobs();
  }

  /** The facts of a job that were taken along, corrections and all. */
  factsTaken(job: string): Fact[] {
    const machine = this.machine(this.jobs.get(job)?.machine ?? "");
    const texts = machine ? [...machine.facts, ...machine.since] : [];
    return texts.map((text) => JSON.parse(text) as Fact).filter((fact) => fact.job === job);
  }

  /** Id and SHA-256 of the text of each fact of a job that was taken along. */
  async sealsTaken(job: string): Promise<[string, string][]> {
    const machine = this.machine(this.jobs.get(job)?.machine ?? "");
    const texts = machine ? [...machine.facts, ...machine.since] : [];
    const own = texts.map((text) => ({ text, fact: JSON.parse(text) as Fact })).filter(({ fact }) => fact.job === job);
    return Promise.all(own.map(async ({ text, fact }): Promise<[string, string]> => [fact.id, await sha256(text)]));
  }

  /** Keep that a job was closed here. */
  async closed(job: string): Promise<void> {
    const known = this.jobs.get(job);
    if (!known) return;
    const { machine, visit, tasks, opened_at } = known;
    await this.keepJob({ job, machine, visit, tasks, opened_at: opened_at ?? this.moment(), closed_at: this.moment() });
  }

  /** What is held of a machine, with all that was recorded of the machine on this phone. */
  private async holding(id: string, tasks: readonly string[]): Promise<Held | null> {
    const { taken } = this;
    const machine = this.machine(id);
    if (!taken || !machine?.state) return null;
    const { bundle, tag } = taken;
    const here = [...this.jobs.values()].filter((job) => job.machine === machine.id).map((job) => job.job);
    const parked = await phone.outbox.parked();
    const facts = new Map<string, string>();
    for (const job of here) {
      const kept = await this.held.card(job);
      // Of others' facts only their own texts count, which come with the bundle.
      const own = (kept?.facts ?? []).filter((fact) => fact.device === phone.me?.device.id && !parked.has(fact.id));
      for (const fact of [...own, ...(await phone.outbox.factsOfJob(job))]) facts.set(fact.id, canonical(fact));
    }
    for (const fact of await phone.outbox.factsOfNoJob(machine.id, bundle)) facts.set(fact.id, canonical(fact));
    for (const text of [...machine.facts, ...machine.since]) facts.delete((JSON.parse(text) as Fact).id);
    return {
      machine: machine.id,
      material: { machine, sheet: machine.sheet === null ? null : (bundle.sheets[machine.sheet] ?? null), oils: bundle.oils, coldest_c: bundle.coldest_c, clock_errors: bundle.clock_errors ?? {} },
      version: tag,
      tasks,
      facts: [...facts.values()],
      units: bundle.units,
    };
  }

  /** The moment now, as facts write it. */
  moment(): string {
    const now = Date.now();
    return momentText(now, offsetAt(now));
  }
}

export const sync = new Sync();
