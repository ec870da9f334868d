/** The outbox as the app sees it: what is recorded goes in, and it says how each thing stands. */
import { VERSIONS } from "../../../contract/facts";
import { sha256 } from "../digest";
import { canonical, type Fact } from "../fact";
import { momentText, offsetAt } from "../moment";
import { uuid7 } from "../uuid7";
import { readFile, writeFile } from "./file";
import { anew } from "./mend";
import type { Heard, Why } from "./queue";
import { Sender, type Post, type Round } from "./send";
import { covered, WAITING, type Kept, type MediaType, type NewAttachment, type NewEntry, type Entry, type Standing, type Store } from "./store";

/** One thing that does not go by itself: refused by the server, or set aside by a person. */
export interface Item {
  /** A fact's id or an attachment's hash. */
  id: string;
  fact: Fact | null;
  type: MediaType | null;
  standing: Extract<Standing, { is: "refused" | "set_aside" }>;
}

export interface Summary {
  /** What waits to be sent. */
  facts: number;
  attachments: number;
  bytes: number;
  /** What the server has and no backup is known to cover: it stays on the phone. */
  delivered: Kept;
  refused: Item[];
  setAside: Item[];
  stays: Why | null;
}

export const NOTHING: Summary = { facts: 0, attachments: 0, bytes: 0, delivered: { facts: 0, attachments: 0 }, refused: [], setAside: [], stays: null };

interface Surroundings {
  now?: () => number;
  random?: () => Uint8Array;
  /** Told whenever the summary may be another. */
  onchange?: () => void;
}

export class Outbox {
  private readonly sender: Sender;
  private readonly now: () => number;
  private readonly random: () => Uint8Array;
  private readonly onchange: () => void;
  private stays: Why | null = null;

  constructor(
    readonly store: Store,
    post: Post,
    { now = Date.now, random = () => crypto.getRandomValues(new Uint8Array(10)), onchange = () => undefined }: Surroundings = {},
  ) {
    [this.now, this.random, this.onchange] = [now, random, onchange];
    this.sender = new Sender(store, post, now, onchange);
  }

  /** Keep facts; they are on the disk when this resolves. Each is given the device's next number. */
  async record(leastNumber: number, make: readonly ((number: number) => NewEntry)[]): Promise<Entry[]> {
    const entries = await this.store.record(leastNumber, make);
    this.onchange();
    return entries;
  }

  /** Keep bytes that facts name; they are on the disk when this resolves. */
  async attach(one: NewAttachment): Promise<void> {
    await this.store.attach(one);
    this.onchange();
  }

  /** Let go of bytes that were taken back before a fact named them. What the server has of them by then is named by nothing. */
  async detach(sha: string): Promise<void> {
    await this.store.detach(sha);
    this.onchange();
  }

  async send(options: { force?: boolean } = {}): Promise<Round> {
    const round = await this.sender.flush(options);
    this.stays = round.stays;
    this.onchange();
    return round;
  }

  /** The server said with something else which epoch it is in and what its backup covers. */
  heard(heard: Heard): Promise<void> {
    return this.sender.heard(heard);
  }

  async summary(): Promise<Summary> {
    const [line, things, delivered] = await Promise.all([this.store.line(), this.store.attachments(), this.store.delivered()]);
    const waiting = things.filter((one) => one.standing.is === "waiting");
    const items = [...line.flatMap((one) => itemOf(one, one.id, one.text)), ...things.flatMap((one) => itemOf(one, one.sha, null, one.type))];
    return {
      facts: line.filter((entry) => entry.standing.is === "waiting").length,
      attachments: waiting.length,
      bytes: waiting.reduce((sum, one) => sum + one.size, 0),
      delivered,
      refused: items.filter((item) => item.standing.is === "refused"),
      setAside: items.filter((item) => item.standing.is === "set_aside"),
      stays: this.stays,
    };
  }

  /** The facts of a job that are on the phone and count: neither refused nor set aside. */
  async factsOfJob(job: string): Promise<Fact[]> {
    return (await this.counting(job)).map((entry) => factOf(entry.text));
  }

  /**
   * The facts of a machine and of no job that are on the phone and count. With `known`, a database and the last arrival
   * that what was taken along may hold: only those that are not in it.
   */
  async factsOfNoJob(machine: string, known?: { epoch: string; arrival: number }): Promise<Fact[]> {
    const entries = (await this.store.ofNoJob()).filter(counts).filter(({ standing }) => !known || !covered(standing, known.epoch, known.arrival));
    return entries.map((entry) => factOf(entry.text)).filter((fact) => fact.subject.type === "machine" && fact.subject.id === machine);
  }

  /** The texts, by id, of the facts that count for nothing as yet: the server refused them, or they were set aside. */
  async parked(): Promise<Map<string, string>> {
    const line = await this.store.line();
    return new Map(line.filter((entry) => !counts(entry)).map(({ id, text }) => [id, text]));
  }

  /** Id and SHA-256 of the text of each fact of a job that is on the phone and counts. */
  async sealsOfJob(job: string): Promise<[string, string][]> {
    return Promise.all((await this.counting(job)).map(async ({ id, text }): Promise<[string, string]> => [id, await sha256(text)]));
  }

  /** Offer what was refused or set aside once more. */
  async offerAgain(items: readonly Item[]): Promise<void> {
    await this.stand(items, WAITING);
  }

  /** Say why something is not sent. It stays on the phone, with the reason. */
  async setAside(item: Item, why: string): Promise<void> {
    await this.stand([item], { is: "set_aside", refused: refusalOf(item), why, instead: null });
  }

  /** Record a refused fact anew with this body and moment; the refused one is set aside in the same breath. */
  async mend(item: Item, body: Record<string, unknown>, at: string, who: { device: string; app: string; leastNumber: number }): Promise<Fact> {
    const { fact, standing } = item;
    if (!fact || standing.is !== "refused") throw new Error(`${item.id} is no fact that was refused`);
    const now = this.now();
    const id = uuid7(now, this.random());
    const recorded = momentText(now, offsetAt(now));
    let made: Fact | null = null;
    const make = (number: number): NewEntry => {
      made = anew(fact, body, at, standing.name, { id, number, device: who.device, app: who.app, recorded }, { correction: VERSIONS.correction });
      return { id, text: canonical(made), job: made.job };
    };
    const aside: Standing = { is: "set_aside", refused: standing.why, why: null, instead: id };
    await this.store.record(who.leastNumber, [make], { facts: [{ id: item.id, standing: aside }] });
    this.onchange();
    return made!;
  }

  /** All that the server does not have, as a file's text. */
  async exported(): Promise<string> {
    const [line, things] = await Promise.all([this.store.line(), this.store.attachments()]);
    const now = this.now();
    return writeFile(line, things, (sha) => this.store.bytes(sha), momentText(now, offsetAt(now)));
  }

  /** Put back what a file holds. What is on the phone already stays as it is, so that twice is once. */
  async readBack(text: string, device: string): Promise<Kept> {
    const fresh = await this.store.admit(await readFile(text, device));
    this.onchange();
    return fresh;
  }

  private async counting(job: string): Promise<Entry[]> {
    const entries = await this.store.ofJob(job);
    return entries.filter(counts);
  }

  private async stand(items: readonly Item[], standing: Standing): Promise<void> {
    await this.store.stand({
      facts: items.filter((item) => item.fact !== null).map(({ id }) => ({ id, standing })),
      attachments: items.filter((item) => item.fact === null).map(({ id }) => ({ sha: id, standing })),
    });
    this.onchange();
  }
}

function itemOf({ standing }: { standing: Standing }, id: string, text: string | null, type: MediaType | null = null): Item[] {
  if (standing.is !== "refused" && standing.is !== "set_aside") return [];
  return [{ id, fact: text === null ? null : factOf(text), type, standing }];
}

/** What the server said of it. */
export function refusalOf({ standing }: Item): string {
  return standing.is === "refused" ? standing.why : standing.refused;
}

/** Neither refused nor set aside. */
function counts({ standing }: Entry): boolean {
  return standing.is === "waiting" || standing.is === "delivered";
}

function factOf(text: string): Fact {
  return JSON.parse(text) as Fact;
}
