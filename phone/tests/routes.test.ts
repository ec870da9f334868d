import { describe, expect, it } from "vitest";
import { hrefOf, routeOf, type Route } from "../src/routes";

const ID = "0192aa00-0000-7000-8000-0000000000f1";
const ROUTES: Route[] = [
  { at: "today" },
  { at: "machine", machine: ID },
  { at: "new_job", machine: ID },
  { at: "time", machine: ID },
  { at: "refuse", machine: ID },
  { at: "job", job: ID },
  { at: "kit", job: ID },
  { at: "sums" },
  { at: "sum", key: "oil_viscosity" },
  { at: "urgent", kind: null },
  { at: "urgent", kind: "oil_fire" },
  { at: "outbox" },
];

describe("an address in the app", () => {
  it.each(ROUTES)("of $at is read as it is written", (route) => {
    expect(routeOf(hrefOf(route))).toEqual(route);
  });

  it.each(["", "#", "#/", "#/nowhere", "#/job", "#/job/7", `#/job/${ID}/more`, `#/machine/${ID}/job/x`, `#/machine/${ID}/toString`, "#/machine/7/timing", "#/sums/../x", "#/urgent/a/b", "#/outbox/x", "#/job/%3Cscript%3E"])(
    "that leads nowhere leads to Today: %s",
    (hash) => expect(routeOf(hash)).toEqual({ at: "today" }),
  );
});
