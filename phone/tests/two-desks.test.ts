import { describe, expect, it } from "vitest";
import type { Desk, Worked } from "../src/desk/desk";
import { TwoDesks } from "../src/desk/two-desks";

type Told = Worked<unknown>;
const later = (ms: number, told: Told): Promise<Told> => new Promise((done) => setTimeout(() => done(told), ms));

/** Desks that answer what is due, after a while, and count how often they were asked. */
function desk(told: Told, ms = 0): Desk & { asked: unknown[] } {
  const asked: unknown[] = [];
  const answer = (...args: unknown[]): Promise<never> => {
    asked.push(args);
    return later(ms, told) as Promise<never>;
  };
  return { asked, card: answer, level: answer, meter: answer, finish: answer, sums: answer, describe: answer, sum: answer };
}

const OWN: Told = { ok: "own" };
const SERVER: Told = { ok: "server" };
const WAITS: Told = { waits: "cannot" };
const SILENT: Told = { waits: "no_answer" };
const REFUSED: Told = { refused: "No.", name: null };

describe("two desks", () => {
  it.each([
    ["ready, answers", true, OWN, SERVER, OWN, 0],
    ["ready, refuses", true, REFUSED, SERVER, REFUSED, 0],
    ["ready, waits", true, WAITS, SERVER, SERVER, 1],
    ["ready, waits, and the server too", true, WAITS, SILENT, WAITS, 1],
    ["not ready, waits", false, WAITS, SERVER, SERVER, 1],
    ["not ready, waits, and the server too", false, WAITS, SILENT, WAITS, 1],
  ])("the phone's own %s", async (_says, ready, own, server, expected, asked) => {
    const other = desk(server);
    const both = new TwoDesks(desk(own), other, () => ready);
    expect(await both.card("j")).toEqual(expected);
    expect(other.asked.length).toBe(asked);
  });

  it.each([
    ["the sooner one that answers is taken", OWN, 0, SERVER, 20, OWN],
    ["a sooner one that waits is not", WAITS, 0, SERVER, 20, SERVER],
    ["silence does not keep from an answer to come", OWN, 20, SILENT, 0, OWN],
  ])("while the phone's own is not ready, %s", async (_says, own, ownMs, server, serverMs, expected) => {
    expect(await new TwoDesks(desk(own, ownMs), desk(server, serverMs), () => false).sums("")).toEqual(expected);
  });

  it.each([
    ["the phone's own is ready", true, OWN, SERVER, OWN],
    ["the phone's own cannot start", false, WAITS, SERVER, { ok: "server", by: "server" }],
    ["the server refuses", false, WAITS, REFUSED, REFUSED],
  ])("tell whose word it is what a job lacks, where %s", async (_says, ready, own, server, expected) => {
    expect(await new TwoDesks(desk(own), desk(server), () => ready).finish("j")).toEqual(expected);
  });

  it("tell the phone's own bench the sheet, and the server its name", async () => {
    const [own, server] = [desk(WAITS), desk(SERVER)];
    await new TwoDesks(own, server, () => true).sum("level", { sheet: "abc", reading: "0.5" }, "metric", { sheet: { maker: "M" } });
    expect(own.asked).toEqual([["level", { sheet: { maker: "M" }, reading: "0.5" }, "metric"]]);
    expect(server.asked).toEqual([["level", { sheet: "abc", reading: "0.5" }, "metric"]]);
  });
});
