// The teaching bench in a real browser: a class on two phones, a drill passed and printed, every screen
// held against an established accessibility checker. Everything in it is invented.
import assert from "node:assert/strict";
import path from "node:path";
import { after, afterEach, beforeEach, test } from "node:test";
import { LAPTOP, NARROW, PHONE, accessible, boathouse, close, fits, open, serve, shots } from "./house.mjs";

let at, server;
beforeEach(async () => {
  at = boathouse("bench");
  server = await serve(at, "serve", "club.book", "--port", "0");
});
afterEach(async () => {
  await server.stop();
  at.gone();
});
after(close);

/** Sets a bench up; gives its address. */
async function setUp(page, name, by, drill = "") {
  await page.goto(server.address + "/bench");
  await page.fill("#f-n", name);
  await page.fill("#f-by", by);
  if (drill) await page.selectOption("#f-drill", { label: drill });
  await page.getByRole("button", { name: "Set it up" }).click();
  await page.waitForURL(/\/bench\/[a-z2]{4}$/);
  return page.url();
}

const shot = (page, name) => page.screenshot({ path: path.join(shots, `bench-${name}.png`), fullPage: true });

/** Asks again until it is so: the page's own policy lets no condition be evaluated inside it. */
async function until(what, so, seconds = 20) {
  for (const end = Date.now() + seconds * 1000; Date.now() < end;) {
    if (await so()) return;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  assert.fail(`not so after ${seconds} s: ${what}`);
}

/** A part of the page holds this text. */
const holds = (page, part, text) =>
  until(`${part} holds ${text}`, async () => (await page.textContent(part)).match(text));
const turned = (page, id, state) => holds(page, `#s-${id}`, new RegExp(`^${state}$`));

/** Bench time has come so far, s. */
const past = (page, seconds) => until(`past ${seconds} s`, async () => {
  const [m, s] = (await page.textContent(".clock")).split(":").map(Number);
  return m * 60 + s > seconds;
});

test("a class on two phones stands at one bench", async () => {
  const ann = await open(PHONE), bo = await open(PHONE, { colorScheme: "dark" });
  const bench = await setUp(ann.page, "Evening class", "Ann");
  await bo.page.goto(bench);
  await bo.page.fill("#f-by", "Bo");
  await bo.page.getByRole("button", { name: "Remember it" }).click();
  await holds(ann.page, "[data-part=people]", /Ann, Bo/);
  // what one turns the other sees, without a reload, and the log says who
  await ann.page.click("#h-fill-0");
  await turned(bo.page, "fill-0", "open");
  await bo.page.click("#h-cylinder-0");
  await bo.page.click("#h-motor-0");
  await turned(ann.page, "motor-0", "running");
  await holds(ann.page, "[data-part=log]", /Bo\s+motor switched on/);
  await ann.page.click("#t-60");
  await past(ann.page, 90);
  // a hidden fault is found by what it does, and named
  await ann.page.selectOption("#f-fault", "pmv-stuck-shut");
  await ann.page.check("#f-hidden");
  await ann.page.getByRole("button", { name: "Put in" }).click();
  await holds(bo.page, "[data-part=wrong]", /Something may be wrong/);
  await shot(ann.page, "class-phone");
  await bo.page.selectOption("#f-name", "pmv-stuck-shut");
  await bo.page.getByRole("button", { name: "That is it" }).click();
  await holds(ann.page, "[data-part=wrong]", /PMV sticks shut/);
  // a question to the class
  await ann.page.click("#t-hold");
  await ann.page.selectOption("#f-question", "tower-below-pmv");
  await ann.page.getByRole("button", { name: "Ask" }).click();
  await bo.page.click("#q-0");
  await bo.page.waitForSelector(".ask .why");
  assert.match(await bo.page.textContent(".ask"), /right, yours, 1 of 1/);
  await shot(bo.page, "class-dark");
  for (const [one, where] of [[ann, "light"], [bo, "dark"]]) {
    await fits(one.page, `bench on a phone, ${where}`);
    await accessible(one.page, `bench on a phone, ${where}`);
    assert.deepEqual(one.wrong, []);
    await one.context.close();
  }
});

test("a drill is passed by the keyboard and printed on one page", async () => {
  const { page, context, wrong } = await open(LAPTOP);
  await setUp(page, "Drill", "Cy", "Take the hose off");
  await fits(page, "bench on a laptop");
  await accessible(page, "a drill at its start");
  const press = async (id) => {
    await page.focus(`#h-${id}`);
    await page.keyboard.press("Enter");
  };
  for (const id of ["cylinder-0", "fill-0"]) {
    await press(id);
    await turned(page, id, "shut");
    assert.equal(await page.evaluate(() => document.activeElement.id), `h-${id}`, "focus stays on the valve");
  }
  await press("bleed-0");
  await turned(page, "bleed-0", "open");
  await page.click("#t-10");
  await past(page, 30);
  await press("hose-0");
  await page.waitForSelector(".verdict", { timeout: 20000 });
  assert.match(await page.textContent(".verdict"), /Passed\. 4 of 4 in time/);
  await accessible(page, "a drill at its end");
  await shot(page, "drill-laptop");
  await page.getByRole("link", { name: "Print the result" }).click();
  await accessible(page, "the result");
  await fits(page, "the result");
  await shot(page, "result");
  const paper = await page.pdf({ format: "A4" });
  const pages = paper.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
  assert.equal(pages, 1, `${pages} pages`);
  assert.match(await page.textContent("body"), /Training\..*INVENTED/s);
  assert.deepEqual(wrong, []);
  await context.close();
});

test("the bench holds at 320 px, at twice the letters' size and without script", async () => {
  const narrow = await open(NARROW, { colorScheme: "dark" });
  const bench = await setUp(narrow.page, "Narrow", "Di");
  await fits(narrow.page, "bench at 320 px");
  await accessible(narrow.page, "bench at 320 px");
  await narrow.page.goto(server.address + "/bench");
  await fits(narrow.page, "benches at 320 px");
  await accessible(narrow.page, "benches at 320 px");
  await narrow.context.close();
  const large = await open({ width: 640, height: 450 });
  await large.page.goto(bench);
  await large.page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
  await fits(large.page, "bench at 200 %");
  await large.context.close();
  const plain = await open(LAPTOP, { javaScriptEnabled: false });
  await plain.page.goto(bench);
  await plain.page.click("#h-motor-0");
  assert.equal(await plain.page.textContent("#s-motor-0"), "running");
  await plain.page.getByRole("link", { name: "look again" }).click();
  await plain.page.click("#h-motor-0");
  assert.equal(await plain.page.textContent("#s-motor-0"), "off");
  await plain.context.close();
});

test("a restarted server says in words that the bench is gone", async () => {
  const { page, context } = await open(PHONE);
  const bench = await setUp(page, "Gone", "Ed");
  await server.stop();
  const port = new URL(server.address).port;
  server = await serve(at, "serve", "club.book", "--port", port);
  await holds(page, "[data-offline]", /This bench is gone/);
  await page.goto(bench);
  assert.match(await page.textContent("main"), /memory only/);
  await context.close();
});
