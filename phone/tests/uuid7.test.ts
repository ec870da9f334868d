import { describe, expect, it } from "vitest";
import { uuid7 } from "../src/uuid7";

const bytes = (...values: number[]): Uint8Array => new Uint8Array(values);

describe("an id", () => {
  it("is the example of RFC 9562, appendix A.6 (from memory)", () => {
    // 2022-02-22 14:22:22.00 GMT-05:00, rand_a CC3, rand_b 18C4DC0C0C07398F.
    const random = bytes(0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f);
    expect(uuid7(0x017f22e279b0, random)).toBe("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  });

  it("says version 7 and variant 10 whatever the random bits are", () => {
    for (const value of [0x00, 0xff]) {
      expect(uuid7(0, bytes(...Array<number>(10).fill(value)))).toMatch(/^0{8}-0{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    }
  });

  it("sorts by the time it was made", () => {
    const random = bytes(...Array<number>(10).fill(0xff));
    const zero = bytes(...Array<number>(10).fill(0));
    expect(uuid7(1000, random) < uuid7(1001, zero)).toBe(true);
    expect(uuid7(2 ** 40 - 1, random) < uuid7(2 ** 40, zero)).toBe(true);
  });

  it.each([-1, 1.5, 2 ** 48, Number.NaN])("refuses the time %s", (ms) => {
    expect(() => uuid7(ms, new Uint8Array(10))).toThrow(RangeError);
  });

  it("refuses too few random bytes", () => {
    expect(() => uuid7(0, new Uint8Array(9))).toThrow(/holds 9 bytes; it wants 10/);
  });
});
