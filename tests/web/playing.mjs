// What the demos' pages play in Chromium and Firefox: their buffers against the files that `hear` writes, and when glyphs are
// heavy against when they sound.
//
//     node tests/web/playing.mjs FRETLEAF CHROMIUM FIREFOX
//
// The browsers need something to play on, if only a sink that nobody hears. One plays after the other, so that neither is late.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { READERS, launched, opened } from "./browsers.mjs";

const [fretleaf, chromium, firefox] = process.argv.slice(2);
const lessons = resolve(dirname(fileURLToPath(import.meta.url)), "../../lessons");
const folder = mkdtempSync(join(tmpdir(), "fretleaf-playing-"));

// The heavy digit is so near to its sound, in milliseconds.
const NEAR = 30;
// The longest of what is played to see that.
const WATCHED = 12;
// A browser whose machine has other work gets so many tries to be on time.
const TRIES = 3;

// Called before a page is loaded: keeps what is given to the loudspeaker.
function kept() {
  window.kept = [];
  const start = AudioBufferSourceNode.prototype.start;
  AudioBufferSourceNode.prototype.start = function (when) {
    window.kept.push({ source: this, buffer: this.buffer, when, context: this.context });
    start.call(this, when);
  };
}

// The samples of files as they are, each by what tells it from all others.
function files(written) {
  const waves = readdirSync(written).filter((name) => name.endsWith(".wav"));
  // A header of 44 bytes stands before them.
  const told = (name) => createHash("sha256").update(readFileSync(join(written, name)).subarray(44)).digest("hex");
  return new Map(waves.map((name) => [told(name), name]));
}

// Has each figure of a page play, by the keyboard, and compares what it plays with the files.
async function sameAsFiles(page, known) {
  const wrong = [];
  const left = new Map(known);
  const count = await page.evaluate(() => document.querySelectorAll("figure[data-score]").length);
  for (let at = 0; at < count; at += 1) {
    await page.evaluate((at) => {
      window.kept.length = 0;
      document.querySelectorAll("figure[data-score] .play")[at].focus();
    }, at);
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => window.kept.length > 0);
    const played = await page.evaluate(async () => {
      const { buffer, source } = window.kept[0];
      const samples = new Int16Array(buffer.length * 2);
      for (const side of [0, 1]) {
        buffer.getChannelData(side).forEach((sample, index) => { samples[2 * index + side] = sample * 32768; });
      }
      source.stop();
      const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", samples));
      return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    });
    await page.waitForFunction(silent);
    if (!left.delete(played)) wrong.push(`what figure ${at + 1} of ${count} plays is no file's`);
  }
  return { count, wrong };
}

// Whether no figure plays.
const silent = () => [...document.querySelectorAll(".play")].every((button) => button.textContent === button.dataset.play);

// How far from its sound each glyph is heavy, at the worst, over a figure's playing.
async function farthest(page) {
  await page.evaluate(() => {
    window.kept.length = 0;
    window.turns = [];
    const scores = strings.scores(JSON.parse(document.getElementById("heard").textContent));
    const seconds = ({ length, rounds: [tempo] }) => strings.samples(tempo, length) / strings.RATE;
    const figures = [...document.querySelectorAll("figure[data-score]")].filter((figure) => {
      const isOwn = figure.dataset.block === figure.dataset.shown;
      return isOwn && scores[figure.dataset.score].moments.length > 7 && !("counted" in figure.dataset);
    });
    const length = (figure) => seconds(scores[figure.dataset.score]);
    const figure = figures.sort((one, other) => length(one) - length(other))[0];
    window.followed = scores[figure.dataset.score];
    const drawing = figure.querySelector("svg[data-moments]");
    const uses = [...drawing.querySelectorAll("use")];
    const moments = drawing.dataset.moments.split(";").map((entry) => entry.split(" ").map(Number));
    const momentOf = new Map(moments.flatMap(([moment, ...glyphs]) => glyphs.map((glyph) => [uses[glyph], moment])));
    new MutationObserver((changes) => {
      const now = performance.now();
      const turned = changes.find(({ target }) => target.classList.contains("now"));
      if (turned) window.turns.push([momentOf.get(turned.target), now]);
    }).observe(drawing, { subtree: true, attributeFilter: ["class"] });
    window.followedButton = figure.querySelector(".play");
    window.followedButton.focus();
  });
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => window.kept.length > 0);
  return page.evaluate(async (watched) => {
    const { context, when, source } = window.kept[0];
    await new Promise((done) => setTimeout(done, 1000 * Math.min(watched, source.buffer.duration)));
    const { contextTime, performanceTime } = context.getOutputTimestamp();
    const { moments, rounds: [tempo] } = window.followed;
    source.stop();
    const sounds = moments.map(([heard, written]) => [written, when + strings.samples(tempo, heard) / strings.RATE]);
    const off = window.turns.map(([written, seen], index) => {
      const heard = sounds.filter(([moment]) => moment === written).map(([, time]) => performanceTime + 1000 * (time - contextTime));
      return Math.min(...heard.map((time) => Math.abs(seen - time)));
    });
    return { worst: Math.max(...off), seen: off.length };
  }, WATCHED);
}

// Whether the glyphs of a page are heavy when they sound.
async function onTime(page) {
  let told;
  for (let time = 0; time < TRIES; time += 1) {
    told = await farthest(page);
    await page.waitForFunction(silent);
    if (told.seen > 4 && told.worst <= NEAR) return [];
  }
  return [`of ${told.seen} moments one is heavy ${told.worst.toFixed(0)} ms from its sound`];
}

// Presses the demos, and writes what is heard of each into a folder of its own. Gives their names.
function made() {
  for (const name of readdirSync(lessons)) if (/\.(md|toml)$/.test(name)) copyFileSync(join(lessons, name), join(folder, name));
  const names = readdirSync(folder).filter((name) => name.endsWith(".md")).map((name) => name.slice(0, -3));
  for (const name of names) {
    assert.equal(spawnSync(resolve(fretleaf), ["press", "--web", `${name}.md`], { cwd: folder }).status, 0);
    mkdirSync(join(folder, `heard-${name}`));
    // Of a lesson without anything to hear there are no files, and `hear` says so.
    spawnSync(resolve(fretleaf), ["hear", "--all", "--out", `heard-${name}`, `${name}.md`], { cwd: folder });
  }
  return names;
}

async function heldIn(kind, program, names) {
  const session = await launched(kind, program, READERS[0]);
  const wrong = [];
  let all = 0;
  try {
    for (const name of names) {
      const { page, noted } = await opened(session);
      await page.evaluateOnNewDocument(kept);
      await page.goto(pathToFileURL(join(folder, `${name}.html`)).href);
      const { count, wrong: found } = await sameAsFiles(page, files(join(folder, `heard-${name}`)));
      if (all === 0 && count > 0) found.push(...await onTime(page));
      all += count;
      wrong.push(...[...found, ...noted.wrong].map((words) => `${kind}, ${name}: ${words}`));
      await page.close();
    }
  } finally {
    await session.browser.close();
  }
  assert.ok(all > 20, `only ${all} figures play`);
  console.log(`${kind}: ${all} figures`);
  return wrong;
}

try {
  const names = made();
  const wrong = [...await heldIn("chrome", chromium, names), ...await heldIn("firefox", firefox, names)];
  if (wrong.length > 0) {
    console.error(wrong.join("\n"));
    process.exitCode = 1;
  } else {
    console.log(`${names.length} lessons play in two browsers what their files have, and show it when it sounds`);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
