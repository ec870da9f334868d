import { mount } from "svelte";

import App from "./App.svelte";
import "./app.css";
import { openLook } from "./look.svelte";
import { phone } from "./phone.svelte";

openLook();
void phone.open();
// The emergency card waits for nothing that is kept.
mount(App, { target: document.getElementById("app")! });
