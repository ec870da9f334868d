import { describe, expect, it } from "vitest";
import { after, atOnce, choose, goesOn, LARGEST, nextAt, START, type Course } from "../src/outbox/course";
import type { Why } from "../src/outbox/queue";
import { WAITING, type Entry, type Standing } from "../src/outbox/store";

const entry = (id: string, standing: Standing = WAITING): Entry => ({ id, text: id, job: "j", standing });
const line = (ids: string): Entry[] => [...ids].map((id) => entry(id));
const ids = (entries: readonly Entry[]): string => entries.map((one) => one.id).join("");
const outcome = (stays: Why | null, retryAfterS: number | null = null) => ({ stays, retryAfterS });
const course = (part: Partial<Course> = {}): Course => ({ ...START, ...part });
const suspects = (...told: [string, number, number][]): Course["suspects"] => new Map(told.map(([id, failures, notBefore]) => [id, { failures, notBefore }]));

describe("what goes next", () => {
  const refused: Standing = { is: "refused", why: "no", name: null };
  const rows: { name: string; course: Partial<Course>; line: Entry[]; next: string }[] = [
    { name: "the front of the line", course: { size: 2 }, line: line("abc"), next: "ab" },
    { name: "nothing from an empty line", course: {}, line: [], next: "" },
    { name: "none that was refused or set aside", course: {}, line: [entry("a", refused), entry("b"), entry("c", { is: "set_aside", refused: "", why: "", instead: null })], next: "b" },
    { name: "one after a batch was taken apart", course: { size: 1, careful: true }, line: line("abc"), next: "a" },
    { name: "another than the one that just failed", course: { size: 1, doubted: "a" }, line: line("abc"), next: "b" },
    { name: "the one that just failed where it is alone", course: { size: 1, doubted: "a" }, line: line("a"), next: "a" },
    { name: "none that stepped aside while others wait", course: { suspects: suspects(["a", 1, 0]) }, line: line("abc"), next: "bc" },
    { name: "one that stepped aside when it is alone and due", course: { suspects: suspects(["a", 1, 1000]) }, line: line("a"), next: "a" },
    { name: "nothing before it is due", course: { suspects: suspects(["a", 1, 1001]) }, line: line("a"), next: "" },
    { name: "of those that stepped aside, singly the one that failed least", course: { suspects: suspects(["a", 3, 0], ["b", 1, 0], ["c", 1, 0]) }, line: line("abc"), next: "b" },
  ];
  it.each(rows)("is $name", ({ course: part, line: all, next }) => {
    expect(ids(choose(course(part), all, 1000))).toBe(next);
  });
});

describe("after a failure", () => {
  const rows: { name: string; course?: Partial<Course>; sent: string; stays: Why | null; retryAfterS?: number; then: Partial<Course> }[] = [
    { name: "a batch passes: twice as many", course: { size: 8, failures: 4, batches: 2, notBefore: 9 }, sent: "abcdefgh", stays: null, then: { size: 16, failures: 0, batches: 0, notBefore: 0 } },
    { name: "never more than the most", course: { size: LARGEST }, sent: "ab", stays: null, then: { size: LARGEST } },
    { name: "too large: half as many, at once", course: { size: 50 }, sent: "abcdefgh", stays: "too_large", then: { size: 4, failures: 0, notBefore: 0 } },
    { name: "half of three is one", course: { size: 50 }, sent: "abc", stays: "too_large", then: { size: 1 } },
    { name: "too large alone: it steps aside", sent: "a", stays: "too_large", then: { failures: 0, suspects: suspects(["a", 1, 3000]) } },
    { name: "a batch fails the first time", sent: "abc", stays: "server", then: { size: 50, batches: 1, failures: 1, notBefore: 3000, careful: false } },
    { name: "a batch fails the third time: singly", course: { batches: 2, failures: 2 }, sent: "abc", stays: "server", then: { size: 1, careful: true, failures: 3, notBefore: 9000 } },
    { name: "a silence counts as the batch's failure too", course: { batches: 2, failures: 2 }, sent: "abc", stays: "silence", then: { size: 1, careful: true } },
    { name: "a page of somebody else's counts too", course: { batches: 2, failures: 2 }, sent: "abc", stays: "not_ours", then: { size: 1, careful: true } },
    { name: "a missing sign-in is no batch's fault", course: { batches: 2, failures: 2 }, sent: "abc", stays: "sign_in", then: { size: 50, batches: 2, careful: false, failures: 3, notBefore: 9000 } },
    { name: "nor is a pause that is asked for", sent: "abc", stays: "too_many", retryAfterS: 40, then: { size: 50, batches: 0, failures: 1, notBefore: 41_000 } },
    { name: "a batch that fails once it was taken apart is taken apart again at once", course: { careful: true, size: 4 }, sent: "abcd", stays: "server", then: { size: 1, careful: true } },
    { name: "one fails the first time: it stays first", sent: "a", stays: "server", then: { doubted: null, batches: 1, size: 50 } },
    { name: "one fails alone: it is doubted", course: { size: 1, careful: true }, sent: "a", stays: "server", then: { doubted: "a", suspects: suspects() } },
    { name: "the next passes: the doubted steps aside", course: { size: 1, careful: true, doubted: "a", failures: 1 }, sent: "b", stays: null, then: { doubted: null, size: 2, suspects: suspects(["a", 1, 3000]), failures: 0, notBefore: 0 } },
    { name: "the next fails too: it was not its fault", course: { size: 1, careful: true, doubted: "a", failures: 1 }, sent: "b", stays: "server", then: { doubted: null, suspects: suspects(), failures: 2, notBefore: 5000 } },
    { name: "one that stepped aside fails again: longer for itself, not for the others", course: { suspects: suspects(["a", 1, 0]) }, sent: "a", stays: "server", then: { suspects: suspects(["a", 2, 5000]), failures: 0, notBefore: 0 } },
    { name: "one that stepped aside passes: it is like the others", course: { suspects: suspects(["a", 5, 0]) }, sent: "a", stays: null, then: { suspects: suspects() } },
  ];
  it.each(rows)("$name", ({ course: part, sent, stays, retryAfterS = null, then }) => {
    expect(after(course(part), [...sent], outcome(stays, retryAfterS), 1000)).toMatchObject(then);
  });

  it.each([
    { stays: null, sent: "ab", all: "c", on: true },
    { stays: "too_large" as const, sent: "ab", all: "abc", on: true },
    { stays: "server" as const, sent: "ab", all: "abc", on: false },
    { stays: "server" as const, sent: "a", all: "abc", on: true },
    { stays: "server" as const, sent: "a", all: "a", on: false },
    { stays: "silence" as const, sent: "a", all: "abc", on: false },
    { stays: "sign_in" as const, sent: "a", all: "abc", on: false },
  ])("with $stays after $sent of $all it goes on at once: $on", ({ stays, sent, all, on }) => {
    const next = after(course({ size: 1, careful: true }), [...sent], outcome(stays), 1000);
    expect(goesOn(next, [...sent], stays, line(all), 1000)).toBe(on);
  });
});

describe("when something goes next", () => {
  it.each([
    { name: "never, with nothing in line", part: {}, all: "", at: null },
    { name: "now", part: {}, all: "a", at: 1000 },
    { name: "when the way may be tried again", part: { notBefore: 9000 }, all: "a", at: 9000 },
    { name: "when the first of those aside is due", part: { suspects: suspects(["a", 1, 7000], ["b", 1, 5000]) }, all: "ab", at: 5000 },
    { name: "now, where one does not stand aside", part: { suspects: suspects(["a", 1, 7000]) }, all: "ab", at: 1000 },
  ])("is $name", ({ part, all, at }) => {
    expect(nextAt(course(part), line(all), 1000)).toBe(at);
  });

  it("is now when a person asks for it", () => {
    const rushed = atOnce(course({ notBefore: 9000, suspects: suspects(["a", 4, 60_000]) }));
    expect(nextAt(rushed, line("a"), 1000)).toBe(1000);
    expect(ids(choose(rushed, line("a"), 1000))).toBe("a");
  });
});

describe("a fact that no server can take", () => {
  /** Runs a line against a server that fails at one fact, with a clock of its own; says how long it took [s]. */
  function run(all: string, poison: string, stays: Why): { passed: string; seconds: number; tries: number } {
    let [now, own, left, tries] = [0, START, line(all), 0];
    const passed: string[] = [];
    while (left.some((one) => one.id !== poison)) {
      now = Math.max(now, nextAt(own, left, now) ?? now);
      const sent = choose(own, left, now).map((one) => one.id);
      expect(sent.length).toBeGreaterThan(0);
      const fails = sent.includes(poison);
      if (!fails) {
        passed.push(...sent);
        left = left.filter((one) => !sent.includes(one.id));
      }
      tries += 1;
      own = after(own, sent, outcome(fails ? stays : null), now);
    }
    return { passed: passed.join(""), seconds: now / 1000, tries };
  }

  const all = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
  it.each([...all].flatMap((poison) => (["server", "silence", "not_ours"] as const).map((stays) => ({ poison, stays }))))("$poison, by $stays, holds no other back for long", ({ poison, stays }) => {
    const { passed, seconds, tries } = run(all, poison, stays);
    expect([...passed].sort().join("")).toBe([...all].filter((id) => id !== poison).sort().join(""));
    expect(seconds).toBeLessThan(60);
    expect(tries).toBeLessThan(30);
  });
});
