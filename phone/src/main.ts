import { mount } from "svelte";

import App from "./App.svelte";
import "./app.css";
import { openLook } from "./look.svelte";
import { phone } from "./phone.svelte";
import { routeOf } from "./routes";
import { sync } from "./sync/sync.svelte";
import { update } from "./update.svelte";

openLook();
void phone.open().then(() => sync.open());
void update.open(() => routeOf(location.hash).at === "job");
// The emergency card waits for nothing that is kept.
mount(App, { target: document.getElementById("app")! });
