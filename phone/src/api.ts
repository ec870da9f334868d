import type { Card } from "./card";
import type { ClockErrors, Fact } from "./fact";
import { whyNotDelivered, type Reply, type Why } from "./outbox/queue";
import { ask } from "./outbox/way";

export interface Me {
  person: { id: string; name: string; role: string };
  device: { id: string; next_number: number };
  units: "metric" | "us";
  /** How the person has the office's pages: day, sun or dark. */
  look: string;
  csrf: string;
  app: string;
  epoch: string;
}

export interface CardAnswer {
  card: Card;
  facts: Fact[];
  state: { meter: { shown_h: number | null; hours: number | null; at: string | null } | null };
  /** How far the clocks of the devices were off that recorded for this machine; a card that was kept before has none. */
  clock_errors?: ClockErrors;
}

export interface LevelAnswer {
  says: string[];
  /** How wrong the glass is here, where it is read in another posture than it is marked for. */
  off: string[];
  /** The posture to move to, where it was not read in it. */
  move_first: string | null;
  add_l: { value: number; low: number; high: number } | null;
  shown: Record<string, string>;
  cold_mark: number | null;
  hot: number | string | null;
  glass: string;
  working: unknown[];
}

export interface MeterAnswer {
  doubt: "back" | "too_fast" | "standing" | null;
  says: string | null;
}

interface Reasoned {
  key: string;
  title: string;
  reason_says: string;
}

export interface FinishAnswer {
  tasks: { key: string; name: string; done: boolean; says: string }[];
  left_out: Reasoned[];
  parts: Reasoned[];
  gates: Reasoned[];
  balance: { says: string[] };
  missing: { key: string; says: string }[];
  ready: boolean;
  /** Id and SHA-256 of each fact of the job that the server holds, withdrawn ones and corrections too. */
  facts: [string, string][];
  next_due: { says: string }[];
}

const PHOTO_MS = 20_000;

/** An answer whole, a refusal's sentence, or why there is no answer to it. */
export type Told<T> = { ok: T } | { refused: string; name: string | null } | { stays: Why };

/** What the server answers, as it is: a reading of JSON is either whole or nothing. */
export class Api {
  csrf = "";

  constructor(private readonly root = "/api") {}

  async me(): Promise<Told<Me>> {
    return told<Me>(await this.send("GET", "/me"));
  }

  async card(job: string): Promise<Told<CardAnswer>> {
    return told<CardAnswer>(await this.send("GET", `/jobs/${job}/card`));
  }

  async finish(job: string): Promise<Told<FinishAnswer>> {
    return told<FinishAnswer>(await this.send("GET", `/jobs/${job}/finish`));
  }

  async level(job: string, body: object): Promise<Told<LevelAnswer>> {
    return told<LevelAnswer>(await this.post(`/jobs/${job}/level`, body));
  }

  async meter(job: string, body: object): Promise<Told<MeterAnswer>> {
    return told<MeterAnswer>(await this.post(`/jobs/${job}/meter`, body));
  }

  /** The texts of facts that arrived after a number, whoever recorded them. */
  async since(arrival: number): Promise<Told<{ epoch: string; texts: string[]; last: number }>> {
    return told(await this.send("GET", `/facts?after=${arrival}`));
  }

  async catalogue<T>(asked: string): Promise<Told<T>> {
    return told<T>(await this.send("GET", `/catalogue?asked=${encodeURIComponent(asked)}`));
  }

  async sum<T>(key: string, body: object): Promise<Told<T>> {
    return told<T>(await this.post(`/calc/${key}`, body));
  }

  /** A photo at small size; null where there is none to be had, or that there is no answer at all. */
  async photo(sha: string): Promise<Blob | "silence" | null> {
    try {
      const answer = await fetch(`${this.root}/photos/${sha}/small`, { credentials: "same-origin", redirect: "manual", signal: AbortSignal.timeout(PHOTO_MS) });
      return answer.status === 200 && answer.headers.get("Content-Type") === "image/jpeg" ? await answer.blob() : null;
    } catch {
      return "silence";
    }
  }

  private post(path: string, body: object): Promise<Reply> {
    return this.send("POST", path, JSON.stringify(body), "application/json");
  }

  private send(method: "GET" | "POST", path: string, body?: string, type?: string): Promise<Reply> {
    return ask({ method, url: this.root + path, csrf: this.csrf, ...(body === undefined ? {} : { body }), ...(type ? { type } : {}) });
  }
}

/** Read a reply: ours is JSON with a status of ours; a refusal says why. */
export function told<T>(reply: Reply): Told<T> {
  if (!reply.heard) return { stays: "silence" };
  const message = jsonOf(reply);
  if (reply.status === 200 && message !== undefined) return { ok: message as T };
  const { says, name } = (message !== null && typeof message === "object" ? message : {}) as { says?: unknown; name?: unknown };
  if ([400, 404, 409, 422].includes(reply.status) && typeof says === "string") {
    return { refused: says, name: typeof name === "string" ? name : null };
  }
  return { stays: whyNotDelivered(reply.status) ?? "not_ours" };
}

function jsonOf(reply: { type: string; text: string }): unknown {
  if (!/^application\/json\b/i.test(reply.type)) return undefined;
  try {
    return JSON.parse(reply.text);
  } catch {
    return undefined;
  }
}
