// The forms of the sums: − and + beside a value that has a step, one more row when the last is begun, and printing.
// Without this script every field can be typed into and every row is there after the next answer.
(() => {
  "use strict";

  const decimalsOf = (text) => (text.split(".")[1] || "").length;

  function moved(input, way) {
    const step = Number(input.dataset.step);
    const [low, high] = [input.dataset.low, input.dataset.high].map((text) => (text === undefined ? NaN : Number(text)));
    const told = Number(input.value);
    if (input.value.trim() === "" || Number.isNaN(told)) {
      const start = input.dataset.start === undefined ? 0 : Number(input.dataset.start);
      return String(Math.min(Math.max(start, Number.isNaN(low) ? start : low), Number.isNaN(high) ? start : high));
    }
    let next = told + way * step;
    if (next < low) next = low;
    if (next > high) next = high;
    const decimals = Math.max(decimalsOf(input.dataset.step), decimalsOf(input.value));
    return String(Number(next.toFixed(decimals)));
  }

  function press(input, way) {
    input.value = moved(input, way);
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }

  function button(sign, says, input, way) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = sign;
    made.setAttribute("aria-label", `${input.getAttribute("aria-label") || input.labels[0]?.textContent || input.name}: ${says}`);
    made.addEventListener("click", () => press(input, way));
    return made;
  }

  function withButtons(input, form) {
    const stepper = document.createElement("span");
    stepper.className = "stepper";
    input.replaceWith(stepper);
    stepper.append(
      button("−", form.dataset.less, input, -1),
      input,
      button("+", form.dataset.more, input, 1),
    );
  }

  function oneMoreRow(rows) {
    const last = rows.lastElementChild;
    const filled = [...last.querySelectorAll("input, select")].some((cell) => cell.value !== "");
    const place = rows.children.length;
    if (!filled || place >= Number(rows.dataset.most)) return;
    const next = last.cloneNode(true);
    for (const cell of next.querySelectorAll("input, select")) {
      cell.name = cell.name.replace(`-${place - 1}-`, `-${place}-`);
      cell.id = `id_${cell.name}`;
      cell.setAttribute("aria-label", cell.getAttribute("aria-label").replace(/\d+$/, String(place + 1)));
      if (cell.tagName === "SELECT") cell.selectedIndex = 0;
      else cell.value = "";
    }
    rows.append(next);
  }

  const form = document.querySelector("form.sum");
  if (form) {
    for (const input of form.querySelectorAll(".field > input[data-step]")) withButtons(input, form);
    for (const rows of form.querySelectorAll(".typed-rows")) {
      rows.addEventListener("input", () => oneMoreRow(rows));
    }
  }

  function offerToPrint() {
    for (const one of document.querySelectorAll("[data-print][hidden]")) {
      one.hidden = false;
      one.addEventListener("click", () => window.print());
    }
  }
  offerToPrint();
  document.addEventListener("htmx:after:swap", offerToPrint);
})();
