import { t } from "../words";
import type { BenchState } from "./bench";

/** How it stands with the sums on this phone, in a sentence. */
export function benchSays(state: BenchState): string {
  if (state.is === "starting") return t("bench_starting");
  if (state.is === "ready") return t("bench_ready", { seconds: (state.ms / 1000).toFixed(1) });
  if (state.because === "silent") return t("bench_silent");
  if (state.because === "breaks") return t("bench_breaks");
  return t("bench_error", { error: state.error });
}
