// The bench with script: the server streams the parts of the page that have changed, a hand on a valve
// is sent without leaving the page. Nothing here decides anything; without script every button is a
// plain form, and the page shows where the bench is when it is asked again.
"use strict";
(() => {
  const bench = document.querySelector("[data-bench]");
  if (!bench) return;
  const at = bench.dataset.bench, query = location.search;
  const refused = document.querySelector("[data-refused]"), offline = document.querySelector("[data-offline]");
  let polling = 0, stream = null, late = 0;

  // New parts take their place; whoever stood on a button stands on it again, a frame that was
  // scrolled stays where it was, and what has not changed is not touched.
  function put(parts) {
    for (const [name, html] of Object.entries(parts)) {
      const place = document.querySelector(`[data-part="${name}"]`);
      if (!place) continue;
      const active = place.contains(document.activeElement) ? document.activeElement.id : "";
      const frames = [place, ...place.querySelectorAll(".scroll")].map(f => f.scrollLeft);
      place.innerHTML = html;
      [place, ...place.querySelectorAll(".scroll")].forEach((f, i) => { f.scrollLeft = frames[i] || 0; });
      if (active) document.getElementById(active)?.focus({ preventScroll: true });
    }
    offline.hidden = true;
    clearTimeout(late);
    late = 0;
  }

  function lost(text) {
    offline.hidden = false;
    offline.textContent = text;
  }

  function gone() {
    lost("This bench is gone: the server was restarted, or somebody ended it. Nothing in the book depends on it. Go to the list of benches and set up another.");
  }

  async function poll() {
    try {
      const answer = await fetch(at + "/parts.json" + query, { cache: "no-store" });
      if (answer.status === 404) { clearInterval(polling); gone(); return; }
      put(await answer.json());
    } catch { lost("The server does not answer. The page shows the bench as it was."); }
  }

  function listen() {
    if (!window.EventSource) { polling = setInterval(poll, 2000); return; }
    stream = new EventSource(at + "/stream" + query);
    stream.onmessage = event => put(JSON.parse(event.data));
    stream.addEventListener("gone", () => { stream.close(); gone(); });
    stream.onerror = () => {
      // The browser tries again by itself unless the server refused: then ask plainly.
      if (stream.readyState === EventSource.CLOSED) polling = polling || setInterval(poll, 2000);
      // A stream ends now and then and the next begins at once: only what lasts is told.
      else late = late || setTimeout(lost, 5000, "The line to the server is broken. Trying again.");
    };
  }

  // A page that nobody sees asks for nothing.
  document.addEventListener("visibilitychange", () => {
    stream?.close();
    if (document.visibilityState === "visible") listen();
  });
  addEventListener("pagehide", () => stream?.close());

  document.addEventListener("submit", async event => {
    const form = event.target;
    if (!form.hasAttribute("data-send")) return;
    event.preventDefault();
    const body = new URLSearchParams(new FormData(form, event.submitter));
    try {
      const answer = await fetch(form.action, { method: "POST", body, headers: { Accept: "application/json" } });
      if (answer.status === 404) { gone(); return; }
      const told = answer.ok ? (await answer.json()).told : "That was not done: it is not in your role here.";
      refused.hidden = !told;
      refused.textContent = told || "";
      // A trainer's choice must not stay on a screen that the class can see.
      if (!told) form.reset();
      await poll();
    } catch { lost("The server does not answer. Nothing was done."); }
  });

  listen();
})();
