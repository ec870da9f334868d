/**
 * What an answer of the server means for the facts that wait. Pure: it looks, and says what may be removed, what is
 * parked and how long to wait. Nothing leaves the line before the server has said by name that it has it.
 */

export interface Entry {
  id: string;
  text: string;
  job: string;
  /** Refused by the server: kept and shown, sent again only when a person says so. */
  parked: string | null;
}

/** What came back: an answer with its status, type and text, or silence. */
export type Reply =
  | { heard: true; status: number; type: string; text: string; retryAfter: string | null }
  | { heard: false };

export type Why = "silence" | "sign_in" | "too_large" | "too_many" | "server" | "not_ours";

export interface Outcome {
  /** Kept by the server, or known to it already: may leave the line. */
  delivered: string[];
  /** Refused, with the server's sentence. */
  refused: { id: string; why: string }[];
  /** Why the rest stays in line, or null when every one was answered. */
  stays: Why | null;
  retryAfterS: number | null;
}

interface Answer {
  id: string;
  answer: string;
  why?: unknown;
}

/** Say what a reply to the facts `sent` means. */
export function judge(sent: readonly string[], reply: Reply): Outcome {
  const none: Outcome = { delivered: [], refused: [], stays: null, retryAfterS: null };
  if (!reply.heard) return { ...none, stays: "silence" };
  const stays = whyNotDelivered(reply.status);
  if (stays) return { ...none, stays, retryAfterS: seconds(reply.retryAfter) };
  const answers = readAnswers(reply);
  if (!answers) return { ...none, stays: "not_ours" };
  const delivered: string[] = [];
  const refused: { id: string; why: string }[] = [];
  for (const id of sent) {
    const own = answers.find((answer) => answer.id === id);
    if (own?.answer === "kept" || own?.answer === "known") delivered.push(id);
    else if (own?.answer === "refused") refused.push({ id, why: typeof own.why === "string" ? own.why : "" });
  }
  const all = delivered.length + refused.length === sent.length;
  return { delivered, refused, stays: all ? null : "not_ours", retryAfterS: null };
}

/** Why an answer with this status delivers nothing; null when its body is worth reading. */
export function whyNotDelivered(status: number): Why | null {
  if (status === 200 || status === 201) return null;
  if (status === 401 || status === 403) return "sign_in";
  if (status === 413) return "too_large";
  if (status === 429) return "too_many";
  return status >= 500 ? "server" : "not_ours";
}

function readAnswers(reply: { type: string; text: string }): Answer[] | null {
  if (!/^application\/json\b/i.test(reply.type)) return null;
  let message: unknown;
  try {
    message = JSON.parse(reply.text);
  } catch {
    return null;
  }
  const answers = (message as { answers?: unknown } | null)?.answers;
  if (!Array.isArray(answers)) return null;
  return answers.filter((one): one is Answer => typeof one?.id === "string" && typeof one?.answer === "string");
}

function seconds(header: string | null): number | null {
  return header !== null && /^\d{1,5}$/.test(header.trim()) ? Number(header) : null;
}

/** The next to send: from the front of the line, at most `most` of them. Parked ones stand aside. */
export function front(line: readonly Entry[], most: number): Entry[] {
  return line.filter((entry) => entry.parked === null).slice(0, most);
}

/** How many to send next time: half after "too large", all the way down to one; twice as many after a delivery. */
export function nextSize(size: number, outcome: Outcome, largest: number): number {
  if (outcome.stays === "too_large") return Math.max(1, Math.floor(size / 2));
  return outcome.stays === null ? Math.min(largest, size * 2) : size;
}

/** How long to wait before the next try [s]: doubling from 2 to 60, or what the server asked for, if longer. */
export function pause(failures: number, retryAfterS: number | null): number {
  const own = Math.min(60, 2 ** Math.min(6, Math.max(1, failures)));
  return Math.max(own, Math.min(3600, retryAfterS ?? 0));
}
