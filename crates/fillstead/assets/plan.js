// The Plan page with script: values read off the trace under a finger or with the arrow keys, and
// the question asked again a moment after it changed. Every figure is in the page's own table.
"use strict";
(() => {
  const job = document.getElementById("job");
  const busy = document.getElementById("busy");
  if (job && busy) {
    let waiting = 0;
    const say = (text) => { busy.textContent = text; };
    // A select or a figure that changed asks again by itself; a fault has to be asked for.
    job.addEventListener("change", (event) => {
      clearTimeout(waiting);
      const row = event.target.closest(".row");
      if (event.target.name === "fault" || (row && !row.querySelector("select").value)) return;
      waiting = setTimeout(() => job.requestSubmit(document.getElementById("ask")), 900);
    });
    job.addEventListener("input", () => clearTimeout(waiting));
    job.addEventListener("submit", () => {
      clearTimeout(waiting);
      job.setAttribute("aria-busy", "true");
      setTimeout(() => say("Working it out: 200 runs within the tolerances ..."), 300);
    });
    addEventListener("pageshow", () => { job.removeAttribute("aria-busy"); say(""); });
  }

  const plot = document.querySelector(".tracing");
  const table = document.getElementById("readings");
  const told = document.getElementById("readoff");
  const drawing = plot && plot.querySelector("svg");
  if (!drawing || !table || !told) return;
  const names = [...table.tHead.rows[0].cells].map((cell) => cell.textContent);
  const rows = [...table.tBodies[0].rows];
  const scale = Object.fromEntries(["left", "right", "top", "bottom", "end"].map((k) => [k, Number(plot.dataset[k])]));
  const cursor = document.createElement("div");
  cursor.className = "cursor";
  cursor.hidden = true;
  plot.append(cursor);
  let at = -1;

  const show = (index) => {
    at = Math.min(Math.max(index, 0), rows.length - 1);
    const cells = [...rows[at].cells].map((cell) => cell.textContent);
    told.textContent = cells.map((text, i) => (i === 0 ? "At " + text + ": " : text && names[i] + " " + text))
      .filter(Boolean).join(", ").replace(": ,", ":");
    const unit = drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width;
    const share = Math.min(Number(rows[at].dataset.t) / scale.end, 1);
    const edge = drawing.getBoundingClientRect().left - plot.getBoundingClientRect().left + plot.scrollLeft;
    cursor.style.left = edge + (scale.left + share * (scale.right - scale.left)) * unit + "px";
    cursor.style.top = scale.top * unit + "px";
    cursor.style.height = (scale.bottom - scale.top) * unit + "px";
    cursor.hidden = false;
  };
  const under = (event) => {
    const box = drawing.getBoundingClientRect();
    const unit = box.width / drawing.viewBox.baseVal.width;
    const time = ((event.clientX - box.left) / unit - scale.left) / (scale.right - scale.left) * scale.end;
    if (time < -30 || time > scale.end) return;
    const apart = (row) => Math.abs(Number(row.dataset.t) - time);
    show(rows.reduce((best, row, i) => (apart(row) < apart(rows[best]) ? i : best), 0));
  };
  plot.addEventListener("pointermove", under);
  plot.addEventListener("pointerdown", under);
  plot.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1, Home: -rows.length, End: rows.length }[event.key];
    if (!step) return;
    event.preventDefault();
    show(at + step);
  });
})();
