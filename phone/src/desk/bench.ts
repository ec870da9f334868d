import type { Waits } from "./desk";
import type { FromWorker, ToWorker } from "./messages";

/** Why it cannot start: what the browser or Python said, or that it says nothing, or that it breaks again and again. */
export type Because = { because: "error"; error: string } | { because: "silent" } | { because: "breaks" };

/** How it stands with the bench on this phone. */
export type BenchState = { is: "starting" } | { is: "ready"; ms: number } | ({ is: "cannot" } & Because);

/** What the bench said, or why it said nothing. */
export type Said = { text: string } | { waits: Waits };

/** As much of a worker as is used. */
export interface WorkerLike {
  onmessage: ((event: { data: FromWorker }) => void) | null;
  onerror: ((event: { message?: string }) => void) | null;
  postMessage(message: ToWorker): void;
  terminate(): void;
}

/** An old phone that fetches everything over a poor network starts slowly. */
export const START_MS = 120_000;
/** How long somebody waits for an answer before asking elsewhere. */
export const PATIENCE_MS = 8_000;
/** No question takes a second on a slow phone: a worker that is silent for so long is stuck. */
export const STUCK_MS = 20_000;
/** What could not start is tried again when asked, but not before. */
export const AGAIN_MS = 60_000;
/** How often it is started anew after it broke, without an answer in between. */
export const RESTARTS = 3;
/** So many questions in a row that it failed at, and it is started anew: Python may be past mending. */
const FAILURES = 2;

type Timer = ReturnType<typeof setTimeout>;

const makeWorker = () => new Worker("/phone/worker.js", { type: "module", name: "bench" }) as WorkerLike;

/**
 * The bench in a worker of its own: started at once, asked in turn, started anew where it broke or is stuck. Every
 * question is answered in time, be it by why there is no answer.
 */
export class Bench {
  state: BenchState = { is: "starting" };
  /** How often it was started: what an earlier one was told, the present one does not know. */
  life = 0;
  private worker: WorkerLike | null = null;
  private number = 0;
  /** Those who wait for an answer. */
  private readonly waiting = new Map<number, (said: Said) => void>();
  /** What the worker has not answered yet, waited for or not. */
  private readonly open = new Set<number>();
  private watch: Timer | undefined;
  private restarts = 0;
  private failures = 0;
  private failedAt = 0;

  constructor(
    private readonly make: () => WorkerLike = makeWorker,
    private readonly onstate: (state: BenchState) => void = () => {},
    private readonly now: () => number = Date.now,
  ) {
    this.start();
  }

  ask(text: string, patienceMs = PATIENCE_MS): Promise<Said> {
    if (this.state.is === "cannot" && this.now() - this.failedAt >= AGAIN_MS) {
      this.restarts = 0;
      this.start();
    }
    const { worker } = this;
    if (!worker) return Promise.resolve({ waits: "cannot" });
    return new Promise((resolve) => {
      const id = ++this.number;
      const impatient = () => this.settle(id, { waits: this.state.is === "starting" ? "starting" : "broke" });
      const timer = setTimeout(impatient, patienceMs);
      this.waiting.set(id, (said) => {
        clearTimeout(timer);
        resolve(said);
      });
      this.open.add(id);
      worker.postMessage({ id, text });
      if (this.state.is === "ready" && this.open.size === 1) this.watchAnswer();
    });
  }

  private start(): void {
    this.become({ is: "starting" });
    this.life += 1;
    try {
      const worker = (this.worker = this.make());
      // What one says that was ended meanwhile counts no more.
      worker.onmessage = ({ data }) => worker === this.worker && this.hear(data);
      worker.onerror = ({ message }) => worker === this.worker && this.fault(message || "worker.js");
    } catch (error) {
      return this.fail({ because: "error", error: String(error) });
    }
    this.watch = setTimeout(() => this.fail({ because: "silent" }), START_MS);
  }

  private hear(message: FromWorker): void {
    if ("state" in message) {
      if (message.state === "cannot") return this.fail({ because: "error", error: message.why });
      this.become({ is: "ready", ms: message.ms });
      return this.watchAnswer();
    }
    this.open.delete(message.id);
    this.watchAnswer();
    if ("text" in message) {
      this.restarts = this.failures = 0;
      return this.settle(message.id, { text: message.text });
    }
    console.error(message.failed);
    this.settle(message.id, { waits: "broke" });
    this.failures += 1;
    if (this.failures === FAILURES) this.breakDown();
  }

  private fault(error: string): void {
    if (this.state.is === "starting") this.fail({ because: "error", error });
    else this.breakDown();
  }

  private watchAnswer(): void {
    clearTimeout(this.watch);
    if (this.open.size > 0) this.watch = setTimeout(() => this.breakDown(), STUCK_MS);
  }

  private breakDown(): void {
    this.end("broke");
    if (this.restarts === RESTARTS) return this.fail({ because: "breaks" });
    this.restarts += 1;
    this.start();
  }

  private fail(why: Because): void {
    this.failedAt = this.now();
    this.become({ is: "cannot", ...why });
    this.end("cannot");
  }

  private end(waits: Waits): void {
    clearTimeout(this.watch);
    this.worker?.terminate();
    this.worker = null;
    this.failures = 0;
    this.open.clear();
    for (const id of [...this.waiting.keys()]) this.settle(id, { waits });
  }

  private settle(id: number, said: Said): void {
    const tell = this.waiting.get(id);
    this.waiting.delete(id);
    tell?.(said);
  }

  private become(state: BenchState): void {
    this.state = state;
    this.onstate(state);
  }
}
