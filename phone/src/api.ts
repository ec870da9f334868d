import type { Card } from "./card";
import type { Fact } from "./fact";
import type { Reply } from "./outbox/queue";
import { ask } from "./outbox/way";

export interface Me {
  person: { id: string; name: string; role: string };
  device: { id: string; next_number: number };
  units: "metric" | "us";
  csrf: string;
  app: string;
  epoch: string;
}

export interface CardAnswer {
  card: Card;
  facts: Fact[];
  state: { meter: { shown_h: number | null; hours: number | null; at: string | null } | null };
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

/** Answers of the server as they are: a reading of JSON is either whole or nothing. */
export class Api {
  csrf = "";

  constructor(private readonly root = "/api") {}

  me(): Promise<Me | null> {
    return this.read<Me>("GET", "/me");
  }

  card(job: string): Promise<CardAnswer | null> {
    return this.read<CardAnswer>("GET", `/jobs/${job}/card`);
  }

  finish(job: string): Promise<FinishAnswer | null> {
    return this.read<FinishAnswer>("GET", `/jobs/${job}/finish`);
  }

  /** Ask for a level's verdict: the verdict, the refusal's sentence, or null for no answer. */
  async level(job: string, body: object): Promise<LevelAnswer | { refused: string } | null> {
    const reply = await this.send("POST", `/jobs/${job}/level`, JSON.stringify(body), "application/json");
    if (reply.heard && reply.status === 422) {
      const told = parsed<{ says?: unknown }>(reply);
      return told ? { refused: typeof told.says === "string" ? told.says : String(told.says ?? "") } : null;
    }
    return good<LevelAnswer>(reply);
  }

  async meter(job: string, readingH: string): Promise<MeterAnswer | null> {
    return good<MeterAnswer>(
      await this.send("POST", `/jobs/${job}/meter`, JSON.stringify({ reading_h: readingH }), "application/json"),
    );
  }

  private async read<T>(method: "GET", path: string): Promise<T | null> {
    return good<T>(await this.send(method, path));
  }

  private send(method: "GET" | "POST", path: string, body?: string, type?: string): Promise<Reply> {
    return ask({ method, url: this.root + path, csrf: this.csrf, ...(body === undefined ? {} : { body }), ...(type ? { type } : {}) });
  }
}

function good<T>(reply: Reply): T | null {
  return reply.heard && reply.status === 200 ? parsed<T>(reply) : null;
}

function parsed<T>(reply: { type: string; text: string }): T | null {
  if (!/^application\/json\b/i.test(reply.type)) return null;
  try {
    return JSON.parse(reply.text) as T;
  } catch {
    return null;
  }
}
