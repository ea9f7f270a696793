// The student's page in Chromium and Firefox, from a file and from a server, on screens of all widths, light and dark:
// it can be read, used by the keyboard alone, printed, and nothing gets in from outside.
//
//     node tests/web/page.mjs FRETLEAF CHROMIUM FIREFOX MIXES [FOLDER FOR PICTURES]
//
// MIXES is the folder that the test `page_sound` writes. Each check gives what is wrong, in words; all of it is told at
// the end, and a picture of each page that has something wrong is in the folder for pictures.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { READERS, launched, opened, violations } from "./browsers.mjs";
import { contents, details, tabOrder } from "./keyboard.mjs";
import { colours, layouts, motion, sideways, type } from "./measures.mjs";
import { compared } from "./mix.mjs";
import { asPdf, onPaper } from "./paper.mjs";
import { chosen, played } from "./player.mjs";
import { refuses, withoutScript } from "./policy.mjs";
import { served } from "./server.mjs";
import { searched } from "./shelf.mjs";
import { turned } from "./switches.mjs";

const [fretleaf, chromium, firefox, mixes, pictures] = process.argv.slice(2);
const repository = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const folder = mkdtempSync(join(tmpdir(), "fretleaf-web-"));
const WIDTHS = [320, 390, 768, 1280];
const HEIGHT = 800;

// Presses the demos into a folder with their list, and the hostile lesson into one of its own. Gives the demos' names.
function pressed() {
  const lessons = join(folder, "lessons");
  mkdirSync(lessons);
  for (const name of readdirSync(join(repository, "lessons"))) {
    if (/\.(md|toml)$/.test(name)) copyFileSync(join(repository, "lessons", name), join(lessons, name));
  }
  const press = (lesson, out, ...how) => spawnSync(resolve(fretleaf), ["press", "--web", ...how, lesson, "--out", join(folder, out)]).status;
  assert.equal(press(lessons, "pages"), 0);
  // A draft ends with 1 where the lesson has faults.
  assert.ok(press(join(repository, "tests/web/hostile.md"), "hostile", "--draft") < 2);
  copyFileSync(join(repository, "templates/string.js"), join(folder, "strings.js"));
  writeFileSync(join(folder, "strings.html"), "<!doctype html><title>Strings</title><link rel=icon href=data:,><script src=strings.js></script>");
  writeFileSync(join(folder, "frame.html"), "<!doctype html><title>Frame</title><link rel=icon href=data:,>");
  return readdirSync(lessons).filter((name) => name.endsWith(".md")).map((name) => name.replace(/md$/, "html"));
}

// What was found wrong, each with where.
const faults = [];

async function tell(page, where, wrong) {
  if (wrong.length === 0) return;
  faults.push(...wrong.map((words) => `${where}: ${words}`));
  if (!pictures) return;
  mkdirSync(pictures, { recursive: true });
  await page.screenshot({ path: join(pictures, `${where.replace(/\W+/g, "-")}.png`) });
}

// Holds a page at each width.
async function heldAtWidths(page, where, reader, widths) {
  for (const width of widths) {
    await page.setViewport({ width, height: HEIGHT });
    const wrong = [];
    for (const measure of [sideways, type, layouts]) wrong.push(...await page.evaluate(measure));
    wrong.push(...await page.evaluate(colours, reader.dark));
    if (reader.still) wrong.push(...await page.evaluate(motion));
    await tell(page, `${where} at ${width}`, wrong);
  }
}

// Holds a page in use: what axe finds at first and after, the keyboard, paper.
async function heldInUse(page, where, { kind, reader }) {
  // Without a sound card this Firefox sometimes locks itself up where a page plays, so it isn't asked to.
  if (kind === "chrome") await tell(page, `${where}, played`, await played(page, () => (reader.still ? page.evaluate(motion) : [])));
  if (reader.dark) {
    return tell(page, `${where}, axe`, await violations(page, ["color-contrast", "color-contrast-enhanced"]));
  }
  await page.reload();
  await page.setViewport({ width: 320, height: HEIGHT });
  await tell(page, `${where} at 320, axe`, await violations(page));
  await tell(page, `${where} at 320, keyboard`, [...await tabOrder(page), ...await contents(page), ...await details(page), ...await chosen(page)]);
  await tell(page, `${where} at 320, switches`, await turned(page));
  await heldAtWidths(page, `${where}, switches turned`, reader, [320, 768, 1280]);
  await page.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
  await tell(page, `${where} at 1280, axe`, await violations(page));
  await tell(page, `${where} on paper`, await onPaper(page));
}

// Nothing was refused in use, nothing went wrong, and nothing but the page was asked for.
async function heldAlone(page, noted, where, address) {
  const wrong = [...noted.wrong, ...(await page.evaluate(() => window.refused)).map((one) => `refused: ${one}`)];
  const asked = noted.asked.filter((one) => one.split("#")[0] !== address);
  if (asked.length > 0) wrong.push(`asked for ${asked}`);
  await tell(page, where, wrong);
}

async function demos(session, server, outside, names) {
  for (const name of names) {
    for (const [from, address] of [["file", pathToFileURL(join(folder, "pages", name)).href], ["server", `${server.address}/pages/${name}`]]) {
      const where = `${session.kind}, ${session.reader.name}, ${from}, ${name}`;
      const { page, noted } = await opened(session);
      await page.setViewport({ width: WIDTHS[0], height: HEIGHT });
      await page.goto(address);
      await heldAtWidths(page, where, session.reader, name === names[0] ? [...WIDTHS, 1600] : WIDTHS);
      if (from === "server") await heldInUse(page, where, session);
      await heldAlone(page, noted, where, address);
      if (name === names[0]) await tell(page, where, await refuses(page, noted, outside.address));
      await page.close();
    }
  }
}

async function list(session, server) {
  const address = `${server.address}/pages/index.html`;
  const where = `${session.kind}, ${session.reader.name}, list`;
  const { page, noted } = await opened(session);
  await page.goto(address);
  await heldAtWidths(page, where, session.reader, WIDTHS);
  await heldInUse(page, where, session);
  await heldAlone(page, noted, where, address);
  if (!session.reader.dark) await tell(page, where, await searched(page, address));
  await page.close();
}

// A lesson that would run if it could: no dialog comes, whatever is touched, and the page has no script but ours.
async function hostile(session, server) {
  const address = `${server.address}/hostile/hostile.html`;
  const where = `${session.kind}, hostile`;
  const { page, noted } = await opened(session);
  await page.goto(address);
  const wrong = await page.evaluate(async () => {
    const wrong = [];
    for (const one of document.querySelectorAll("*")) {
      for (const name of one.getAttributeNames()) if (name.startsWith("on")) wrong.push(`<${one.localName} ${name}>`);
      for (const kind of ["mouseover", "focus", "error", "load"]) one.dispatchEvent(new Event(kind, { bubbles: false }));
    }
    for (const link of document.links) if (!["http:", "https:", "mailto:"].includes(link.protocol) && link.origin !== location.origin) wrong.push(`a link to ${link.href}`);
    for (const script of document.scripts) if (script.textContent.includes("alert(")) wrong.push("a script of the lesson’s");
    for (const one of document.querySelectorAll("main img, main iframe, main object, main base, main style")) wrong.push(`<${one.localName}> in the lesson`);
    await new Promise((over) => setTimeout(over, 100));
    return wrong;
  });
  await heldAtWidths(page, where, session.reader, [320]);
  await tell(page, where, wrong);
  await heldAlone(page, noted, where, address);
  await page.close();
}

async function off(session, server, names) {
  const { page } = await opened(session);
  for (const name of names) {
    for (const width of [320, 1280]) {
      await page.setViewport({ width, height: HEIGHT });
      await page.goto(`${server.address}/frame.html`);
      await tell(page, `${session.kind}, script off, ${name} at ${width}`, await withoutScript(page, `${server.address}/pages/${name}`));
    }
  }
  await page.close();
}

async function printed(session, server) {
  const { page } = await opened(session);
  await page.goto(`${server.address}/pages/slow-ferry.html`);
  await tell(page, `${session.kind}, PDF`, await asPdf(page, join(folder, `${session.kind}.pdf`)));
  await page.close();
}

// All that is held in one browser.
async function heldIn(kind, program, server, outside, names) {
  for (const reader of READERS) {
    const session = await launched(kind, program, reader);
    try {
      await demos(session, server, outside, names);
      await list(session, server);
      if (reader.dark) continue;
      await hostile(session, server);
      await off(session, server, [...names, "index.html"]);
      await printed(session, server);
      const { page } = await opened(session);
      const samples = await compared(page, server.address);
      await page.close();
      console.log(`${kind}: ${samples} samples, bit by bit`);
    } finally {
      await session.browser.close();
    }
  }
}

const server = await served({ "/mixes/": resolve(mixes), "/": folder });
const outside = await served({ "/": join(folder, "nothing") });
try {
  const names = pressed();
  const browsers = [["chrome", chromium], ["firefox", firefox]];
  await Promise.all(browsers.map(([kind, program]) => heldIn(kind, program, server, outside, names)
    .catch((error) => faults.push(`${kind}: ${error.stack}`))));
  if (outside.asked.length > 0) faults.push(`asked for from outside: ${outside.asked}`);
  if (faults.length > 0) {
    console.error(faults.join("\n"));
    process.exitCode = 1;
  } else {
    console.log(`the student’s page holds: ${names.length} lessons in two browsers`);
  }
} finally {
  server.close();
  outside.close();
  rmSync(folder, { recursive: true, force: true });
}
