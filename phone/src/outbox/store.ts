/** A photo, a text, a voice or a signature that goes with facts, named by the SHA-256 of its bytes. */
export type MediaType = "image/jpeg" | "text/plain; charset=utf-8" | "application/json" | (string & {});

/** Where a thing of the outbox stands. Only *delivered* may ever leave the phone, and only when a backup covers it. */
export type Standing =
  | { is: "waiting" }
  /** The server will not have it, and says why; `name` is the field that is not right. */
  | { is: "refused"; why: string; name: string | null }
  /** A person said why it is not sent, or recorded another fact, `instead`, in its place; `refused` is what the server said. */
  | { is: "set_aside"; refused: string; why: string | null; instead: string | null }
  /** The server of this epoch has it; a backup that reaches its arrival has it too. */
  | { is: "delivered"; epoch: string; arrival: number };

export type Is = Standing["is"];

export const WAITING: Standing = { is: "waiting" };

/** A fact on the phone: its text as it was recorded, never changed. */
export interface Entry {
  id: string;
  text: string;
  job: string | null;
  standing: Standing;
}

/** What is kept of an attachment beside its bytes, which may be many. */
export interface Attachment {
  sha: string;
  type: MediaType;
  size: number;
  standing: Standing;
}

export type NewEntry = Omit<Entry, "standing">;
export type Bytes = Uint8Array<ArrayBuffer>;
export interface NewAttachment {
  sha: string;
  type: MediaType;
  bytes: Bytes;
}

/** How things are to stand. An attachment that was erased at the server goes from the phone as well. */
export interface Changes {
  facts?: readonly { id: string; standing: Standing }[];
  attachments?: readonly { sha: string; standing: Standing | "erased" }[];
}

/** What is read back from a file: as it stood there. */
export interface Admitted {
  facts: readonly Entry[];
  attachments: readonly (NewAttachment & { standing: Standing })[];
  /** The highest running number of this device among the facts; the next fact gets a higher one. */
  lastNumber: number;
}

export interface Kept {
  facts: number;
  attachments: number;
}

/**
 * What outlives a killed browser. Every write is on the disk when its promise is kept, and each is whole or not at all.
 * Facts stand in the order in which they were recorded, also those that come back into the line.
 */
export interface Store {
  /** Give each fact the device's next number and put them at the end of the line, and let others stand otherwise. */
  record(leastNumber: number, make: readonly ((number: number) => NewEntry)[], changes?: Changes): Promise<Entry[]>;
  /** The facts that the server does not have, in order. */
  line(): Promise<Entry[]>;
  /** The facts of a job, delivered ones too, as far as they are on the phone, in order. */
  ofJob(job: string): Promise<Entry[]>;
  /** The facts of no job, likewise. */
  ofNoJob(): Promise<Entry[]>;
  attach(one: NewAttachment): Promise<void>;
  /** The attachments that the server does not have, in order. */
  attachments(): Promise<Attachment[]>;
  bytes(sha: string): Promise<Bytes | null>;
  /** Let go of an attachment that waits and that no fact on the phone names. */
  detach(sha: string): Promise<void>;
  stand(changes: Changes): Promise<void>;
  /**
   * What the server has said of itself: what it has delivered in this epoch up to the arrival that its backup covers
   * leaves the phone; what was delivered in another epoch waits again.
   */
  heard(epoch: string, backedUpTo: number): Promise<{ gone: Kept; back: Kept }>;
  /** The attachments that the server has and that no backup is known to cover. */
  attachmentsDelivered(): Promise<string[]>;
  /** How much the server has that no backup is known to cover. */
  delivered(): Promise<Kept>;
  /** Put in what a file holds; what is here already stays as it is. Says how much was new. */
  admit(admitted: Admitted): Promise<Kept>;
  /** Keep something under a name; `null` drops it. */
  keep(name: string, value: unknown): Promise<void>;
  kept<T>(name: string): Promise<T | null>;
  /** Under which names something is kept. */
  names(): Promise<string[]>;
}

/** What is delivered in this epoch and covered by its backup. */
export function covered(standing: Standing, epoch: string, backedUpTo: number): boolean {
  return standing.is === "delivered" && standing.epoch === epoch && standing.arrival <= backedUpTo;
}

/** What was delivered to a database that is no more: the one there is now may lack it. */
export function ofAnother(standing: Standing, epoch: string): boolean {
  return standing.is === "delivered" && standing.epoch !== epoch;
}
