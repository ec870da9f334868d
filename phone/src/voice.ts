/** What is said is recorded here, kept as a draft on the phone, and goes into the outbox when a fact names it. */
export type VoiceType = "audio/webm" | "audio/mp4";

/** As much as the server takes. */
export const LONGEST_MS = 120_000;
/** Speech is plain at this rate, and two minutes are 360 kB. */
const BITS_PER_SECOND = 24_000;
/** So often the recorder hands over what it has; a clock that sleeps with the screen does not let it run on. */
const SLICE_MS = 1_000;
/** So often what was heard so far is handed on to be kept: a phone that dies takes no more of it than this. */
const KEEP_MS = 5_000;

/** What is asked of the recorder for each type that the server takes, the one that it can hear best first. */
const ASKED: readonly [VoiceType, string][] = [
  ["audio/webm", "audio/webm;codecs=opus"],
  ["audio/mp4", "audio/mp4;codecs=mp4a.40.2"],
  ["audio/mp4", "audio/mp4"],
];

/** Why nothing is recorded: not allowed, no microphone, no recorder in this browser, or nothing came. */
export type NotHeard = "refused" | "missing" | "cannot" | "nothing";

export interface Said {
  type: VoiceType;
  bytes: Uint8Array<ArrayBuffer>;
  /** How long it goes on [ms]. */
  ms: number;
}

/** The type to record in: how it is named here, and what the recorder is asked for; none where it can do neither. */
export function recordingType(can: (asked: string) => boolean): { type: VoiceType; asked: string } | null {
  const found = ASKED.find(([, asked]) => can(asked));
  return found ? { type: found[0], asked: found[1] } : null;
}

/** What a browser's refusal of the microphone means. */
export function notHeard(fault: unknown): NotHeard {
  const name = fault instanceof Error ? fault.name : "";
  return name === "NotAllowedError" || name === "SecurityError" ? "refused" : "missing";
}

/** Minutes and seconds: 1:05. */
export function length(ms: number): string {
  const seconds = Math.round(ms / 1000);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

/** As much of the browser as recording needs. */
export interface Ears {
  listen(): Promise<MediaStream>;
  can(asked: string): boolean;
  recorder(stream: MediaStream, options: MediaRecorderOptions): MediaRecorder;
  now(): number;
}

/** The browser's own; none where the page may not ask for a microphone, or nothing records. */
export function ears(): Ears | NotHeard {
  if (typeof MediaRecorder === "undefined") return "cannot";
  // A page that did not come over a safe line is given no devices at all.
  if (!navigator.mediaDevices?.getUserMedia) return "missing";
  return {
    listen: () => navigator.mediaDevices.getUserMedia({ audio: true }),
    can: (asked) => MediaRecorder.isTypeSupported(asked),
    recorder: (stream, options) => new MediaRecorder(stream, options),
    now: () => Date.now(),
  };
}

/** One recording, from the first word to the last. */
export class Recording {
  private constructor(
    private readonly recorder: MediaRecorder,
    private readonly stream: MediaStream,
    private readonly since: number,
    private readonly now: () => number,
    /** What was said; or why there is none. */
    readonly done: Promise<Said | NotHeard>,
  ) {}

  /**
   * Begin to listen; or say why not. It ends by itself after two minutes, or when the microphone is taken away. What was
   * heard so far goes to `sofar` now and then, and never once it has ended.
   */
  static async begin(by: Ears, sofar: (said: Said) => void = () => undefined): Promise<Recording | NotHeard> {
    const chosen = recordingType((asked) => by.can(asked));
    if (!chosen) return "cannot";
    let stream: MediaStream;
    try {
      stream = await by.listen();
    } catch (fault) {
      return notHeard(fault);
    }
    let recorder: MediaRecorder;
    try {
      recorder = by.recorder(stream, { mimeType: chosen.asked, audioBitsPerSecond: BITS_PER_SECOND });
    } catch {
      release(stream);
      return "cannot";
    }
    const since = by.now();
    const pieces: Blob[] = [];
    let handed = since - KEEP_MS;
    let ended = false;
    const said = async (): Promise<Said> => {
      const ms = Math.min(LONGEST_MS, by.now() - since);
      return { type: chosen.type, bytes: new Uint8Array(await new Blob(pieces).arrayBuffer()), ms };
    };
    let heard: Said | null = null;
    const handOn = async (): Promise<void> => {
      handed = by.now();
      heard = await said();
      if (!ended) sofar(heard);
    };
    const done = new Promise<Said | NotHeard>((resolve) => {
      recorder.ondataavailable = ({ data }) => {
        if (data.size > 0) pieces.push(data);
        if (pieces.length > 0 && by.now() - handed >= KEEP_MS) void handOn().catch(() => undefined);
        if (by.now() - since >= LONGEST_MS && recorder.state === "recording") recorder.stop();
      };
      recorder.onstop = async () => {
        ended = true;
        release(stream);
        // Where the browser lost the rest, what was handed on before is all there is.
        const all = await said().catch(() => heard);
        resolve(all === null || all.bytes.length === 0 ? "nothing" : all);
      };
    });
    try {
      recorder.start(SLICE_MS);
    } catch {
      release(stream);
      return "cannot";
    }
    return new Recording(recorder, stream, since, () => by.now(), done);
  }

  /** What is left of the two minutes [ms]. */
  get left(): number {
    return Math.max(0, LONGEST_MS - (this.now() - this.since));
  }

  /** End it; `done` then has what was said. */
  stop(): void {
    if (this.recorder.state === "inactive") release(this.stream);
    else this.recorder.stop();
  }
}

function release(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}
