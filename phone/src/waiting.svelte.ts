import { secondsLeft } from "./moment";
import { thisWork } from "./work.svelte";

/** A wait of a screen. Its start is kept, not what is left: it goes on while the phone is off. */
export class Waiting {
  private now = $state(Date.now());
  started = $state<number | null>(null);
  /** What is left [s]; null before it has begun. */
  left = $derived.by(() => (this.started === null ? null : secondsLeft(this.started, this.minutes, this.now)));
  readonly minutes: number;
  private readonly name: string;
  private readonly notes = thisWork().notes;

  constructor(name: string, minutes: number) {
    this.name = name;
    this.minutes = minutes;
    this.started = this.notes.get<number>(name);
    $effect(() => {
      if (this.left === null || this.left === 0) return;
      const timer = setInterval(() => void this.tick(), 1000);
      return () => clearInterval(timer);
    });
  }

  async start(): Promise<void> {
    this.now = Date.now();
    this.started = this.now;
    await this.notes.set(this.name, this.started);
  }

  private async tick(): Promise<void> {
    this.now = Date.now();
    // The clock was set back behind the beginning: how much is over is not known, and it begins anew.
    if (this.started !== null && this.now < this.started) await this.start();
  }
}
