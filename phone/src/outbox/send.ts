import { front, judge, nextSize, pause, whyNotDelivered, type Reply, type Why } from "./queue";
import type { Store } from "./store";

/** The way to the server; a silence or a broken line is a reply too. */
export interface Post {
  facts(texts: readonly string[]): Promise<Reply>;
  attachment(sha: string, type: string, bytes: Uint8Array<ArrayBuffer>): Promise<Reply>;
}

export interface Round {
  delivered: string[];
  refused: { id: string; why: string }[];
  stays: Why | null;
  /** When to try again [s], or null when nothing waits. */
  againS: number | null;
}

const LARGEST = 50;
// An attachment that the server will not have as it is: its address or its bytes are wrong, and will be tomorrow.
const REFUSED = [400, 404, 409, 415, 422];

/**
 * Empties the line from its front: look, send, then remove. One round at a time, whoever asks; an answer that is no
 * delivery ends the round and leaves the line as it was.
 */
export class Sender {
  private running: Promise<Round> | null = null;
  private asked = false;
  private failures = 0;
  private size = LARGEST;

  constructor(
    private readonly store: Store,
    private readonly post: Post,
  ) {}

  /**
   * Send what waits. While a round runs, asking again waits for that one, and for one more: what was put in line after
   * the running round had looked must not lie there until somebody asks a third time.
   */
  flush(): Promise<Round> {
    this.asked = true;
    this.running ??= this.rounds();
    return this.running;
  }

  private async rounds(): Promise<Round> {
    const all: Pick<Round, "delivered" | "refused"> = { delivered: [], refused: [] };
    try {
      for (;;) {
        this.asked = false;
        const round = await this.round();
        all.delivered.push(...round.delivered);
        all.refused.push(...round.refused);
        // Asked meanwhile, it looks once more; but a server that did not take the last is left alone until its time.
        if (!this.asked || round.stays !== null) return { ...round, ...all };
      }
    } finally {
      // In the same breath as the look at `asked`, so that no asking falls in between.
      this.running = null;
    }
  }

  private async round(): Promise<Round> {
    const round: Round = { delivered: [], refused: [], stays: null, againS: null };
    round.stays = await this.sendAttachments();
    let retryAfterS: number | null = null;
    // What facts name is sent before them, but a photo too large to go holds no fact back.
    while (round.stays === null || round.stays === "too_large") {
      const next = front(await this.store.line(), this.size);
      if (next.length === 0) break;
      const ids = next.map((entry) => entry.id);
      const outcome = judge(ids, await this.post.facts(next.map((entry) => entry.text)));
      await this.store.remove(outcome.delivered);
      for (const { id, why } of outcome.refused) await this.store.park(id, why);
      round.delivered.push(...outcome.delivered);
      round.refused.push(...outcome.refused);
      retryAfterS = outcome.retryAfterS;
      const smaller = nextSize(this.size, outcome, LARGEST);
      const worthAnotherTry = outcome.stays === "too_large" && next.length > 1;
      this.size = outcome.stays === "too_large" ? Math.min(smaller, Math.max(1, Math.floor(next.length / 2))) : smaller;
      if (outcome.stays !== null && !worthAnotherTry) {
        round.stays = outcome.stays;
        break;
      }
    }
    this.failures = round.stays === null ? 0 : this.failures + 1;
    round.againS = round.stays === null ? null : pause(this.failures, retryAfterS);
    return round;
  }

  private async sendAttachments(): Promise<Why | null> {
    let stays: Why | null = null;
    for (const one of await this.store.attachments()) {
      if (one.parked !== null) continue;
      const reply = await this.post.attachment(one.sha, one.type, one.bytes);
      if (!reply.heard) return "silence";
      const why = whyNotDelivered(reply.status);
      if (REFUSED.includes(reply.status) && /^application\/json\b/i.test(reply.type)) {
        await this.store.parkAttachment(one.sha, said(reply.text));
      } else if (why === "too_large") {
        stays = why;
      } else if (why !== null || !/^application\/json\b/i.test(reply.type)) {
        return why ?? "not_ours";
      } else {
        await this.store.removeAttachment(one.sha);
      }
    }
    return stays;
  }
}

function said(text: string): string {
  try {
    const says: unknown = (JSON.parse(text) as { says?: unknown }).says;
    return typeof says === "string" ? says : text.slice(0, 200);
  } catch {
    return text.slice(0, 200);
  }
}
