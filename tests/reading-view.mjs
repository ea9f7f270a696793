// The view to read from in a real browser, as a file of its own: it moves at the pace, waits at cues, obeys
// keys and a presenter's remote, is mirrored, and stays within narrow screens.
//
//     node tests/reading-view.mjs FRETLEAF CHROMIUM [FOLDER FOR PICTURES]
//
// playwright-core is looked for from the current folder; `.ci/run` installs it into one.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [fretleaf, browserPath, pictures] = process.argv.slice(2);
const { chromium } = createRequire(join(process.cwd(), "here.js"))("playwright-core");
const folder = mkdtempSync(join(tmpdir(), "fretleaf-reading-"));

// 24 words, a cue, 16 words, a pause, 12 words, two cues, 4 words.
const LESSON = `---
title: Slow Ferry
key: A major
pace: 240
length: 0:12
---
## The hook
~~~ say
Here is the figure that the whole tune grows from, four bars long. It comes round again
and again, so give it time now.
[show hook]
Notice that \`C# is the third of A\`. Then \`F#m7 is vi7\`, and the fingers hardly move.
[pause 2 s]
Four chords go round, one to a bar, and all of them ring.
[camera fretting hand]
[play hook]
See you there, friend.
~~~
~~~ riff hook
count   1   &   2   &
A       0-------2-----
~~~
`;
const counted = (words) => words.split(/\s+/).filter((word) => /[a-z0-9]/i.test(word)).length;
const FIRST = counted(LESSON.split("say\n")[1].split("[show")[0]);

writeFileSync(join(folder, "ferry.md"), LESSON);
execFileSync(resolve(fretleaf), ["script", "--read", "ferry.md"], { cwd: folder, stdio: ["ignore", "ignore", "inherit"] });
const address = pathToFileURL(join(folder, "ferry-read.html")).href;

const browser = await chromium.launch({ executablePath: browserPath, args: ["--no-sandbox"] });
const errors = [];

async function opened(options) {
  const page = await browser.newPage({ colorScheme: "light", ...options });
  page.setDefaultTimeout(20000);
  page.on("pageerror", (error) => errors.push(error.message));
  page.on("console", (message) => message.type() === "error" && errors.push(message.text()));
  page.on("request", (request) => request.url() !== address && !request.url().startsWith("data:") && errors.push(request.url()));
  // Each change of place or state with the moment of the browser's clock, and where the column stood.
  await page.addInitScript(() => {
    window.seen = [];
    document.addEventListener("DOMContentLoaded", () => {
      const root = document.getElementById("reading");
      const note = () => {
        const [at, state] = [Number(root.dataset.at), root.dataset.state];
        const last = window.seen.at(-1);
        if (last?.at !== at || last?.state !== state) window.seen.push({ at, state, when: performance.now() });
      };
      new MutationObserver(note).observe(root, { attributes: true });
      note();
    });
  });
  await page.goto(address);
  return page;
}

const root = (page) => page.locator("#reading");
const standing = (page) => root(page).evaluate((root) => [Number(root.dataset.at), root.dataset.state]);
const stands = (page, at, state) => page.waitForFunction(
  ([at, state]) => { const { dataset } = document.getElementById("reading"); return dataset.at === String(at) && dataset.state === state; },
  [at, state],
);
// When an item was first entered, in seconds.
const entered = (page, at) => page.evaluate((at) => window.seen.find((seen) => seen.at === at && seen.state !== "held")?.when / 1000, at);
const offset = (page) => page.locator(".column").evaluate((column) => new DOMMatrix(getComputedStyle(column).transform).f);
const within = (value, wished, what) => assert.ok(Math.abs(value / wished - 1) <= 0.02, `${what}: ${value.toFixed(3)}, wished ${wished.toFixed(3)}`);

async function keepsThePace() {
  const page = await opened({ viewport: { width: 1280, height: 720 } });
  assert.deepEqual(await standing(page), [0, "held"], "it waits to be begun");
  await page.keyboard.press("Space");
  await stands(page, 2, "waits");
  const first = await entered(page, 2) - await entered(page, 1);
  within(first, FIRST * 60 / 240, "the first speech");
  await page.waitForTimeout(700);
  const still = await offset(page);
  await page.waitForTimeout(700);
  assert.deepEqual(await standing(page), [2, "waits"], "it waits at a cue");
  assert.ok(Math.abs(await offset(page) - still) < 0.5, "and stands still");

  // In the midst of a speech the words glide at an even speed that the pace gives.
  await page.keyboard.press("Space");
  await page.waitForTimeout(800);
  const track = await page.evaluate(() => new Promise((done) => {
    const column = document.querySelector(".column");
    const from = { when: performance.now(), at: new DOMMatrix(getComputedStyle(column).transform).f };
    setTimeout(() => requestAnimationFrame(() => {
      done([performance.now() - from.when, from.at - new DOMMatrix(getComputedStyle(column).transform).f]);
    }), 1500);
  }));
  const [height, seconds] = await page.evaluate(() => {
    const items = [...document.querySelectorAll(".passage")];
    const top = (index) => items[index].getBoundingClientRect().top;
    const data = JSON.parse(document.getElementById("reading-data").textContent);
    return [top(4) - top(3), data.items[3].seconds];
  });
  const speed = track[1] / (track[0] / 1000);
  assert.ok(Math.abs(speed / (height / seconds) - 1) < 0.05, `it glides at ${speed} px/s, wished ${height / seconds}`);

  await stands(page, 5, "moves");
  within(await entered(page, 4) - await entered(page, 3), seconds, "the second speech");
  within(await entered(page, 5) - await entered(page, 4), 2, "the pause");
  await stands(page, 6, "waits");

  // Slower is slower: half the pace takes twice as long.
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("ArrowLeft");
  await stands(page, 2, "waits");
  for (let times = 0; times < 24; times += 1) await page.keyboard.press(times % 2 ? "[" : ",");
  assert.equal(await page.locator(".pace").textContent(), "120 words a minute");
  await page.evaluate(() => { window.seen = []; });
  await page.keyboard.press("Space");
  await stands(page, 4, "pauses");
  within(await entered(page, 4) - await entered(page, 3), seconds * 2, "the second speech at half the pace");
  await page.close();
  return first / (FIRST * 60 / 240) - 1;
}

async function obeysKeys() {
  const page = await opened({ viewport: { width: 1280, height: 720 } });
  const after = async (key, at, state) => {
    await page.keyboard.press(key);
    await page.waitForTimeout(60);
    assert.deepEqual(await standing(page), [at, state], key);
  };
  await after("PageDown", 2, "waits");
  await after("PageDown", 3, "moves");
  await after("Space", 3, "held");
  await after("ArrowDown", 4, "waits");
  await after("ArrowUp", 2, "waits");
  await after("End", 9, "end");
  await after("PageUp", 7, "waits");
  await after("ArrowLeft", 6, "waits");
  await after("ArrowRight", 7, "waits");
  await after("Home", 0, "held");
  assert.match(await page.locator(".left").textContent(), /^0:\d\d left$/);
  assert.match(await page.locator(".over").textContent(), /^runs 0:0\d over its 0:12$/);

  // Music as it is said, or as it is written.
  assert.match(await page.locator(".column").textContent(), /C sharp is the third of A.*six minor seven/);
  await page.keyboard.press("s");
  assert.match(await page.locator(".column").textContent(), /C♯ is the third of A/);
  await page.keyboard.press("s");

  const size = () => page.locator(".stage").evaluate((stage) => parseFloat(getComputedStyle(stage).fontSize));
  const usual = await size();
  assert.ok(usual >= 56, `large enough at 720: ${usual}`);
  await page.keyboard.press("+");
  assert.ok(await size() > usual);
  await page.keyboard.press("-");
  await page.keyboard.press("-");
  assert.ok(await size() < usual);

  await page.keyboard.press("?");
  assert.ok(await page.getByRole("dialog").isVisible(), "the list of keys");
  await page.keyboard.press("Escape");
  assert.ok(!(await page.getByRole("dialog").isVisible()));
  await after("Space", 1, "moves");

  // What it looks like is kept.
  await page.keyboard.press("d");
  await page.keyboard.press("m");
  await page.waitForFunction(() => document.querySelector("[data-ground=dark]"));
  await page.reload();
  assert.equal(await root(page).getAttribute("data-ground"), "dark");
  const mirror = await root(page).evaluate((root) => getComputedStyle(root).transform);
  assert.equal(mirror, "matrix(-1, 0, 0, 1, 0, 0)", "mirrored");
  await page.close();
}

async function standsStillWhereMotionIsReduced() {
  const page = await opened({ viewport: { width: 1280, height: 720 }, reducedMotion: "reduce" });
  await page.keyboard.press("Space");
  await stands(page, 1, "moves");
  const places = new Set();
  for (let times = 0; times < 12; times += 1) {
    places.add(await offset(page));
    await page.waitForTimeout(200);
  }
  assert.ok(places.size <= 2, `it steps: ${[...places]}`);
  await page.close();
}

async function fits() {
  for (const [width, height] of [[1280, 720], [1920, 1080], [360, 740]]) {
    const context = await browser.newContext({ viewport: { width, height } });
    for (const looks of [{ dark: false }, { dark: true }, { dark: true, mirrored: true }]) {
      const page = await context.newPage();
      await page.addInitScript((looks) => { localStorage.setItem("reading", JSON.stringify(looks)); }, looks);
      await page.goto(address);
      await page.keyboard.press("PageDown");
      await page.keyboard.press("PageDown");
      await page.waitForTimeout(1500);
      await page.keyboard.press("Space");
      const over = await page.evaluate(() => [document.documentElement, document.querySelector(".stage"), document.querySelector("footer")]
        .some((element) => element.scrollWidth > element.clientWidth));
      assert.ok(!over, `nothing hangs over at ${width}`);
      if (pictures) {
        mkdirSync(pictures, { recursive: true });
        const name = `${width}-${looks.dark ? "dark" : "light"}${looks.mirrored ? "-mirrored" : ""}.png`;
        await page.screenshot({ path: join(pictures, name) });
      }
      await page.close();
    }
    await context.close();
  }
}

try {
  const off = await keepsThePace();
  await obeysKeys();
  await standsStillWhereMotionIsReduced();
  await fits();
  assert.deepEqual(errors, [], "no errors, and nothing is fetched");
  console.log(`the view to read from holds; a speech was ${(100 * off).toFixed(2)} % off the pace`);
} finally {
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
}
