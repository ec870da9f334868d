/**
 * Phones to be driven by a test that owns the server and the network between: the outbox itself, on a store of the
 * browser's or in memory, with a clock of its own so that nothing waits for real. Each command is plain data and so is
 * its answer.
 */
import { VERSIONS, type Kind } from "../../../contract/facts";
import { sha256 } from "../../src/digest";
import { canonical } from "../../src/fact";
import { momentText } from "../../src/moment";
import { FileFault } from "../../src/outbox/file";
import { openStore } from "../../src/outbox/idb";
import { MemoryStore } from "../../src/outbox/memory";
import { Outbox, refusalOf } from "../../src/outbox/outbox";
import type { Post } from "../../src/outbox/send";
import type { NewEntry, Store } from "../../src/outbox/store";
import { ask, Way } from "../../src/outbox/way";
import { uuid7 } from "../../src/uuid7";

export interface Told {
  kind: Kind;
  subject: string;
  job: string | null;
  body: Record<string, unknown>;
  /** How long after the phone's clock began it happened [ms]. */
  after: number;
}

/** Who works on a phone, as far as it has been told. */
export interface Me {
  csrf: string;
  device: string;
  person: string;
  leastNumber: number;
}

export type Command =
  | { do: "open"; phone: string; store: "memory" | "browser"; root: string; me?: Me | null }
  /** Who is signed in there; asked past the faults, as a page is loaded before one goes out. */
  | { do: "who"; phone: string; root: string }
  | { do: "record"; phone: string; facts: Told[]; attachments: { type: string; base64: string }[] }
  | { do: "send"; phone: string; force?: boolean; times?: number }
  /** Send until nothing waits, each time when it is time to. */
  | { do: "rest"; phone: string; most: number; knock?: boolean }
  /** As a killed browser: what was under way is never heard of again, what was kept is there. */
  | { do: "killed"; phone: string }
  | { do: "summary"; phone: string }
  /** What was not sent, as a file's text; and such a text read back, cut, whole and a second time. */
  | { do: "written"; phone: string }
  | { do: "read back"; phone: string; text: string };

export interface Host {
  /** How this host sends; a Node process keeps cookies by itself. */
  fetch: (phone: string) => typeof fetch;
  patienceMs: number;
  /** The browser's database of a phone. */
  database: (phone: string) => string;
}

interface Phone {
  name: string;
  kind: "memory" | "browser";
  root: string;
  store: Store;
  outbox: Outbox;
  life: { over: boolean };
  me: Me;
  nowMs: number;
  /** A person has just signed in: what waits goes at once. */
  signedInAnew: boolean;
}

const never = new Promise<never>(() => undefined);

/** A thing whose calls are never answered once its page is gone, whatever they were about. */
function mortal<T extends object>(thing: T, life: { over: boolean }): T {
  return new Proxy(thing, {
    get(target, name) {
      const own = Reflect.get(target, name, target) as unknown;
      if (typeof own !== "function") return own;
      return async (...told: unknown[]) => {
        if (life.over) return never;
        const done: unknown = await (own as (...told: unknown[]) => unknown).apply(target, told);
        return life.over ? never : done;
      };
    },
  });
}

export class Driver {
  private readonly phones = new Map<string, Phone>();

  constructor(private readonly host: Host) {}

  async do(command: Command): Promise<unknown> {
    if (command.do === "open") return this.open(command);
    const phone = this.phone(command.phone);
    if (command.do === "who") return this.who(phone, command.root);
    if (command.do === "record") return this.record(phone, command);
    if (command.do === "send") return this.send(phone, command.force ?? false, command.times ?? 1);
    if (command.do === "rest") return this.rest(phone, command.most, command.knock ?? false);
    if (command.do === "killed") return this.killed(phone);
    if (command.do === "written") return phone.outbox.exported();
    if (command.do === "read back") return this.readBack(phone, command.text);
    return this.summary(phone);
  }

  private phone(name: string): Phone {
    const found = this.phones.get(name);
    if (!found) throw new Error(`there is no phone ${name}`);
    return found;
  }

  private async open({ phone: name, store: kind, root, me }: Extract<Command, { do: "open" }>): Promise<void> {
    const nobody: Me = { csrf: "", device: "", person: "", leastNumber: 1 };
    const phone = { name, kind, root, me: me ?? nobody, nowMs: Date.now(), life: { over: false }, signedInAnew: false } as Phone;
    this.phones.set(name, phone);
    await this.wake(phone, kind === "memory" ? new MemoryStore() : await openStore(this.host.database(name)));
  }

  private async wake(phone: Phone, store: Store): Promise<void> {
    const life = { over: false };
    const { patienceMs } = this.host;
    const way: Post = new Way({ root: phone.root, csrf: () => phone.me.csrf, patience: () => patienceMs, fetch: this.host.fetch(phone.name) });
    phone.life = life;
    phone.store = store;
    phone.outbox = new Outbox(mortal(store, life), mortal(way, life), { now: () => phone.nowMs });
  }

  private async who(phone: Phone, root: string): Promise<Me | null> {
    const reply = await ask({ method: "GET", url: `${root}/me`, csrf: "", fetch: this.host.fetch(phone.name) });
    if (!reply.heard || reply.status !== 200) return null;
    const told = JSON.parse(reply.text) as { csrf: string; device: { id: string; next_number: number }; person: { id: string } };
    phone.signedInAnew = true;
    phone.me = { csrf: told.csrf, device: told.device.id, person: told.person.id, leastNumber: told.device.next_number };
    return phone.me;
  }

  private async record(phone: Phone, { facts, attachments }: Extract<Command, { do: "record" }>): Promise<unknown> {
    const shas: string[] = [];
    for (const { type, base64 } of attachments) {
      const bytes = Uint8Array.from(atob(base64), (one) => one.charCodeAt(0));
      const sha = await sha256(bytes);
      await phone.outbox.attach({ sha, type, bytes });
      shas.push(sha);
    }
    const make = ({ kind, subject, job, body, after }: Told) => (number: number): NewEntry => {
      const at = momentText(phone.nowMs + after, 60);
      const id = uuid7(phone.nowMs + after, crypto.getRandomValues(new Uint8Array(10)));
      const { device, person } = phone.me;
      const fact = { id, kind, version: VERSIONS[kind], subject: { type: "machine", id: subject }, job, at, recorded: at, device, number, person, app: "0.1.0", body };
      return { id, text: canonical(fact), job };
    };
    const entries = facts.length === 0 ? [] : await phone.outbox.record(phone.me.leastNumber, facts.map(make));
    return { facts: await Promise.all(entries.map(async ({ id, text }) => ({ id, sha256: await sha256(text) }))), attachments: shas };
  }

  private async send(phone: Phone, force: boolean, times: number): Promise<unknown> {
    let told = await phone.outbox.send({ force: force || phone.signedInAnew });
    phone.signedInAnew = false;
    for (let more = 1; more < times && told.againS !== null && told.stays !== "sign_in"; more += 1) {
      phone.nowMs += told.againS * 1000;
      told = await phone.outbox.send();
    }
    return { stays: told.stays, againS: told.againS, refused: told.refused.length };
  }

  private async rest(phone: Phone, most: number, knock: boolean): Promise<unknown> {
    if (knock) phone.nowMs += 601_000;
    for (let round = 1; round <= most; round += 1) {
      const force = (knock && round === 1) || phone.signedInAnew;
      phone.signedInAnew = false;
      const { stays, againS } = await phone.outbox.send({ force });
      const { facts, attachments } = await phone.outbox.summary();
      const rested = facts + attachments === 0 && stays === null;
      if (rested || stays === "sign_in") return { rested, stays, rounds: round, facts, attachments };
      phone.nowMs += Math.max(1, againS ?? 1) * 1000;
    }
    const { facts, attachments, stays } = await phone.outbox.summary();
    return { rested: false, stays, rounds: most, facts, attachments };
  }

  private async killed(phone: Phone): Promise<void> {
    phone.life.over = true;
    await this.wake(phone, phone.kind === "memory" ? phone.store : await openStore(this.host.database(phone.name)));
  }

  private async summary(phone: Phone): Promise<unknown> {
    const { facts, attachments, delivered, refused, stays } = await phone.outbox.summary();
    return { facts, attachments, delivered, stays, refused: refused.map((item) => ({ id: item.id, why: refusalOf(item) })) };
  }

  private async readBack(phone: Phone, text: string): Promise<unknown> {
    const cut = await phone.outbox.readBack(text.slice(0, -40), phone.me.device).catch((fault: unknown) => fault);
    if (!(cut instanceof FileFault)) throw new Error("a file that was cut was read back");
    const first = await phone.outbox.readBack(text, phone.me.device);
    const second = await phone.outbox.readBack(text, phone.me.device);
    return { first, second };
  }
}
