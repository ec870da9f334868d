import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const contract = fileURLToPath(new URL("../../contract", import.meta.url));

/** Every case in a folder of the contract: what the bench is held to, the phone is held to. */
export function cases<T>(folder: string): T[] {
  const place = join(contract, "golden", folder);
  const names = readdirSync(place).filter((name) => name.endsWith(".json"));
  if (names.length === 0) throw new Error(`no cases in ${place}`);
  return names.map((name) => JSON.parse(readFileSync(join(place, name), "utf8")) as T);
}

export function read<T>(...path: string[]): T {
  return JSON.parse(readFileSync(join(contract, ...path), "utf8")) as T;
}
