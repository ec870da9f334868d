import { describe, expect, it } from "vitest";
import { spoken } from "../src/position";

describe("a position to be read aloud", () => {
  it.each([
    [{ latitude: 47.123456, longitude: 8.5, accuracy: 12.3 }, "urgent_where_north", "47.1235", "urgent_where_east", "8.5000", 20],
    [{ latitude: -33.00004, longitude: -70.66666, accuracy: 4 }, "urgent_where_south", "33.0000", "urgent_where_west", "70.6667", 10],
    [{ latitude: 0, longitude: 0, accuracy: 1234 }, "urgent_where_north", "0.0000", "urgent_where_east", "0.0000", 2000],
    [{ latitude: 60, longitude: 25, accuracy: 100 }, "urgent_where_north", "60.0000", "urgent_where_east", "25.0000", 100],
  ])("of %o has its side in words and says how right it is, never better", (at, north, latitude, east, longitude, metres) => {
    expect(spoken(at)).toEqual({
      latitude: { word: north, degrees: latitude },
      longitude: { word: east, degrees: longitude },
      metres,
    });
  });
});
