import { describe, expect, it } from "vitest";
import { bare, fit, LONGEST_SIDE } from "../src/photo";
import { read } from "./golden";

describe("the size of a photo", () => {
  it.each([
    [4000, 3000, 1600, 1200],
    [3000, 4000, 1200, 1600],
    [1600, 900, 1600, 900],
    [640, 480, 640, 480],
    [1601, 1601, 1600, 1600],
    [12000, 3, 1600, 1],
  ])("of %i × %i is %i × %i", (width, height, wide, high) => {
    expect(fit(width, height)).toEqual({ width: wide, height: high });
  });

  it("never grows and never passes the longest side", () => {
    for (let side = 1; side < 6000; side += 137) {
      const made = fit(side, 1234);
      expect(Math.max(made.width, made.height)).toBeLessThanOrEqual(LONGEST_SIDE);
      expect(made.width).toBeLessThanOrEqual(side);
    }
  });

  it.each([[0, 10], [10, Number.NaN]])("refuses %s × %s", (width, height) => {
    expect(() => fit(width, height)).toThrow(/cannot be drawn/);
  });
});

describe("what stands beside the picture", () => {
  const segment = (mark: number, ...content: number[]): number[] => [0xff, mark, 0, content.length + 2, ...content];
  const START = [0xff, 0xd8];
  const density = segment(0xe0, 0x4a, 0x46);
  const exif = segment(0xe1, 0x45, 0x78, 0x69, 0x66);
  const colours = segment(0xe2, 0x49, 0x43, 0x43);
  const frame = segment(0xc0, 8, 0, 1, 0, 1, 1);
  // Within a scan FF 00 and the restart marks are the picture's own, and what looks like a segment is none.
  const scan = [...segment(0xda, 1), 0x12, 0xff, 0x00, 0xff, 0xd0, 0xff, 0xe1, 0x00, 0x04, 0x07, 0xff, 0xd9];
  const of = (...parts: number[][]): Uint8Array<ArrayBuffer> => new Uint8Array(parts.flat());

  it.each([
    ["nothing to drop", [density, colours, frame], [density, colours, frame]],
    ["a camera's notes after the density", [density, exif, frame], [density, frame]],
    ["a camera's notes in its place", [exif, frame], [frame]],
    ["notes twice, a maker's own, and a comment", [exif, density, exif, segment(0xed, 9), segment(0xfe, 0x68, 0x69), frame], [density, frame]],
    ["a mark that is filled up", [[0xff, 0xff], exif, [0xff], frame], [[0xff], frame]],
  ])("goes: %s", (_says, told, left) => {
    expect(bare(of(START, ...told, scan))).toEqual(of(START, ...left, scan));
  });

  it("leaves what the server takes", () => {
    const golden = read<Record<"as_some_browsers_write_it" | "bare", string>>("golden", "photo.json");
    const bytes = (base64: string): Uint8Array<ArrayBuffer> => new Uint8Array(Buffer.from(base64, "base64"));
    expect(bare(bytes(golden.as_some_browsers_write_it))).toEqual(bytes(golden.bare));
  });

  it.each([
    ["no JPEG", [0x89, 0x50]],
    ["nothing after its first mark", START],
    ["no scan", [...START, ...frame]],
    ["a segment that is longer than the rest", [...START, 0xff, 0xe0, 0x40, 0x00, 1, 2, 3]],
    ["a segment shorter than its own length", [...START, 0xff, 0xe0, 0, 1, 0, 0, 0]],
    ["something else between", [...START, 1, 2, 3, 4]],
  ])("is not sought in %s", (_says, bytes) => {
    expect(() => bare(new Uint8Array(bytes))).toThrow(/JPEG/);
  });
});
