import { describe, expect, it } from "vitest";
import { LONGEST_MS, length, notHeard, Recording, recordingType, type Ears, type Said } from "../src/voice";

describe("the type that is recorded", () => {
  it.each([
    { says: "WebM with Opus where the browser has it", can: ["audio/webm;codecs=opus", "audio/mp4"], type: "audio/webm" },
    { says: "MP4 where it has no Opus", can: ["audio/mp4;codecs=mp4a.40.2"], type: "audio/mp4" },
    { says: "MP4 that it names no further", can: ["audio/mp4"], type: "audio/mp4" },
    { says: "none that the server would not take", can: ["audio/ogg;codecs=opus", "audio/webm"], type: undefined },
  ])("is $says", ({ can, type }) => {
    expect(recordingType((asked) => can.includes(asked))?.type).toBe(type);
  });
});

it.each([
  [0, "0:00"],
  [9_400, "0:09"],
  [65_000, "1:05"],
  [LONGEST_MS, "2:00"],
])("%d ms is written %s", (ms, written) => {
  expect(length(ms)).toBe(written);
});

it.each([
  ["NotAllowedError", "refused"],
  ["SecurityError", "refused"],
  ["NotFoundError", "missing"],
  ["NotReadableError", "missing"],
])("a browser's %s means that the microphone is %s", (name, means) => {
  expect(notHeard(Object.assign(new Error("no"), { name }))).toBe(means);
});

/** A microphone and a recorder whose clock is ours. */
class Fake {
  ms = 0;
  released = 0;
  made: MediaRecorderOptions = {};
  recorder = {
    state: "inactive" as RecordingState,
    ondataavailable: null as ((event: { data: Blob }) => void) | null,
    onstop: null as (() => void) | null,
    start: () => void (this.recorder.state = "recording"),
    stop: () => {
      this.recorder.state = "inactive";
      this.recorder.onstop?.();
    },
  };
  ears: Ears = {
    listen: async () => ({ getTracks: () => [{ stop: () => (this.released += 1) }] }) as unknown as MediaStream,
    can: (asked) => asked === "audio/webm;codecs=opus",
    recorder: (_stream, options) => {
      this.made = options;
      return this.recorder as unknown as MediaRecorder;
    },
    now: () => this.ms,
  };

  hear(text: string, ms: number): void {
    this.ms = ms;
    this.recorder.ondataavailable?.({ data: new Blob([text]) });
  }
}
const begun = async (fake: Fake): Promise<Recording> => {
  const recording = await Recording.begin(fake.ears);
  if (typeof recording === "string") throw new Error(recording);
  return recording;
};

describe("a recording", () => {
  it("is all that was heard till it was stopped, and lets the microphone go", async () => {
    const fake = new Fake();
    const recording = await begun(fake);
    fake.hear("one ", 1000);
    fake.hear("two", 2000);
    expect(recording.left).toBe(LONGEST_MS - 2000);
    recording.stop();
    const said = (await recording.done) as Said;
    expect(new TextDecoder().decode(said.bytes)).toBe("one two");
    expect(said).toMatchObject({ type: "audio/webm", ms: 2000 });
    expect(fake.released).toBe(1);
    expect(fake.made.mimeType).toBe("audio/webm;codecs=opus");
  });

  it("hands on what was heard so far now and then, and never after its end", async () => {
    const fake = new Fake();
    const heard: [string, number][] = [];
    const recording = await Recording.begin(fake.ears, ({ bytes, ms }) => heard.push([new TextDecoder().decode(bytes), ms]));
    if (typeof recording === "string") throw new Error(recording);
    for (const second of [1, 2, 3, 4, 5, 6]) {
      fake.hear(String(second), second * 1000);
      await new Promise((done) => setTimeout(done));
    }
    expect(heard).toEqual([
      ["1", 1000],
      ["123456", 6000],
    ]);
    fake.hear("7", 11_000);
    recording.stop();
    expect(await recording.done).toMatchObject({ ms: 11_000 });
    await new Promise((done) => setTimeout(done));
    expect(heard).toHaveLength(2);
  });

  it("has what was handed on before, where the browser loses the rest at the end", async () => {
    const fake = new Fake();
    const heard: Said[] = [];
    const recording = await Recording.begin(fake.ears, (said) => heard.push(said));
    if (typeof recording === "string") throw new Error(recording);
    fake.hear("one", 1000);
    await new Promise((done) => setTimeout(done));
    const lost = new Blob(["two"]);
    fake.ms = 2000;
    fake.recorder.ondataavailable?.({ data: lost });
    const whole = Blob.prototype.arrayBuffer;
    Blob.prototype.arrayBuffer = () => Promise.reject(new DOMException("gone", "NotReadableError"));
    try {
      recording.stop();
      expect(await recording.done).toEqual(heard[0]);
    } finally {
      Blob.prototype.arrayBuffer = whole;
    }
  });

  it("does not begin where the recorder cannot start, and lets the microphone go", async () => {
    const fake = new Fake();
    fake.recorder.start = () => {
      throw new DOMException("no", "NotSupportedError");
    };
    expect(await Recording.begin(fake.ears)).toBe("cannot");
    expect(fake.released).toBe(1);
  });

  it("ends by itself after two minutes", async () => {
    const fake = new Fake();
    const recording = await begun(fake);
    fake.hear("a", LONGEST_MS - 1);
    expect(fake.recorder.state).toBe("recording");
    fake.hear("b", LONGEST_MS + 40);
    expect(await recording.done).toMatchObject({ ms: LONGEST_MS });
    expect(recording.left).toBe(0);
  });

  it("is none where nothing came", async () => {
    const fake = new Fake();
    const recording = await begun(fake);
    fake.hear("", 500);
    recording.stop();
    expect(await recording.done).toBe("nothing");
  });

  it("does not begin where the microphone is refused, or nothing records", async () => {
    const refused: Ears = { ...new Fake().ears, listen: () => Promise.reject(Object.assign(new Error("no"), { name: "NotAllowedError" })) };
    expect(await Recording.begin(refused)).toBe("refused");
    expect(await Recording.begin({ ...new Fake().ears, can: () => false })).toBe("cannot");
    const fake = new Fake();
    const broken: Ears = {
      ...fake.ears,
      recorder: () => {
        throw new Error("no encoder");
      },
    };
    expect(await Recording.begin(broken)).toBe("cannot");
    expect(fake.released).toBe(1);
  });
});
