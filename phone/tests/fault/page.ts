/** The phones in a browser's page: its own database, its own network. */
import { Driver } from "./driver";

Object.assign(window, { phones: new Driver({ fetch: () => (url, init) => fetch(url, init), patienceMs: 1000 }) });
