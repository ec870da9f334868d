/** A position in whole and decimal degrees, to be read aloud over a telephone. */
export interface Spoken {
  latitude: { word: "urgent_where_north" | "urgent_where_south"; degrees: string };
  longitude: { word: "urgent_where_east" | "urgent_where_west"; degrees: string };
  metres: number;
}

/**
 * Four decimals are 11 m on the ground at most; a phone knows no better, and each figure more is one to be misheard.
 * What it is right to is rounded up to the figures that a person says.
 */
export function spoken({ latitude, longitude, accuracy }: { latitude: number; longitude: number; accuracy: number }): Spoken {
  const least = Math.max(10, accuracy);
  const step = 10 ** Math.floor(Math.log10(least));
  return {
    latitude: { word: latitude < 0 ? "urgent_where_south" : "urgent_where_north", degrees: Math.abs(latitude).toFixed(4) },
    longitude: { word: longitude < 0 ? "urgent_where_west" : "urgent_where_east", degrees: Math.abs(longitude).toFixed(4) },
    metres: Math.ceil(least / step) * step,
  };
}
