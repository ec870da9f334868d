import type { CardAnswer, FinishAnswer, LevelAnswer, MeterAnswer } from "../api";
import type { Desk, SumAnswer, SumDescribed, SumsAnswer, Units, Worked } from "./desk";

type Asked = Record<string, unknown>;

/**
 * The phone's own desk first, the server next. While the phone's own is not ready, both are asked at once, and who
 * answers first is taken. Neither answers: then it says why the phone's own does not.
 */
export class TwoDesks implements Desk {
  constructor(
    private readonly own: Desk,
    private readonly server: Desk,
    private readonly ready: () => boolean,
  ) {}

  card(job: string): Promise<Worked<CardAnswer>> {
    return this.first((desk) => desk.card(job));
  }
  level(job: string, asked: Asked): Promise<Worked<LevelAnswer>> {
    return this.first((desk) => desk.level(job, asked));
  }
  meter(job: string, asked: Asked, at: string): Promise<Worked<MeterAnswer>> {
    return this.first((desk) => desk.meter(job, asked, at));
  }
  finish(job: string): Promise<Worked<FinishAnswer>> {
    return this.first(async (desk) => {
      const told = await desk.finish(job);
      return desk === this.server && "ok" in told ? { ...told, by: "server" } : told;
    });
  }
  sums(asked: string): Promise<Worked<SumsAnswer>> {
    return this.first((desk) => desk.sums(asked));
  }
  describe(key: string, units: Units): Promise<Worked<SumDescribed>> {
    return this.first((desk) => desk.describe(key, units));
  }

  /** `plain` are sheets and oils as they are held here, by the names under which `told` has their keys. */
  sum(key: string, told: Asked, units: Units, plain: Asked = {}): Promise<Worked<SumAnswer>> {
    return this.first((desk) => desk.sum(key, desk === this.own ? { ...told, ...plain } : told, units));
  }

  private async first<T>(ask: (desk: Desk) => Promise<Worked<T>>): Promise<Worked<T>> {
    if (this.ready()) {
      const told = await ask(this.own);
      if (!("waits" in told)) return told;
      const other = await ask(this.server);
      return "waits" in other ? told : other;
    }
    const [own, server] = [ask(this.own), ask(this.server)];
    const sooner = await Promise.race([own, server]);
    if (!("waits" in sooner)) return sooner;
    const [told, other] = await Promise.all([own, server]);
    return "waits" in told && !("waits" in other) ? other : told;
  }
}
