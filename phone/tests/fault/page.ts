/** The phones in a browser's page: the app's own database there, its own network. */
import { Driver } from "./driver";

Object.assign(window, { phones: new Driver({ fetch: () => (url, init) => fetch(url, init), patienceMs: 1000, database: () => "coldmark" }) });
