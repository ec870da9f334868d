import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { AGAIN_MS, Bench, PATIENCE_MS, RESTARTS, START_MS, STUCK_MS, type BenchState, type WorkerLike } from "../src/desk/bench";
import type { FromWorker, ToWorker } from "../src/desk/messages";
import { benchSays } from "../src/desk/says";

/** A worker that says what the test lets it say. */
class Worker implements WorkerLike {
  onmessage: WorkerLike["onmessage"] = null;
  onerror: WorkerLike["onerror"] = null;
  readonly heard: ToWorker[] = [];
  ended = false;

  postMessage(message: ToWorker): void {
    this.heard.push(message);
  }

  terminate(): void {
    this.ended = true;
  }

  say(data: FromWorker): void {
    this.onmessage?.({ data });
  }

  ready(): void {
    this.say({ state: "ready", ms: 830 });
  }

  answer(text: string): void {
    this.say({ id: this.heard.at(-1)!.id, text });
  }
}

let workers: Worker[];
let states: BenchState[];
const latest = () => workers.at(-1)!;
const made = () => {
  workers.push(new Worker());
  return latest();
};
const bench = (make: () => WorkerLike = made) => new Bench(make, (state) => states.push(state));

beforeEach(() => {
  vi.useFakeTimers();
  vi.spyOn(console, "error").mockImplementation(() => {});
  workers = [];
  states = [];
});

afterEach(() => {
  vi.useRealTimers();
  vi.restoreAllMocks();
});

describe("starting", () => {
  it("tells how it stands", () => {
    const here = bench();
    expect(here.state).toEqual({ is: "starting" });
    latest().ready();
    expect(states).toEqual([{ is: "starting" }, { is: "ready", ms: 830 }]);
    expect(states.map(benchSays)).toEqual([
      "The sums are starting on this phone.",
      "Sums are worked out on this phone. They started in 0.8\u00a0s.",
    ]);
  });

  it("hands on what is asked meanwhile", async () => {
    const said = bench().ask("a");
    latest().ready();
    latest().answer("b");
    expect(await said).toEqual({ text: "b" });
  });

  it("lets nobody wait for it longer than for an answer", async () => {
    const here = bench();
    const said = here.ask("a");
    vi.advanceTimersByTime(PATIENCE_MS);
    expect(await said).toEqual({ waits: "starting" });
    latest().ready();
    latest().answer("late"); // to nobody, and harms nothing
    expect(here.state.is).toBe("ready");
  });

  it.each<[string, (worker: Worker) => void, BenchState]>([
    ["Python says why", (worker) => worker.say({ state: "cannot", why: "no memory" }), { is: "cannot", because: "error", error: "no memory" }],
    ["the browser says why", (worker) => worker.onerror?.({ message: "no module" }), { is: "cannot", because: "error", error: "no module" }],
    ["the file is not to be had", (worker) => worker.onerror?.({}), { is: "cannot", because: "error", error: "worker.js" }],
    ["nobody says anything", () => vi.advanceTimersByTime(START_MS), { is: "cannot", because: "silent" }],
  ])("that fails is told: %s", async (_what, fault, state) => {
    const here = bench();
    const said = here.ask("a", START_MS * 2);
    fault(latest());
    expect(here.state).toEqual(state);
    expect(benchSays(here.state)).toContain("Recording goes on");
    expect(await said).toEqual({ waits: "cannot" });
    expect(latest().ended).toBe(true);
  });

  it("that fails at once is told too", async () => {
    const here = bench(() => {
      throw new Error("no workers");
    });
    expect(here.state).toEqual({ is: "cannot", because: "error", error: "Error: no workers" });
    expect(await here.ask("a")).toEqual({ waits: "cannot" });
  });

  it("is tried again when somebody asks, but not at once", async () => {
    const here = bench();
    latest().say({ state: "cannot", why: "no network" });
    vi.advanceTimersByTime(AGAIN_MS - 1);
    expect(await here.ask("a")).toEqual({ waits: "cannot" });
    expect(workers).toHaveLength(1);
    vi.advanceTimersByTime(1);
    const said = here.ask("a");
    expect(workers).toHaveLength(2);
    latest().ready();
    latest().answer("b");
    expect(await said).toEqual({ text: "b" });
  });
});

describe("an answer", () => {
  it("goes to who asked, in whatever order it comes", async () => {
    const here = bench();
    latest().ready();
    const both = Promise.all([here.ask("first"), here.ask("second")]);
    const [first, second] = latest().heard;
    latest().say({ id: second!.id, text: "2" });
    latest().say({ id: first!.id, text: "1" });
    expect(await both).toEqual([{ text: "1" }, { text: "2" }]);
  });

  it("that Python breaks at is none, and the next is asked for all the same", async () => {
    const here = bench();
    latest().ready();
    const said = here.ask("a");
    latest().say({ id: latest().heard[0]!.id, failed: "ZeroDivisionError" });
    expect(await said).toEqual({ waits: "broke" });
    expect(console.error).toHaveBeenCalledWith("ZeroDivisionError");
    const next = here.ask("b");
    latest().answer("c");
    expect(await next).toEqual({ text: "c" });
    expect(workers).toHaveLength(1);
  });

  it("that it breaks at twice running is given up with that worker", () => {
    const here = bench();
    latest().ready();
    for (const text of ["a", "b"]) {
      void here.ask(text);
      latest().say({ id: latest().heard.at(-1)!.id, failed: "fatal" });
    }
    expect(workers.map((worker) => worker.ended)).toEqual([true, false]);
  });
});

describe("a worker that is ready", () => {
  it("is started anew when it crashes, and all who waited are told", async () => {
    const here = bench();
    latest().ready();
    const both = Promise.all([here.ask("a"), here.ask("b")]);
    latest().onerror?.({ message: "out of memory" });
    expect(await both).toEqual([{ waits: "broke" }, { waits: "broke" }]);
    expect([here.life, here.state.is, workers[0]!.ended]).toEqual([2, "starting", true]);
    latest().ready();
    const next = here.ask("c");
    latest().answer("d");
    expect(await next).toEqual({ text: "d" });
  });

  it("is started anew when it is stuck", async () => {
    const here = bench();
    latest().ready();
    const said = here.ask("a");
    vi.advanceTimersByTime(PATIENCE_MS);
    expect(await said).toEqual({ waits: "broke" });
    expect(workers).toHaveLength(1);
    vi.advanceTimersByTime(STUCK_MS - PATIENCE_MS);
    expect(workers).toHaveLength(2);
  });

  it("may be silent for as long as nobody asks", () => {
    const here = bench();
    latest().ready();
    void here.ask("a");
    latest().answer("b");
    vi.advanceTimersByTime(STUCK_MS * 10);
    expect([here.state.is, workers.length]).toEqual(["ready", 1]);
  });

  it("is not stuck while it answers one question after the other", () => {
    const here = bench();
    latest().ready();
    for (const text of ["a", "b", "c"]) void here.ask(text, STUCK_MS * 10);
    for (const { id } of [...latest().heard]) {
      vi.advanceTimersByTime(STUCK_MS - 1);
      latest().say({ id, text: "" });
    }
    expect(workers).toHaveLength(1);
  });

  it("is not heard any more once it has been given up", async () => {
    const here = bench();
    const [old] = workers;
    old!.ready();
    old!.onerror?.({ message: "crash" });
    old!.ready();
    expect(here.state.is).toBe("starting");
  });

  it("is given up when it breaks again and again, until an answer shows that it works", async () => {
    const here = bench();
    for (let n = 0; n < RESTARTS; n += 1) {
      latest().ready();
      latest().onerror?.({ message: "crash" });
    }
    latest().ready();
    void here.ask("a");
    latest().answer("b"); // it works after all
    for (let n = 0; n < RESTARTS; n += 1) {
      latest().onerror?.({ message: "crash" });
      latest().ready();
    }
    expect(here.state.is).toBe("ready");
    latest().onerror?.({ message: "crash" });
    expect(here.state).toEqual({ is: "cannot", because: "breaks" });
    expect(workers).toHaveLength(1 + 2 * RESTARTS);
  });
});
