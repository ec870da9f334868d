import { createHash } from "node:crypto";
import { beforeEach, describe, expect, it } from "vitest";
import { Laid, type Files } from "../src/laid";

/** Caches as a browser has them: one that was deleted goes on taking what whoever holds it puts there. */
class FakeCaches {
  readonly named = new Map<string, Map<string, Response>>();
  async open(name: string): Promise<Cache> {
    const files = this.named.get(name) ?? new Map<string, Response>();
    this.named.set(name, files);
    return { put: async (address: string, answer: Response) => void files.set(address, answer) } as unknown as Cache;
  }
  async match(address: RequestInfo | URL, options?: MultiCacheQueryOptions): Promise<Response | undefined> {
    return this.named.get(options?.cacheName ?? "")?.get(String(address))?.clone();
  }
  async keys(): Promise<string[]> {
    return [...this.named.keys()];
  }
  async delete(name: string): Promise<boolean> {
    return this.named.delete(name);
  }
}

const NOBODY = { installing: null, waiting: null };
const filesOf = (texts: Record<string, string>): Files =>
  Object.entries(texts).map(([address, text]) => [address, createHash("sha256").update(text).digest("hex")] as const);

let caches: FakeCaches;
let asked: string[];
beforeEach(() => {
  caches = new FakeCaches();
  asked = [];
});

/** A version whose files a server has; `meanwhile` happens at the server's first answer. */
function version(texts: Record<string, string>, { served = texts, meanwhile }: { served?: Record<string, string>; meanwhile?: () => Promise<void> } = {}): Laid {
  let once = meanwhile;
  const fetch = async (address: string): Promise<Response> => {
    asked.push(address);
    await once?.();
    once = undefined;
    return new Response(served[address]);
  };
  return new Laid(filesOf(texts), { caches, fetch });
}

const ONE = { "/a": "a", "/b": "one" };
const TWO = { "/a": "a", "/b": "two" };
const THREE = { "/a": "a", "/b": "three" };
const textOf = async (laid: Laid, address: string): Promise<string | undefined> => (await laid.file(address))?.text();

describe("laying the app on the phone", () => {
  it("takes from an earlier version what is the same there, and hands out what it laid", async () => {
    await version(ONE).lay();
    const two = version(TWO);
    await two.lay();
    expect(asked).toEqual(["/a", "/b", "/b"]);
    expect([await textOf(two, "/a"), await textOf(two, "/b")]).toEqual(["a", "two"]);
  });

  it("fails whole at a file that is not the one that was built", async () => {
    await expect(version(ONE, { served: { ...ONE, "/b": "Sign in to the guest network." } }).lay()).rejects.toThrow("/b is not the file");
  });

  it("fails whole where its files were deleted meanwhile", async () => {
    const wipe = async (): Promise<void> => caches.named.clear();
    await expect(version(ONE, { meanwhile: wipe }).lay()).rejects.toThrow("/a did not stay");
  });
});

describe("a version that takes over", () => {
  it("deletes those before it and nothing that is not the app's", async () => {
    await caches.open("something else");
    await version(ONE).lay();
    const two = version(TWO);
    await two.lay();
    await two.tidy(NOBODY);
    expect(await caches.keys()).toHaveLength(2);
    expect(await caches.keys()).toContain("something else");
    expect(await textOf(two, "/b")).toBe("two");
  });

  it("spares one that is being laid, which is whole when it takes over in its turn", async () => {
    await version(ONE).lay();
    const two = version(TWO);
    await two.lay();
    const three = version(THREE, { meanwhile: () => two.tidy({ installing: {}, waiting: null }) });
    await three.lay();
    expect([await textOf(three, "/a"), await textOf(three, "/b")]).toEqual(["a", "three"]);
    await three.tidy(NOBODY);
    expect(await textOf(three, "/b")).toBe("three");
    expect(await caches.keys()).toHaveLength(1);
  });

  it("spares one that waits", async () => {
    const [two, three] = [version(TWO), version(THREE)];
    await two.lay();
    await three.lay();
    await two.tidy({ installing: null, waiting: {} });
    expect(await textOf(three, "/b")).toBe("three");
  });

  it("is laid again from those before it where it was deleted, and deletes none of them if it cannot be", async () => {
    const one = version(ONE);
    await one.lay();
    const two = version(TWO);
    await two.lay();
    const [, name] = await caches.keys();
    await caches.delete(name!);
    await two.tidy(NOBODY);
    expect(await textOf(two, "/b")).toBe("two");
    await expect(version(THREE, { served: {} }).tidy(NOBODY)).rejects.toThrow("/b is not the file");
    expect(await textOf(two, "/b")).toBe("two");
  });
});
