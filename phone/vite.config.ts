import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

// The page is Django's; this makes two files with names that do not change, beside the other static files.
export default defineConfig({
  plugins: [svelte()],
  publicDir: false,
  build: {
    outDir: "../src/coldmark/web/static/card",
    emptyOutDir: true,
    target: "es2022",
    cssCodeSplit: false,
    modulePreload: false,
    rollupOptions: {
      input: "src/main.ts",
      // The typeface lies beside the card among the static files; the style sheet names it as it is there.
      external: [/\.woff2$/],
      output: {
        format: "iife",
        entryFileNames: "card.js",
        assetFileNames: "card.[ext]",
      },
    },
  },
  test: { include: ["tests/**/*.test.ts"], environment: "node" },
});
