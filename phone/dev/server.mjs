// A stand-in for the server, for looking at the card while working on it: `npm run dev`, then http://127.0.0.1:8737/.
// It keeps facts in memory, under the same strict policy as the real pages. ?us=1 shows US customary units;
// CARD=file shows another card than the golden one.
// POST /dev/fail {"status": 503} makes every API answer fail until {"status": 0}.
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, "..", "..");
const statics = join(root, "src", "coldmark", "web", "static");
const card = JSON.parse(readFileSync(process.env.CARD ?? join(root, "contract", "golden", "card.json"), "utf8"));

const POLICY =
  "default-src 'none'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; script-src 'self'";
const TYPES = { css: "text/css", js: "text/javascript", woff2: "font/woff2" };

let texts = new Map();
let attachments = new Map();
let failing = 0;
let us = false;

const page = () => `<!doctype html><html lang="en" data-look="day"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="csrf" content="dev">
<title>Card</title><link rel="icon" href="data:,"><link rel="stylesheet" href="/static/card/card.css">
<script src="/static/card/card.js" defer></script></head>
<body><div id="card" data-job="${card.job}"><p>Opening the card.</p></div></body></html>`;

const effective = () => {
  const all = [...texts.values()].map((text) => JSON.parse(text));
  const gone = new Set(all.filter((fact) => fact.kind === "correction").map((fact) => fact.body.of));
  return all.filter((fact) => fact.kind !== "correction" && !gone.has(fact.id));
};

function level(asked) {
  const screen = card.screens.find((one) => one.glass);
  const check = card.postures.find((posture) => posture.check);
  const reading = typeof asked.reading === "string" && !Number.isNaN(Number(asked.reading)) ? Number(asked.reading) : 0;
  const wrong = asked.posture !== check.key;
  const y = 282 - reading * 164;
  return {
    says: wrong
      ? ["Here the glass shows up to 3.1 L too little.", "In the check posture it would stand at 0.8."]
      : ["Add 2.4 L now.", "Hot, it will stand just under the upper mark."],
    off: [],
    move_first: wrong ? check.key : null,
    add_l: { value: 2.4, low: 2.1, high: 2.7 },
    shown: us ? { add: "0.6 gal", low: "0.6 gal", high: "0.7 gal" } : { add: "2.4 L", low: "2.1 L", high: "2.7 L" },
    cold_mark: 0.72,
    hot: 0.93,
    glass: screen.glass.replace(/(data-part="oil" transform="translate\(0 )[\d.]+/, `$1${y}`),
    working: ["Oil at 8 °C, marks hold at 50 °C.", "Growth 0.075 %/K × 42 K × 60 L = 1.9 L."],
  };
}

function finish() {
  const facts = effective();
  const closed = facts.some((fact) => fact.kind === "job_closed");
  const missing = closed ? [] : card.screens.slice(0, -1).filter((screen) => !facts.some((fact) => fact.body.step === screen.step)).slice(0, 3);
  return {
    tasks: card.tasks.map((task) => ({ ...task, done: true, says: task.name })),
    left_out: facts
      .filter((fact) => fact.kind === "step_skipped")
      .map((fact) => ({ key: fact.body.step, title: card.screens.find((one) => one.step === fact.body.step).title, reason_says: card.reasons.find((one) => one.key === fact.body.reason).says })),
    gates: [],
    parts: [],
    balance: { says: ["Out: 0.6 L with the old elements.", "In: 2.4 L. The glass explains 1.8 L of it."] },
    missing: missing.map((screen) => ({ key: screen.step, says: screen.title })),
    ready: missing.length === 0,
    next_due: [{ says: "Hydraulic service, 500 h: at 2,000 h, likely in the week of 6 July." }],
    facts: [...texts].map(([id, text]) => [id, createHash("sha256").update(text).digest("hex")]).sort(),
  };
}

const answers = {
  "GET /api/me": () => ({
    person: { id: "019ccf2c-0000-7000-8000-0000000000f1", name: "Ida", role: "mechanic" },
    device: { id: "019ccf2c-0000-7000-8000-0000000000d1", next_number: 1 },
    units: us ? "us" : "metric",
    csrf: "dev",
    app: "0.1.0",
    epoch: "1",
  }),
  [`GET /api/jobs/${card.job}/card`]: () => ({
    card: { ...card, units: us ? "us" : "metric" },
    facts: effective(),
    state: { meter: { shown_h: 1482.5, hours: 1482.5, at: "2026-02-02T08:15:00+01:00", per_day: 4.2 } },
  }),
  [`POST /api/jobs/${card.job}/level`]: (body) => level(JSON.parse(body)),
  [`POST /api/jobs/${card.job}/meter`]: (body) => {
    const read = Number(JSON.parse(body).reading_h);
    return read < 1482.5 ? { doubt: "back", says: `1482.5 h was read before; ${read} h is less. Is it right?` } : { doubt: null, says: null };
  },
  [`GET /api/jobs/${card.job}/finish`]: finish,
  "POST /api/facts": (body) => ({
    epoch: "1",
    answers: JSON.parse(body).facts.map((text) => {
      const { id } = JSON.parse(text);
      const known = texts.has(id);
      texts.set(id, text);
      return { id, answer: known ? "known" : "kept", arrival: texts.size, why: null };
    }),
  }),
  "POST /dev/fail": (body) => ({ status: (failing = JSON.parse(body).status) }),
  "POST /dev/reset": () => ((texts = new Map()), (attachments = new Map()), (failing = 0), {}),
  "GET /dev/facts": () => [...texts.values()].map((text) => JSON.parse(text)),
};

createServer(async (request, response) => {
  const chunks = [];
  for await (const chunk of request) chunks.push(chunk);
  const body = Buffer.concat(chunks);
  const url = new URL(request.url, "http://dev");
  const send = (status, type, content) => {
    response.writeHead(status, { "Content-Type": type, "Content-Security-Policy": POLICY, "Cache-Control": "no-store" });
    response.end(content);
  };
  const json = (status, value) => send(status, "application/json", JSON.stringify(value));
  if (url.pathname === "/") {
    us = url.searchParams.has("us");
    return send(200, "text/html; charset=utf-8", page());
  }
  if (url.pathname.startsWith("/static/")) {
    try {
      return send(200, TYPES[url.pathname.split(".").at(-1)] ?? "text/plain", readFileSync(join(statics, url.pathname.slice(8))));
    } catch {
      return send(404, "text/plain", "");
    }
  }
  if (failing && url.pathname.startsWith("/api/")) return send(failing, "text/html", "<p>fault</p>");
  const attachment = /^\/api\/attachments\/([0-9a-f]{64})$/.exec(url.pathname);
  if (attachment && request.method === "PUT") {
    if (createHash("sha256").update(body).digest("hex") !== attachment[1]) return json(422, { says: "The hash is another." });
    attachments.set(attachment[1], body);
    return json(201, {});
  }
  if (attachment) return send(200, "image/jpeg", attachments.get(attachment[1]) ?? "");
  const answer = answers[`${request.method} ${url.pathname}`];
  if (!answer) return json(404, { says: "No such address." });
  return json(200, answer(body.toString() || "null"));
}).listen(Number(process.env.PORT ?? 8737), "127.0.0.1", () => console.log("http://127.0.0.1:8737/"));
