// Keeps a half-typed form in this browser until it is in the book, and brings it back with a note.
// Forms are marked data-keep, what is done data-done. Works offline for typing: what cannot be sent
// stays here.
"use strict";
(() => {
  const key = (name) => "keep." + name;
  const store = (() => { try { return window.localStorage; } catch { return null; } })();
  if (!store) return;
  for (const done of document.querySelectorAll("[data-done]")) store.removeItem(key(done.dataset.done));
  const fieldsOf = (form) => [...form.elements].filter((e) => e.name && e.type !== "hidden" && e.type !== "file" && e.type !== "submit");
  // A number alone is kept with the unit beside its box: another may stand there when it comes back.
  const whole = (e) => {
    const unit = e.nextElementSibling;
    return unit && unit.tagName === "SPAN" && /^[+-]?[\d.,]+$/.test(e.value.trim()) ? e.value.trim() + " " + unit.textContent : e.value;
  };
  const save = (form) => {
    const typed = {};
    for (const e of fieldsOf(form)) if (e.value !== e.dataset.first) typed[e.name] = whole(e);
    const name = key(form.dataset.keep);
    if (Object.keys(typed).length) store.setItem(name, JSON.stringify(typed)); else store.removeItem(name);
  };
  const note = (form, text, throwAway) => {
    const p = document.createElement("p");
    p.className = "note kept";
    p.setAttribute("role", "status");
    p.append(text + " ");
    if (throwAway) {
      const b = document.createElement("button");
      b.type = "button";
      b.className = "btn sm";
      b.textContent = "Throw it away";
      b.addEventListener("click", () => {
        store.removeItem(key(form.dataset.keep));
        for (const e of fieldsOf(form)) e.value = e.dataset.first;
        p.remove();
      });
      p.append(b);
    }
    form.before(p);
  };
  for (const form of document.querySelectorAll("form[data-keep]")) {
    for (const e of fieldsOf(form)) e.dataset.first = e.value;
    let kept = null;
    try { kept = JSON.parse(store.getItem(key(form.dataset.keep))); } catch { kept = null; }
    if (kept && !("sent" in form.dataset)) {
      let any = false;
      for (const e of fieldsOf(form)) if (e.name in kept && e.name !== "by") { e.value = kept[e.name]; any = true; }
      if (any) form.closest("details")?.setAttribute("open", "");
      if (any) note(form, "What you typed before and did not write in the book is here again.", true);
    }
    form.addEventListener("input", () => save(form));
    form.addEventListener("change", () => save(form));
    form.addEventListener("submit", (event) => {
      save(form);
      if (form.method === "post" && !form.elements.namedItem("keep")) {
        // Tells the page of what came of it which copy may go.
        const name = document.createElement("input");
        name.type = "hidden";
        name.name = "keep";
        name.value = form.dataset.keep;
        form.append(name);
      }
      const near = ["localhost", "127.0.0.1", "[::1]"].includes(location.hostname);
      if (!navigator.onLine && !near) {
        event.preventDefault();
        note(form, "This device is offline. What you typed is kept here: write it in the book when it is back.", false);
      }
    });
  }
})();
