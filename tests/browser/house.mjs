// What every story needs: the program running on a book of its own, a browser, an accessibility check.
//
// Not here: the stories. Nothing outside this machine is asked for anything.
import assert from "node:assert/strict";
import { spawn, execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const here = path.dirname(fileURLToPath(import.meta.url));
const root = path.join(here, "..", "..");
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** The program under test: FILLSTEAD, else the build of `cargo build`. */
export const program = process.env.FILLSTEAD ?? path.join(root, "target", "debug", "fillstead");

/** Where screenshots go that a person may want to look at. */
export const shots = path.join(root, "target", "browser-shots");
mkdirSync(shots, { recursive: true });

const CHROMES = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/** A phone, a laptop, and the narrowest screen that must do. */
export const PHONE = { width: 390, height: 844 };
export const LAPTOP = { width: 1280, height: 900 };
export const NARROW = { width: 320, height: 640 };

/** A folder of its own, and the program's commands in it. */
export function folder(name) {
  const place = mkdtempSync(path.join(tmpdir(), `fillstead-${name}-`));
  const typed = (input, ...words) =>
    execFileSync(program, words, { cwd: place, encoding: "utf8", input, env: { ...process.env, FILLSTEAD_BY: "MK" } });
  const run = (...words) => typed("", ...words);
  return {
    place,
    run,
    /** The same with this typed into it. */
    typed,
    /** The same where a refusal (exit status 1) is wanted. */
    refused(...words) {
      try {
        run(...words);
      } catch (error) {
        assert.equal(error.status, 1, `${words.join(" ")}: ${error.stdout}${error.stderr}`);
        return error.stdout;
      }
      assert.fail(`${words.join(" ")} was not refused`);
    },
    gone: () => rmSync(place, { recursive: true, force: true }),
  };
}

/** A book of the boathouse in a folder of its own. */
export function boathouse(name) {
  const at = folder(name);
  const station = path.join(root, "stations", "boathouse.toml");
  at.run("book", "begin", "club.book", "--station", station, "--rule", "uk", "--standard", "EN 12021",
    "--zone", "Europe/Dublin");
  return at;
}

/** Starts the program's server; gives its address once it listens. */
export async function serve(at, ...words) {
  const child = spawn(program, words, { cwd: at.place, stdio: ["ignore", "pipe", "pipe"] });
  running.add(child);
  child.once("exit", () => running.delete(child));
  let said = "";
  const address = await new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new Error(`no address: ${said}`)), 20000);
    const hear = (bytes) => {
      said += bytes;
      const found = said.match(/http:\/\/127\.0\.0\.1:\d+|http:\/\/localhost:\d+|http:\/\/[\d.]+:\d+/);
      if (found) {
        clearTimeout(late);
        resolve(found[0]);
      }
    };
    child.stdout.on("data", hear);
    child.stderr.on("data", hear);
    child.on("exit", () => reject(new Error(`the server ended: ${said}`)));
  });
  return {
    address,
    said: () => said,
    async stop(signal = "SIGINT") {
      const ended = new Promise((resolve) => child.once("exit", resolve));
      child.kill(signal);
      await ended;
    },
  };
}

let browser;
const running = new Set();

/** A browser window of this size; what goes wrong in its console is kept. */
export async function open(size = LAPTOP, options = {}) {
  const executablePath = process.env.CHROMIUM ?? CHROMES.find((one) => existsSync(one));
  assert.ok(executablePath, "no Chromium: install the package chromium");
  browser ??= await chromium.launch({
    executablePath,
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
      "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  const context = await browser.newContext({ viewport: size, reducedMotion: "reduce", ...options });
  const page = await context.newPage();
  const wrong = [];
  page.on("pageerror", (error) => wrong.push(String(error)));
  page.on("console", (message) => {
    // A browser logs every answer of 4xx by itself: those are asked for on purpose.
    const expected = /status of 4\d\d/.test(message.text());
    if (message.type() === "error" && !expected) wrong.push(message.text());
  });
  return { page, context, wrong };
}

/** Ends the browser and every server a story that failed has left. */
export async function close() {
  for (const child of running) child.kill("SIGKILL");
  await browser?.close();
  browser = undefined;
}

/** What the established checker finds on a page, by WCAG 2.2 A and AA; nothing may be found. */
export async function accessible(page, where) {
  await page.evaluate(axe);
  const found = await page.evaluate(() =>
    globalThis.axe.run(document, {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    }));
  const told = found.violations.map((one) => {
    const nodes = one.nodes.map((node) => `${node.target} (${node.failureSummary})`);
    return `${one.id}: ${nodes.slice(0, 3).join("; ")}`;
  });
  assert.deepEqual(told, [], where);
}

/** No page scrolls sideways as a whole. */
export async function fits(page, where) {
  const [wide, room] = await page.evaluate(() => [
    document.documentElement.scrollWidth,
    document.documentElement.clientWidth,
  ]);
  assert.ok(wide <= room, `${where}: ${wide} px wide in ${room} px`);
}

/** Nothing moves once the page is there. */
export async function still(page, where) {
  const moved = await page.evaluate(() =>
    new Promise((resolve) => {
      let sum = 0;
      new PerformanceObserver((list) => {
        for (const entry of list.getEntries()) if (!entry.hadRecentInput) sum += entry.value;
      }).observe({ type: "layout-shift", buffered: true });
      setTimeout(() => resolve(sum), 300);
    }));
  assert.ok(moved < 0.01, `${where}: layout shift ${moved}`);
}
