/** Where one is in the app, as the part of the address behind the #: it outlives a reload, and *back* goes back. */
export type Route =
  | { at: "today" }
  | { at: "machine"; machine: string }
  | { at: "new_job"; machine: string }
  | { at: "time"; machine: string }
  | { at: "refuse"; machine: string }
  | { at: "job"; job: string }
  | { at: "kit"; job: string }
  | { at: "sums" }
  | { at: "sum"; key: string }
  | { at: "urgent"; kind: string | null }
  | { at: "outbox" };

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
const KEY = /^[a-z][a-z0-9_]*$/;
/** What can be done at a machine, by how its address ends. */
const THERE: Record<string, "new_job" | "time" | "refuse"> = { job: "new_job", timing: "time", refuse: "refuse" };

/** Read the part of an address behind the #. What leads nowhere leads to Today. */
export function routeOf(hash: string): Route {
  const [place = "", id = "", more, ...rest] = hash.replace(/^#?\/?/, "").split("/");
  const one = more === undefined && rest.length === 0;
  const there = rest.length === 0 && more !== undefined && Object.hasOwn(THERE, more) ? THERE[more] : undefined;
  if (place === "machine" && UUID.test(id) && one) return { at: "machine", machine: id };
  if (place === "machine" && UUID.test(id) && there) return { at: there, machine: id };
  if (place === "job" && UUID.test(id) && one) return { at: "job", job: id };
  if (place === "job" && UUID.test(id) && more === "kit" && rest.length === 0) return { at: "kit", job: id };
  if (place === "sums" && id === "" && one) return { at: "sums" };
  if (place === "sums" && KEY.test(id) && one) return { at: "sum", key: id };
  if (place === "urgent" && (id === "" || KEY.test(id)) && one) return { at: "urgent", kind: id || null };
  if (place === "outbox" && id === "" && one) return { at: "outbox" };
  return { at: "today" };
}

export function hrefOf(route: Route): string {
  switch (route.at) {
    case "today":
      return "#/";
    case "machine":
      return `#/machine/${route.machine}`;
    case "new_job":
      return `#/machine/${route.machine}/job`;
    case "time":
      return `#/machine/${route.machine}/timing`;
    case "refuse":
      return `#/machine/${route.machine}/refuse`;
    case "job":
      return `#/job/${route.job}`;
    case "kit":
      return `#/job/${route.job}/kit`;
    case "sum":
      return `#/sums/${route.key}`;
    case "urgent":
      return route.kind === null ? "#/urgent" : `#/urgent/${route.kind}`;
    default:
      return `#/${route.at}`;
  }
}
