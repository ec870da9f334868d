import { describe, expect, it } from "vitest";
import type { Said } from "../src/desk/bench";
import { WorkerDesk, type Held } from "../src/desk/worker-desk";

const HELD: Held = {
  machine: "m1",
  material: { machine: { line: { id: "m1" } }, sheet: null, oils: {}, coldest_c: null },
  version: "1",
  tasks: ["hyd_500"],
  facts: ["{}"],
  units: "us",
};

/** A bench that answers by what it is asked to do, and remembers what it was asked. */
class Bench {
  life = 1;
  readonly asked: Record<string, unknown>[] = [];
  readonly patience: number[] = [];

  constructor(private readonly answers: (asked: Record<string, unknown>) => unknown = () => ({ ok: {} })) {}

  async ask(text: string, patienceMs = Number.NaN): Promise<Said> {
    const asked = JSON.parse(text) as Record<string, unknown>;
    this.asked.push(asked);
    this.patience.push(patienceMs);
    await new Promise((resolve) => setTimeout(resolve, 1)); // others have time to ask meanwhile
    const told = this.answers(asked) as { waits?: "broke" };
    return told.waits ? { waits: told.waits } : { text: JSON.stringify(told) };
  }

  get did(): unknown[] {
    return this.asked.map((one) => one.do);
  }
}

const desk = (bench: Bench, held: (job: string) => Held | null = () => HELD) => new WorkerDesk(bench, async (job) => held(job));

describe("a calculation", () => {
  it("is asked for by key, values and units", async () => {
    const bench = new Bench(() => ({ ok: { says: ["At 80 °C"] } }));
    expect(await desk(bench).sum("oil_density", { t: "80" }, "us")).toEqual({ ok: { says: ["At 80 °C"] } });
    expect(bench.asked).toEqual([{ do: "sum", key: "oil_density", told: { t: "80" }, units: "us" }]);
  });

  it("is listed and described", async () => {
    const bench = new Bench();
    await desk(bench).sums("");
    await desk(bench).describe("oil_density", "metric");
    expect(bench.asked).toEqual([{ do: "list", asked: "" }, { do: "describe", key: "oil_density", units: "metric" }]);
  });

  it.each([
    ["refused with its sentence", { refused: { says: "t = 999 °C", name: "t_c" } }, { refused: "t = 999 °C", name: "t_c" }],
    ["said to wait", { waits: "broke" }, { waits: "broke" }],
  ])("is %s", async (_what, told, worked) => {
    expect(await desk(new Bench(() => told)).sum("oil_density", {}, "metric")).toEqual(worked);
  });
});

describe("a question about a job", () => {
  it("has the machine taken up first, and once", async () => {
    const bench = new Bench();
    const here = desk(bench);
    await here.card("j1");
    await here.level("j1", { reading: "0.5" });
    expect(bench.asked).toEqual([
      { do: "open", ...HELD.material },
      { do: "card", job: "j1", machine: "m1", tasks: ["hyd_500"], facts: ["{}"], units: "us" },
      { do: "level", job: "j1", asked: { reading: "0.5" }, machine: "m1", tasks: ["hyd_500"], facts: ["{}"], units: "us" },
    ]);
  });

  it("says when a meter was read, and asks for what finishing shows", async () => {
    const bench = new Bench();
    const here = desk(bench);
    await here.meter("j1", { reading_h: "1482" }, "2026-03-02T08:15:00+01:00");
    await here.finish("j1");
    expect(bench.did).toEqual(["open", "meter", "finish"]);
    expect(bench.asked[1]).toMatchObject({ at: "2026-03-02T08:15:00+01:00", asked: { reading_h: "1482" } });
  });

  it("keeps what has to be said beside the answer", async () => {
    const bench = new Bench(({ do: what }) => (what === "card" ? { ok: { card: 1 }, note: "Not all is known here." } : { ok: {} }));
    expect(await desk(bench).card("j1")).toEqual({ ok: { card: 1 }, note: "Not all is known here." });
  });

  it.each<[string, (bench: Bench) => void, Partial<Held>]>([
    ["the bench was started anew", (bench) => void (bench.life += 1), {}],
    ["the server sent newer material", () => {}, { version: "2" }],
    ["it is about another machine", () => {}, { machine: "m2" }],
  ])("has it taken up again when %s", async (_what, change, then) => {
    const bench = new Bench();
    let held = HELD;
    const here = desk(bench, () => held);
    await here.card("j1");
    change(bench);
    held = { ...HELD, ...then };
    await here.card("j1");
    expect(bench.did).toEqual(["open", "card", "open", "card"]);
  });

  it("waits its turn, so that no other machine is taken up between", async () => {
    const bench = new Bench();
    const here = desk(bench, (job) => ({ ...HELD, machine: job }));
    await Promise.all([here.card("a"), here.card("b"), here.level("a", {})]);
    expect(bench.did).toEqual(["open", "card", "open", "card", "open", "level"]);
    expect(bench.asked.filter((one) => one.job).map((one) => [one.machine, one.job])).toEqual([["a", "a"], ["b", "b"], ["a", "a"]]);
  });

  it("has less time left, the longer it waited for its turn", async () => {
    const bench = new Bench();
    const here = desk(bench);
    await Promise.all([here.card("a"), here.card("b"), here.card("c")]);
    expect(bench.patience).toEqual([...bench.patience].sort((a, b) => b - a));
  });

  it("waits where the phone holds nothing of the job, or what this bench cannot take up", async () => {
    expect(await desk(new Bench(), () => null).card("j1")).toEqual({ waits: "not_held" });
    const older = new Bench(({ do: what }) => (what === "open" ? { refused: { says: "another version", name: "folded_by" } } : { ok: {} }));
    expect(await desk(older).card("j1")).toEqual({ waits: "not_held" });
    expect(older.did).toEqual(["open"]);
  });

  it("is open to the next one after what is held could not be read", async () => {
    let fault = true;
    const here = new WorkerDesk(new Bench(), async () => {
      if (fault) throw new Error("the store is shut");
      return HELD;
    });
    await expect(here.card("j1")).rejects.toThrow("the store is shut");
    fault = false;
    expect(await here.card("j1")).toEqual({ ok: {} });
  });
});
