import type { Reply } from "../src/outbox/queue";
import type { Post } from "../src/outbox/send";

const json = "application/json";
export const answer = (message: object, status = 200): Reply => ({ heard: true, status, type: json, text: JSON.stringify(message), retryAfter: null });
export const failed = (status: number, type = "text/html", retryAfter: string | null = null): Reply => ({ heard: true, status, type, text: "", retryAfter });
export const silence: Reply = { heard: false };

/** What happens to a request: it is answered, never arrives, its answer is lost or cut, or somebody else answers. */
export type Fate = "ok" | "lost" | "lost after" | "half an answer" | Reply;

interface Held {
  text: string;
  arrival: number;
}

/** An answer that names only the first half of what it was asked about. */
function half(reply: Reply): Reply {
  if (!reply.heard || reply.status !== 200) return reply;
  const message = JSON.parse(reply.text) as { answers?: unknown[] };
  return { ...reply, text: JSON.stringify({ ...message, answers: message.answers?.slice(0, Math.floor(message.answers.length / 2)) }) };
}

/** A server by the contract: facts under arrival numbers, attachments by their hash, backups, and other epochs. */
export class Server implements Post {
  epoch = "epoch 1";
  facts_ = new Map<string, Held>();
  things = new Map<string, Uint8Array>();
  /** Attachments whose files the disk has lost. */
  gone = new Set<string>();
  nextArrival = 1;
  backedUpTo = 0;
  /** Texts that are refused, and those at which the server fails. */
  refuses = new Set<string>();
  failsAt = new Set<string>();
  readonly batches: string[][] = [];
  readonly sent: string[] = [];
  /** Beginnings of attachments that come in pieces: no backup has them. */
  parts = new Map<string, Uint8Array>();
  /** Which bytes of attachments came, as [from, to]. */
  readonly pieces: [number, number][] = [];
  readonly asked: string[][] = [];
  /** Whether what came in pieces has the hash that it was sent under. */
  isRight: (bytes: Uint8Array) => boolean = () => true;
  fates: Fate[] = [];
  private backup_: Pick<Server, "facts_" | "things" | "nextArrival"> & { arrival: number } = { facts_: new Map(), things: new Map(), nextArrival: 1, arrival: 0 };
  private epochs = 1;

  constructor(private readonly idOf: (text: string) => string = (text) => text) {}

  facts(texts: readonly string[]): Promise<Reply> {
    this.batches.push([...texts]);
    return this.fated(() => {
      if (texts.some((text) => this.failsAt.has(text))) return failed(500);
      const answers = texts.map((text) => {
        const id = this.idOf(text);
        const before = this.facts_.get(id);
        if (this.refuses.has(text) || (before && before.text !== text)) return { id, answer: "refused", arrival: null, why: "not right", name: "body.way" };
        if (before) return { id, answer: "known", arrival: before.arrival, why: null, name: null };
        this.facts_.set(id, { text, arrival: this.nextArrival });
        return { id, answer: "kept", arrival: this.nextArrival++, why: null, name: null };
      });
      return answer({ epoch: this.epoch, answers, backed_up_to: this.backedUpTo });
    });
  }

  lacking(shas: readonly string[]): Promise<Reply> {
    this.asked.push([...shas]);
    return this.fated(() => {
      const answers = shas.map((sha256) => (this.holds(sha256) ? { sha256, answer: "held", has: 0 } : { sha256, answer: "lacking", has: this.part(sha256).length }));
      return answer({ epoch: this.epoch, answers, arrival: this.nextArrival, backed_up_to: this.backedUpTo });
    });
  }

  attachment(sha: string, _type: string, piece: Uint8Array, from = 0, total = piece.length): Promise<Reply> {
    this.sent.push(sha);
    this.pieces.push([from, from + piece.length]);
    return this.fated(() => {
      const part = this.part(sha);
      let bytes = piece;
      if (piece.length < total) {
        const fits = from === part.length;
        bytes = fits ? new Uint8Array([...part, ...piece]) : part;
        if (!fits || bytes.length < total) {
          this.parts.set(sha, bytes);
          return answer({ sha256: sha, answer: fits ? "goes_on" : "does_not_fit", has: bytes.length }, fits ? 202 : 409);
        }
        this.parts.delete(sha);
        if (!this.isRight(bytes)) return answer({ says: "another hash", name: "sha256" }, 422);
      }
      if (this.refuses.has(sha)) return answer({ says: "no JPEG", name: "content" }, 422);
      if (this.failsAt.has(sha)) return failed(500);
      const known = this.things.has(sha);
      this.things.set(sha, bytes);
      this.gone.delete(sha);
      return answer({ sha256: sha, answer: known ? "known" : "kept", epoch: this.epoch, arrival: this.nextArrival, backed_up_to: this.backedUpTo }, known ? 200 : 201);
    });
  }

  private holds(sha: string): boolean {
    return this.things.has(sha) && !this.gone.has(sha);
  }

  private part(sha: string): Uint8Array {
    return this.parts.get(sha) ?? new Uint8Array(0);
  }

  get kept(): string[] {
    return [...this.facts_.keys()];
  }

  /** What the last backup has. */
  get backedUp(): { facts: string[]; things: string[] } {
    return { facts: [...this.backup_.facts_.keys()], things: [...this.backup_.things.keys()] };
  }

  /** A backup that lacks a file covers nothing new. */
  backup(): void {
    const things = new Map([...this.things].filter(([sha]) => this.holds(sha)));
    if (this.gone.size === 0) this.backedUpTo = this.nextArrival - 1;
    this.backup_ = { facts_: new Map(this.facts_), things, nextArrival: this.nextArrival, arrival: this.backedUpTo };
  }

  /** The disk loses the file of an attachment that no backup has. */
  lose(which: number): void {
    const uncovered = [...this.things.keys()].filter((sha) => !this.backup_.things.has(sha));
    const sha = uncovered[which % Math.max(1, uncovered.length)];
    if (sha !== undefined) this.gone.add(sha);
  }

  /** The last backup comes in the place of what is here. */
  restore(): void {
    this.facts_ = new Map(this.backup_.facts_);
    this.things = new Map(this.backup_.things);
    this.gone = new Set();
    this.nextArrival = this.backup_.nextArrival;
    this.backedUpTo = this.backup_.arrival;
    this.epochs += 1;
    this.epoch = `epoch ${this.epochs}`;
  }

  private async fated(act: () => Reply): Promise<Reply> {
    const fate = this.fates.shift() ?? "ok";
    if (fate === "lost") return silence;
    if (typeof fate === "object") return fate;
    const reply = act();
    if (fate === "half an answer") return half(reply);
    return fate === "lost after" ? silence : reply;
  }
}
