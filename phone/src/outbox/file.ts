/**
 * What was not sent, in a file: for a phone that breaks, a browser that is cleared, a server that is far. Plain JSON
 * with a SHA-256 over its content, so that a file that was cut or changed is not taken for a whole one.
 */
import { sha256 } from "../digest";
import type { Admitted, Attachment, Bytes, Entry, MediaType, Standing } from "./store";

export const FORMAT = "coldmark: what was not sent";
export const VERSION = 1;

type Left = Exclude<Standing, { is: "delivered" }>;

interface Content {
  made_at: string;
  facts: { text: string; standing: Left }[];
  attachments: { sha256: string; type: string; base64: string; standing: Left }[];
}

interface Whole {
  format: typeof FORMAT;
  version: number;
  sha256: string;
  content: Content;
}

/** Why a file cannot be read back. */
export class FileFault extends Error {
  constructor(readonly reason: "foreign" | "damaged" | "newer") {
    super(reason);
  }
}

/** Write the facts and attachments that the server does not have as a file's text. */
export async function writeFile(
  line: readonly Entry[],
  attachments: readonly Attachment[],
  bytes: (sha: string) => Promise<Bytes | null>,
  madeAt: string,
): Promise<string> {
  const content: Content = { made_at: madeAt, facts: [], attachments: [] };
  for (const { text, standing } of line) {
    if (standing.is !== "delivered") content.facts.push({ text, standing });
  }
  for (const { sha, type, standing } of attachments) {
    const own = standing.is === "delivered" ? null : await bytes(sha);
    if (own && standing.is !== "delivered") content.attachments.push({ sha256: sha, type, base64: base64(own), standing });
  }
  const whole: Whole = { format: FORMAT, version: VERSION, sha256: await sha256(JSON.stringify(content)), content };
  return JSON.stringify(whole);
}

/** Read a file's text; `device` is this phone's own, whose running numbers go on after those in the file. */
export async function readFile(text: string, device: string): Promise<Admitted> {
  const { content, sha256: told } = whole(text);
  // Reading and writing JSON keeps the order of keys, so the same content gives the same text, however it is laid out.
  if ((await sha256(JSON.stringify(content))) !== told) throw new FileFault("damaged");
  const facts = list(content, "facts").map(entryOf);
  const attachments = await Promise.all(list(content, "attachments").map(attachmentOf));
  const own = facts.filter((one) => one.device === device).map((one) => one.number);
  return { facts: facts.map(({ entry }) => entry), attachments, lastNumber: Math.max(0, ...own) };
}

function whole(told: string): Whole {
  // Some editors put a mark before a text that they keep.
  const text = told.replace(/^\ufeff/, "");
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch {
    // A file of ours that was cut in the middle says at its beginning what it was.
    throw new FileFault(text.trimStart().startsWith(`{"format":"${FORMAT}"`) ? "damaged" : "foreign");
  }
  if (!isObject(read) || read["format"] !== FORMAT) throw new FileFault("foreign");
  if (typeof read["version"] !== "number" || read["version"] > VERSION) throw new FileFault("newer");
  if (typeof read["sha256"] !== "string" || !isObject(read["content"])) throw new FileFault("damaged");
  return read as unknown as Whole;
}

function entryOf(told: Record<string, unknown>): { entry: Entry; device: string; number: number } {
  const text = told["text"];
  try {
    const fact: unknown = JSON.parse(text as string);
    if (typeof text !== "string" || !isObject(fact)) throw new FileFault("damaged");
    const { id, job, device, number } = fact;
    const sound = typeof id === "string" && (typeof job === "string" || job === null) && typeof device === "string" && Number.isSafeInteger(number);
    if (!sound) throw new FileFault("damaged");
    return { entry: { id, text, job, standing: standingOf(told["standing"]) }, device, number: number as number };
  } catch {
    throw new FileFault("damaged");
  }
}

async function attachmentOf(told: Record<string, unknown>): Promise<Admitted["attachments"][number]> {
  const { sha256: sha, type } = told;
  const bytes = fromBase64(told["base64"]);
  if (typeof type !== "string" || !bytes || (await sha256(bytes)) !== sha) throw new FileFault("damaged");
  return { sha, type: type as MediaType, bytes, standing: standingOf(told["standing"]) };
}

function standingOf(told: unknown): Left {
  if (!isObject(told)) throw new FileFault("damaged");
  const text = (name: string): string | null => (typeof told[name] === "string" ? told[name] : null);
  if (told["is"] === "waiting") return { is: "waiting" };
  if (told["is"] === "refused") return { is: "refused", why: text("why") ?? "", name: text("name") };
  if (told["is"] === "set_aside") return { is: "set_aside", refused: text("refused") ?? "", why: text("why"), instead: text("instead") };
  throw new FileFault("damaged");
}

function list(content: unknown, name: keyof Content): Record<string, unknown>[] {
  const all = (content as Record<string, unknown>)[name];
  if (!Array.isArray(all) || !all.every(isObject)) throw new FileFault("damaged");
  return all;
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function base64(bytes: Bytes): string {
  let text = "";
  // In pieces: a call takes only so many arguments.
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(text);
}

function fromBase64(text: unknown): Bytes | null {
  if (typeof text !== "string") return null;
  try {
    return Uint8Array.from(atob(text), (one) => one.charCodeAt(0));
  } catch {
    return null;
  }
}
