import type { Condition, Looked, Recorded } from "./card";

/** Whether a condition is met, and what it lacks: names of its unmet parts, each once, in the condition's order. */
export interface Verdict {
  met: boolean;
  lacking: string[];
}

/**
 * Evaluate a condition over a job's effective facts in the order of the fold. The bench has the same evaluator in
 * Python; contract/golden/gates holds the cases that both must pass.
 */
export function evaluate(condition: Condition, facts: readonly Recorded[]): Verdict {
  const { met, lacking } = judge(condition, facts);
  return { met, lacking: [...new Set(lacking)] };
}

function judge(condition: Condition, facts: readonly Recorded[]): Verdict {
  if ("all" in condition || "any" in condition) {
    const parts = ("all" in condition ? condition.all : condition.any).map((part) => judge(part, facts));
    const met = "all" in condition ? parts.every((part) => part.met) : parts.some((part) => part.met);
    return { met, lacking: met ? [] : parts.flatMap((part) => part.lacking) };
  }
  const met = plainlyMet(condition, facts);
  return { met, lacking: met ? [] : names(condition) };
}

function plainlyMet(condition: Condition, facts: readonly Recorded[]): boolean {
  if ("not" in condition) return !judge(condition.not, facts).met;
  if ("has" in condition) return latest(facts, condition.has) >= 0;
  if ("refitted" in condition) return isRefitted(facts, condition.refitted.place, condition.refitted.count);
  if ("renewed" in condition) return isRenewed(facts, condition.renewed.place);
  if ("accounted" in condition) return isAccounted(facts, condition.accounted.place, condition.accounted.count);
  if ("after" in condition) {
    const first = latest(facts, condition.after.first.has);
    return first < 0 || latest(facts, condition.after.then.has) >= first;
  }
  throw new TypeError(`condition = ${JSON.stringify(condition)} is not one of: all, any, not, has, refitted, renewed, accounted, after`);
}

function isRefitted(facts: readonly Recorded[], place: string, count: number): boolean {
  const taken = latest(facts, { kind: "part_out", where: { place } });
  const out = facts[taken]?.body;
  if (!out) return false;
  if (out["state"] === "stuck_and_left") return true;
  // What came out may have been short or doubled, whatever it was called: only the sheet's count is right.
  const put = latest(facts, { kind: "part_in", where: { place } });
  return put > taken && facts[put]?.body["count"] === count;
}

function isRenewed(facts: readonly Recorded[], place: string): boolean {
  const taken = latest(facts, { kind: "part_out", where: { place } });
  if (facts[taken]?.body["state"] === "stuck_and_left") return false;
  const put = latest(facts, { kind: "part_in", where: { place } });
  const body = put < taken ? undefined : facts[put]?.body;
  // What is out is not asked here whether it is back.
  return body === undefined || body["fresh"] === true || (body["reason"] ?? null) !== null;
}

// How an old seal is accounted for by itself: in the hand, in whatever shape.
const IN_HAND: readonly unknown[] = ["as_expected", "damaged", "deformed", "more"];

function isAccounted(facts: readonly Recorded[], place: string, count: number): boolean {
  const taken = latest(facts, { kind: "part_out", where: { place } });
  const out = facts[taken]?.body;
  if (!out) return false;
  // As many as the sheet has, or more: of two rings one may still lie in its groove.
  if (IN_HAND.includes(out["state"]) && Number(out["count"]) >= count) return true;
  const sought = latest(facts, { kind: "seal_looked_for", where: { place, groove: true, bowl: true } });
  return out["state"] !== "stuck_and_left" && sought > taken;
}

function latest(facts: readonly Recorded[], looked: Looked): number {
  for (let at = facts.length - 1; at >= 0; at -= 1) {
    const fact = facts[at];
    if (fact && matches(fact, looked)) return at;
  }
  return -1;
}

/** Whether a fact is of the kind looked for and its body has the values; a field left out equals null. */
export function matches(fact: Recorded, looked: Looked): boolean {
  if (fact.kind !== looked.kind) return false;
  return Object.entries(looked.where ?? {}).every(([field, wanted]) => {
    const found = fact.body[field] ?? null;
    return (Array.isArray(wanted) ? wanted : [wanted]).some((value) => value === found);
  });
}

function names(condition: Condition): string[] {
  if ("all" in condition) return condition.all.flatMap(names);
  if ("any" in condition) return condition.any.flatMap(names);
  if ("not" in condition) return names(condition.not).map((name) => `not:${name}`);
  if ("has" in condition) return [nameOf(condition.has)];
  if ("refitted" in condition) return [condition.refitted.place];
  if ("renewed" in condition) return [`new:${condition.renewed.place}`];
  if ("accounted" in condition) return [`old:${condition.accounted.place}`];
  return [nameOf(condition.after.then.has)];
}

function nameOf(looked: Looked): string {
  return [looked.kind, ...Object.values(looked.where ?? {}).map(written)].join(":");
}

function written(value: unknown): string {
  if (Array.isArray(value)) return value.map(written).join("|");
  return typeof value === "string" ? value : JSON.stringify(value);
}
