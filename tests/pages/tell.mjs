// Tells the running program what was done, as a keeper would in a browser: from a mail that it wrote to the link, the
// form, the button; from the board to a cut, its link, form and button, and back to the board, where the plant is under
// watch. Every link of each mail and page is followed first by bare requests, as scanners do: nothing may change by that.
//
// Use: node tell.mjs PROGRAM PICTURES; run from where its packages are installed.

import { spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { invalid } from "./valid.mjs";

const require = createRequire(join(process.cwd(), "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const [program, pictures] = process.argv.slice(2).map((path) => resolve(path));
const BROWSER = process.env.BUDWARD_CHROMIUM ?? "/usr/bin/chromium";
const folder = mkdtempSync(join(tmpdir(), "budward-tell-"));
mkdirSync(pictures, { recursive: true });

/// A port that is free just now: the address in the mails has to be known before the program starts.
const port = await new Promise((found) => {
  const server = createServer().listen(0, "127.0.0.1", () => {
    const { port } = server.address();
    server.close(() => found(port));
  });
});

/// A mild fortnight about now, in the shape of Open-Meteo's reply, and a torn limb that may be cut clean on any day.
const DAY = 86_400_000;
const date = (at) => new Date(at).toISOString();
const hours = [...Array(24 * 14).keys()].map((hour) => Date.parse(date(Date.now() - 2 * DAY).slice(0, 10)) + hour * 3_600_000);
writeFileSync(join(folder, "mild.json"), JSON.stringify({
  latitude: 40.6, longitude: -74.4, elevation: 30, utc_offset_seconds: 0, timezone: "GMT",
  hourly_units: { time: "iso8601", temperature_2m: "°C" },
  hourly: { time: hours.map((at) => date(at).slice(0, 16)), temperature_2m: hours.map((_, hour) => hour % 24 < 12 ? 9 : 17) },
}));
const record = fileURLToPath(new URL("../data/ghcn/CA006158350_1969-2003.dly", import.meta.url));

writeFileSync(join(folder, "garden.toml"), `
[web]
listen = "127.0.0.1:${port}"
address = "http://127.0.0.1:${port}"

[mail]
from = "budward <garden@example.org>"
folder = "mails"

[[garden]]
name = "quarry"
title = "Quarry garden"
latitude = 40.63
longitude = -74.43
elevation = "30 m"
time_zone = "America/New_York"
mail_to = "keeper@example.org"
forecast = { source = "files", forecast = "mild.json", data_at = ${date(Date.now())} }
history = { source = "ghcn-file", file = ${JSON.stringify(record)} }
plant = [
  { name = "box edging", kind = "boxwood", cut = [{ cut = "shear" }] },
  { name = "torn maple", kind = "maple", height = "18 ft", cut = [{ cut = "storm-repair", wished = ${date(Date.now() + 2 * DAY).slice(0, 10)} }] },
]
[garden.letters]
quiet = "none"
`);

/// The text of each mail that was written, its lines whole and its letters decoded.
function mails() {
  const out = join(folder, "mails");
  if (!existsSync(out)) return [];
  const files = readdirSync(out).filter((file) => file.endsWith(".eml"));
  const bytes = (text) => text.replace(/=\r?\n/g, "").replace(/=([0-9A-F]{2})/g, (_, hex) => String.fromCharCode(parseInt(hex, 16)));
  return files.map((file) => bytes(readFileSync(join(out, file), "latin1").replace(/\r\n[ \t]/g, " ")));
}

/// The links in a mail, each once.
function linksIn(mail) {
  return [...new Set(mail.match(/http:\/\/127\.0\.0\.1[^\s"<>]*/g) ?? [])];
}

function check(is, what) {
  if (!is) throw new Error(what);
}

/// Waits until something is shown: a look at the garden comes between what is told and the page.
async function shown(isIt, what) {
  for (let tries = 0; tries < 40; tries += 1) {
    if (await isIt()) return;
    await new Promise((wake) => setTimeout(wake, 500));
  }
  throw new Error(what);
}

/// The address on which the program serves its page; its log is read on, so that it can go on writing.
function served(child) {
  return new Promise((found, failed) => {
    createInterface({ input: child.stderr }).on("line", (line) => {
      if (line.includes("serving the page")) found(`http://${JSON.parse(line).fields.address}`);
    });
    child.on("exit", (code) => failed(new Error(`the program ended with ${code}`)));
  });
}

const child = spawn(program, ["run", "--log-json", "--config", join(folder, "garden.toml")]);
const browser = await chromium.launch({ executablePath: BROWSER, args: ["--no-sandbox"] });
let failed;
try {
  const home = await served(child);
  const context = await browser.newContext({ viewport: { width: 360, height: 800 } });
  const page = await context.newPage();
  const wrong = [];
  page.on("console", (line) => { if (["error", "warning"].includes(line.type())) wrong.push(line.text()); });
  page.on("request", (request) => { if (!request.url().startsWith(home)) wrong.push(`asks for ${request.url()}`); });
  const seen = async (name) => {
    await page.screenshot({ path: join(pictures, `tell-${name}.png`), fullPage: true });
    wrong.push(...invalid(await (await fetch(page.url())).text()).map((fault) => `${name}: ${fault}`));
    await page.evaluate(axe);
    const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
    for (const fault of found.violations) {
      if (["serious", "critical"].includes(fault.impact)) wrong.push(`${name}: ${fault.id}: ${fault.help}`);
    }
  };
  const garden = async () => (await fetch(`${home}/garden/quarry`)).text();
  // The first look has to be over.
  for (let tries = 0; !(await garden()).includes("/cut/box-edging-shear"); tries++) {
    check(tries < 200, "the garden was never looked at");
    await new Promise((done) => setTimeout(done, 50));
  }

  for (let tries = 0; mails().length === 0; tries++) {
    check(tries < 200, "no mail was written");
    await new Promise((done) => setTimeout(done, 50));
  }
  const [letter, ...others] = mails();
  check(others.length === 0, `${others.length + 1} mails`);
  const inLetter = linksIn(letter);
  check(inLetter.length === 4, `links in the letter: ${inLetter}`);

  await page.goto(home);
  await page.getByRole("link", { name: /Box edging/ }).first().click();
  await seen("cut");
  const journal = async () => (await fetch(`${home}/garden/quarry/journal`)).text();
  const before = await journal();
  const links = await page.$$eval("a[href]", (all) => all.map((one) => one.href));
  const answers = links.filter((link) => link.includes("/answer/"));
  check(answers.length === 5, `${answers.length} links to tell something`);
  for (const link of [...inLetter, ...links]) {
    for (const method of ["GET", "HEAD"]) {
      const reply = await fetch(link, { method });
      check(reply.ok, `${method} ${link}: ${reply.status}`);
      await reply.text();
    }
  }
  check(before === await journal(), "following links changed the journal");
  check(!(await garden()).includes("Cut lately"), "following links noted something");

  const cut = page.url();
  const done = letter.match(/Note that it is done:\s+(http:\S+)/);
  check(done, "the letter has no link for what is done");
  await page.goto(done[1]);
  await seen("mail-form");
  await page.getByRole("button", { name: "Note that it is done" }).click();
  await page.getByRole("status").waitFor();
  await seen("mail-noted");
  await shown(async () => /torn.maple[^]*?done on/i.test(await journal()), "what the mail's link noted is not in the journal");

  await page.goto(cut);
  await page.getByRole("link", { name: "Done" }).click();
  await seen("form");
  await page.getByLabel(/percent/).fill("20");
  await page.getByRole("button", { name: "Note that it is done" }).click();
  await page.getByRole("status").waitFor();
  await seen("noted");
  const form = page.url();
  for (let tries = 0; !(await garden()).includes("Cut lately, and watched"); tries++) {
    check(tries < 200, "the plant is not under watch");
    await new Promise((done) => setTimeout(done, 50));
  }
  await page.getByRole("link", { name: "The page of this cut" }).click();
  await page.getByRole("heading", { name: "Cut lately, and watched" }).waitFor();
  await seen("watched");

  await page.goto(form);
  await page.getByRole("button", { name: "Note that it is done" }).click();
  check((await page.getByRole("status").textContent()).includes("noted before"), "it was noted twice");
  await page.getByRole("button", { name: "Take it back" }).click();
  check((await page.getByRole("status").textContent()).includes("taken back"), "it was not taken back");

  const end = letter.match(/List-Unsubscribe: <(http:[^>]*)>/);
  check(end, "the letter names no way to end the letters");
  const ended = await fetch(end[1], { method: "POST", body: new URLSearchParams({ "List-Unsubscribe": "One-Click" }) });
  check(ended.ok, `the letters are not ended: ${ended.status}`);
  check(wrong.length === 0, wrong.join("\n"));
  console.log(`told by a mail's link and by ${answers.length} kinds of links on a page: noted once, watched, taken back; letters ended`);
} catch (error) {
  failed = error;
} finally {
  await browser.close();
  child.kill("SIGTERM");
  rmSync(folder, { recursive: true, force: true });
}
if (failed) {
  console.error(failed);
  process.exit(1);
}
