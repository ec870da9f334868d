import { momentText, offsetAt } from "../moment";
import type { Reply } from "./queue";
import type { Post } from "./send";
import type { Bytes, MediaType } from "./store";

/** The least speed of a network that is waited for [bytes a millisecond]: 4 kB a second. */
const SLOWEST = 4;
export const PATIENCE_MS = 8000;
const ATTACHMENT_MS = 30_000;

export interface Asked {
  method: "GET" | "POST" | "PUT";
  url: string;
  csrf: string;
  body?: string | Bytes;
  type?: string;
  patienceMs?: number;
  headers?: Record<string, string>;
  fetch?: typeof fetch;
}

/**
 * Ask the server. Whatever goes wrong on the way is a silence; what somebody else answers is left to who reads it. It
 * is over after the time that it is given, also where a request that was broken off never says so: one that hangs for
 * good would stop all that waits behind it.
 */
export async function ask({ patienceMs = PATIENCE_MS, ...asked }: Asked): Promise<Reply> {
  const limit = new AbortController();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const overdue = new Promise<Reply>((done) => {
    timer = setTimeout(() => {
      done({ heard: false });
      limit.abort();
    }, patienceMs);
  });
  const reply = await Promise.race([hear(asked, limit.signal), overdue]);
  clearTimeout(timer);
  return reply;
}

async function hear({ method, url, csrf, body, type, headers = {}, fetch: send = fetch }: Asked, signal: AbortSignal): Promise<Reply> {
  const told: Record<string, string> = { Accept: "application/json", ...headers };
  if (type) told["Content-Type"] = type;
  if (method !== "GET") told["X-CSRFToken"] = csrf;
  try {
    // Our server sends nobody elsewhere: a redirect is the network's own, or a sign-in page's.
    const answer = await send(url, {
      method,
      headers: told,
      body: body ?? null,
      credentials: "same-origin",
      redirect: "manual",
      cache: "no-store",
      signal,
    });
    if (answer.type === "opaqueredirect") return { heard: true, status: 302, type: "", text: "", retryAfter: null };
    return {
      heard: true,
      status: answer.status,
      type: answer.headers.get("Content-Type") ?? "",
      text: await answer.text(),
      retryAfter: answer.headers.get("Retry-After"),
    };
  } catch {
    return { heard: false };
  }
}

interface WayOptions {
  root?: string;
  csrf: () => string;
  now?: () => number;
  /** How long to wait for an answer [ms], by how much is sent [bytes] and at least. */
  patience?: (bytes: number, atLeastMs: number) => number;
  fetch?: typeof fetch;
}

/** The way to the server by its API. */
export class Way implements Post {
  private readonly root: string;
  private readonly now: () => number;
  private readonly patience: (bytes: number, atLeastMs: number) => number;

  constructor(private readonly options: WayOptions) {
    this.root = options.root ?? "/api";
    this.now = options.now ?? Date.now;
    this.patience = options.patience ?? ((bytes, atLeastMs) => atLeastMs + bytes / SLOWEST);
  }

  /** Send facts, and what this phone's clock shows, so that the server can tell how far it is off. */
  facts(texts: readonly string[]): Promise<Reply> {
    const now = this.now();
    return this.send("/facts", JSON.stringify({ facts: texts }), { "X-Device-Now": momentText(now, offsetAt(now)) });
  }

  lacking(shas: readonly string[]): Promise<Reply> {
    return this.send("/attachments/lacking", JSON.stringify({ sha256: shas }));
  }

  attachment(sha: string, type: MediaType, bytes: Bytes, from = 0, total = bytes.length): Promise<Reply> {
    const { csrf, fetch } = this.options;
    const patienceMs = this.patience(bytes.length, ATTACHMENT_MS);
    const headers: Record<string, string> = bytes.length === total ? {} : { "Content-Range": `bytes ${from}-${from + bytes.length - 1}/${total}` };
    return ask({ method: "PUT", url: `${this.root}/attachments/${sha}`, csrf: csrf(), body: bytes, type, patienceMs, headers, ...(fetch ? { fetch } : {}) });
  }

  private send(path: string, body: string, headers: Record<string, string> = {}): Promise<Reply> {
    const { csrf, fetch } = this.options;
    const patienceMs = this.patience(body.length, PATIENCE_MS);
    return ask({ method: "POST", url: this.root + path, csrf: csrf(), body, type: "application/json", patienceMs, headers, ...(fetch ? { fetch } : {}) });
  }
}
