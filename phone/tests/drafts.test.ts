import { expect, it } from "vitest";
import { loose, staysHere } from "../src/drafts";

const here = { jobs: new Set(["j1"]), machines: new Set(["m1"]) };

it.each([
  ["notes j1", true],
  ["notes j2", false],
  ["saying j1 noted return.cover", true],
  ["saying j2 finding", false],
  ["refused m1", true],
  ["refused m2", false],
  ["timing m2", false],
  ["new job m1", true],
  ["new job m2", false],
  ["refusal a fact's", true],
  ["me", true],
  ["last at", true],
  ["said 0a1b", true],
])("the draft %s stays where its job or its machine is held: %s", (name, stays) => {
  expect(staysHere(name, here)).toBe(stays);
});

it("what was said is loose where no draft names it", () => {
  const names = ["said aa", "said bb", "notes j1", "me"];
  expect(loose(names, '{"finding":{"voice":"aa"}}')).toEqual(new Set(["said bb"]));
});
