import { describe, expect, it } from "vitest";
import { pull } from "../src/sync/pull";

const BUNDLE = { epoch: "1", visits: [], machines: [], sheets: {}, oils: {} };

/** A server that gives one answer, and notes what it was asked. */
function server(status: number, body: unknown, type = "application/json"): { send: typeof fetch; asked: Headers[] } {
  const asked: Headers[] = [];
  const send = async (_address: unknown, init?: RequestInit): Promise<Response> => {
    asked.push(new Headers(init?.headers));
    const text = status === 304 ? null : typeof body === "string" ? body : JSON.stringify(body);
    return new Response(text, { status, headers: { "Content-Type": type, ETag: 'W/"b"' } });
  };
  return { send: send as typeof fetch, asked };
}

describe("asking what there is to take along", () => {
  it.each([
    ["a bundle", 200, BUNDLE, { bundle: BUNDLE, tag: 'W/"b"' }],
    ["that there is none but the one that is here", 304, "", { bundle: null, tag: "a" }],
    ["JSON that is no bundle", 200, { hello: 1 }, { stays: "not_ours" }],
    ["a list", 200, [1], { stays: "not_ours" }],
    ["that nobody is signed in", 401, { says: "Sign in first." }, { stays: "sign_in" }],
    ["that this phone is trusted no more", 401, { says: "Trusted no more.", name: "key" }, { gone: true }],
    ["a sign-in wished for by somebody else", 401, { name: "key" }, { stays: "sign_in" }],
    ["that this person takes nothing along", 403, { says: "Not for you." }, { refused: "Not for you." }],
    ["a fault", 500, {}, { stays: "server" }],
    ["a wish for a pause", 429, { says: "Later." }, { stays: "too_many" }],
  ])("hears %s", async (_says, status, body, expected) => {
    const { send, asked } = server(status, body);
    expect(await pull("a", send)).toEqual(expected);
    expect(asked[0]?.get("If-None-Match")).toBe("a");
  });

  it("takes a network's own page for nothing of ours", async () => {
    expect(await pull(null, server(200, "<p>Welcome</p>", "text/html").send)).toEqual({ stays: "not_ours" });
    expect(await pull(null, server(200, "<p>", "application/json").send)).toEqual({ stays: "silence" });
  });

  it("takes no word that nothing has changed where nothing is here", async () => {
    const { send, asked } = server(304, "");
    expect(await pull(null, send)).toEqual({ stays: "not_ours" });
    expect(asked[0]?.has("If-None-Match")).toBe(false);
  });

  it("hears silence", async () => {
    expect(await pull("a", (() => Promise.reject(new TypeError("no network"))) as typeof fetch)).toEqual({ stays: "silence" });
  });
});
