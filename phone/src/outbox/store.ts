import type { Entry } from "./queue";

/** A photo, a text or a signature that goes with facts, named by the SHA-256 of its bytes. */
export interface Attachment {
  sha: string;
  type: "image/jpeg" | "text/plain; charset=utf-8" | "application/json";
  bytes: Uint8Array<ArrayBuffer>;
  parked: string | null;
}

/**
 * What outlives a killed browser. Every write is on the disk when its promise is kept; facts stand in the order in
 * which they were recorded.
 */
export interface Store {
  /** Give each fact the device's next number and put them at the end of the line: all or none. */
  record(leastNumber: number, make: readonly ((number: number) => Entry)[]): Promise<Entry[]>;
  line(): Promise<Entry[]>;
  remove(ids: readonly string[]): Promise<void>;
  park(id: string, why: string): Promise<void>;
  /** Put all parked facts and attachments back into the line. */
  unpark(): Promise<void>;
  attach(one: Attachment): Promise<void>;
  attachments(): Promise<Attachment[]>;
  removeAttachment(sha: string): Promise<void>;
  parkAttachment(sha: string, why: string): Promise<void>;
  keep(name: string, value: unknown): Promise<void>;
  kept<T>(name: string): Promise<T | null>;
}
