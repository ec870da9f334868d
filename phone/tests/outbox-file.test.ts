import { beforeEach, describe, expect, it } from "vitest";
import { sha256 } from "../src/digest";
import { FileFault, readFile, writeFile } from "../src/outbox/file";
import { MemoryStore } from "../src/outbox/memory";
import type { Entry } from "../src/outbox/store";

const DEVICE = "019ccf2c-0000-7000-8000-0000000000d1";
const textOf = (id: string, number: number, device = DEVICE): string => JSON.stringify({ id, kind: "step_done", job: "j", device, number, body: { step: `„Öl“ ${id}` } });

describe("what was not sent, in a file", () => {
  let store: MemoryStore;
  const bytes = Uint8Array.from({ length: 30_000 }, (_, at) => (at * 7) % 256);
  let photo: string;

  beforeEach(async () => {
    store = new MemoryStore();
    photo = await sha256(bytes);
    await store.record(1, ["a", "b", "c", "d"].map((id) => (number) => ({ id, text: textOf(id, number), job: "j" })));
    await store.attach({ sha: photo, type: "image/jpeg", bytes });
    await store.stand({
      facts: [
        { id: "b", standing: { is: "refused", why: "not right", name: "body.step" } },
        { id: "c", standing: { is: "set_aside", refused: "not right", why: "twice", instead: null } },
        { id: "d", standing: { is: "delivered", epoch: "e", arrival: 1 } },
      ],
    });
  });

  const written = async (): Promise<string> => writeFile(await store.line(), await store.attachments(), (sha) => store.bytes(sha), "2026-03-02T08:15:00.000+01:00");

  it("comes back on another phone as it stood, texts and bytes unchanged", async () => {
    const other = new MemoryStore();
    expect(await other.admit(await readFile(await written(), "another device"))).toEqual({ facts: 3, attachments: 1 });
    expect(await other.line()).toEqual(await store.line());
    expect(await other.attachments()).toEqual(await store.attachments());
    expect(await other.bytes(photo)).toEqual(bytes);
  });

  it("changes nothing when it is read back twice, or on the phone that it came from", async () => {
    const before: Entry[] = await store.line();
    const admitted = await readFile(await written(), DEVICE);
    expect(await store.admit(admitted)).toEqual({ facts: 0, attachments: 0 });
    expect(await store.admit(admitted)).toEqual({ facts: 0, attachments: 0 });
    expect(await store.line()).toEqual(before);
    expect(await store.delivered()).toEqual({ facts: 1, attachments: 0 });
  });

  it("lets this device go on counting behind its own facts, and not behind another's", async () => {
    expect((await readFile(await written(), DEVICE)).lastNumber).toBe(3);
    expect((await readFile(await written(), "another device")).lastNumber).toBe(0);
  });

  it("may be laid out anew by somebody who looked into it", async () => {
    const pretty = JSON.stringify(JSON.parse(await written()), null, 2);
    expect((await readFile(`\ufeff${pretty}\n`, DEVICE)).facts).toHaveLength(3);
  });

  it("holds nothing where nothing waits", async () => {
    const empty = await writeFile([], [], async () => null, "2026-03-02T08:15:00.000+01:00");
    expect(await readFile(empty, DEVICE)).toEqual({ facts: [], attachments: [], lastNumber: 0 });
  });

  const changed = async (change: (whole: any) => void): Promise<string> => {
    const whole = JSON.parse(await written());
    change(whole);
    return JSON.stringify(whole);
  };
  const rehashed = (change: (content: any) => void): Promise<string> => changedAndHashed(written, change);
  const rows: [string, () => Promise<string>, FileFault["reason"]][] = [
    ["nothing at all", async () => "", "foreign"],
    ["a shopping list", async () => "oil, filter, rags", "foreign"],
    ["another program's JSON", async () => '{"facts": []}', "foreign"],
    ["a list", async () => "[]", "foreign"],
    ["null", async () => "null", "foreign"],
    ["cut in the middle", async () => (await written()).slice(0, 400), "damaged"],
    ["without its end", async () => (await written()).slice(0, -1), "damaged"],
    ["a fact changed", async () => (await written()).replace("\\\"number\\\":1", "\\\"number\\\":9"), "damaged"],
    ["a fact left out", () => changed((whole) => whole.content.facts.pop()), "damaged"],
    ["an attachment's type changed", () => changed((whole) => (whole.content.attachments[0].type = "text/html")), "damaged"],
    ["without its hash", () => changed((whole) => delete whole.sha256), "damaged"],
    ["from a newer version", () => changed((whole) => (whole.version = 2)), "newer"],
    ["a photo's bytes under another's hash", () => rehashed((content) => (content.attachments[0].base64 = btoa("other"))), "damaged"],
    ["no base 64", () => rehashed((content) => (content.attachments[0].base64 = "%%%")), "damaged"],
    ["a fact that is no fact", () => rehashed((content) => (content.facts[0].text = '{"id": 4}')), "damaged"],
    ["a fact that is no JSON", () => rehashed((content) => (content.facts[0].text = "a")), "damaged"],
    ["a fact that claims to be delivered", () => rehashed((content) => (content.facts[0].standing = { is: "delivered", epoch: "e", arrival: 1 })), "damaged"],
    ["facts that are no list", () => rehashed((content) => (content.facts = { a: 1 })), "damaged"],
  ];
  it.each(rows)("is refused when it is %s", async (_name, make, reason) => {
    await expect(readFile(await make(), DEVICE)).rejects.toMatchObject({ reason });
  });

  it("takes none of a file with one fault", async () => {
    const other = new MemoryStore();
    await expect((async () => other.admit(await readFile(await rehashed((content) => content.facts.push({ text: "x", standing: { is: "waiting" } })), DEVICE)))()).rejects.toThrow(FileFault);
    expect(await other.line()).toEqual([]);
  });
});

/** A file that somebody changed and gave a hash that fits: each part is checked all the same. */
async function changedAndHashed(written: () => Promise<string>, change: (content: any) => void): Promise<string> {
  const whole = JSON.parse(await written());
  change(whole.content);
  whole.sha256 = await sha256(JSON.stringify(whole.content));
  return JSON.stringify(whole);
}
