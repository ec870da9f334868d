import { mount } from "svelte";

import App from "./App.svelte";
import "./app.css";
import { openLook } from "./look.svelte";
import { work } from "./work.svelte";

// The page says which job; until the card has come, the page's own words stand.
const place = document.getElementById("card");
const job = place?.dataset["job"];
const csrf = document.querySelector<HTMLMetaElement>('meta[name="csrf"]')?.content ?? "";
if (place && job) {
  openLook();
  void work.open(job, csrf).then(() => {
    place.replaceChildren();
    mount(App, { target: place });
  });
}
