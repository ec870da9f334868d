/** Where the marks and the ends of a drawn glass are, in the drawing's own units; y runs downwards. */
export interface GlassScale {
  lowerY: number;
  upperY: number;
  bottomY: number;
  topY: number;
}

/** The reading that a height in the drawing stands for: 0 at the lower mark, 1 at the upper, held inside the glass. */
export function readingAt(y: number, scale: GlassScale): number {
  const held = Math.min(scale.bottomY, Math.max(scale.topY, y));
  return (scale.lowerY - held) / (scale.lowerY - scale.upperY);
}

/** The height in the drawing of a reading. */
export function heightOf(reading: number, scale: GlassScale): number {
  return scale.lowerY - reading * (scale.lowerY - scale.upperY);
}

/** The lowest and the highest reading that the glass can show, to a hundredth inside its ends. */
export function range(scale: GlassScale): { low: number; high: number } {
  return {
    low: Math.max(-1, Math.ceil(readingAt(scale.bottomY, scale) * 100) / 100),
    high: Math.min(2, Math.floor(readingAt(scale.topY, scale) * 100) / 100),
  };
}

/** A reading to a hundredth, inside the glass. */
export function settle(reading: number, scale: GlassScale): number {
  const { low, high } = range(scale);
  return Math.min(high, Math.max(low, Math.round(reading * 100) / 100));
}

/** What a key does to the reading, or null where the key means nothing to the glass. */
export function keyed(key: string, reading: number, scale: GlassScale): number | null {
  const steps: Record<string, number> = {
    ArrowUp: 0.05,
    ArrowRight: 0.05,
    ArrowDown: -0.05,
    ArrowLeft: -0.05,
    PageUp: 0.25,
    PageDown: -0.25,
  };
  if (key === "Home") return settle(0, scale);
  if (key === "End") return settle(1, scale);
  const step = steps[key];
  return step === undefined ? null : settle(reading + step, scale);
}
