import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

const dataset: Record<string, string> = {};
const look = (): string | undefined => dataset["look"];

/** The look as a page finds it that was just loaded. */
async function page(storage: Partial<Storage> | null): Promise<typeof import("../src/look.svelte")> {
  vi.resetModules();
  // Where site data is blocked, already to ask for the storage throws.
  const get = (): Partial<Storage> => {
    if (storage) return storage;
    throw new DOMException("Access is denied for this document.", "SecurityError");
  };
  Object.defineProperty(globalThis, "localStorage", { get, configurable: true });
  return import("../src/look.svelte");
}

beforeEach(() => vi.stubGlobal("document", { documentElement: { dataset } }));
afterEach(() => {
  vi.unstubAllGlobals();
  Reflect.deleteProperty(globalThis, "localStorage");
});

describe("the look", () => {
  it("is the one that was chosen on this phone, before that of its person", async () => {
    const kept = new Map([["coldmark look", "sun"]]);
    const storage = { getItem: (name: string) => kept.get(name) ?? null, setItem: (name: string, value: string) => void kept.set(name, value) };
    (await page(storage)).openLook("dark");
    expect(look()).toBe("sun");
    (await page(storage)).setLook("day");
    (await page(storage)).openLook("dark");
    expect(look()).toBe("day");
  });

  it("opens where the browser blocks what a site keeps, and stays as it is chosen", async () => {
    const { openLook, setLook } = await page(null);
    openLook();
    expect(look()).toBe("day");
    openLook("dark");
    expect(look()).toBe("dark");
    setLook("sun");
    openLook("dark");
    expect(look()).toBe("sun");
  });
});
