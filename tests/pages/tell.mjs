// Tells the running program by its pages what was done, as a keeper would in a browser: from the board to a cut, from
// there to the link, the form, the button, and back to the board, where the plant is under watch. Every link that a page
// has is followed first by bare requests, as scanners do: nothing may change by that.
//
// Use: node tell.mjs PROGRAM PICTURES; run from where its packages are installed.

import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";

const require = createRequire(join(process.cwd(), "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const [program, pictures] = process.argv.slice(2).map((path) => resolve(path));
const BROWSER = process.env.BUDWARD_CHROMIUM ?? "/usr/bin/chromium";
const folder = mkdtempSync(join(tmpdir(), "budward-tell-"));
mkdirSync(pictures, { recursive: true });

writeFileSync(join(folder, "garden.toml"), `
[web]
listen = "127.0.0.1:0"

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
forecast = { source = "files", forecast = "none.json" }
history = { source = "none" }
plant = [{ name = "box edging", kind = "boxwood", cut = [{ cut = "shear" }] }]
`);

function check(is, what) {
  if (!is) throw new Error(what);
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

  await page.goto(home);
  await page.getByRole("link", { name: /Box edging/ }).first().click();
  await seen("cut");
  const before = await (await fetch(`${home}/garden/quarry/journal`)).text();
  const links = await page.$$eval("a[href]", (all) => all.map((one) => one.href));
  const answers = links.filter((link) => link.includes("/answer/"));
  check(answers.length === 5, `${answers.length} links to tell something`);
  for (const link of links) {
    for (const method of ["GET", "HEAD"]) await fetch(link, { method });
  }
  check(before === await (await fetch(`${home}/garden/quarry/journal`)).text(), "following links changed the journal");
  check(!(await garden()).includes("Cut lately"), "following links noted something");

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
  check(wrong.length === 0, wrong.join("\n"));
  console.log(`told by ${answers.length} kinds of links: noted once, watched, taken back`);
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
