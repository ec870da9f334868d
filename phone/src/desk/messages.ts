/** A question to the bench, numbered so that its answer finds back. */
export interface ToWorker {
  id: number;
  text: string;
}

/** How the start went, an answer, or why there is none to a question. */
export type FromWorker =
  | { state: "ready"; ms: number }
  | { state: "cannot"; why: string }
  | { id: number; text: string }
  | { id: number; failed: string };
