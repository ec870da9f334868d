import { describe, expect, it } from "vitest";
import { front, judge, nextSize, pause, type Entry, type Outcome, type Reply } from "../src/outbox/queue";

const json = "application/json";
const heard = (status: number, type: string, text: string, retryAfter: string | null = null): Reply => ({ heard: true, status, type, text, retryAfter });
const answers = (...told: [string, string, string?][]): string =>
  JSON.stringify({ epoch: "e", answers: told.map(([id, answer, why]) => ({ id, answer, arrival: 1, why: why ?? null })) });

interface Row {
  name: string;
  reply: Reply;
  delivered?: string[];
  refused?: string[];
  stays: Outcome["stays"];
  retryAfterS?: number;
}

const rows: Row[] = [
  { name: "both kept", reply: heard(200, json, answers(["a", "kept"], ["b", "kept"])), delivered: ["a", "b"], stays: null },
  { name: "known already", reply: heard(200, json, answers(["a", "known"], ["b", "kept"])), delivered: ["a", "b"], stays: null },
  { name: "one refused", reply: heard(200, json, answers(["a", "refused", "reading = x"], ["b", "kept"])), delivered: ["b"], refused: ["a"], stays: null },
  { name: "one not answered", reply: heard(200, json, answers(["a", "kept"])), delivered: ["a"], stays: "not_ours" },
  { name: "an answer never heard of", reply: heard(200, json, answers(["a", "perhaps"], ["b", "kept"])), delivered: ["b"], stays: "not_ours" },
  { name: "answers about others", reply: heard(200, json, answers(["z", "kept"])), stays: "not_ours" },
  { name: "JSON with a charset", reply: heard(200, "application/json; charset=utf-8", answers(["a", "kept"], ["b", "kept"])), delivered: ["a", "b"], stays: null },
  { name: "a sign-in page with 200", reply: heard(200, "text/html", "<form>"), stays: "not_ours" },
  { name: "HTML that claims to be JSON", reply: heard(200, json, "<html>"), stays: "not_ours" },
  { name: "JSON without answers", reply: heard(200, json, "{}"), stays: "not_ours" },
  { name: "JSON null", reply: heard(200, json, "null"), stays: "not_ours" },
  { name: "401", reply: heard(401, json, '{"says":"Sign in."}'), stays: "sign_in" },
  { name: "403", reply: heard(403, "text/html", "CSRF"), stays: "sign_in" },
  { name: "413", reply: heard(413, "text/html", ""), stays: "too_large" },
  { name: "429 with a time", reply: heard(429, json, "{}", "30"), stays: "too_many", retryAfterS: 30 },
  { name: "429 with a date", reply: heard(429, json, "{}", "Wed, 21 Oct 2026 07:28:00 GMT"), stays: "too_many" },
  { name: "500 that says kept", reply: heard(500, json, answers(["a", "kept"], ["b", "kept"])), stays: "server" },
  { name: "502", reply: heard(502, "text/html", "Bad gateway"), stays: "server" },
  { name: "404", reply: heard(404, "text/html", ""), stays: "not_ours" },
  { name: "422 for the whole", reply: heard(422, json, '{"says":"facts is not a list"}'), stays: "not_ours" },
  { name: "silence", reply: { heard: false }, stays: "silence" },
];

describe("what an answer means for the facts that wait", () => {
  it.each(rows)("$name", ({ reply, delivered = [], refused = [], stays, retryAfterS = null }) => {
    const outcome = judge(["a", "b"], reply);
    expect(outcome.delivered).toEqual(delivered);
    expect(outcome.refused.map((one) => one.id)).toEqual(refused);
    expect(outcome.stays).toBe(stays);
    expect(outcome.retryAfterS).toBe(retryAfterS);
  });

  it("keeps the server's sentence with a refusal", () => {
    expect(judge(["a"], heard(200, json, answers(["a", "refused", "reading = x is not right"]))).refused).toEqual([{ id: "a", why: "reading = x is not right" }]);
  });
});

describe("the line", () => {
  const entry = (id: string, parked: string | null = null): Entry => ({ id, text: id, job: "j", parked });

  it("is sent from its front, and a parked fact stands aside", () => {
    expect(front([entry("a"), entry("b", "no"), entry("c"), entry("d")], 2).map((one) => one.id)).toEqual(["a", "c"]);
  });

  it.each([
    { size: 8, stays: "too_large" as const, next: 4 },
    { size: 1, stays: "too_large" as const, next: 1 },
    { size: 4, stays: null, next: 8 },
    { size: 40, stays: null, next: 50 },
    { size: 8, stays: "server" as const, next: 8 },
  ])("goes on with $next after $size and $stays", ({ size, stays, next }) => {
    expect(nextSize(size, { delivered: [], refused: [], stays, retryAfterS: null }, 50)).toBe(next);
  });

  it.each([
    [1, null, 2],
    [2, null, 4],
    [5, null, 32],
    [6, null, 60],
    [40, null, 60],
    [1, 30, 30],
    [6, 30, 60],
    [1, 99_999, 3600],
  ])("after %i failures and %s s asked for waits %i s", (failures, asked, wait) => {
    expect(pause(failures, asked)).toBe(wait);
  });
});
