/**
 * A fact that the server refused, mended: the same thing recorded anew with what was not right put right, as a fact of
 * its own. The refused one is set aside and says which took its place; it is never changed and never deleted.
 */
import type { Fact } from "../fact";

/** A value within a body that a person can put right: where it is, and what stands there. */
export interface Leaf {
  path: string[];
  value: string | number | boolean;
}

/** The values of a body one by one, in its order. */
export function leaves(body: unknown, path: string[] = []): Leaf[] {
  if (typeof body === "string" || typeof body === "number" || typeof body === "boolean") return [{ path, value: body }];
  if (body === null || typeof body !== "object") return [];
  return Object.entries(body).flatMap(([name, value]) => leaves(value, [...path, name]));
}

/** Whether a value is one that a hand typed or chose: ids and hashes are none. */
export function isTyped({ value }: Leaf): boolean {
  return !(typeof value === "string" && /^([0-9a-f]{64}|[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12})$/.test(value));
}

/** The place that a refusal names, where it is one within the body. */
export function placeNamed(name: string | null): string[] | null {
  return name?.startsWith("body.") ? name.slice("body.".length).split(".") : null;
}

/**
 * The body with other values at these places. A whole number stays one where what was typed is one; what was emptied is
 * left out, and what was missing comes in.
 */
export function withLeaves(body: Record<string, unknown>, typed: readonly { path: string[]; text: string }[]): Record<string, unknown> {
  const fresh = structuredClone(body);
  for (const { path, text } of typed) {
    let place = fresh as Record<string, unknown>;
    for (const name of path.slice(0, -1)) place = (place[name] ??= {}) as Record<string, unknown>;
    const last = path.at(-1)!;
    if (text.trim() === "" && !Array.isArray(place)) delete place[last];
    else place[last] = likeBefore(place[last], text.trim());
  }
  return fresh;
}

function likeBefore(before: unknown, text: string): unknown {
  if (typeof before === "number") return /^-?\d{1,15}$/.test(text) ? Number(text) : text;
  if (typeof before === "boolean") return text === "true" ? true : text === "false" ? false : text;
  return text;
}

/** Who records it anew, on what, and when. */
export interface Pen {
  id: string;
  number: number;
  device: string;
  app: string;
  recorded: string;
}

/**
 * The fact that takes the place of a refused one. Where the server has another fact under that very id, it is a
 * correction of that one; else the server knows of nothing, and it is the same fact made anew.
 */
export function anew(fact: Fact, body: Record<string, unknown>, at: string, name: string | null, pen: Pen, versions: { correction: number }): Fact {
  const { id, number, device, app, recorded } = pen;
  const mended: Fact = { ...fact, id, number, device, app, recorded, at, body };
  if (name !== "id" || fact.kind === "correction") return mended;
  return {
    ...mended,
    at: recorded,
    kind: "correction",
    version: versions.correction,
    body: { of: fact.id, action: "replace", body, version: fact.version, reason: "mistyped" },
  };
}
