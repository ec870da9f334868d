import { createHash } from "node:crypto";
import { copyFileSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Plugin } from "vite";

import words from "../contract/app_words.json" with { type: "json" };

const statics = new URL("../src/coldmark/web/static/", import.meta.url).pathname;
/** What the app takes from beside its own files. */
const SHARED = ["fonts/atkinson-hyperlegible-next-400.woff2", "fonts/atkinson-hyperlegible-next-700.woff2", "web/mark.svg"];
/** Served at addresses of their own: the first as `/phone/`, the others beneath it, and the last two kept by the browser. */
const SHELL = "shell.html";
const WORKER = "sw.js";
const MANIFEST = "app.webmanifest";
/** Where Python works: a worker's files are held only where its own address is beneath `/phone/` too. */
const BENCH = "worker.js";
/** Compressed copies, which the server hands out by themselves, and notices that nothing loads. */
const ASIDE = /\.(br|gz|txt)$/;

const sha256 = (bytes: Uint8Array | string): string => createHash("sha256").update(bytes).digest("hex");

/** Makes the page that the app opens by, and writes into the service worker which files the app is made of. */
export function precache(): Plugin {
  return {
    name: "coldmark-precache",
    apply: "build",
    writeBundle: {
      order: "post",
      sequential: true,
      handler({ dir = "" }, bundle) {
        const entry = Object.values(bundle).find((file) => file.type === "chunk" && file.isEntry && file.name === "main");
        const styles = Object.keys(bundle).filter((name) => name.endsWith(".css"));
        const links = styles.map((name) => `<link rel="stylesheet" href="/static/phone/${name}">`);
        const built = [...links, `<script type="module" src="/static/phone/${entry?.fileName}"></script>`].join("\n  ");
        const page = readFileSync(new URL(SHELL, import.meta.url), "utf8");
        writeFileSync(join(dir, SHELL), page.replace("<!-- built files -->", built).replace("<!-- needs_scripts -->", words.needs_scripts));
        copyFileSync(new URL(MANIFEST, import.meta.url), join(dir, MANIFEST));

        const own = readdirSync(dir, { recursive: true, withFileTypes: true })
          .filter((one) => one.isFile() && !ASIDE.test(one.name) && ![SHELL, WORKER, MANIFEST, BENCH].includes(one.name))
          .map((one) => join(one.parentPath, one.name).slice(dir.length + 1));
        const files = [
          ["/phone/", sha256(readFileSync(join(dir, SHELL)))],
          [`/phone/${BENCH}`, sha256(readFileSync(join(dir, BENCH)))],
          ...own.sort().map((name) => [`/static/phone/${name}`, sha256(readFileSync(join(dir, name)))]),
          ...SHARED.map((name) => [`/static/${name}`, sha256(readFileSync(join(statics, name)))]),
        ];
        const worker = join(dir, WORKER);
        writeFileSync(worker, `const FILES = ${JSON.stringify(files)};\n${readFileSync(worker, "utf8")}`);
      },
    },
  };
}
