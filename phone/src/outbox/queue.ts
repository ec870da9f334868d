/**
 * What an answer of the server means for what waits. Pure: it looks, and says what was delivered, what is refused and
 * why the rest stays. Nothing is delivered before the server has said so of it by name.
 */

/** What came back: an answer with its status, type and text, or silence. */
export type Reply =
  | { heard: true; status: number; type: string; text: string; retryAfter: string | null }
  | { heard: false };

export type Why = "silence" | "sign_in" | "too_large" | "too_many" | "server" | "not_ours";

/** What the server says of itself with each answer: its epoch, and the last arrival that a backup covers. */
export interface Heard {
  epoch: string;
  backedUpTo: number;
}

export interface Refusal {
  why: string;
  /** The field that is not right, where it is one. */
  name: string | null;
}

export interface Outcome {
  /** Kept by the server, or known to it already. */
  delivered: { id: string; arrival: number }[];
  refused: ({ id: string } & Refusal)[];
  /** Why the rest stays in line, or null when every one was answered. */
  stays: Why | null;
  retryAfterS: number | null;
  heard: Heard | null;
}

const NOTHING: Outcome = { delivered: [], refused: [], stays: null, retryAfterS: null, heard: null };

type Message = Record<string, unknown>;

/** Say what a reply to the facts `sent` means. */
export function judge(sent: readonly string[], reply: Reply): Outcome {
  const read = open(reply);
  if ("stays" in read) return { ...NOTHING, ...read };
  const answers = answersOf(read.message, "id");
  if (!answers) return { ...NOTHING, stays: "not_ours" };
  const delivered: Outcome["delivered"] = [];
  const refused: Outcome["refused"] = [];
  for (const id of sent) {
    const own = answers.get(id);
    const arrival = numberOf(own?.["arrival"]);
    if ((own?.["answer"] === "kept" || own?.["answer"] === "known") && arrival !== null) delivered.push({ id, arrival });
    else if (own?.["answer"] === "refused") refused.push({ id, ...refusalOf(own, "why") });
  }
  const all = delivered.length + refused.length === sent.length;
  return { ...NOTHING, delivered, refused, stays: all ? null : "not_ours", heard: read.heard };
}

export interface Holding {
  /** The server has them: what follows arrives from this number on. */
  held: { sha: string; arrival: number }[];
  /** Their content was erased there and is not wanted any more. */
  erased: string[];
  /** The server lacks them; of those that were begun to be sent it has so many bytes. */
  lacking: { sha: string; has: number }[];
  stays: Why | null;
  retryAfterS: number | null;
  heard: Heard | null;
}

/** Say what the reply to the question which of these attachments the server lacks means. */
export function judgeLacking(asked: readonly string[], reply: Reply): Holding {
  const nothing: Holding = { held: [], erased: [], lacking: [], stays: null, retryAfterS: null, heard: null };
  const read = open(reply);
  if ("stays" in read) return { ...nothing, ...read };
  const answers = answersOf(read.message, "sha256");
  const arrival = numberOf(read.message["arrival"]);
  if (!answers || arrival === null) return { ...nothing, stays: "not_ours" };
  const told = (sha: string): unknown => answers.get(sha)?.["answer"];
  const held = asked.filter((sha) => told(sha) === "held").map((sha) => ({ sha, arrival }));
  const erased = asked.filter((sha) => told(sha) === "erased");
  const has = (sha: string): number => numberOf(answers.get(sha)?.["has"]) ?? 0;
  const lacking = asked.filter((sha) => told(sha) === "lacking").map((sha) => ({ sha, has: has(sha) }));
  const all = held.length + erased.length + lacking.length === asked.length;
  return { ...nothing, held, erased, lacking, stays: all ? null : "not_ours", heard: read.heard };
}

export type Attached = { retryAfterS: number | null; heard: Heard | null } & (
  | { is: "held"; arrival: number }
  /** A piece was taken, or did not fit: the next one begins where the server says that it is. Nothing is delivered. */
  | { is: "begun"; has: number }
  | { is: "erased" }
  | ({ is: "refused" } & Refusal)
  | { is: "stays"; stays: Why }
);

// An attachment that the server will not have as it is: its address or its bytes are wrong, and will be tomorrow.
const REFUSED = [400, 404, 409, 410, 415, 422];

/** Say what the reply to one attachment means. */
export function judgeAttachment(sha: string, reply: Reply): Attached {
  const none = { retryAfterS: null, heard: null };
  if (reply.heard && (reply.status === 202 || reply.status === 409)) {
    const message = messageOf(reply);
    const has = numberOf(message?.["has"]);
    if (message?.["sha256"] === sha && has !== null) return { ...none, is: "begun", has };
  }
  if (reply.heard && REFUSED.includes(reply.status)) {
    const message = messageOf(reply);
    if (typeof message?.["says"] === "string") return { ...none, is: "refused", ...refusalOf(message, "says") };
  }
  const read = open(reply);
  if ("stays" in read) return { ...none, retryAfterS: read.retryAfterS, is: "stays", stays: read.stays };
  const { message, heard } = read;
  const arrival = numberOf(message["arrival"]);
  if (message["sha256"] === sha && message["answer"] === "erased") return { ...none, heard, is: "erased" };
  if (message["sha256"] === sha && (message["answer"] === "kept" || message["answer"] === "known") && arrival !== null) {
    return { ...none, heard, is: "held", arrival };
  }
  return { ...none, is: "stays", stays: "not_ours" };
}

/** Why an answer with this status delivers nothing; null when its body is worth reading. */
export function whyNotDelivered(status: number): Why | null {
  if (status === 200 || status === 201) return null;
  if (status === 401 || status === 403) return "sign_in";
  if (status === 413) return "too_large";
  if (status === 429) return "too_many";
  // 511 is a network's own wish that somebody signs in to it.
  return status >= 500 && status !== 511 ? "server" : "not_ours";
}

/** An answer of our server that says what it has and who it is, or why there is none. */
function open(reply: Reply): { message: Message; heard: Heard } | { stays: Why; retryAfterS: number | null } {
  if (!reply.heard) return { stays: "silence", retryAfterS: null };
  const stays = whyNotDelivered(reply.status);
  if (stays) return { stays, retryAfterS: seconds(reply.retryAfter) };
  const message = messageOf(reply);
  const backedUpTo = numberOf(message?.["backed_up_to"]);
  const epoch = message?.["epoch"];
  if (!message || typeof epoch !== "string" || epoch === "" || backedUpTo === null) return { stays: "not_ours", retryAfterS: null };
  return { message, heard: { epoch, backedUpTo } };
}

function messageOf(reply: { type: string; text: string }): Message | null {
  if (!/^application\/json\b/i.test(reply.type)) return null;
  try {
    const message: unknown = JSON.parse(reply.text);
    return isObject(message) ? message : null;
  } catch {
    return null;
  }
}

function answersOf(message: Message, key: string): Map<string, Message> | null {
  const answers = message["answers"];
  if (!Array.isArray(answers)) return null;
  const known = answers.filter((one): one is Message => isObject(one) && typeof one[key] === "string");
  return new Map(known.map((one) => [one[key] as string, one]));
}

function refusalOf(message: Message, sentence: string): Refusal {
  const [why, name] = [message[sentence], message["name"]];
  return { why: typeof why === "string" ? why : "", name: typeof name === "string" ? name : null };
}

function isObject(value: unknown): value is Message {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function numberOf(value: unknown): number | null {
  return Number.isSafeInteger(value) && (value as number) >= 0 ? (value as number) : null;
}

function seconds(header: string | null): number | null {
  return header !== null && /^\d{1,5}$/.test(header.trim()) ? Number(header) : null;
}

/** How long to wait before the next try [s]: doubling from 2 to 60, or what the server asked for, if longer. */
export function pause(failures: number, retryAfterS: number | null = null): number {
  const own = Math.min(60, 2 ** Math.min(6, Math.max(1, failures)));
  return Math.max(own, Math.min(3600, retryAfterS ?? 0));
}
