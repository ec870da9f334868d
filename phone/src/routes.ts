/** Where one is in the app, as the part of the address behind the #: it outlives a reload, and *back* goes back. */
export type Route =
  | { at: "today" }
  | { at: "machine"; machine: string }
  | { at: "new_job"; machine: string }
  | { at: "job"; job: string }
  | { at: "sums" }
  | { at: "sum"; key: string }
  | { at: "urgent"; kind: string | null }
  | { at: "outbox" };

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
const KEY = /^[a-z][a-z0-9_]*$/;

/** Read the part of an address behind the #. What leads nowhere leads to Today. */
export function routeOf(hash: string): Route {
  const [place = "", id = "", more, ...rest] = hash.replace(/^#?\/?/, "").split("/");
  const [one, two] = [more === undefined && rest.length === 0, more === "job" && rest.length === 0];
  if (place === "machine" && UUID.test(id) && one) return { at: "machine", machine: id };
  if (place === "machine" && UUID.test(id) && two) return { at: "new_job", machine: id };
  if (place === "job" && UUID.test(id) && one) return { at: "job", job: id };
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
    case "job":
      return `#/job/${route.job}`;
    case "sum":
      return `#/sums/${route.key}`;
    case "urgent":
      return route.kind === null ? "#/urgent" : `#/urgent/${route.kind}`;
    default:
      return `#/${route.at}`;
  }
}
