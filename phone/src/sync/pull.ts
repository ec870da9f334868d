import { whyNotDelivered, type Why } from "../outbox/queue";
import { isBundle, type Bundle } from "./bundle";

/**
 * A bundle and its tag, no bundle where there is none but the one that is here, or why there is no answer. With
 * `refused` and `gone` the server says that what was taken along before is to be seen here no more: by somebody who takes
 * nothing along, or because this phone or who worked with it is trusted no more.
 */
export type Pulled = { bundle: Bundle | null; tag: string } | { refused: string } | { gone: true } | { stays: Why };

const PATIENCE_MS = 30_000;

/** Ask what there is to take along. `tag` is that of what is here already. */
export async function pull(tag: string | null, send: typeof fetch = fetch): Promise<Pulled> {
  try {
    const answer = await send("/api/bundle", {
      headers: { Accept: "application/json", ...(tag === null ? {} : { "If-None-Match": tag }) },
      credentials: "same-origin",
      redirect: "manual",
      cache: "no-store",
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    // That nothing has changed is an answer only to one who told what he has.
    if (answer.status === 304 && tag !== null) return { bundle: null, tag };
    if (answer.type === "opaqueredirect" || answer.status === 304) return { stays: "not_ours" };
    const told: unknown = /^application\/json\b/i.test(answer.headers.get("Content-Type") ?? "") ? await answer.json() : null;
    if (answer.status === 200) return isBundle(told) ? { bundle: told, tag: answer.headers.get("ETag") ?? "" } : { stays: "not_ours" };
    const says = told === null ? undefined : (told as { says?: unknown }).says;
    // Somebody who is signed in and takes nothing along: the firm's customers do not.
    if (answer.status === 403 && typeof says === "string") return { refused: says };
    if (answer.status === 401 && typeof says === "string" && (told as { name?: unknown }).name === "key") return { gone: true };
    return { stays: whyNotDelivered(answer.status) ?? "not_ours" };
  } catch {
    return { stays: "silence" };
  }
}
