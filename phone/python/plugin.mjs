// Puts what a phone's Python is started from among the app's built files, for the service worker to hold and the server
// to hand out.
import { copyFileSync, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

/** The worker that Python runs in, by its entry's name: it is served beneath /phone/ (see precache.ts). */
const WORKER = "worker";

export function python() {
  let making;
  return {
    name: "coldmark-python",
    apply: "build",
    buildStart() {
      making = import("./build.mjs").then(({ build }) => build());
      making.catch(() => {}); // thrown where it is waited for
    },
    generateBundle(_options, bundle) {
      const worker = Object.values(bundle).find((file) => file.type === "chunk" && file.isEntry && file.name === WORKER);
      // Its address is another than its place, so a name beside it would not be found.
      if (!worker || worker.imports.length > 0) this.error(`the worker must stand by itself, and imports ${worker?.imports}`);
    },
    writeBundle: {
      order: "pre",
      sequential: true,
      async handler({ dir }) {
        const { folder, manifest } = await making;
        const to = join(dir, "python");
        mkdirSync(to, { recursive: true });
        for (const { name } of manifest.files) {
          for (const ending of ["", ".br", ".gz"]) copyFileSync(join(folder, name + ending), join(to, name + ending));
        }
        writeFileSync(join(to, "manifest.json"), `${JSON.stringify(manifest, null, 1)}\n`);
      },
    },
  };
}
