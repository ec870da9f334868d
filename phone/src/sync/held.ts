import { openDB, type DBSchema, type IDBPDatabase } from "idb";

import type { CardAnswer } from "../api";
import type { Fact } from "../fact";
import type { Bundle } from "./bundle";

/** The bundle as it came, its tag for asking whether there is another, and when the server last had no newer one. */
export interface Taken {
  bundle: Bundle;
  tag: string;
  /** This phone's clock [ms]. */
  at: number;
}

/** A card as it was worked out last, with what was recorded for it, so that it opens where nothing answers. */
export interface KeptCard {
  answer: CardAnswer;
  facts: Fact[];
  /** The tag of the bundle that it was worked out from; null where the server did it. */
  tag: string | null;
}

/** A job that was opened or closed on this phone, which a bundle may not know of yet. */
export interface OwnJob {
  job: string;
  machine: string;
  visit: string | null;
  tasks: string[];
  opened_at: string;
  closed_at: string | null;
}

/** What was taken along, which the server has as well: all of it may be dropped and asked for again. */
export interface HeldStore {
  taken(): Promise<Taken | null>;
  take(taken: Taken): Promise<void>;
  photo(sha: string): Promise<Blob | null>;
  photos(): Promise<string[]>;
  keepPhoto(sha: string, content: Blob): Promise<void>;
  card(job: string): Promise<KeptCard | null>;
  cards(): Promise<string[]>;
  keepCard(job: string, kept: KeptCard): Promise<void>;
  jobs(): Promise<OwnJob[]>;
  keepJob(job: OwnJob): Promise<void>;
  /** Drop the bundle itself. */
  untake(): Promise<void>;
  /** Drop what nobody needs, or may see, any more. */
  drop(gone: { photos?: readonly string[]; cards?: readonly string[]; jobs?: readonly string[] }): Promise<void>;
}

interface Shape extends DBSchema {
  taken: { key: "now"; value: Taken };
  photos: { key: string; value: Blob };
  cards: { key: string; value: KeptCard };
  jobs: { key: string; value: OwnJob };
}

export async function openHeld(name = "coldmark held"): Promise<HeldStore> {
  const base = await openDB<Shape>(name, 1, {
    upgrade(fresh) {
      fresh.createObjectStore("taken");
      for (const store of ["photos", "cards", "jobs"] as const) fresh.createObjectStore(store);
    },
    blocking: (_from, _to, event) => (event.target as IDBDatabase | null)?.close(),
  });
  return new BrowserHeld(base);
}

class BrowserHeld implements HeldStore {
  constructor(private readonly base: IDBPDatabase<Shape>) {}

  async taken(): Promise<Taken | null> {
    return (await this.base.get("taken", "now")) ?? null;
  }
  async take(taken: Taken): Promise<void> {
    await this.base.put("taken", taken, "now");
  }
  async photo(sha: string): Promise<Blob | null> {
    return (await this.base.get("photos", sha)) ?? null;
  }
  photos(): Promise<string[]> {
    return this.base.getAllKeys("photos");
  }
  async keepPhoto(sha: string, content: Blob): Promise<void> {
    await this.base.put("photos", content, sha);
  }
  async card(job: string): Promise<KeptCard | null> {
    return (await this.base.get("cards", job)) ?? null;
  }
  cards(): Promise<string[]> {
    return this.base.getAllKeys("cards");
  }
  async keepCard(job: string, kept: KeptCard): Promise<void> {
    await this.base.put("cards", kept, job);
  }
  jobs(): Promise<OwnJob[]> {
    return this.base.getAll("jobs");
  }
  async keepJob(job: OwnJob): Promise<void> {
    await this.base.put("jobs", job, job.job);
  }
  async untake(): Promise<void> {
    await this.base.delete("taken", "now");
  }
  async drop({ photos = [], cards = [], jobs = [] }: Parameters<HeldStore["drop"]>[0]): Promise<void> {
    const work = this.base.transaction(["photos", "cards", "jobs"], "readwrite");
    await Promise.all([
      ...photos.map((sha) => work.objectStore("photos").delete(sha)),
      ...cards.map((job) => work.objectStore("cards").delete(job)),
      ...jobs.map((job) => work.objectStore("jobs").delete(job)),
      work.done,
    ]);
  }
}

/** Where the browser keeps nothing: as long as the page stands. */
export class MemoryHeld implements HeldStore {
  private last: Taken | null = null;
  private readonly kept = { photos: new Map<string, Blob>(), cards: new Map<string, KeptCard>(), jobs: new Map<string, OwnJob>() };

  async taken(): Promise<Taken | null> {
    return this.last;
  }
  async take(taken: Taken): Promise<void> {
    this.last = taken;
  }
  async photo(sha: string): Promise<Blob | null> {
    return this.kept.photos.get(sha) ?? null;
  }
  async photos(): Promise<string[]> {
    return [...this.kept.photos.keys()];
  }
  async keepPhoto(sha: string, content: Blob): Promise<void> {
    this.kept.photos.set(sha, content);
  }
  async card(job: string): Promise<KeptCard | null> {
    return this.kept.cards.get(job) ?? null;
  }
  async cards(): Promise<string[]> {
    return [...this.kept.cards.keys()];
  }
  async keepCard(job: string, kept: KeptCard): Promise<void> {
    this.kept.cards.set(job, kept);
  }
  async jobs(): Promise<OwnJob[]> {
    return [...this.kept.jobs.values()];
  }
  async keepJob(job: OwnJob): Promise<void> {
    this.kept.jobs.set(job.job, job);
  }
  async untake(): Promise<void> {
    this.last = null;
  }
  async drop(gone: Parameters<HeldStore["drop"]>[0]): Promise<void> {
    for (const name of ["photos", "cards", "jobs"] as const) for (const key of gone[name] ?? []) this.kept[name].delete(key);
  }
}

/**
 * A store that takes everything: what the one beneath cannot keep (the phone is full, say) is here as long as the page
 * stands. Nothing that was recorded may seem to have failed because this could not be kept beside it.
 */
export class Lasting implements HeldStore {
  private readonly aside = new MemoryHeld();

  constructor(
    private readonly base: HeldStore,
    /** Told of each keeping whether it lasts. */
    private readonly onkept: (lasts: boolean) => void = () => undefined,
  ) {}

  /** Read once, at the start of a page. */
  async taken(): Promise<Taken | null> {
    return this.read(() => this.base.taken(), null);
  }
  take(taken: Taken): Promise<void> {
    return this.keep((store) => store.take(taken));
  }
  async photo(sha: string): Promise<Blob | null> {
    return (await this.aside.photo(sha)) ?? this.read(() => this.base.photo(sha), null);
  }
  photos(): Promise<string[]> {
    return this.names("photos");
  }
  keepPhoto(sha: string, content: Blob): Promise<void> {
    return this.keep((store) => store.keepPhoto(sha, content), { photos: [sha] });
  }
  async card(job: string): Promise<KeptCard | null> {
    return (await this.aside.card(job)) ?? this.read(() => this.base.card(job), null);
  }
  cards(): Promise<string[]> {
    return this.names("cards");
  }
  keepCard(job: string, kept: KeptCard): Promise<void> {
    return this.keep((store) => store.keepCard(job, kept), { cards: [job] });
  }
  async jobs(): Promise<OwnJob[]> {
    const jobs = [...(await this.read(() => this.base.jobs(), [])), ...(await this.aside.jobs())];
    return [...new Map(jobs.map((job) => [job.job, job])).values()];
  }
  keepJob(job: OwnJob): Promise<void> {
    return this.keep((store) => store.keepJob(job), { jobs: [job.job] });
  }
  async drop(gone: Parameters<HeldStore["drop"]>[0]): Promise<void> {
    await this.aside.drop(gone);
    await this.base.drop(gone).catch(() => undefined);
  }
  async untake(): Promise<void> {
    await this.base.untake().catch(() => undefined);
  }

  private async keep(keeping: (store: HeldStore) => Promise<void>, gone: Parameters<HeldStore["drop"]>[0] = {}): Promise<void> {
    const lasts = await keeping(this.base).then(() => true, () => false);
    await (lasts ? this.aside.drop(gone) : keeping(this.aside));
    this.onkept(lasts);
  }

  private async names(of: "photos" | "cards"): Promise<string[]> {
    return [...new Set([...(await this.read(() => this.base[of](), [])), ...(await this.aside[of]())])];
  }

  private async read<T>(reading: () => Promise<T>, none: T): Promise<T> {
    return reading().catch(() => none);
  }
}
