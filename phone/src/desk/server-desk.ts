import type { Api, CardAnswer, FinishAnswer, LevelAnswer, MeterAnswer, Told } from "../api";
import type { Desk, SumAnswer, SumDescribed, SumsAnswer, Worked } from "./desk";

interface Catalogue {
  topics: SumsAnswer["topics"];
  calculations: SumDescribed[];
}

/** Asks the server. It knows what it was sent, and answers in the units of who is signed in. */
export class ServerDesk implements Desk {
  private catalogue: Catalogue | null = null;

  constructor(private readonly api: Api) {}

  async card(job: string): Promise<Worked<CardAnswer>> {
    return worked(await this.api.card(job));
  }

  async level(job: string, asked: Record<string, unknown>): Promise<Worked<LevelAnswer>> {
    return worked(await this.api.level(job, asked));
  }

  async meter(job: string, asked: Record<string, unknown>): Promise<Worked<MeterAnswer>> {
    return worked(await this.api.meter(job, asked));
  }

  async finish(job: string): Promise<Worked<FinishAnswer>> {
    return worked(await this.api.finish(job));
  }

  async sums(asked: string): Promise<Worked<SumsAnswer>> {
    const told = await this.api.catalogue<Catalogue>(asked);
    return "ok" in told ? { ok: { topics: told.ok.topics, sums: told.ok.calculations } } : worked<SumsAnswer>(told);
  }

  async describe(key: string): Promise<Worked<SumDescribed>> {
    return this.listed<SumDescribed>(({ calculations }) => {
      const found = calculations.find((one) => one.key === key);
      return found ? { ok: found } : { waits: "no_answer" };
    });
  }

  async sum(key: string, told: Record<string, unknown>): Promise<Worked<SumAnswer>> {
    return worked(await this.api.sum(key, told));
  }

  /** The whole catalogue is asked for once: it changes with the server's version alone. */
  private async listed<T>(take: (catalogue: Catalogue) => Worked<T>): Promise<Worked<T>> {
    if (!this.catalogue) {
      const told = await this.api.catalogue<Catalogue>("");
      if (!("ok" in told)) return worked<T>(told);
      this.catalogue = told.ok;
    }
    return take(this.catalogue);
  }
}

function worked<T>(told: Told<T>): Worked<T> {
  if ("stays" in told) return { waits: "no_answer" };
  return "refused" in told ? { refused: told.refused, name: told.name } : told;
}
