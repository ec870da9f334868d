/** The phones in a Node process: commands come in and answers go out as lines of JSON. */
import "fake-indexeddb/auto";
import { createInterface } from "node:readline";
import { Driver, type Command } from "./driver";

const jars = new Map<string, Map<string, string>>();

/** What a browser does by itself: send the cookies along, and keep those that come. */
function withCookies(phone: string): typeof fetch {
  const jar = jars.get(phone) ?? new Map<string, string>();
  jars.set(phone, jar);
  return async (url, init) => {
    const headers = new Headers(init?.headers);
    headers.set("Cookie", [...jar].map(([name, value]) => `${name}=${value}`).join("; "));
    const answer = await fetch(url, { ...init, headers });
    for (const line of answer.headers.getSetCookie()) {
      const [pair = ""] = line.split(";");
      jar.set(pair.slice(0, pair.indexOf("=")), pair.slice(pair.indexOf("=") + 1));
    }
    return answer;
  };
}

const driver = new Driver({ fetch: withCookies, database: (phone) => phone, patienceMs: Number(process.env["PATIENCE_MS"] ?? 300) });

type Line = { number: number } & ({ cookies: { phone: string; jar: Record<string, string> } } | { command: Command });

createInterface({ input: process.stdin }).on("line", (text) => {
  const line = JSON.parse(text) as Line;
  const say = (answer: object): void => void process.stdout.write(`${JSON.stringify({ number: line.number, ...answer })}\n`);
  if ("cookies" in line) {
    withCookies(line.cookies.phone);
    for (const [name, value] of Object.entries(line.cookies.jar)) jars.get(line.cookies.phone)!.set(name, value);
    return say({ ok: null });
  }
  driver.do(line.command).then(
    (ok) => say({ ok: ok ?? null }),
    (fault: unknown) => say({ fault: fault instanceof Error ? `${fault.message}\n${fault.stack ?? ""}` : String(fault) }),
  );
});
