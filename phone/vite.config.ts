import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

import { precache } from "./precache.ts";
import { python } from "./python/plugin.mjs";

const named = "app/[name]-[hash]";

export default defineConfig({
  plugins: [svelte(), python(), precache()],
  base: "/static/phone/",
  publicDir: false,
  build: {
    outDir: "../src/coldmark/web/static/phone",
    emptyOutDir: true,
    target: "es2022",
    cssCodeSplit: false,
    modulePreload: false,
    assetsInlineLimit: 0,
    rollupOptions: {
      input: ["src/main.ts", "src/sw.ts", "src/desk/worker.ts"],
      preserveEntrySignatures: "exports-only",
      output: {
        // The two workers are found again by their names; all else is named by what is in it.
        entryFileNames: ({ name }) => (name === "main" ? `${named}.js` : `${name}.js`),
        chunkFileNames: `${named}.js`,
        assetFileNames: `${named}[extname]`,
      },
    },
  },
  worker: { format: "es", rollupOptions: { output: { entryFileNames: `${named}.js` } } },
  test: { include: ["tests/**/*.test.ts"], environment: "node" },
});
