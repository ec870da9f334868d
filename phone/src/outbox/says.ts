import { t, type Word } from "../words";
import words from "../../../contract/app_words.json";
import { FileFault } from "./file";
import type { Item } from "./outbox";

/** What a thing of the outbox is, in a word or two. */
export function whatItIs(item: Item): string {
  if (item.fact) {
    const own = `kind_${item.fact.kind}`;
    return t(own in words ? (own as Word) : "kind_other");
  }
  const type = item.type ?? "";
  if (type.startsWith("image/")) return t("thing_photo");
  if (type.startsWith("audio/")) return t("thing_voice");
  return t(type.startsWith("application/json") ? "thing_strokes" : "thing_words");
}

/** Why a file could not be read back, and what to do; anything else is no matter of the file. */
export function faultSays(fault: unknown): string | null {
  return fault instanceof FileFault ? t(`unsent_${fault.reason}`) : null;
}
