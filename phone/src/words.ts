/**
 * The labels of the app. It holds no text of its own: coldmark.bench.words has the messages `app.…`, and
 * `python -m coldmark.bench.words contract` writes them to where the build takes them in.
 */
import words from "../../contract/app_words.json";
import { together } from "./together";

export type Word = keyof typeof words;

/** Fill the fields of a template: "Step {n} of {total}". A field without a value stays as it is, to be seen. */
export function fill(template: string, values: Record<string, string | number> = {}): string {
  return template.replace(/\{([a-z0-9_]+)\}/g, (field, name: string) => String(values[name] ?? field));
}

export function t(word: Word, values: Record<string, string | number> = {}): string {
  return together(fill(words[word], values));
}

/** The texts of a list: those of `start_1`, `start_2` and so on. */
export function listed(start: string): string[] {
  const found: string[] = [];
  for (let n = 1; `${start}_${n}` in words; n += 1) found.push(words[`${start}_${n}` as Word]);
  return found;
}
