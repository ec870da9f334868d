import type { CardAnswer, FinishAnswer, LevelAnswer, MeterAnswer } from "../api";
import { PATIENCE_MS, type Bench, type Said } from "./bench";
import type { Desk, MachineAnswer, SumAnswer, SumDescribed, SumsAnswer, Units, Worked } from "./desk";

/** What this phone holds of a job and its machine, for the bench to work from. */
export interface Held {
  machine: string;
  /** What the bench takes the machine up by: its part of the bundle, its sheet, the oils and the place's cold. */
  material: Record<string, unknown>;
  /** Another text for each other material of the machine. */
  version: string;
  /** The tasks that are planned, for a job that is not opened yet. */
  tasks: readonly string[];
  /** The texts of all that was recorded of the machine on this phone. */
  facts: readonly string[];
  units: Units;
}

/** Finds what is held of a job, or of a machine; null where this phone holds nothing of it. */
export type Holding = (id: string) => Promise<Held | null>;

type Question = Record<string, unknown>;

/** Asks the phone's own Python. The bench holds one machine at a time, so questions about jobs take turns. */
export class WorkerDesk implements Desk {
  private taken: { life: number; machine: string; version: string } | null = null;
  private turn: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly bench: Pick<Bench, "ask" | "life">,
    private readonly holding: Holding,
    private readonly holdingMachine: Holding = holding,
  ) {}

  /** A machine at a glance, which only the phone itself is asked. */
  machine(machine: string): Promise<Worked<MachineAnswer>> {
    return this.takeTurn(() => this.holdingMachine(machine), { do: "machine" });
  }

  card(job: string): Promise<Worked<CardAnswer>> {
    return this.ofJob({ do: "card", job });
  }

  level(job: string, asked: Question): Promise<Worked<LevelAnswer>> {
    return this.ofJob({ do: "level", job, asked });
  }

  meter(job: string, asked: Question, at: string): Promise<Worked<MeterAnswer>> {
    return this.ofJob({ do: "meter", job, asked, at });
  }

  finish(job: string): Promise<Worked<FinishAnswer>> {
    return this.ofJob({ do: "finish", job });
  }

  sums(asked: string): Promise<Worked<SumsAnswer>> {
    return this.ask({ do: "list", asked });
  }

  describe(key: string, units: Units): Promise<Worked<SumDescribed>> {
    return this.ask({ do: "describe", key, units });
  }

  sum(key: string, told: Question, units: Units): Promise<Worked<SumAnswer>> {
    return this.ask({ do: "sum", key, told, units });
  }

  private async ask<T>(question: Question, until = performance.now() + PATIENCE_MS): Promise<Worked<T>> {
    return worked<T>(await this.bench.ask(JSON.stringify(question), Math.max(0, until - performance.now())));
  }

  private ofJob<T>(question: Question & { job: string }): Promise<Worked<T>> {
    return this.takeTurn(() => this.holding(question.job), question);
  }

  private takeTurn<T>(hold: () => Promise<Held | null>, question: Question): Promise<Worked<T>> {
    const until = performance.now() + PATIENCE_MS; // waiting for a turn is waiting too
    const answer = this.turn.then(() => this.inTurn<T>(hold, question, until));
    this.turn = answer.catch(() => {}); // whoever asked hears of it; the next one has a turn all the same
    return answer;
  }

  private async inTurn<T>(hold: () => Promise<Held | null>, question: Question, until: number): Promise<Worked<T>> {
    const held = await hold();
    if (!held) return { waits: "not_held" };
    const { machine, material, version, tasks, facts, units } = held;
    const { taken } = this;
    if (taken?.life !== this.bench.life || taken.machine !== machine || taken.version !== version) {
      this.taken = null;
      const opened = await this.ask({ do: "open", ...material }, until);
      if ("waits" in opened) return opened;
      // The server's material is of another version than this bench, say: then this phone cannot tell.
      if ("refused" in opened) return { waits: "not_held" };
      this.taken = { life: this.bench.life, machine, version };
    }
    return this.ask<T>({ ...question, machine, tasks, facts, units }, until);
  }
}

function worked<T>(said: Said): Worked<T> {
  if ("waits" in said) return said;
  const told = JSON.parse(said.text) as { ok: T; note?: string } | { refused: { says: string; name: string | null } };
  return "refused" in told ? { refused: told.refused.says, name: told.refused.name } : told;
}
