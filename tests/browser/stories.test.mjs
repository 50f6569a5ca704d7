// Whole stories in a real browser, and every page held against an established accessibility checker.
//
// Each story has a book of its own in a throw-away folder. Everything in them is invented.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { after, before, describe, test } from "node:test";
import {
  LAPTOP, NARROW, PHONE, accessible, boathouse, close, fits, folder, open, serve, shots, still,
} from "./house.mjs";

after(close);

/** Every page of a book with a year in it. */
const PAGES = [
  "/", "/station/history", "/station/edit", "/station/edit/pmv", "/station/text",
  "/plan?cylinder=A1%4050+bar", "/run", "/run/wrong", "/check", "/book", "/book/add", "/book/add/fill",
  "/book/add/drain", "/book/add/cylinder", "/book/fill", "/book/cylinder/A1", "/book/entry/20",
  "/book/entry/20/correct", "/book/trace", "/book/drift", "/book/cartridge", "/book/counts",
  "/book/import", "/book/verify", "/air", "/people", "/bench", "/nothing-here",
];

describe("every page", () => {
  let at, server;
  before(async () => {
    at = folder("pages");
    at.run("book", "demo", "year.book", "--kept");
    server = await serve(at, "serve", "year.book", "--port", "0");
  });
  after(async () => {
    await server.stop();
    at.gone();
  });

  for (const [name, size, options] of [
    ["laptop", LAPTOP, {}],
    ["phone", PHONE, {}],
    ["narrow", NARROW, { colorScheme: "dark" }],
  ]) {
    test(`holds on a ${name} screen`, async () => {
      const { page, context, wrong } = await open(size, options);
      const failed = [];
      for (const where of PAGES) {
        const answer = await page.goto(server.address + where);
        assert.ok([200, 404].includes(answer.status()), `${where}: ${answer.status()}`);
        for (const check of [fits, still, accessible]) {
          await check(page, `${where} at ${size.width}`).catch((error) => failed.push(error.message));
        }
        const file = where.replaceAll(/[^a-z0-9]+/gi, "-");
        await page.screenshot({ path: path.join(shots, `${name}${file}.png`), fullPage: true });
      }
      await context.close();
      assert.deepEqual([...failed, ...wrong], []);
    });
  }

  test("works at twice the letters' size", async () => {
    const { page, context } = await open({ width: 640, height: 450 });
    const failed = [];
    for (const where of PAGES) {
      await page.goto(server.address + where);
      await page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
      await fits(page, `${where} at 200 %`).catch((error) => failed.push(error.message));
    }
    await context.close();
    assert.deepEqual(failed, []);
  });

  test("prints sheets of one page each", async () => {
    const { page, context } = await open();
    const sheets = ["/print/day", "/print/tag?cylinder=A1", "/print/cartridge", "/print/quarantine",
      "/print/certificate", "/print/support", "/plan/card?cylinder=A1%4050+bar"];
    for (const where of sheets) {
      const answer = await page.goto(server.address + where);
      assert.equal(answer.status(), 200, where);
      const paper = await page.pdf({ preferCSSPageSize: true, format: "A4" });
      const pages = paper.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
      assert.equal(pages, 1, `${where}: ${pages} pages`);
      assert.match(await page.textContent("body"), /INVENTED|Invented/, where);
    }
    await context.close();
  });
});

test("a first owner goes from nothing to a forecast", async () => {
  const at = folder("first");
  const server = await serve(at, "serve", "mine.book", "--port", "0");
  const { page, context, wrong } = await open(LAPTOP);
  await page.goto(server.address);
  await page.fill("[name=by]", "MK");
  await page.fill("[name=name]", "Shed on the quay");
  await page.fill("[name=working-pressure]", "232");
  await page.click("button[type=submit]");
  // A figure without its unit comes back with what is wrong, and nothing else is lost.
  assert.equal(await page.inputValue("[name=name]"), "Shed on the quay");
  assert.match(await page.textContent(".err"), /unit/);
  await page.fill("[name=working-pressure]", "232 bar");
  await page.fill("[name=charging-rate]", "100 L/min");
  await page.fill("[name=pmv-opens]", "100 bar");
  await page.fill("[name=pmv-closes]", "70 bar");
  await page.fill("[name=relief-lifts]", "255 bar");
  await page.fill("[name=cylinder]", "steel 12");
  await page.fill("[name=water-volume]", "12 L");
  await page.fill("[name=cylinder-pressure]", "232 bar");
  await page.click("button[type=submit]");
  await page.waitForURL(server.address + "/");
  assert.match(await page.textContent("main"), /Air path/);
  await page.click("nav >> text=Plan");
  assert.match(await page.textContent("main"), /Running time/);
  assert.match(await page.textContent("main"), /steel 12/);
  assert.deepEqual(wrong, []);
  await context.close();
  await server.stop();
  assert.ok(readFileSync(path.join(at.place, "mine.book")).length > 0);
  at.gone();
});

test("a cylinder out of date is refused, and the refusal is in the book", async () => {
  const at = boathouse("refused");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context } = await open(PHONE);
  await page.goto(`${server.address}/book/add/fill`);
  await page.fill("[name=cylinder]", "A3");
  await page.fill("[name=from]", "40 bar");
  await page.fill("[name=to]", "232 bar");
  await page.fill("[name=by]", "MK");
  await page.click("button[type=submit]");
  const text = await page.textContent("main");
  assert.match(text, /Do not fill|refus/i);
  assert.match(text, /2021-06-01/);
  assert.doesNotMatch(text, /safe to breathe/i);
  await accessible(page, "a refusal");
  assert.match(at.run("book", "list", "club.book", "--kind", "fill refused"), /A3/);
  await context.close();
  await server.stop();
  at.gone();
});

test("a half-typed entry is there again after the page is closed", async () => {
  const at = boathouse("half");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context } = await open(PHONE);
  await page.goto(`${server.address}/book/add/drain`);
  await page.fill("[name=looks]", "milky, more than usual");
  await page.waitForTimeout(400);
  await page.goto("about:blank");
  await page.goto(`${server.address}/book/add/drain`);
  assert.equal(await page.inputValue("[name=looks]"), "milky, more than usual");
  await page.fill("[name=volume]", "40 mL");
  await page.fill("[name=by]", "MK");
  await page.click("button[type=submit]");
  await page.waitForURL(/done/);
  await page.goto(`${server.address}/book/add/drain`);
  assert.equal(await page.inputValue("[name=looks]"), "", "what is in the book is kept no longer");
  await context.close();
  await server.stop();
  at.gone();
});

/** A machine so fast and a cylinder so small that a run is over in seconds. */
function quick(name) {
  const at = folder(name);
  const station = `station = { name = "Quick bench", invented = true }
compressor = { working_pressure = "232 bar", charging_rate = "400 L/min" }
separator = { volume = "0.2 L" }
purifier = { volume = "0.4 L" }
pmv = { opens = "100 bar", closes = "70 bar" }
relief = { lifts = "255 bar" }
cylinder_kind = [{ id = "small", water_volume = "2 L", working_pressure = "232 bar" }]
cylinder = [{ id = "S1", kind = "small", tested = "2026-01-10", visual = "2026-01-10" },
  { id = "S2", kind = "small", tested = "2026-01-10", visual = "2026-01-10" }]
`;
  writeFileSync(path.join(at.place, "quick.toml"), station);
  at.run("book", "begin", "club.book", "--station", "quick.toml", "--rule", "uk", "--standard", "EN 12021",
    "--zone", "UTC");
  return at;
}

test("a run on a phone outlives a reload, a second phone and a restarted server", async () => {
  const at = boathouse("run");
  let server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context, wrong } = await open(PHONE);
  await page.goto(`${server.address}/run`);
  await page.selectOption("#f-id1", "A1");
  await page.fill("#f-from1", "50");
  await page.fill("[name=tower]", "70");
  await page.fill("[name=by]", "MK");
  await page.click("button[type=submit]");
  await page.waitForSelector("[data-run]");
  const run = await page.getAttribute("[data-run]", "data-run");
  await accessible(page, "a run going on");
  await page.reload();
  assert.equal(await page.getAttribute("[data-run]", "data-run"), run);
  const second = await open(PHONE);
  await second.page.goto(`${server.address}/run`);
  assert.equal(await second.page.getAttribute("[data-run]", "data-run"), run);
  await server.stop("SIGKILL");
  server = await serve(at, "serve", "club.book", "--port", "0");
  await page.goto(`${server.address}/run`);
  assert.equal(await page.getAttribute("[data-run]", "data-run"), run);
  await page.goto(`${server.address}/run/wall`);
  await fits(page, "the wall");
  assert.match(at.run("book", "list", "club.book", "--kind", "run started"), /MK/);
  assert.deepEqual(wrong.filter((text) => !/Failed to fetch|ERR_/.test(text)), []);
  await second.context.close();
  await context.close();
  await server.stop();
  at.gone();
});

test("a run nobody stops turns to an alarm that names the first thing to do", async () => {
  const at = quick("over");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context } = await open(PHONE);
  await page.goto(`${server.address}/run`);
  await page.selectOption("#f-id1", "S1");
  await page.fill("#f-from1", "225");
  await page.fill("[name=tower]", "200");
  await page.fill("[name=by]", "MK");
  await page.click("button[type=submit]");
  await page.waitForSelector("[data-run]");
  // The page's own clock turns it, without a reload.
  await page.waitForSelector("#main.over", { timeout: 90000 });
  assert.match(await page.textContent("[data-word]"), /over/i);
  await page.screenshot({ path: path.join(shots, "run-over.png") });
  await page.reload();
  await accessible(page, "an over-running run");
  const text = await page.textContent("main");
  assert.match(text, /[Ss]top|[Ss]witch/);
  await context.close();
  await server.stop();
  at.gone();
});

test("every page works without script", async () => {
  const at = boathouse("plain");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context } = await open(PHONE, { javaScriptEnabled: false });
  await page.goto(`${server.address}/book/add/drain`);
  await page.fill("[name=volume]", "40");
  await page.fill("[name=by]", "MK");
  await page.click("button[type=submit]");
  assert.equal(await page.inputValue("[name=volume]"), "40");
  await page.fill("[name=volume]", "40 mL");
  await page.click("button[type=submit]");
  assert.match(await page.textContent("main"), /40 mL|entry|Entry/);
  assert.match(at.run("book", "list", "club.book", "--kind", "drain"), /40 mL/);
  await page.goto(`${server.address}/plan?cylinder=A1%4050+bar`);
  assert.match(await page.textContent("main"), /Running time/);
  await context.close();
  await server.stop();
  at.gone();
});

test("the keyboard alone enters a drain", async () => {
  const at = boathouse("keys");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context } = await open(LAPTOP);
  await page.goto(`${server.address}/book/add/drain`);
  await page.keyboard.press("Tab");
  assert.match(await page.evaluate(() => document.activeElement.textContent), /page itself/);
  await page.keyboard.press("Enter");
  const named = async () => page.evaluate(() => document.activeElement.getAttribute("name"));
  for (let i = 0; i < 12 && (await named()) !== "volume"; i += 1) await page.keyboard.press("Tab");
  await page.keyboard.type("35 mL");
  for (let i = 0; i < 12 && (await named()) !== "by"; i += 1) await page.keyboard.press("Tab");
  await page.keyboard.type("MK");
  await page.keyboard.press("Enter");
  await page.waitForURL(/done/);
  assert.match(at.run("book", "list", "club.book", "--kind", "drain"), /35 mL/);
  await context.close();
  await server.stop();
  at.gone();
});

test("over the network people sign in, and what they write is in their name", async () => {
  const at = boathouse("lan");
  at.typed("583920\n", "people", "club.book", "add", "MK", "--role", "keeper");
  at.typed("716204\n", "people", "club.book", "add", "JT", "--role", "operator");
  at.typed("602938\n", "people", "club.book", "add", "Visitor", "--role", "onlooker");
  const server = await serve(at, "serve", "club.book", "--lan", "--port", "0");
  const { page, context, wrong } = await open(PHONE);
  const sign = async (name, pin) => {
    await page.fill("[name=name]", name);
    await page.fill("[name=pin]", pin);
    await page.click("main button[type=submit]");
  };
  await page.goto(`${server.address}/book/add/drain`);
  assert.match(page.url(), /sign-in/);
  await accessible(page, "signing in");
  await sign("JT", "111222");
  assert.match(await page.textContent("#wrong"), /do not go together/);
  await sign("JT", "716204");
  await page.waitForURL(/book\/add\/drain/);
  await page.fill("[name=volume]", "30 mL");
  assert.equal(await page.locator("[name=by]").count(), 0, "the name is the session's");
  assert.match(await page.textContent(".signs"), /By JT/);
  await page.click("main button[type=submit]");
  await page.waitForURL(/done/);
  assert.match(at.run("book", "list", "club.book", "--kind", "drain"), /JT/);
  await context.clearCookies();

  // An onlooker reads, and writes nothing.
  await page.goto(`${server.address}/book/add/drain`);
  await sign("Visitor", "602938");
  await page.waitForURL(/book\/add\/drain/);
  const entry = at.run("book", "list", "club.book", "--kind", "drain").match(/^ *(\d+) +\d{4}-/m)[1];
  await page.goto(`${server.address}/book/entry/${entry}`);
  assert.match(await page.textContent("main"), /30 mL/);
  const answer = await page.request.post(`${server.address}/book/add/drain`, {
    form: { volume: "99 mL", by: "JT" }, headers: { origin: server.address }, maxRedirects: 0,
  });
  assert.equal(answer.status(), 403);
  assert.doesNotMatch(at.run("book", "list", "club.book", "--kind", "drain"), /99 mL/);
  assert.deepEqual(wrong, []);
  await context.close();
  await server.stop();
  at.gone();
});

test("wrong PINs end in a wait that is told, even to whoever has the right one", async () => {
  const at = boathouse("wait");
  at.typed("583920\n", "people", "club.book", "add", "MK", "--role", "keeper");
  const server = await serve(at, "serve", "club.book", "--lan", "--port", "0");
  const { page, context } = await open(PHONE);
  await page.goto(`${server.address}/sign-in`);
  for (const pin of ["100001", "100002", "100003", "100004", "100005", "583920"]) {
    await page.fill("[name=name]", "MK");
    await page.fill("[name=pin]", pin);
    await page.click("main button[type=submit]");
  }
  assert.match(await page.textContent("#wrong"), /too many wrong tries\. Wait \d+ seconds/);
  await accessible(page, "a wait");
  await page.goto(`${server.address}/book`);
  assert.match(page.url(), /sign-in/);
  await context.close();
  await server.stop();
  at.gone();
});

test("an entry is corrected from its page, and both stand in the book", async () => {
  const at = boathouse("correct");
  at.run("book", "add", "club.book", "drain", "--volume", "400 mL", "--by", "MK");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context, wrong } = await open(PHONE);
  const entry = at.run("book", "list", "club.book", "--kind", "drain").match(/^ *(\d+) +\d{4}-/m)[1];
  await page.goto(`${server.address}/book/entry/${entry}`);
  await page.click("text=Correct it");
  assert.equal(await page.inputValue("[name=volume]"), "400 mL");
  await page.fill("[name=volume]", "40 mL");
  await page.fill("[name=by]", "MK");
  await page.click("button[value=correct]");
  // Without the reason nothing is corrected.
  assert.ok((await page.locator(".err").count()) > 0);
  assert.equal(await page.inputValue("[name=volume]"), "40 mL");
  await page.fill("[name=because]", "typed a nought too many");
  await page.click("button[value=correct]");
  await page.waitForLoadState();
  await page.goto(`${server.address}/book/entry/${entry}`);
  const text = await page.textContent("main");
  assert.match(text, /40 mL/);
  assert.match(text, /400 mL/);
  assert.match(text, /nought too many/);
  await accessible(page, "a corrected entry");
  assert.match(at.run("book", "list", "club.book", "--kind", "drain"), / 40 mL/);
  assert.deepEqual(wrong, []);
  await context.close();
  await server.stop();
  at.gone();
});

test("a list brought in is first only told, row by row", async () => {
  const at = boathouse("import");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context } = await open(PHONE);
  const before = at.run("book", "list", "club.book");
  await page.goto(`${server.address}/book/import`);
  await page.setInputFiles("[name=file]", {
    name: "list.csv", mimeType: "text/csv",
    buffer: Buffer.from("Cylinder,Water volume,Working pressure\nK1,12 L,232 bar\nK2,12 L,232 elephants\n"),
  });
  await page.click("button[value=look]");
  const text = await page.textContent("main");
  assert.match(text, /2 rows looked at; 1 new/);
  assert.match(text, /elephants/);
  await fits(page, "a list looked at");
  await accessible(page, "a list looked at");
  assert.equal(at.run("book", "list", "club.book"), before, "nothing is written yet");
  await page.fill("[name=by]", "MK");
  await page.click("button[value=skip]");
  assert.match(await page.textContent("main"), /Written/);
  assert.match(at.run("book", "list", "club.book"), /K1/);
  assert.doesNotMatch(at.run("book", "list", "club.book"), /K2/);
  await context.close();
  await server.stop();
  at.gone();
});

test("a missed drain is asked for, and is done with one tap", async () => {
  const at = boathouse("drain");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context, wrong } = await open(PHONE);
  await page.goto(`${server.address}/run`);
  await page.selectOption("#f-id1", "A1");
  await page.fill("#f-from1", "50");
  await page.fill("[name=tower]", "70");
  await page.fill("[name=drain-every]", "0.1");
  await page.fill("[name=by]", "MK");
  await page.click("button[type=submit]");
  await page.waitForSelector("[data-run]");
  await page.locator(".next", { hasText: "Drain now" }).waitFor({ timeout: 30000 });
  await accessible(page, "a drain that is due");
  await page.click("button:has-text('Drained')");
  await page.locator(".next", { hasText: "Drain in" }).or(page.locator(".amount")).first().waitFor();
  assert.match(at.run("book", "list", "club.book", "--kind", "drain"), /MK/);
  assert.deepEqual(wrong, []);
  await context.close();
  await server.stop();
  at.gone();
});

test("a keeper lets somebody in from a phone, and whoever is taken out is out at once", async () => {
  const at = boathouse("people");
  at.typed("583920\n", "people", "club.book", "add", "MK", "--role", "keeper");
  const server = await serve(at, "serve", "club.book", "--lan", "--port", "0");
  const [keeper, member] = [await open(PHONE), await open(PHONE)];
  const sign = async ({ page }, name, pin) => {
    await page.fill("[name=name]", name);
    await page.fill("[name=pin]", pin);
    await page.click("main button[type=submit]");
  };
  const { page } = keeper;
  await page.goto(`${server.address}/people`);
  await sign(keeper, "MK", "583920");
  await page.waitForURL(/\/people$/);
  await page.fill("[name=name]", "A. Member");
  await page.selectOption("[name=role]", "operator");
  await page.fill("[name=pin]", "716204");
  await page.fill("[name=again]", "716205");
  await page.click("button:has-text('Let them in')");
  assert.match(await page.textContent(".err"), /not the same/);
  assert.equal(await page.inputValue("[name=name]"), "A. Member");
  assert.equal(await page.inputValue("[name=pin]"), "", "a PIN never comes back");
  await accessible(page, "people, something wrong");
  await page.fill("[name=pin]", "716204");
  await page.fill("[name=again]", "716204");
  await page.click("button:has-text('Let them in')");
  await page.locator(".done").waitFor();
  await fits(page, "people");
  await accessible(page, "people");

  // The member comes in, and gives themselves another PIN.
  await member.page.goto(`${server.address}/pin`);
  await sign(member, "A. Member", "716204");
  await member.page.fill("[name=old]", "716204");
  await member.page.fill("[name=pin]", "602938");
  await member.page.fill("[name=again]", "602938");
  await accessible(member.page, "one's own PIN");
  await member.page.click("button:has-text('Change it')");
  assert.match(await member.page.textContent("main"), /has a new PIN/);
  await member.page.goto(`${server.address}/book`);
  assert.doesNotMatch(member.page.url(), /sign-in/, "they stay signed in here");
  assert.equal((await member.page.goto(`${server.address}/people`)).status(), 403);

  await page.click(".persons a:has-text('A. Member')");
  await fits(page, "one person");
  await accessible(page, "one person");
  await page.click("summary:has-text('Take A. Member out')");
  await page.click("button:has-text('Take A. Member out now')");
  await page.locator(".done").waitFor();
  await member.page.goto(`${server.address}/book`);
  assert.match(member.page.url(), /sign-in/, "a session of somebody taken out has ended");
  await page.click(".persons a");
  await page.click("summary:has-text('Take MK out')");
  await page.click("button:has-text('Take MK out now')");
  assert.match(await page.textContent(".err"), /only keeper/);
  const notes = at.run("book", "list", "club.book", "--kind", "note").replaceAll(/\s+/g, " ");
  for (const said of [/A\. Member may use this book/, /has a new PIN/, /may no longer use/]) assert.match(notes, said);
  assert.doesNotMatch(notes, /716204|602938/);
  assert.deepEqual([...keeper.wrong, ...member.wrong], []);
  await keeper.context.close();
  await member.context.close();
  await server.stop();
  at.gone();
});

test("a start and a correction wait while the server is away, and go in once", async () => {
  const at = boathouse("away");
  let server = await serve(at, "serve", "club.book", "--port", "0");
  const port = new URL(server.address).port;
  const back = async () => (server = await serve(at, "serve", "club.book", "--port", port));
  const count = (kind, what) =>
    at.run("book", "list", "club.book", "--kind", kind).split("\n").filter((line) => what.test(line)).length;
  const { page, context } = await open(PHONE);
  await page.goto(`${server.address}/run`);
  await page.selectOption("#f-id1", "A1");
  await page.fill("#f-from1", "50");
  await page.fill("[name=tower]", "70");
  await page.fill("[name=by]", "MK");
  await server.stop("SIGKILL");
  await page.click("main button[type=submit]");
  const waits = page.locator("[data-queue]", { hasText: "fill gate has not been asked" });
  await waits.waitFor({ timeout: 20000 });
  assert.match(await waits.textContent(), /Start of the run, .*waits here, not in the book yet/);
  await accessible(page, "a start that waits");
  await fits(page, "a start that waits");
  await page.screenshot({ path: path.join(shots, "start-waits.png"), fullPage: true });
  // It can be taken back, and sent after all.
  await page.click("text=Take the start back");
  assert.match(await page.textContent("[data-queue]"), /not sent again/);
  await page.click("main button[type=submit]");
  await waits.waitFor({ timeout: 20000 });
  await back();
  await page.waitForSelector("[data-run]", { timeout: 30000 });
  assert.equal(count("run started", /\d{4}-/), 1);

  await page.click("button:has-text('Drained')");
  await page.locator(".amounts").first().waitFor({ timeout: 20000 });
  await server.stop("SIGKILL");
  await page.click(".amounts button >> nth=2");
  const amount = page.locator("[data-queue]", { hasText: /Amount of the drain at .*40 mL, .*waits here/ });
  await amount.waitFor({ timeout: 20000 });
  assert.equal(count("drain", /40 mL/), 0);
  await back();
  await page.locator("[data-queue]").first().waitFor({ state: "hidden", timeout: 30000 });
  assert.equal(count("drain", /40 mL/), 1);
  await context.close();
  await server.stop();
  at.gone();
});

test("results are pasted with a mistake, mended, and stand beside every standard", async () => {
  const at = boathouse("paste");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context, wrong } = await open(PHONE);
  await page.goto(`${server.address}/air`);
  await page.click("summary:has-text('Paste the results')");
  await page.fill("#p-text", "date, 2026-05-04\noxigen, 20.9 %\ncarbon monoxide, 8 ppm\n");
  await page.click("text=Hold the text against the limits");
  assert.match(await page.textContent("#pw"), /Line 2: .*oxigen.*Did you mean/);
  await accessible(page, "results with a mistake");
  await fits(page, "results with a mistake");
  await page.fill("#p-text", (await page.inputValue("#p-text")).replace("oxigen", "oxygen"));
  await page.click("text=Hold the text against the limits");
  await page.locator(".beside").waitFor();
  assert.match(await page.textContent(".gate"), /A limit is broken/);
  assert.doesNotMatch(await page.textContent("main"), /\bsafe\b/i);
  await accessible(page, "results beside every standard");
  await fits(page, "results beside every standard");
  // A list from the laboratory counts before the text.
  await page.setInputFiles("#p-file", {
    name: "lab.csv", mimeType: "text/csv",
    buffer: Buffer.from("Parameter;Result;Unit;Method\nCarbon monoxide;2;ppm;tube\n"),
  });
  await page.click("text=Hold the text against the limits");
  await page.locator("text=left aside: Method").waitFor();
  await page.fill("#a-by", "MK");
  await page.click("text=Write this result in the book");
  await page.waitForURL(/air\/test/);
  assert.match(await page.textContent("main"), /Carbon monoxide;2;ppm;tube/);
  await page.goto(`${server.address}/air`);
  assert.equal(await page.inputValue("#p-text"), "", "what is in the book is kept no longer");
  assert.deepEqual(wrong, []);
  await context.close();
  await server.stop();
  at.gone();
});

test("readings added by thumb name the valve that is off, and one more decides", async () => {
  const at = boathouse("check");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context, wrong } = await open(PHONE);
  await page.goto(server.address);
  await page.click("nav >> text=Check");
  assert.match(await page.textContent("main"), /note what the gauges show/);
  await accessible(page, "an empty check");
  await page.click("text=Cylinders, tower and air");
  await page.selectOption("#c-1", "A1");
  await page.fill("#s-1", "50");
  await page.fill("#k-t", "0");
  // The PMV of this station opens at 100 bar; here it holds the tower at 85.
  const shown = [["0:30", "25"], ["1:00", "49"], ["1:30", "74"], ["1:45", "84"], ["2:30", "85"], ["4:00", "85"]];
  for (const [i, [minute, bar]] of shown.entries()) {
    await page.fill("[name=new-time]", minute);
    await page.fill("[name=new-reading]", bar);
    await page.keyboard.press("Enter");
    await page.locator(".rd tbody tr").nth(i).waitFor();
  }
  assert.equal(await page.inputValue("#s-1"), "50 bar", "what was typed once stays");
  assert.equal(await page.locator(".rd tbody tr").count(), 6);
  assert.match(await page.textContent(".causes li:first-child"), /PMV/);
  assert.match(await page.textContent("main"), /Found against specified/);
  assert.doesNotMatch(await page.textContent("main"), /\bsafe\b/i);
  for (const check of [fits, still, accessible]) await check(page, "a check");
  await page.screenshot({ path: path.join(shots, "check-phone.png"), fullPage: true });
  // A slip of the pen is told at its line; nothing else is lost.
  await page.fill("[name=new-time]", "soon");
  await page.fill("[name=new-reading]", "85");
  await page.click(".add .btn");
  assert.match(await page.textContent(".rd .err"), /is not a time/);
  assert.equal(await page.locator(".rd tbody tr").count(), 7);
  await accessible(page, "a line to be mended");
  await page.click("[aria-label='Take out soon, 85 bar']");
  assert.equal(await page.locator(".rd tbody tr").count(), 6);
  const box = page.locator("[name=decide-reading]");
  if (await box.count()) {
    const minute = await page.inputValue("[name=decide-time]");
    await box.fill("85");
    await page.click(".decide .btn");
    assert.equal(await page.locator(".rd tbody tr").count(), 7);
    assert.match(await page.textContent(".rd"), new RegExp(minute));
  }
  // Nothing is in the book until somebody keeps it.
  assert.match(at.run("book", "list", "club.book", "--kind", "check kept"), /no |nothing|0 /i);
  await page.click("text=Keep what was found");
  await page.fill("[name=by]", "MK");
  await page.click("main button[type=submit]");
  await page.waitForURL(/done/);
  assert.match(at.run("book", "list", "club.book", "--kind", "check kept"), /MK/);
  assert.deepEqual(wrong, []);
  await context.close();
  await server.stop();
  at.gone();
});

test("a pasted list that is no list is told, and works without script", async () => {
  const at = boathouse("pasted");
  const server = await serve(at, "serve", "club.book", "--port", "0");
  const { page, context } = await open(LAPTOP, { javaScriptEnabled: false });
  await page.goto(`${server.address}/check`);
  await page.fill("[name=paste]", "dear all,\nthe gauge was odd today");
  await page.click("text=Add this list");
  assert.match(await page.textContent("#h-paste"), /names no column/);
  assert.match(await page.inputValue("[name=paste]"), /dear all/);
  await page.fill("[name=paste]", "time;gauge;reading;observed\n1:00;tower;49,5 bar;\n2:30;tower;85 bar;air at the fill valve");
  await page.click("text=Add this list");
  assert.equal(await page.locator(".rd tbody tr").count(), 2);
  assert.match(await page.textContent(".rd"), /49\.5 bar/);
  await page.click("text=Take readings from a run");
  await page.setInputFiles("[name=file]", {
    name: "more.csv", mimeType: "text/csv", buffer: Buffer.from("time,gauge,reading\n4:00,tower,85 bar\n"),
  });
  await page.click("text=Add this file");
  assert.equal(await page.locator(".rd tbody tr").count(), 3);
  await page.click("text=Hand the readings to a technician");
  const [sheet] = await Promise.all([
    context.waitForEvent("page"),
    page.click("text=Print the support-call sheet"),
  ]);
  await sheet.waitForLoadState();
  assert.match(await sheet.textContent("body"), /Check of a run/);
  assert.match(await sheet.textContent("body"), /4:00,tower,85 bar/);
  await context.close();
  await server.stop();
  at.gone();
});
