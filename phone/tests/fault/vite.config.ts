import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

const here = (name: string): string => fileURLToPath(new URL(name, import.meta.url));

// `--mode node` or `--mode page`, one file each; `--outDir` says where.
export default defineConfig(({ mode }) => ({
  root: here("."),
  publicDir: false as const,
  logLevel: "warn" as const,
  ssr: { noExternal: true as const },
  build: {
    target: "es2022",
    minify: false,
    emptyOutDir: false,
    ssr: mode === "node",
    rollupOptions: {
      input: here(`${mode}.ts`),
      output: { format: mode === "node" ? ("es" as const) : ("iife" as const), entryFileNames: mode === "node" ? "phones.mjs" : "phones.js" },
    },
  },
}));
