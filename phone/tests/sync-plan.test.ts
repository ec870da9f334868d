import { describe, expect, it } from "vitest";
import type { Bundle, JobPart, MachinePart, Visit } from "../src/sync/bundle";
import type { OwnJob } from "../src/sync/held";
import { cardsWanted, dayOf, daysOf, jobsOf, plan } from "../src/sync/plan";

const NOW = Date.parse("2026-03-02T08:00:00Z");

const machine = (id: string, more: Partial<MachinePart> = {}): MachinePart => ({
  id,
  line: { id, name: `machine ${id}` } as MachinePart["line"],
  sheet: "sheet",
  state: {},
  folded_by: 1,
  behind: false,
  facts: [],
  since: [],
  jobs: [],
  due: [],
  story: [],
  photos: [],
  ...more,
});
const visit = (id: string, day: string, jobs: [string, string][], more: Partial<Visit> = {}): Visit => ({
  id,
  day,
  from: null,
  to: null,
  person: null,
  van: "",
  site: "",
  address: "",
  access: "",
  customer: "",
  note: "",
  jobs: jobs.map(([job, on]) => ({ job, machine: on, tasks: ["hyd_500"] })),
  ...more,
});
const job = (id: string, opened: string | null, closed: string | null = null): JobPart => ({
  job: id,
  visit: null,
  tasks: ["hyd_500"],
  opened_at: opened,
  closed_at: closed,
});
const own = (id: string, on: string, closed: string | null = null): OwnJob => ({
  job: id,
  machine: on,
  visit: null,
  tasks: ["engine_250"],
  opened_at: "2026-03-02T07:00:00Z",
  closed_at: closed,
});
const bundle = (machines: MachinePart[], visits: Visit[] = []): Bundle => ({
  made_at: "",
  app: "",
  epoch: "1",
  arrival: 0,
  backed_up_to: 0,
  person: { id: "", name: "", role: "mechanic" },
  units: "metric",
  coldest_c: null,
  visits,
  machines,
  sheets: {},
  oils: {},
  people: [],
});
const nothing = { photos: [], cards: [], jobs: [], busy: new Set<string>(), now: NOW };

describe("a bundle that has come", () => {
  it("has its photos fetched once each, and others dropped", () => {
    const told = bundle([machine("a", { photos: ["1", "2"] }), machine("b", { photos: ["2", "3"] })]);
    expect(plan(told, { ...nothing, photos: ["2", "9"] }).photos).toEqual({ fetch: ["1", "3"], drop: ["9"] });
  });

  it("has cards worked out for jobs that are not closed, the next visit's first, where there is a sheet", () => {
    const machines = [
      machine("a", { jobs: [job("open", "2026-03-01"), job("closed", "2026-02-20", "2026-02-21")] }),
      machine("b"),
      machine("bare", { sheet: null }),
    ];
    const visits = [visit("later", "2026-03-04", [["j2", "b"]]), visit("soon", "2026-03-03", [["j1", "a"], ["j3", "bare"]])];
    expect(cardsWanted(bundle(machines, visits), []).map((one) => one.job)).toEqual(["j1", "j2", "open"]);
  });

  it("drops the cards of machines that may not be seen any more, but never of a job with something to send", () => {
    const here = { ...nothing, cards: ["gone", "busy", "j1"], busy: new Set(["busy"]) };
    expect(plan(bundle([machine("a")], [visit("v", "2026-03-03", [["j1", "a"]])]), here).cards.drop).toEqual(["gone"]);
  });

  it.each([
    ["is told of as open", [job("mine", "2026-03-02")], own("mine", "a"), true],
    ["is planned there and not yet open", [job("mine", null)], own("mine", "a"), false],
    ["was closed here and is open there", [job("mine", "2026-03-02")], own("mine", "a", "2026-03-02T07:30:00Z"), false],
    ["is not told of", [], own("mine", "a"), false],
    ["was closed long ago and is not told of", [], own("mine", "a", "2026-02-20T07:30:00Z"), true],
    ["is of a machine that is not held", [], own("mine", "elsewhere"), true],
  ])("a job opened here that %s", (_says, told, mine, gone) => {
    const here = { ...nothing, jobs: [mine] };
    expect(plan(bundle([machine("a", { jobs: told })]), here).jobs.drop).toEqual(gone ? ["mine"] : []);
    expect(plan(bundle([]), { ...here, busy: new Set(["mine"]) }).jobs.drop).toEqual([]);
  });
});

describe("the jobs that are known", () => {
  it("have from the bundle what it tells, and from this phone what it may not know yet", () => {
    const known = jobsOf(bundle([machine("a", { jobs: [job("both", "2026-03-01")] })]), [own("both", "a", "2026-03-02T07:30:00Z"), own("mine", "a")]);
    expect(known.get("both")).toMatchObject({ tasks: ["hyd_500"], opened_at: "2026-03-01", closed_at: "2026-03-02T07:30:00Z" });
    expect(known.get("mine")).toMatchObject({ machine: "a", tasks: ["engine_250"], closed_at: null });
  });
});

describe("Today", () => {
  const machines = [machine("a", { jobs: [job("loose", "2026-02-27")] }), machine("b"), machine("c")];
  const visits = [
    visit("noon", "2026-03-02", [["j2", "b"]], { from: "12:00" }),
    visit("morning", "2026-03-02", [["j1", "a"]], { from: "07:30" }),
    visit("next", "2026-03-05", [["j3", "a"], ["j4", "not held"]]),
    visit("past", "2026-03-01", [["j5", "c"]]),
  ];
  const told = daysOf(bundle(machines, visits), [], "2026-03-02");

  it("shows the days from now on with their visits by the clock", () => {
    expect(told.days.map(({ day, visits: shown }) => [day, shown.map((one) => one.visit.id)])).toEqual([
      ["2026-03-02", ["morning", "noon"]],
      ["2026-03-05", ["next"]],
    ]);
    expect(told.days[1]?.visits[0]?.stops.map((stop) => stop.job.job)).toEqual(["j3"]);
  });

  it("shows open jobs that are on no visit, and the machines that are on none", () => {
    expect(told.open.map((stop) => stop.job.job)).toEqual(["loose"]);
    expect(told.others.map((one) => one.id)).toEqual(["c"]);
  });

  it("is the day of the place, not of Greenwich", () => {
    expect(dayOf(Date.parse("2026-03-02T23:30:00Z"), 60)).toBe("2026-03-03");
    expect(dayOf(Date.parse("2026-03-02T03:30:00Z"), -300)).toBe("2026-03-01");
  });
});
