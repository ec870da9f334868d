import { describe, expect, it } from "vitest";
import { judge, judgeAttachment, judgeLacking, pause, whyNotDelivered, type Outcome, type Reply, type Why } from "../src/outbox/queue";

const json = "application/json";
const heard = (status: number, type: string, text: string, retryAfter: string | null = null): Reply => ({ heard: true, status, type, text, retryAfter });
const self = { epoch: "e", backed_up_to: 3 };
const answers = (...told: [string, string, string?][]): string =>
  JSON.stringify({ ...self, answers: told.map(([id, answer, why]) => ({ id, answer, arrival: answer === "refused" ? null : 7, why: why ?? null, name: why ? "body.reading" : null })) });

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
  { name: "kept, under no number", reply: heard(200, json, JSON.stringify({ ...self, answers: [{ id: "a", answer: "kept" }, { id: "b", answer: "kept", arrival: "9" }] })), stays: "not_ours" },
  { name: "kept by a server without an epoch", reply: heard(200, json, JSON.stringify({ backed_up_to: 0, answers: [{ id: "a", answer: "kept", arrival: 1 }] })), stays: "not_ours" },
  { name: "kept by a server that knows of no backups", reply: heard(200, json, JSON.stringify({ epoch: "e", answers: [{ id: "a", answer: "kept", arrival: 1 }] })), stays: "not_ours" },
  { name: "JSON with a charset", reply: heard(200, "application/json; charset=utf-8", answers(["a", "kept"], ["b", "kept"])), delivered: ["a", "b"], stays: null },
  { name: "a sign-in page with 200", reply: heard(200, "text/html", "<form>"), stays: "not_ours" },
  { name: "a page that calls its answer kept", reply: heard(200, "text/html", answers(["a", "kept"], ["b", "kept"])), stays: "not_ours" },
  { name: "HTML that claims to be JSON", reply: heard(200, json, "<html>"), stays: "not_ours" },
  { name: "an answer cut in the middle", reply: heard(200, json, answers(["a", "kept"], ["b", "kept"]).slice(0, -20)), stays: "not_ours" },
  { name: "JSON without answers", reply: heard(200, json, "{}"), stays: "not_ours" },
  { name: "answers that are no objects", reply: heard(200, json, JSON.stringify({ ...self, answers: ["a", null, 1] })), stays: "not_ours" },
  { name: "JSON null", reply: heard(200, json, "null"), stays: "not_ours" },
  { name: "204", reply: heard(204, "", ""), stays: "not_ours" },
  { name: "a redirect to a network's own page", reply: heard(302, "", ""), stays: "not_ours" },
  { name: "401", reply: heard(401, json, '{"says":"Sign in."}'), stays: "sign_in" },
  { name: "403", reply: heard(403, "text/html", "CSRF"), stays: "sign_in" },
  { name: "413", reply: heard(413, "text/html", ""), stays: "too_large" },
  { name: "429 with a time", reply: heard(429, json, "{}", "30"), stays: "too_many", retryAfterS: 30 },
  { name: "429 with a date", reply: heard(429, json, "{}", "Wed, 21 Oct 2026 07:28:00 GMT"), stays: "too_many" },
  { name: "500 that says kept", reply: heard(500, json, answers(["a", "kept"], ["b", "kept"])), stays: "server" },
  { name: "502", reply: heard(502, "text/html", "Bad gateway"), stays: "server" },
  { name: "503 with a time", reply: heard(503, "text/html", "", "120"), stays: "server", retryAfterS: 120 },
  { name: "511, a network that wants a sign-in", reply: heard(511, "text/html", ""), stays: "not_ours" },
  { name: "404", reply: heard(404, "text/html", ""), stays: "not_ours" },
  { name: "422 for the whole", reply: heard(422, json, '{"says":"facts is not a list"}'), stays: "not_ours" },
  { name: "silence", reply: { heard: false }, stays: "silence" },
];

describe("what an answer means for the facts that wait", () => {
  it.each(rows)("$name", ({ reply, delivered = [], refused = [], stays, retryAfterS = null }) => {
    const outcome = judge(["a", "b"], reply);
    expect(outcome.delivered.map((one) => one.id)).toEqual(delivered);
    expect(outcome.refused.map((one) => one.id)).toEqual(refused);
    expect(outcome.stays).toBe(stays);
    expect(outcome.retryAfterS).toBe(retryAfterS);
  });

  it("keeps the arrival, the epoch and what the backup covers", () => {
    const outcome = judge(["a"], heard(200, json, answers(["a", "kept"])));
    expect(outcome.delivered).toEqual([{ id: "a", arrival: 7 }]);
    expect(outcome.heard).toEqual({ epoch: "e", backedUpTo: 3 });
  });

  it("keeps the server's sentence and the field's name with a refusal", () => {
    const told = heard(200, json, answers(["a", "refused", "reading = x is not right"]));
    expect(judge(["a"], told).refused).toEqual([{ id: "a", why: "reading = x is not right", name: "body.reading" }]);
  });

  it("learns how the server is where nothing was sent", () => {
    expect(judge([], heard(200, json, answers()))).toMatchObject({ stays: null, heard: { epoch: "e", backedUpTo: 3 } });
  });
});

describe("what an answer means for an attachment", () => {
  const told = (more: object, status = 201, type = json): Reply => heard(status, type, JSON.stringify({ ...self, sha256: "s", arrival: 9, ...more }));
  const photos: { name: string; reply: Reply; is: string; stays?: Why; why?: string }[] = [
    { name: "kept", reply: told({ answer: "kept" }), is: "held" },
    { name: "known already", reply: told({ answer: "known" }, 200), is: "held" },
    { name: "erased there", reply: told({ answer: "erased" }, 200), is: "erased" },
    { name: "another one kept", reply: told({ answer: "kept", sha256: "t" }), is: "stays", stays: "not_ours" },
    { name: "kept under no number", reply: told({ answer: "kept", arrival: null }), is: "stays", stays: "not_ours" },
    { name: "a page with 200", reply: told({ answer: "kept" }, 200, "text/html"), is: "stays", stays: "not_ours" },
    { name: "a piece taken", reply: told({ answer: "goes_on", has: 7 }, 202), is: "begun" },
    { name: "a piece that does not fit", reply: told({ answer: "does_not_fit", has: 7 }, 409), is: "begun" },
    { name: "a piece of another one taken", reply: told({ has: 7, sha256: "t" }, 202), is: "stays", stays: "not_ours" },
    { name: "a piece taken, nobody says how much", reply: told({ answer: "goes_on", has: -1 }, 202), is: "stays", stays: "not_ours" },
    { name: "a page with 202", reply: told({ has: 7 }, 202, "text/html"), is: "stays", stays: "not_ours" },
    { name: "no JPEG", reply: heard(422, json, '{"says":"no JPEG","name":"content"}'), is: "refused", why: "no JPEG" },
    { name: "422 from somebody else", reply: heard(422, "text/html", "<p>"), is: "stays", stays: "not_ours" },
    { name: "404 from somebody else, as JSON", reply: heard(404, json, '{"error":"x"}'), is: "stays", stays: "not_ours" },
    { name: "too large", reply: heard(413, json, '{"says":"send less"}'), is: "stays", stays: "too_large" },
    { name: "500", reply: heard(500, "text/html", ""), is: "stays", stays: "server" },
    { name: "silence", reply: { heard: false }, is: "stays", stays: "silence" },
  ];
  it.each(photos)("$name", ({ reply, is, stays, why }) => {
    const own = judgeAttachment("s", reply);
    expect(own.is).toBe(is);
    if (own.is === "stays") expect(own.stays).toBe(stays);
    if (own.is === "begun") expect(own).toMatchObject({ has: 7, heard: null });
    if (own.is === "refused") expect(own).toMatchObject({ why, name: "content" });
    if (own.is === "held") expect(own).toMatchObject({ arrival: 9, heard: { epoch: "e", backedUpTo: 3 } });
  });
});

describe("what the server says it lacks", () => {
  const told = (...all: [string, string][]): Reply =>
    heard(200, json, JSON.stringify({ ...self, arrival: 5, answers: all.map(([sha256, answer]) => ({ sha256, answer })) }));

  it("is told of each by name", () => {
    const found = judgeLacking(["a", "b", "c"], told(["c", "erased"], ["a", "held"], ["b", "lacking"]));
    expect(found).toMatchObject({ held: [{ sha: "a", arrival: 5 }], lacking: [{ sha: "b", has: 0 }], erased: ["c"], stays: null });
  });

  it("is told how much is there of what was begun", () => {
    const message = { ...self, arrival: 5, answers: [{ sha256: "a", answer: "lacking", has: 65_536 }, { sha256: "b", answer: "lacking", has: "all" }] };
    expect(judgeLacking(["a", "b"], heard(200, json, JSON.stringify(message))).lacking).toEqual([{ sha: "a", has: 65_536 }, { sha: "b", has: 0 }]);
  });

  it("takes none for held that was not named", () => {
    const found = judgeLacking(["a", "b"], told(["b", "held"]));
    expect(found).toMatchObject({ held: [{ sha: "b", arrival: 5 }], lacking: [], stays: "not_ours" });
  });

  it.each([heard(200, "text/html", "<p>"), heard(500, json, "{}"), { heard: false } as const, heard(200, json, JSON.stringify({ ...self, answers: [] }))])("takes none for held after %o", (reply) => {
    const { held, erased, stays } = judgeLacking(["a"], reply);
    expect([held, erased]).toEqual([[], []]);
    expect(stays).not.toBeNull();
  });
});

describe("waiting", () => {
  it.each([
    [1, null, 2],
    [2, null, 4],
    [5, null, 32],
    [6, null, 60],
    [40, null, 60],
    [1, 30, 30],
    [6, 30, 60],
    [1, 99_999, 3600],
  ])("after %i failures and %s s asked for is for %i s", (failures, asked, wait) => {
    expect(pause(failures, asked)).toBe(wait);
  });

  it("takes no status but 200 and 201 for an answer", () => {
    const worth = Array.from({ length: 500 }, (_, at) => at + 100).filter((status) => whyNotDelivered(status) === null);
    expect(worth).toEqual([200, 201]);
  });
});
