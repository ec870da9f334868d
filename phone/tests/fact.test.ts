import { describe, expect, it } from "vitest";
import { sha256 } from "../src/digest";
import { canonical, effective, type ClockErrors, type Fact } from "../src/fact";
import { cases, read } from "./golden";

interface Golden {
  says: string;
  kind: string;
  text: string;
  sha256: string;
}

describe("the text of a fact", () => {
  it.each(cases<Golden>("facts"))("is the bench's to the letter: $kind", async ({ text, sha256: hash }) => {
    const fact = JSON.parse(text) as Fact;
    expect(canonical(fact)).toBe(text);
    expect(await sha256(text)).toBe(hash);
  });

  it("has the envelope in its order, whatever order it was made in", () => {
    const { body, kind, ...rest } = fact("a", 1);
    expect(canonical({ body, kind, ...rest }).startsWith('{"id":"a","kind":"step_done","version":1,"subject"')).toBe(true);
  });

  it("leaves out of the body what was not given", () => {
    expect(canonical(fact("a", 1, { step: "s", note: undefined, photos: [] }))).toContain('"body":{"step":"s","photos":[]}');
  });

  it("refuses a float, deep inside too", () => {
    expect(() => canonical(fact("a", 1, { reading: { value: 12.5 } }))).toThrow(/12.5 .* is not a whole number/);
  });
});

describe("the facts that hold", () => {
  it("stand in the order of the fold, whatever order they came in", () => {
    const [first, second, third] = [fact("c", 1), fact("b", 2), fact("a", 3)];
    expect(ids(effective([third, first, second]))).toEqual(["c", "b", "a"]);
  });

  it("count once, however often they came", () => {
    expect(ids(effective([fact("a", 1), fact("a", 1)]))).toEqual(["a"]);
  });

  it("are ordered by moment and not by the text of it", () => {
    const earlier = { ...fact("a", 2), at: "2026-03-02T08:30:00+01:00" };
    const later = { ...fact("b", 1), at: "2026-03-02T07:45:00+00:00" };
    expect(ids(effective([later, earlier]))).toEqual(["a", "b"]);
  });

  it("lack what was withdrawn", () => {
    expect(ids(effective([fact("a", 1), fact("b", 2), correction("x", 3, "a")]))).toEqual(["b"]);
  });

  it("have a replaced body in its old place", () => {
    const facts = effective([fact("a", 1), fact("b", 2), correction("x", 3, "a", { step: "other" })]);
    expect(facts.map((one) => one.body["step"])).toEqual(["other", "s"]);
  });

  it("take the latest of several corrections", () => {
    const facts = [fact("a", 1), correction("x", 2, "a", { step: "one" }), correction("y", 3, "a", { step: "two" })];
    expect(effective(facts).map((one) => one.body["step"])).toEqual(["two"]);
  });

  it("are the bench's, with clocks that were off and corrections of corrections", () => {
    interface Holding {
      texts: string[];
      clock_errors: ClockErrors;
      holds: [string, Record<string, unknown>][];
    }
    for (const { texts, clock_errors, holds } of read<Holding[]>("golden", "holding.json")) {
      const facts = texts.map((text) => JSON.parse(text) as Fact);
      expect(effective(facts, clock_errors).map(({ id, body }) => [id, body])).toEqual(holds);
    }
  });

  it("come back when their withdrawal is withdrawn", () => {
    expect(ids(effective([fact("a", 1), correction("x", 2, "a"), correction("y", 3, "x")]))).toEqual(["a"]);
  });
});

const ids = (facts: Fact[]): string[] => facts.map((one) => one.id);

function fact(id: string, number: number, body: Record<string, unknown> = { step: "s" }): Fact {
  const at = `2026-03-02T08:15:0${number}+01:00`;
  return {
    id,
    kind: "step_done",
    version: 1,
    subject: { type: "machine", id: "m" },
    job: "j",
    at,
    recorded: at,
    device: "d",
    number,
    person: "p",
    app: "0.1.0",
    body,
  };
}

function correction(id: string, number: number, of: string, body?: Record<string, unknown>): Fact {
  return {
    ...fact(id, number, { of, action: body ? "replace" : "withdraw", ...(body ? { body } : {}), reason: "undo" }),
    kind: "correction",
  };
}
