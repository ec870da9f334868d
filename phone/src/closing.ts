/**
 * The closing code: what was recorded of a job, said in seventeen signs that anybody can check later. The bench makes the
 * same; contract/golden/closing.json holds the cases that both must pass.
 */
import encodeQR from "qr";

import { sha256 } from "./digest";

/** Thirty-two signs without I, L, O and U, which a pen and an eye mistake for others. */
const LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const SIGNS = 16;
/** x⁵ + x² + 1: its root runs through all 31 values that are not nought. */
const POLYNOMIAL = 0b100101;
const ID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
const HASH = /^[0-9a-f]{64}$/;

/** A job's code as it is written down, in groups, and the whole hash that it is the beginning of. */
export interface Closing {
  code: string;
  sha256: string;
}

/** The closing code of a job's facts: id and SHA-256 of the text of each, in any order. */
export async function closing(pairs: readonly (readonly [string, string])[]): Promise<Closing> {
  const listed = pairs.map(([id, sha]): [string, string] => [id.toLowerCase(), sha.toLowerCase()]).sort(([one], [other]) => (one < other ? -1 : 1));
  listed.forEach(([id, sha], place) => {
    if (!ID.test(id) || !HASH.test(sha)) throw new TypeError(`${id} ${sha} is not an id and the SHA-256 of a text`);
    if (listed[place - 1]?.[0] === id) throw new TypeError(`${id} is named twice`);
  });
  const hash = await sha256(listed.map(([id, sha]) => `${id} ${sha}\n`).join(""));
  // Five bits a sign: the first twenty hex digits are eighty bits, and five of them make four signs.
  const signs: number[] = [];
  for (let at = 0; at < (SIGNS * 5) / 4; at += 5) {
    const bits = parseInt(hash.slice(at, at + 5), 16);
    signs.push((bits >> 15) & 31, (bits >> 10) & 31, (bits >> 5) & 31, bits & 31);
  }
  const text = [...signs, checkSign(signs)].map((sign) => LETTERS[sign]).join("");
  return { code: [text.slice(0, 4), text.slice(4, 8), text.slice(8, 12), text.slice(12)].join("-"), sha256: hash };
}

/** Multiply in the field of 32 elements. */
function times(one: number, other: number): number {
  let product = 0;
  for (let left = other, power = one; left > 0; left >>= 1) {
    if (left & 1) product ^= power;
    power <<= 1;
    if (power & 32) power ^= POLYNOMIAL;
  }
  return product;
}

/** Each sign is weighed with another power of the root, so that no swap of two and no wrong one leaves the sum alike. */
function checkSign(signs: readonly number[]): number {
  let power = 2;
  let total = 0;
  for (const sign of signs) {
    total ^= times(sign, power);
    power = times(power, 2);
  }
  return total;
}

export type Mask = 0 | 1 | 2 | 3 | 4 | 5 | 6 | 7;

/**
 * The modules of a hash as a square code (ISO/IEC 18004), dark ones true. In capitals it takes fewer of them. Which of
 * the standard's eight masks lies over it is chosen by how it looks, where none is told.
 */
export function squareCode(hash: string, mask?: Mask): boolean[][] {
  const rows = encodeQR(hash.toUpperCase(), "raw", { ecc: "medium", encoding: "alphanumeric", border: 1, ...(mask === undefined ? {} : { mask }) });
  return rows.slice(1, -1).map((row) => row.slice(1, -1));
}

/** The dark modules as the path of a drawing, a run of a row at a time, `quiet` modules in from its edge. */
export function darkPath(rows: readonly (readonly boolean[])[], quiet: number): string {
  const runs: string[] = [];
  rows.forEach((row, y) => {
    for (let x = 0; x < row.length; x += 1) {
      if (!row[x]) continue;
      const from = x;
      while (row[x + 1]) x += 1;
      const length = x + 1 - from;
      runs.push(`M${from + quiet} ${y + quiet}h${length}v1h-${length}z`);
    }
  });
  return runs.join("");
}

/**
 * What a job is closed with: id and SHA-256 of each of its facts, by id, from all who know of some, the later ones
 * knowing better. Whoever works that out on this phone may have taken in what the server refused: such a text is on no
 * server, and the job is not closed with it.
 */
export function toCloseWith(known: readonly (readonly [string, string][])[], parked: readonly [string, string][]): [string, string][] {
  const refused = new Map(parked);
  const facts = new Map(known.flat().filter(([id, sha]) => refused.get(id) !== sha));
  return [...facts].sort(([one], [other]) => (one < other ? -1 : 1));
}
