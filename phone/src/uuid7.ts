/** A UUIDv7 (RFC 9562): 48 bits of milliseconds, then random bits, so that ids sort by when they were made. */
export function uuid7(nowMs: number, random: Uint8Array): string {
  if (!Number.isInteger(nowMs) || nowMs < 0 || nowMs >= 2 ** 48) {
    throw new RangeError(`nowMs = ${nowMs} is not a whole number of milliseconds from 0 to 2^48 - 1`);
  }
  if (random.length !== 10) {
    throw new RangeError(`random holds ${random.length} bytes; it wants 10`);
  }
  const bytes = new Uint8Array(16);
  for (let place = 5, left = nowMs; place >= 0; place -= 1) {
    bytes[place] = left % 256;
    left = Math.floor(left / 256);
  }
  bytes.set(random, 6);
  bytes[6] = 0x70 | ((bytes[6] ?? 0) & 0x0f);
  bytes[8] = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
