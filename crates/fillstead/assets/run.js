// The run page with script: ticks every second, asks the server how it stands, keeps taps, corrections
// and a start while the network is away and sends each once it is back. Each is known by its moment,
// so that one sent twice is written once. What is not in the book yet is said to be so.
// Nothing here decides anything: where the run stands is computed by the server; only while it
// cannot be reached does the page go on by the figures it was given.
"use strict";
(() => {
  const KEPT = "run-taps", ASK_MS = 4000, DRAW_MS = 15000;
  const loaded = performance.now();
  let live = document.querySelector("[data-live]"), drawn = loaded, away = false, alarmed = false;
  const anchor = document.querySelector("[data-now]");
  // The server's clock, as it was when the page was made, carried on by this page.
  let serverUs = anchor ? Number(anchor.dataset.now) : Date.now() * 1000;
  let serverAt = loaded;
  const nowUs = () => Math.round(serverUs + (performance.now() - serverAt) * 1000);

  const mmss = s => {
    s = Math.max(0, Math.floor(s));
    const two = n => String(n).padStart(2, "0"), h = Math.floor(s / 3600);
    return (h ? h + ":" : "") + two(Math.floor(s / 60) % 60) + ":" + two(s % 60);
  };

  // ---- the page goes on by itself ----
  function tick() {
    if (!live) return;
    const gone = (performance.now() - drawn) / 1000, d = live.dataset;
    const elapsed = Number(d.elapsed) + gone, running = d.running === "true";
    for (const clock of live.querySelectorAll("[data-clock]"))
      clock.textContent = mmss(Number(clock.dataset.clock) + gone);
    for (const wait of live.querySelectorAll("[data-until]"))
      wait.textContent = mmss(Number(wait.dataset.until) - elapsed);
    if (!running) return;
    gauge(elapsed, d.curve);
    if (d.alarm && elapsed >= Number(d.alarm)) over();
    else if (away) due(elapsed, d);
  }

  // While the server cannot be asked, the page itself says what has come due.
  function due(elapsed, d) {
    const word = live.querySelector("[data-word]");
    if (!word || live.classList.contains("over")) return;
    if (d.stop && elapsed >= Number(d.stop)) word.textContent = "Stop now";
    else if (elapsed >= Number(d.drain)) word.textContent = "Drain due";
  }

  function gauge(elapsed, text) {
    const shown = live.querySelector("[data-gauge]");
    if (!shown || !text) return;
    const points = text.split(";").map(p => p.split(",").map(Number));
    const after = points.findIndex(p => p[0] >= elapsed);
    if (after < 1) return;
    const [a, b] = [points[after - 1], points[after]];
    const share = (elapsed - a[0]) / (b[0] - a[0] || 1);
    const step = b[1] > 1000 ? 10 : 1;
    shown.textContent = String(Math.round((a[1] + (b[1] - a[1]) * share) / step) * step);
  }

  // One hard change, once: the server says the same as soon as it is asked.
  function over() {
    if (!live.classList.contains("over")) {
      live.classList.add("over");
      const word = live.querySelector("[data-word]");
      if (word) word.textContent = "Over-running: switch the machine off";
    }
    alarm();
  }

  function alarm() {
    if (alarmed) return;
    alarmed = true;
    if (navigator.vibrate) navigator.vibrate([600, 150, 600, 150, 600]);
    try {
      const sound = new AudioContext(), tone = sound.createOscillator();
      tone.frequency.value = 880;
      tone.connect(sound.destination);
      tone.start();
      tone.stop(sound.currentTime + 1.2);
    } catch { /* no sound here: the page and the vibration say it */ }
  }

  // ---- asking the server ----
  async function ask() {
    try {
      const answer = await fetch("/run/state.json", { cache: "no-store" });
      if (answer.redirected) { signedOut(); return; }
      if (!answer.ok) throw new Error(answer.status);
      const state = await answer.json();
      [serverUs, serverAt] = state ? [state.now_us, performance.now()] : [serverUs, serverAt];
      reached();
      await send();
      if (live && state) {
        const d = live.dataset;
        const other = String(state.run) !== d.run || String(state.seq) !== d.seq || state.word !== d.state;
        const old = state.running && performance.now() - drawn > DRAW_MS;
        if (other || old) await draw();
      }
    } catch { lost(); }
  }

  // The page as the server draws it now, unless somebody is typing.
  async function draw() {
    const typing = document.activeElement && ["INPUT", "SELECT"].includes(document.activeElement.tagName);
    if (typing || !live) return;
    const answer = await fetch(live.hasAttribute("data-wall") ? "/run/wall" : "/run", { cache: "no-store" });
    if (!answer.ok) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    const next = fresh.querySelector("[data-live]");
    if (!next) { location.reload(); return; }
    const active = document.activeElement, place = active ? active.textContent : "";
    const open = live.querySelector("details[open]");
    live.replaceWith(next);
    live = next;
    drawn = performance.now();
    document.title = fresh.title;
    if (open) live.querySelector("details")?.setAttribute("open", "");
    const same = [...live.querySelectorAll("button, a")].find(b => place && b.textContent === place);
    if (same) same.focus({ preventScroll: true });
    if (live.classList.contains("over")) alarm(); else alarmed = false;
    tellKept();
  }

  function offline(text) {
    const said = document.querySelector("[data-offline]");
    if (!said) return;
    said.hidden = false;
    said.textContent = text;
    return said;
  }

  function lost() {
    away = true;
    offline(live
      ? "The server does not answer. Times go on by themselves; your taps are kept here."
      : "The server does not answer. What you send is kept in this browser and goes to it once it does.");
  }

  // The server answers, and knows nobody here.
  function signedOut() {
    away = false;
    const way = document.createElement("a");
    way.href = "/sign-in?next=/run";
    way.textContent = "Sign in";
    offline("Nobody is signed in here. What waits is kept, and goes into the book once somebody is. ")?.append(way);
  }

  function reached() {
    away = false;
    const said = document.querySelector("[data-offline]");
    if (said) said.hidden = true;
  }

  // ---- taps ----
  const kept = () => { try { return JSON.parse(localStorage.getItem(KEPT)) || []; } catch { return []; } };
  function keep(taps) {
    try { localStorage.setItem(KEPT, JSON.stringify(taps)); return true; } catch { return false; }
  }

  const START = "/run/start";
  const startForm = document.querySelector("form[data-start]");
  const aboutStart = "The fill gate has not been asked yet: nothing says so far that these cylinders " +
    "may be filled, and nothing is watched. It is sent as soon as the server answers.";

  function tellKept(more) {
    const box = document.querySelector("[data-queue]");
    if (!box) return;
    const waits = kept();
    const lines = waits.map(t => `${t.words}, ${t.clock}: waits here, not in the book yet.`);
    const start = waits.find(t => t.to === START);
    if (start && away) lines.push(aboutStart);
    if (more) lines.push(more);
    box.hidden = lines.length === 0;
    box.textContent = lines.join("\n");
    if (start && away) box.append("\n", takeBack(start));
    for (const button of startForm?.querySelectorAll("[type=submit]") ?? []) button.disabled = Boolean(start);
  }

  // A start that waits need not be sent.
  function takeBack(start) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "btn";
    button.textContent = "Take the start back";
    button.addEventListener("click", () => {
      keep(kept().filter(t => t.key !== start.key));
      tellKept("The start is not sent again. Had it reached the server before, the run page shows it.");
    });
    return button;
  }

  // What was typed, in the form again.
  function refill(form, body) {
    const typed = new URLSearchParams(body), taken = {};
    for (const field of form.elements) {
      if (!field.name || field.type === "hidden") continue;
      const all = typed.getAll(field.name);
      if (field.type === "checkbox") { field.checked = all.includes(field.value); continue; }
      taken[field.name] = (taken[field.name] ?? -1) + 1;
      field.value = all[taken[field.name]] ?? "";
    }
  }

  let sending = false, leaving = false;
  // In the order they were made; one that fails for want of a server stays, and all after it.
  async function send() {
    if (sending || leaving) return;
    sending = true;
    try {
      for (let taps = kept(), next = 0; next < taps.length; taps = kept()) {
        const tap = taps[next];
        const answer = await fetch(tap.to || "/run/act", {
          method: "POST",
          headers: { "Accept": "application/json", "Content-Type": "application/x-www-form-urlencoded" },
          body: tap.body,
          signal: AbortSignal.timeout?.(30000),
        });
        if (answer.status === 401) { signedOut(); return; }
        const text = await answer.text();
        let told;
        try { told = JSON.parse(text); } catch { told = null; }
        // The server itself refuses: sent again it would refuse again.
        if (!told?.done && [400, 403, 413, 415].includes(answer.status))
          told = { done: "wrong", why: "The server takes it from nobody here. Nothing was written." };
        if (!told || !told.done) throw new Error("no answer");
        // Another person's: it stays until they sign in again, and what comes after it goes on.
        if (told.done === "another") {
          next += 1;
          tellOnce(`${tap.words}, ${tap.clock}: ${told.why}`);
          continue;
        }
        // Others may have kept more meanwhile: only this one goes.
        keep(kept().filter(t => t.key !== tap.key));
        reached();
        const refused = told.done === "moot" || told.done === "wrong";
        if (tap.to === START) {
          started(tap, told, refused);
          if (leaving) return;
        }
        if (refused) tellOnce(`${tap.words}, ${tap.clock}: ${told.why}`);
      }
    } catch { lost(); } finally { sending = false; tellKept(said.join("\n")); }
  }
  const said = [];
  const tellOnce = text => { if (!said.includes(text)) said.push(text); };

  // A start that went: to its run. One that is wrong: its form again, as the server says it.
  function started(tap, told, refused) {
    if (told.done === "wrong" && startForm) {
      leaving = true;
      refill(startForm, tap.body);
      startForm.submit();
    } else if (!live && told.done !== "wrong") {
      leaving = true;
      if (refused) try { sessionStorage.setItem("run-said", told.why); } catch { /* the run shows itself */ }
      location.href = "/run";
    }
  }

  document.addEventListener("submit", event => {
    const form = event.target;
    if (!form.hasAttribute("data-tap")) return;
    const at = nowUs() + Math.floor(Math.random() * 1000);
    const data = new FormData(form, event.submitter);
    data.set(form.dataset.tap || "at", String(at));
    const name = document.querySelector("input[name=by]")?.value
      ?? document.querySelector("[data-by]")?.dataset.by;
    if (name && !data.has("by")) data.set("by", name);
    const value = ["other", "value", "volume"].map(name => data.get(name)).find(text => text) ?? "";
    const words = form.dataset.words ? `${form.dataset.words} ${value}`.trim()
      : (event.submitter?.querySelector("b") || form).textContent.trim();
    const tap = {
      key: at, words, to: form.getAttribute("action"), body: new URLSearchParams(data).toString(),
      clock: new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" }),
    };
    // Where nothing can be kept the form goes its ordinary way.
    if (!keep([...kept(), tap])) return;
    event.preventDefault();
    if (event.submitter) event.submitter.disabled = true;
    said.length = 0;
    tellKept();
    send().then(() => {
      if (leaving) return;
      if (!live) {
        if (!kept().length && !said.length) { location.href = "/run"; return; }
        if (!startForm) alertHere(said.join(" ") || "The server does not answer. What you said is kept in this phone and goes into the book when it is back.");
      } else if (!away) draw();
      if (event.submitter && !startForm) event.submitter.disabled = false;
    });
  });

  function alertHere(text) {
    const main = document.querySelector("main");
    let box = document.querySelector("[data-said]");
    if (!box) {
      box = document.createElement("p");
      box.className = "told";
      box.setAttribute("role", "alert");
      box.dataset.said = "";
      main.prepend(box);
    }
    box.textContent = text;
  }

  // ---- the screen stays on ----
  async function awake() {
    try { if (live && document.visibilityState === "visible") await navigator.wakeLock.request("screen"); } catch { /* not here */ }
  }
  document.addEventListener("visibilitychange", () => { awake(); if (document.visibilityState === "visible") ask(); });

  setInterval(tick, 1000);
  setInterval(ask, ASK_MS);
  if (live && live.classList.contains("over")) alarm();
  awake();
  try {
    const before = sessionStorage.getItem("run-said");
    if (before) alertHere(before);
    sessionStorage.removeItem("run-said");
  } catch { /* nothing was kept */ }
  const waiting = startForm && kept().find(t => t.to === START);
  if (waiting) refill(startForm, waiting.body);
  tellKept();
  send();
})();
