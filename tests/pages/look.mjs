// Looks at every page of a running demo in headless Chromium: a picture of each at the width of a telephone and of a
// screen, light and dark; valid HTML, no serious fault of accessibility (axe-core), nothing wider than the window, nothing
// in the console, no request that leaves the host. HTML files in a folder, such as the HTML parts of mails, are looked at
// likewise.
//
// Use: node look.mjs PROGRAM PICTURES [FOLDER OF HTML FILES]; run from where its packages are installed.

import { spawn } from "node:child_process";
import { mkdirSync, readFileSync, readdirSync, existsSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { invalid } from "./valid.mjs";

const require = createRequire(join(process.cwd(), "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const [program, pictures, mails] = process.argv.slice(2).map((path) => resolve(path));
const BROWSER = process.env.BUDWARD_CHROMIUM ?? "/usr/bin/chromium";
const WIDTHS = [360, 1280];
const SCHEMES = ["light", "dark"];
const GRAVE = ["serious", "critical"];

/// Starts the demo; gives its address and what ends it.
function demo() {
  const folder = join(pictures, "mails");
  mkdirSync(folder, { recursive: true });
  const child = spawn(program, ["demo", "--listen", "127.0.0.1:0", "--mails", folder]);
  const ended = new Promise((_, reject) => child.on("exit", (code) => reject(new Error(`the demo ended with ${code}`))));
  ended.catch(() => {});
  let said = "";
  const address = new Promise((found) => {
    child.stdout.on("data", (text) => {
      said += text;
      const match = said.match(/The page: (http:\S+)/);
      if (match) found(match[1]);
    });
  });
  child.stderr.pipe(process.stderr);
  return { address: Promise.race([address, ended]), end: () => child.kill("SIGINT") };
}

/// Every page that can be reached by links from the board, of the kinds in the almanac only some.
async function addresses(browser, home) {
  const page = await browser.newPage();
  const found = new Set([home, new URL("/no-such-page", home).href, new URL("/almanac?q=hydrangia", home).href]);
  const queue = [home];
  let kinds = 0;
  while (queue.length > 0) {
    await page.goto(queue.shift());
    const links = await page.$$eval("a[href]", (all) => all.map((one) => one.href.split("#")[0]));
    for (const link of links) {
      const url = new URL(link);
      if (found.has(link) || url.origin !== new URL(home).origin) continue;
      // A calendar is no page.
      if (url.pathname.endsWith(".ics")) continue;
      if (url.pathname.startsWith("/almanac/") && ++kinds > 4) continue;
      found.add(link);
      queue.push(link);
    }
  }
  await page.close();
  return [...found];
}

function name(address) {
  const url = new URL(address);
  const path = url.protocol === "file:" ? url.pathname.split("/").pop() : url.pathname + url.search;
  return path.replace(/[^a-z0-9]+/gi, "-").replace(/^-|-$/g, "") || "board";
}

/// Looks at one page on one width in one scheme; gives what is wrong with it.
async function look(browser, address, width, scheme) {
  const context = await browser.newContext({ viewport: { width, height: 800 }, colorScheme: scheme });
  const page = await context.newPage();
  const wrong = [];
  const own = new URL(address);
  page.on("request", (request) => {
    const url = new URL(request.url());
    const stays = url.protocol === "data:" || (url.protocol === own.protocol && url.host === own.host);
    if (!stays) wrong.push(`asks for ${request.url()}`);
  });
  const isMissing = own.pathname === "/no-such-page";
  page.on("console", (line) => {
    const isKnown = isMissing && line.text().includes("404");
    if (["error", "warning"].includes(line.type()) && !isKnown) wrong.push(`console: ${line.text()}`);
  });
  page.on("pageerror", (error) => wrong.push(`error: ${error.message}`));
  const reply = await page.goto(address, { waitUntil: "load" });
  const body = await reply.body();
  wrong.push(...invalid(body.toString()).map((fault) => `not valid: ${fault}`));
  await page.screenshot({ path: join(pictures, `${name(address)}-${width}-${scheme}.png`), fullPage: true });
  if (own.pathname.endsWith("/plan") && width > 800 && scheme === "light") {
    await page.pdf({ path: join(pictures, `${name(address)}.pdf`), format: "A4", margin: { top: "15mm", bottom: "15mm", left: "15mm", right: "15mm" } });
  }
  const beyond = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  if (beyond > 0) wrong.push(`${beyond} pixels wider than the window`);
  // Hidden figures are opened: what they hold counts too.
  await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
  await page.evaluate(axe);
  const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
  for (const fault of found.violations.filter((fault) => GRAVE.includes(fault.impact))) {
    wrong.push(`${fault.id} (${fault.impact}): ${fault.help}: ${fault.nodes.slice(0, 3).map((node) => node.html).join(" | ")}`);
  }
  const minor = found.violations.filter((fault) => !GRAVE.includes(fault.impact)).map((fault) => fault.id);
  await context.close();
  return { size: body.length, wrong, minor };
}

mkdirSync(pictures, { recursive: true });
const { address, end } = demo();
const browser = await chromium.launch({ executablePath: BROWSER, args: ["--no-sandbox"] });
let faults = 0;
try {
  const pages = await addresses(browser, await address);
  if (pages.length < 20) throw new Error(`only ${pages.length} pages were found`);
  if (mails && existsSync(mails)) {
    const files = readdirSync(mails).filter((file) => file.endsWith(".html"));
    pages.push(...files.map((file) => pathToFileURL(join(mails, file)).href));
  }
  for (const one of pages) {
    const told = new Set();
    let size = 0;
    for (const width of WIDTHS) {
      for (const scheme of SCHEMES) {
        const seen = await look(browser, one, width, scheme);
        size = seen.size;
        for (const wrong of seen.wrong) told.add(`${width} ${scheme}: ${wrong}`);
        for (const minor of seen.minor) told.add(`(minor) ${minor}`);
      }
    }
    // Of a mail the picture is a part.
    if (size > 100_000 && !one.startsWith("file:")) told.add(`${size} bytes are too many`);
    const grave = [...told].filter((one) => !one.startsWith("(minor)"));
    faults += grave.length;
    console.log(`${String(size).padStart(7)} bytes  ${one}${[...told].map((one) => `\n    ${one}`).join("")}`);
  }
  console.log(`${pages.length} pages on ${WIDTHS.length} widths in ${SCHEMES.length} schemes: ${faults} faults`);
} finally {
  await browser.close();
  end();
}
process.exit(faults === 0 ? 0 : 1);
