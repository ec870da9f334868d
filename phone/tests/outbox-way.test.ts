import { afterEach, describe, expect, it, vi } from "vitest";
import { ask, Way } from "../src/outbox/way";

type Sent = { url: string; init: RequestInit };

/** A network that answers as told, and remembers what was asked. */
function network(answer: (init: RequestInit) => Promise<Response>): { fetch: typeof fetch; sent: Sent[] } {
  const sent: Sent[] = [];
  const own = async (url: unknown, init: RequestInit = {}): Promise<Response> => {
    sent.push({ url: String(url), init });
    return answer(init);
  };
  return { fetch: own as typeof fetch, sent };
}

const json = (body: object, status = 200): Response => new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json", "Retry-After": "7" } });

describe("the way to the server", () => {
  afterEach(() => void vi.useRealTimers());

  it("tells status, type, text and when to come again", async () => {
    const { fetch } = network(async () => json({ a: 1 }, 429));
    expect(await ask({ method: "GET", url: "/api/me", csrf: "", fetch })).toEqual({ heard: true, status: 429, type: "application/json", text: '{"a":1}', retryAfter: "7" });
  });

  it.each([
    ["there is no network", () => Promise.reject(new TypeError("fetch failed"))],
    ["the answer breaks off", async () => ({ type: "basic", status: 200, headers: new Headers(), text: () => Promise.reject(new TypeError("terminated")) }) as unknown as Response],
  ])("is silent where %s", async (_name, answer) => {
    const { fetch } = network(answer);
    expect(await ask({ method: "GET", url: "/api/me", csrf: "", fetch })).toEqual({ heard: false });
  });

  it("takes a redirect for no answer of ours", async () => {
    const { fetch } = network(async () => ({ type: "opaqueredirect", status: 0, headers: new Headers() }) as unknown as Response);
    expect(await ask({ method: "GET", url: "/api/me", csrf: "", fetch })).toMatchObject({ heard: true, status: 302 });
  });

  it.each([
    ["no answer comes", () => new Promise<Response>(() => undefined)],
    ["an answer that was begun never ends, not even when it is broken off", async () => ({ type: "basic", status: 200, headers: new Headers(), text: () => new Promise(() => undefined) }) as unknown as Response],
  ])("is over after its time where %s", async (_name, answer) => {
    vi.useFakeTimers();
    const { fetch, sent } = network(answer);
    const reply = ask({ method: "GET", url: "/api/me", csrf: "", patienceMs: 8000, fetch });
    await vi.advanceTimersByTimeAsync(7999);
    expect(sent[0]!.init.signal!.aborted).toBe(false);
    await vi.advanceTimersByTimeAsync(1);
    expect(await reply).toEqual({ heard: false });
    expect(sent[0]!.init.signal!.aborted).toBe(true);
  });

  it("waits longer for what is large: four kilobytes a second are enough", async () => {
    vi.useFakeTimers();
    const { fetch, sent } = network(() => new Promise(() => undefined));
    const way = new Way({ csrf: () => "token", fetch });
    void way.attachment("s", "image/jpeg", new Uint8Array(400_000));
    void way.facts(["x".repeat(40_000)]);
    await vi.advanceTimersByTimeAsync(18_000);
    expect(sent.map(({ init }) => init.signal!.aborted)).toEqual([false, false]);
    await vi.advanceTimersByTimeAsync(1000);
    expect(sent.map(({ init }) => init.signal!.aborted)).toEqual([false, true]);
    await vi.advanceTimersByTimeAsync(110_900);
    expect(sent[0]!.init.signal!.aborted).toBe(false);
    await vi.advanceTimersByTimeAsync(200);
    expect(sent[0]!.init.signal!.aborted).toBe(true);
  });

  it("asks as the contract has it", async () => {
    const { fetch, sent } = network(async () => json({}));
    const way = new Way({ csrf: () => "token", fetch, now: () => Date.UTC(2026, 2, 2, 7) });
    await way.facts(["a", "b"]);
    await way.lacking(["s"]);
    await way.attachment("s", "image/jpeg", new Uint8Array([1]));
    await way.attachment("s", "image/jpeg", new Uint8Array([4, 5]), 3, 9);
    const told = sent.map(({ url, init }) => [init.method, url, init.body, (init.headers as Record<string, string>)["X-CSRFToken"], (init.headers as Record<string, string>)["Content-Type"]]);
    expect(told).toEqual([
      ["POST", "/api/facts", '{"facts":["a","b"]}', "token", "application/json"],
      ["POST", "/api/attachments/lacking", '{"sha256":["s"]}', "token", "application/json"],
      ["PUT", "/api/attachments/s", new Uint8Array([1]), "token", "image/jpeg"],
      ["PUT", "/api/attachments/s", new Uint8Array([4, 5]), "token", "image/jpeg"],
    ]);
    expect(sent.map(({ init }) => (init.headers as Record<string, string>)["Content-Range"])).toEqual([undefined, undefined, undefined, "bytes 3-4/9"]);
    expect((sent[0]!.init.headers as Record<string, string>)["X-Device-Now"]).toMatch(/^2026-03-02T/);
  });
});
