import { after, atOnce, choose, goesOn, itsFault, nextAt, START, suspect, type Course, type Suspect } from "./course";
import { judge, judgeAttachment, judgeLacking, pause, type Attached, type Heard, type Holding, type Reply, type Why } from "./queue";
import { WAITING, type Attachment, type Bytes, type Changes, type MediaType, type Store } from "./store";

/** The way to the server; a silence or a broken line is a reply too. */
export interface Post {
  /** Send facts. With none it asks how the server is: its epoch, and what its backup covers. */
  facts(texts: readonly string[]): Promise<Reply>;
  /** Ask which of these attachments the server lacks. */
  lacking(shas: readonly string[]): Promise<Reply>;
  /** Send an attachment, or those of its `total` bytes that begin at `from`. */
  attachment(sha: string, type: MediaType, bytes: Bytes, from?: number, total?: number): Promise<Reply>;
}

export interface Round {
  delivered: string[];
  refused: { id: string; why: string }[];
  /** Why something stays, or null when all that was due went. */
  stays: Why | null;
  /** When to try again [s], or null when nothing is left that the server might want. */
  againS: number | null;
}

/** A text and a signature are small and read with their facts: they go first. What is larger goes after all facts. */
const SMALL = 20_000;
/** What is larger goes in pieces of this size [bytes]: a line that breaks off costs one, and not the whole. */
export const PIECE = 65_536;
const MOST_ASKED = 200;
/** What was delivered stays until a backup covers it, and comes back into the line in another epoch: so one asks. */
const KNOCK_MS = 10 * 60_000;
/** The server's disk may lose what it said to have: so one asks after that too, now and then. */
const LOOK_MS = 60 * 60_000;
/** After so many attachments in a row that the server had a fault with, the others are left for another time. */
const PATIENCE = 3;

/** An attachment that the server lacks, and how much of it is there already [bytes]. */
type Lacking = Attachment & { has: number };
type Settled = Exclude<Attached, { is: "stays" | "begun" }>;

interface Way {
  stays: Why | null;
  /** Nothing more goes in this round. */
  ends: boolean;
}

/**
 * Sends what waits: look, send, and let stand as delivered what the server has named. One round at a time, whoever
 * asks; an answer that is no delivery leaves everything as it was. What it knows of failures it forgets with the page.
 */
export class Sender {
  private running: Promise<Round> | null = null;
  private asked = false;
  private course: Course = START;
  private readonly tries = new Map<string, Suspect>();
  private heardAt = -Infinity;
  private lookedAt = -Infinity;
  private stays: Why | null = null;
  private lane: Promise<Way> | null = null;
  private uploading = false;
  private round: Pick<Round, "delivered" | "refused"> = { delivered: [], refused: [] };

  constructor(
    private readonly store: Store,
    private readonly post: Post,
    private readonly now: () => number = Date.now,
    /** Told whenever something has come to stand otherwise. */
    private readonly onmoved: () => void = () => undefined,
  ) {}

  /**
   * Send what waits, as far as it is time to; `force` waits for no time. While a round runs, asking again waits for
   * that one, and for one more: what was put in line after the running round had looked must not lie there until
   * somebody asks a third time.
   */
  flush({ force = false }: { force?: boolean } = {}): Promise<Round> {
    this.asked = true;
    if (force) this.rush();
    // A photo may take minutes: facts pass beside it.
    if (this.uploading) void this.facts().catch(() => undefined);
    this.running ??= this.rounds();
    return this.running;
  }

  /** The server said elsewhere (with the day's bundle, say) which epoch it is in and what its backup covers. */
  async heard({ epoch, backedUpTo }: Heard): Promise<void> {
    this.heardAt = this.now();
    const { back } = await this.store.heard(epoch, backedUpTo);
    // What came back has to go again, even from a round that had looked already.
    if (back.facts + back.attachments > 0) this.asked = true;
    this.onmoved();
  }

  private rush(): void {
    this.course = atOnce(this.course);
    for (const [sha, one] of this.tries) this.tries.set(sha, { ...one, notBefore: 0 });
    this.heardAt = -Infinity;
  }

  private async rounds(): Promise<Round> {
    this.round = { delivered: [], refused: [] };
    try {
      for (;;) {
        this.asked = false;
        const way = await this.all();
        this.stays = way.stays;
        const againS = await this.againS();
        // Asked meanwhile, it looks once more; but a server that did not take the last is left alone until its time.
        if (!this.asked || way.ends) return { ...this.round, stays: way.stays, againS };
      }
    } finally {
      // In the same breath as the look at `asked`, so that no asking falls in between.
      this.running = null;
    }
  }

  /**
   * Small attachments, facts, the other attachments; and a question to the server where nothing else was to say. What
   * failed once goes behind the facts, so that one attachment that always meets with silence holds no fact back; and
   * facts that failed three times hold no attachment back.
   */
  private async all(): Promise<Way> {
    if (this.now() < this.course.notBefore) return { stays: this.stays, ends: true };
    // Not what this round will deliver: of that the server has just spoken.
    const before = this.now() < this.lookedAt + LOOK_MS ? null : await this.store.attachmentsDelivered();
    const { lacking, ...asked } = await this.lacking((one) => !this.tries.has(one.sha));
    if (asked.ends) return asked;
    const small = await this.attachments(lacking.filter((one) => one.size <= SMALL));
    if (small.ends) {
      for (const { sha } of lacking) if (!this.tries.has(sha)) this.tries.set(sha, { failures: 0, notBefore: 0 });
      return small;
    }
    const facts = await this.facts();
    if (facts.ends && !(this.course.careful && itsFault(facts.stays))) return facts;
    const again = await this.lacking((one) => this.tries.has(one.sha));
    if (again.ends) return again;
    const others = this.inTurn([...lacking.filter((one) => one.size > SMALL), ...again.lacking]);
    const later = await this.attachments(others);
    const stays = facts.stays ?? later.stays ?? small.stays ?? asked.stays ?? again.stays;
    if (facts.ends || later.ends) return { stays, ends: true };
    const look = before === null ? null : await this.look(before);
    if (look?.ends) return { stays: stays ?? look.stays, ends: true };
    const knock = await this.knock();
    return { stays: stays ?? knock.stays, ends: knock.ends };
  }

  /**
   * Those that failed least go first; of these what was begun, as the server keeps few beginnings; and of these the
   * small ones. So none that always fails holds another back.
   */
  private inTurn(lacking: readonly Lacking[]): Lacking[] {
    const rank = (one: Lacking): number[] => [this.tries.get(one.sha)?.failures ?? 0, Number(one.has === 0), Number(one.size > SMALL)];
    return lacking
      .map((one) => ({ one, rank: rank(one) }))
      .sort((a, b) => a.rank.map((value, at) => value - b.rank[at]!).find((difference) => difference !== 0) ?? 0)
      .map(({ one }) => one);
  }

  /** Send the facts that wait; who asks while they are being sent waits for those. */
  private facts(): Promise<Way> {
    this.lane ??= this.allFacts().finally(() => (this.lane = null));
    return this.lane;
  }

  private async allFacts(): Promise<Way> {
    let stays: Why | null = null;
    for (;;) {
      const next = choose(this.course, await this.store.line(), this.now());
      if (next.length === 0) return { stays, ends: false };
      const ids = next.map((entry) => entry.id);
      const outcome = judge(ids, await this.post.facts(next.map((entry) => entry.text)));
      const { delivered, refused, heard } = outcome;
      const epoch = heard?.epoch ?? "";
      await this.store.stand({
        facts: [
          ...delivered.map(({ id, arrival }) => ({ id, standing: { is: "delivered", epoch, arrival } as const })),
          ...refused.map(({ id, why, name }) => ({ id, standing: { is: "refused", why, name } as const })),
        ],
      });
      this.round.delivered.push(...delivered.map((one) => one.id));
      this.round.refused.push(...refused);
      if (heard) await this.heard(heard);
      this.course = after(this.course, ids, outcome, this.now());
      stays = outcome.stays ?? stays;
      const line = outcome.stays === null ? [] : await this.store.line();
      if (!goesOn(this.course, ids, outcome.stays, line, this.now())) return { stays, ends: true };
    }
  }

  /** Ask which of these attachments that wait and are due the server lacks; it may have them from another time. */
  private async lacking(which: (one: Attachment) => boolean): Promise<Way & { lacking: Lacking[] }> {
    const waiting = (await this.store.attachments()).filter((one) => one.standing.is === "waiting" && which(one));
    const due = waiting.filter((one) => (this.tries.get(one.sha)?.notBefore ?? 0) <= this.now());
    if (due.length === 0) return { lacking: [], stays: null, ends: false };
    // Those that failed least go first, each as it stands in line.
    const failures = (one: Attachment): number => this.tries.get(one.sha)?.failures ?? 0;
    const next = due.sort((one, other) => failures(one) - failures(other)).slice(0, MOST_ASKED);
    const told = judgeLacking(next.map((one) => one.sha), await this.post.lacking(next.map((one) => one.sha)));
    await this.take(told);
    const ends = told.stays !== null && this.ends(told.stays, told.retryAfterS);
    // The server knows nothing of our question, or failed at it: the facts may pass all the same.
    if (told.stays !== null) for (const one of next) this.tries.set(one.sha, suspect(this.tries.get(one.sha), this.now()));
    const has = new Map(told.lacking.map((one) => [one.sha, one.has]));
    const lacking = next.flatMap((one) => (has.has(one.sha) ? [{ ...one, has: has.get(one.sha)! }] : []));
    return { lacking, stays: told.stays, ends };
  }

  private async take({ held, erased, heard }: Holding): Promise<void> {
    if (!heard) return;
    const epoch = heard.epoch;
    const attachments: Changes["attachments"] = [
      ...held.map(({ sha, arrival }) => ({ sha, standing: { is: "delivered", epoch, arrival } as const })),
      ...erased.map((sha) => ({ sha, standing: "erased" as const })),
    ];
    await this.store.stand({ attachments });
    await this.heard(heard);
  }

  private async attachments(lacking: readonly Lacking[]): Promise<Way> {
    let stays: Why | null = null;
    let inARow = 0;
    for (const one of lacking) {
      const bytes = await this.store.bytes(one.sha);
      if (!bytes) continue;
      this.uploading = one.size > SMALL;
      const { told, further } = await this.pieces(one, bytes).finally(() => (this.uploading = false));
      if (told.is === "stays") {
        stays = told.stays;
        const ends = this.ends(stays, told.retryAfterS);
        // Where the line broke off under one that got further, it stays first: so it arrives, and others after it.
        if (!(ends && further)) this.tries.set(one.sha, suspect(this.tries.get(one.sha), this.now()));
        if (ends) return { stays, ends };
        inARow = stays === "too_large" ? 0 : inARow + 1;
        if (inARow >= PATIENCE) break;
        continue;
      }
      inARow = 0;
      this.tries.delete(one.sha);
      this.course = { ...this.course, failures: 0 };
      await this.settle(one.sha, told);
      if (told.heard) await this.heard(told.heard);
      // Facts that were recorded meanwhile wait for no photo.
      if (this.asked) break;
    }
    return { stays, ends: false };
  }

  /**
   * Send an attachment, in pieces where it is large, from where the server says that it is. Once it may fall back, also
   * to the beginning where the whole was not what it should be; else it has to get further each time.
   */
  private async pieces({ sha, type, has }: Lacking, bytes: Bytes): Promise<{ told: Settled | Extract<Attached, { is: "stays" }>; further: boolean }> {
    let from = bytes.length > PIECE && has < bytes.length ? has : 0;
    let further = false;
    let anew = true;
    for (;;) {
      const piece = bytes.length > PIECE ? bytes.subarray(from, from + PIECE) : bytes;
      const told = judgeAttachment(sha, await this.post.attachment(sha, type, piece, from, bytes.length));
      const whole = piece.length === bytes.length;
      const wrong = told.is === "refused" && told.name === "sha256" && !whole;
      if (told.is !== "begun" && !(wrong && anew)) return { told, further };
      const next = told.is === "begun" ? told.has : 0;
      const on = next > from;
      if (whole || next >= bytes.length || !(on || anew)) return { told: { is: "stays", stays: "server", retryAfterS: null, heard: null }, further };
      if (on) this.course = { ...this.course, failures: 0 };
      else anew = false;
      further ||= on;
      from = next;
    }
  }

  private async settle(sha: string, told: Settled): Promise<void> {
    const standing = ((): "erased" | Attachment["standing"] => {
      if (told.is === "erased") return "erased";
      if (told.is === "refused") return { is: "refused", why: told.why, name: told.name };
      return { is: "delivered", epoch: told.heard?.epoch ?? "", arrival: told.arrival };
    })();
    if (told.is === "held") this.round.delivered.push(sha);
    if (told.is === "refused") this.round.refused.push({ id: sha, why: told.why });
    await this.store.stand({ attachments: [{ sha, standing }] });
  }

  /** Ask whether the server still has these attachments; what it lacks waits again. */
  private async look(delivered: readonly string[]): Promise<Way> {
    for (let from = 0; from < delivered.length; from += MOST_ASKED) {
      const next = delivered.slice(from, from + MOST_ASKED);
      const told = judgeLacking(next, await this.post.lacking(next));
      // Where the way failed they are asked after anew; a server that cannot say is left alone until the next time.
      if (told.stays !== null && this.ends(told.stays, told.retryAfterS)) return { stays: told.stays, ends: true };
      await this.store.stand({
        attachments: [
          // Those that are held keep the number that they have: a later one would have them stay for longer.
          ...told.lacking.map(({ sha }) => ({ sha, standing: WAITING })),
          ...told.erased.map((sha) => ({ sha, standing: "erased" as const })),
        ],
      });
      if (told.lacking.length > 0) this.asked = true;
      if (told.heard) await this.heard(told.heard);
    }
    this.lookedAt = this.now();
    return { stays: null, ends: false };
  }

  /** Where nothing was said for a while and something delivered is still here, ask how the server is. */
  private async knock(): Promise<Way> {
    const kept = await this.store.delivered();
    if (kept.facts + kept.attachments === 0 || this.now() < this.heardAt + KNOCK_MS) return { stays: null, ends: false };
    const { heard, stays, retryAfterS } = judge([], await this.post.facts([]));
    if (heard) await this.heard(heard);
    return { stays, ends: stays !== null && this.ends(stays, retryAfterS, true) };
  }

  /** Whether a failure is one of the way to the server, which is then left alone for a while. */
  private ends(stays: Why, retryAfterS: number | null, enough = false): boolean {
    const way = stays === "silence" || stays === "sign_in" || stays === "too_many" || enough;
    if (!way) return false;
    const failures = this.course.failures + 1;
    this.course = { ...this.course, failures, notBefore: this.now() + 1000 * pause(failures, retryAfterS) };
    return true;
  }

  private async againS(): Promise<number | null> {
    const now = this.now();
    const times: number[] = [];
    const facts = nextAt(this.course, await this.store.line(), now);
    if (facts !== null) times.push(facts);
    const waiting = (await this.store.attachments()).filter((one) => one.standing.is === "waiting");
    times.push(...waiting.map((one) => Math.max(this.course.notBefore, this.tries.get(one.sha)?.notBefore ?? 0)));
    const kept = await this.store.delivered();
    if (kept.facts + kept.attachments > 0) times.push(Math.max(this.course.notBefore, this.heardAt + KNOCK_MS));
    if (times.length === 0) return null;
    return Math.max(0, Math.min(...times) - now) / 1000;
  }
}
