import { vitePreprocess } from "@sveltejs/vite-plugin-svelte";

export default {
  preprocess: vitePreprocess(),
  // Styles live in one file of their own: the page's policy allows none that a script puts in.
  compilerOptions: { runes: true, css: "external" },
};
