// The run page with script: ticks every second, asks the server how it stands, keeps taps while the
// network is away and sends them once it is back. What is not in the book yet is said to be so.
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

  function lost() {
    away = true;
    const said = document.querySelector("[data-offline]");
    if (said) {
      said.hidden = false;
      said.textContent = "The server does not answer. Times go on by themselves; your taps are kept here.";
    }
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

  function tellKept(more) {
    const box = document.querySelector("[data-queue]");
    if (!box) return;
    const lines = kept().map(t => `${t.words}, ${t.clock}: not in the book yet`);
    if (more) lines.push(more);
    box.hidden = lines.length === 0;
    box.textContent = lines.join("\n");
  }

  let sending = false;
  // In the order they were made; one that fails for want of a server stays, and all after it.
  async function send() {
    if (sending) return;
    sending = true;
    try {
      for (let taps = kept(); taps.length; taps = kept()) {
        const tap = taps[0];
        const answer = await fetch("/run/act", {
          method: "POST",
          headers: { "Accept": "application/json", "Content-Type": "application/x-www-form-urlencoded" },
          body: tap.body,
        });
        const text = await answer.text();
        let told;
        try { told = JSON.parse(text); } catch { told = null; }
        if (!told || !told.done) throw new Error("no answer");
        // Others may have kept more meanwhile: only this one goes.
        keep(kept().filter(t => t.key !== tap.key));
        if (told.done === "moot" || told.done === "wrong") said.push(`${tap.words}, ${tap.clock}: ${told.why}`);
      }
    } catch { lost(); } finally { sending = false; tellKept(said.join("\n")); }
  }
  const said = [];

  document.addEventListener("submit", event => {
    const form = event.target;
    if (!form.hasAttribute("data-tap")) return;
    const at = nowUs() + Math.floor(Math.random() * 1000);
    const data = new FormData(form, event.submitter);
    data.set("at", String(at));
    const words = (event.submitter?.querySelector("b") || form).textContent.trim();
    const tap = { key: at, words, clock: new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" }), body: new URLSearchParams(data).toString() };
    // Where nothing can be kept the form goes its ordinary way.
    if (!keep([...kept(), tap])) return;
    event.preventDefault();
    if (event.submitter) event.submitter.disabled = true;
    said.length = 0;
    tellKept();
    send().then(() => {
      if (!live) {
        if (!kept().length && !said.length) { location.href = "/run"; return; }
        alertHere(said.join(" ") || "The server does not answer. Your tap is kept in this phone and goes into the book when it is back.");
      } else if (!away) draw();
      if (event.submitter) event.submitter.disabled = false;
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
  tellKept();
  send();
})();
