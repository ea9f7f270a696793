// The live page in a real browser: an edit shows without a reload, the scroll place stays, a finding
// leads to its place and back, the script follows what is said, the student's page sounds and keeps its place, the words
// are there to be searched, nothing from a lesson runs, and a compiler that is stopped and started again is found again.
//
//     node tests/live-page.mjs FRETLEAF CHROMIUM [FOLDER FOR PICTURES]
//
// playwright-core is looked for from the current folder; `.ci/run` installs it into one.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const [fretleaf, browserPath, pictures] = process.argv.slice(2);
const { chromium } = createRequire(join(process.cwd(), "here.js"))("playwright-core");
const repository = resolve(dirname(fileURLToPath(import.meta.url)), "..");
const folder = mkdtempSync(join(tmpdir(), "fretleaf-live-page-"));
const lesson = join(folder, "slow-ferry.md");
copyFileSync(join(repository, "lessons/slow-ferry.md"), lesson);
const demo = readFileSync(lesson, "utf8");

let compiler;

// Starts the compiler and gives the page's address.
function start() {
  compiler = spawn(resolve(fretleaf), ["watch", "--preview", "slow-ferry.md"], { cwd: folder });
  return new Promise((found, failed) => {
    compiler.stdout.once("data", (line) => found(String(line).trim()));
    compiler.once("exit", (status) => failed(new Error(`watch ended with ${status}`)));
  });
}

// Stops the compiler as a reader does, and gives its status.
function stop() {
  return new Promise((ended) => {
    compiler.removeAllListeners("exit");
    compiler.once("exit", ended);
    compiler.kill("SIGINT");
  });
}

function save(...changes) {
  const text = changes.reduce((text, [from, to]) => {
    assert.ok(text.includes(from), `the demo has no “${from}”`);
    return text.replace(from, to);
  }, demo);
  writeFileSync(lesson, text);
}

// Waits until the page shows some words, with no sheet still on its way.
async function shows(page, words) {
  await page.waitForFunction((words) => {
    const sheets = [...document.querySelectorAll(".sheet")];
    const ready = sheets.length > 0 && sheets.every((sheet) => sheet.dataset.ready && sheet.dataset.ready === sheet.dataset.sheet);
    return ready && document.getElementById("pages").textContent.includes(words);
  }, words);
}

const scrolled = (page) => page.evaluate(() => document.getElementById("pages").scrollTop);
const inView = (page, selector) => page.evaluate((selector) => {
  const element = document.querySelector(selector);
  if (!element) return false;
  const [own, view] = [element.getBoundingClientRect(), document.getElementById("pages").getBoundingClientRect()];
  return own.bottom > view.top && own.top < view.bottom;
}, selector);

const browser = await chromium.launch({ executablePath: browserPath, args: ["--no-sandbox"] });
try {
  const address = await start();
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, reducedMotion: "reduce" });
  page.setDefaultTimeout(15000);
  const errors = [];
  const asked = [];
  page.on("pageerror", (error) => errors.push(error.message));
  page.on("console", (message) => message.type() === "error" && errors.push(message.text()));
  page.on("request", (request) => asked.push(request.url()));
  await page.goto(address);
  await shows(page, "Four chords go round");
  await page.evaluate(() => { window.sameDocument = true; });

  // The words are there for the browser's own search, and roles for whoever listens.
  assert.ok(await page.evaluate(() => window.find("the note people hum")), "search finds words");
  assert.ok(await page.evaluate(() => window.find("Tab for 6 strings")), "search finds a figure's words");
  await page.evaluate(() => getSelection().removeAllRanges());
  assert.equal(await page.getByRole("heading", { name: "The chorus" }).count(), 1);
  assert.ok(await page.getByRole("listitem").count() >= 3);
  assert.ok(await page.getByRole("cell").count() >= 9);

  // An edit out of view, not followed: it shows, and the scroll place and the zoom stay.
  await page.getByLabel("Follow").uncheck();
  await page.keyboard.press("+");
  await page.evaluate(() => document.getElementById("pages").scrollTo(0, 1500));
  const [before, zoom] = [await scrolled(page), await page.textContent("#fit")];
  save(["Four chords go round, one to a bar.", "Four chords go round and round."]);
  await shows(page, "Four chords go round and round.");
  assert.equal(await scrolled(page), before, "the scroll place stays");
  assert.equal(await page.textContent("#fit"), zoom, "the zoom stays");
  assert.equal(zoom, "120%");
  assert.match(await page.textContent("#state"), /^prose changed · page 1 of \d · \d+ ms$/);
  assert.equal(await page.locator(".change").count(), 1, "one place is marked");

  // Followed, the page goes to what changed.
  await page.getByLabel("Follow").check();
  save(["The chorus\n", "The wide chorus\n"]);
  await shows(page, "The wide chorus");
  await page.evaluate(() => document.getElementById("pages").scrollTo(0, 0));
  save(["Home again, in", "At home again, in"]);
  await shows(page, "At home again, in");
  await page.waitForFunction(() => document.getElementById("pages").scrollTop > 500);
  assert.ok(await inView(page, ".change"), "what changed is in view");

  // The script: by key and by link, with clock, cues, figures and chapters; an edit of what is said
  // shows where it stands, and what stays keeps its place.
  await page.evaluate(() => document.getElementById("pages").scrollTo(0, 900));
  await page.keyboard.press("s");
  const script = page.getByRole("main", { name: "Script" });
  await script.waitFor();
  assert.equal(await page.getByRole("main").count(), 1, "one view at a time");
  assert.ok(page.url().endsWith("#script"), "the view has an address");
  assert.equal(await page.getByRole("navigation", { name: "Views" }).getByRole("link", { name: "Script" }).getAttribute("aria-current"), "page");
  assert.match(await script.locator(".runs").textContent(), /^Runs \d+:\d\d at 150 words a minute$/);
  const chapters = page.getByRole("navigation", { name: "Chapters" }).getByRole("link");
  assert.match(await chapters.first().textContent(), /^0:00 /);
  const moments = await script.locator(".item > .clock").allTextContents();
  const seconds = moments.map((told) => told.split(":").reduce((whole, part) => whole * 60 + +part, 0));
  assert.ok(moments.length > 20 && seconds.every((now, index) => index === 0 || now >= seconds[index - 1]), "the clock runs");
  const figures = script.getByRole("img");
  assert.ok(await figures.count() >= 6, "cues show their figures");
  assert.match(await figures.first().getAttribute("alt"), /bar 1/i, "figures are described");
  const drawn = await figures.evaluateAll(async (images) => {
    await Promise.all(images.map((image) => image.decode()));
    return images.every((image) => image.naturalWidth > 50);
  });
  assert.ok(drawn, "the figures are drawn");
  await chapters.nth(2).click();
  const heading = await page.evaluate(() => document.activeElement.textContent);
  assert.ok((await chapters.nth(2).textContent()).endsWith(heading), "a chapter leads to its heading");
  const place = () => page.evaluate(() => document.getElementById("script").scrollTop);
  const held = await place();
  assert.ok(held > 100);
  const runs = await script.locator(".runs").textContent();
  await page.getByLabel("Follow").uncheck();
  save(["See you at the harbour.", "See you at the harbour, or on the ferry, or wherever the wind takes us in the meantime."]);
  await script.locator(".said-anew", { hasText: "wherever the wind takes us" }).waitFor();
  assert.equal(await script.locator(".said-anew").count(), 1, "what changed is marked");
  assert.equal(await place(), held, "the script keeps its scroll place");
  assert.notEqual(await script.locator(".runs").textContent(), runs, "the running time is new");
  await page.getByLabel("Follow").check();
  save(["See you at the harbour.", "See you at the quay."]);
  await page.waitForFunction((held) => document.getElementById("script").scrollTop > held + 300, held);
  save(["`C# is the third of A`. The hammer-on", "`C is the third of A`. The hammer-on"]);
  await script.locator(".item .mark.fault").waitFor();
  await page.locator("#findings li.fault a").click();
  assert.match(await script.locator(".item.chosen").textContent(), /wants to be hummed/, "a finding leads to what is said");
  await page.keyboard.press("Enter");
  assert.ok(await page.evaluate(() => document.activeElement.closest("#findings li.fault") !== null), "and back");

  // The view to read from fills the window, keeps its place when the script is edited, and is left again.
  await page.keyboard.press("r");
  const read = page.getByRole("main", { name: "What is said" });
  await read.waitFor();
  assert.ok(await read.evaluate((root) => root.clientHeight === innerHeight && document.activeElement === root), "it fills the window");
  await page.keyboard.press("PageDown");
  await page.keyboard.press("PageDown");
  await page.keyboard.press("PageDown");
  await page.waitForTimeout(100);
  const at = await read.getAttribute("data-at");
  assert.ok(at > 1, "a presenter's keys lead from cue to cue");
  save(["See you at the harbour.", "See you on the ferry."]);
  await read.getByText("See you on the ferry.").waitFor({ state: "attached" });
  assert.equal(await read.getAttribute("data-at"), at, "it keeps its place");
  if (pictures) {
    mkdirSync(pictures, { recursive: true });
    await page.screenshot({ path: join(pictures, "read.png") });
  }
  await page.keyboard.press("Escape");
  await script.waitFor();
  await page.getByRole("link", { name: "Handout" }).click();
  await page.getByRole("main", { name: "Handout" }).waitFor();
  assert.equal(await scrolled(page), 900, "the handout stands where it stood");

  // The student's page: by link and by key; a figure of it is heard on a click; a save brings the new text and leaves in
  // its place what is read, what was opened and what was chosen.
  save();
  const turned = page.getByRole("main", { name: "Student’s page" });
  assert.equal(asked.filter((address) => address.includes("/student/")).length, 0, "it isn't made before somebody looks");
  await page.keyboard.press("w");
  await turned.waitFor();
  assert.ok(page.url().endsWith("#student"), "the view has an address");
  const frame = turned.locator("iframe:not(.coming)");
  await frame.waitFor();
  assert.equal(await frame.getAttribute("title"), "Student’s page");
  const inFrame = async () => (await frame.elementHandle()).contentFrame();
  let student = await inFrame();
  await student.evaluate(() => {
    window.started = [];
    const start = AudioBufferSourceNode.prototype.start;
    AudioBufferSourceNode.prototype.start = function (...times) {
      window.started.push(this.context);
      start.apply(this, times);
    };
  });
  const hook = (within) => within.locator("figure", { hasText: "the hook of the verse" });
  await hook(student).locator("summary").click();
  await hook(student).locator(".slower select").selectOption("0.8");
  await hook(student).locator(".round input").check();
  await hook(student).locator(".play").click();
  await student.waitForFunction(() => window.started.length === 1 && window.started[0].state === "running");
  await student.waitForFunction(() => document.querySelector("use.now, path.now") !== null);
  const topOf = async (words) => (await student.getByText(words, { exact: false }).first().boundingBox()).y;
  await student.evaluate(() => document.querySelector("#section-2").scrollIntoView());
  await page.getByLabel("Follow").uncheck();
  const readAt = await topOf("The same chords in a new order");
  const renewed = async (...changes) => {
    const version = await frame.getAttribute("data-version");
    save(...changes);
    await page.waitForFunction((version) => {
      const frames = document.querySelectorAll("#student iframe");
      return frames.length === 1 && !frames[0].className && frames[0].dataset.version !== version;
    }, version);
    student = await inFrame();
  };
  await renewed(["Four chords go round, one to a bar.", "Four chords go round and round. ".repeat(20)]);
  assert.equal(await student.getByText("Four chords go round and round.").count(), 1, "the new text is there");
  assert.ok(Math.abs(await topOf("The same chords in a new order") - readAt) < 2, "what is read stays in its place");
  assert.ok(await hook(student).locator("details").evaluate((words) => words.open), "what was opened is open");
  assert.equal(await hook(student).locator(".slower select").inputValue(), "0.8", "what was chosen is chosen");
  assert.ok(await hook(student).locator(".round input").isChecked());
  assert.equal(await hook(student).locator(".play").textContent(), "play", "the old page's sound ends with it");
  assert.equal(await student.evaluate(() => [...document.querySelectorAll("main > *")].filter((part) => part.style.boxShadow).length), 1, "what changed is marked");
  // The part that is read changes itself; the focus stays on its control.
  await hook(student).locator(".count input").focus();
  await page.evaluate(() => { document.querySelector("#student iframe").contentWindow.scrollTo(0, 0); });
  await renewed(["The whole of *Slow Ferry* grows", "All of *Slow Ferry* grows"]);
  assert.equal(await student.evaluate(() => scrollY), 0);
  assert.ok(await hook(student).locator(".count input").evaluate((box) => box === document.activeElement), "the focus stays");
  assert.ok(await page.evaluate(() => document.activeElement.tagName === "IFRAME"));
  await page.getByLabel("Follow").check();
  await student.getByRole("link", { name: "The solo" }).focus();
  await renewed(["The whole of *Slow Ferry* grows", "All of *Slow Ferry* grows"], ["Home again, in", "At home again, in"]);
  await student.waitForFunction(() => scrollY > 500);
  assert.equal(await student.evaluate(() => document.activeElement.textContent), "The solo", "on a link too");
  // A draft says what is wrong where it stands; the keys hold in the page too, and what was left is found again.
  await page.getByLabel("Follow").uncheck();
  await renewed(["`B is the ninth of A`", "`C is the ninth of A`"]);
  assert.ok(await student.locator(".faulty, .remark").count() >= 1, "a fault is marked");
  await hook(student).locator(".count input").focus();
  const left = await student.evaluate(() => scrollY);
  assert.ok(left > 100);
  await page.keyboard.press("w");
  await page.getByRole("main", { name: "Handout" }).waitFor();
  assert.equal(await page.locator("#student iframe").count(), 0, "it is gone while nobody looks");
  await page.keyboard.press("w");
  await frame.waitFor();
  student = await inFrame();
  assert.equal(await student.evaluate(() => scrollY), left, "it stands where it stood");
  await page.getByRole("link", { name: "Handout" }).click();

  // A finding leads to its place on the page and back; markup in a lesson stays text.
  await page.evaluate(() => document.getElementById("pages").scrollTo(0, 1e6));
  await page.getByLabel("Follow").uncheck();
  save(
    ["`B is the ninth of A`", "`C is the ninth of A`"],
    ["Leave the hole", "<script>window.ran = 1</script> &lt;img src=x onerror='window.ran = 2'> Leave the hole"],
    ["-- the hook of the verse", "-- <img src=x onerror='window.ran = 3'>"],
    ["title: Slow Ferry", "title: <b onclick=x>Slow</b> Ferry"],
  );
  await page.locator("#tally", { hasText: "1 fault" }).waitFor();
  await shows(page, "onerror");
  const first = page.locator("#place-1");
  const finding = page.locator("#findings li.fault");
  const number = await finding.evaluate((entry) => entry.id.split("-")[1]);
  assert.ok(!(await inView(page, `#place-${number}`)), "the place is out of view at first");
  await finding.getByRole("link").click();
  assert.ok(await inView(page, `#place-${number}`), "the finding leads to its place");
  assert.ok(await page.locator(`#place-${number}.chosen`).count(), "which is marked");
  const over = await page.evaluate((number) => {
    const box = document.getElementById(`place-${number}`).getBoundingClientRect();
    const line = [...document.querySelectorAll(".line")].find((line) => line.textContent.includes("C is the ninth of A"));
    const own = line.getBoundingClientRect();
    return [[box.left, own.left], [box.right, own.right], [box.top, own.top], [box.bottom, own.bottom]]
      .every(([one, other]) => Math.abs(one - other) < 4);
  }, number);
  assert.ok(over, "the place lies on the words that are wrong");
  await page.keyboard.press("Enter");
  assert.equal(await page.evaluate(() => document.activeElement.closest("li")?.id), `finding-${number}`, "and back");
  await page.keyboard.press("n");
  assert.equal(await first.count(), 1);
  assert.equal(await page.evaluate(() => window.ran), undefined, "nothing from a lesson runs");
  assert.equal(await page.locator("#pages b, #pages script, #findings img, header b").count(), 0);

  // What can't be printed leaves the last pages and says so.
  rmSync(lesson);
  await page.locator("#trouble", { hasText: "the file is gone · the last pages stay" }).waitFor();
  save();
  await page.locator("#trouble").waitFor({ state: "hidden" });
  await shows(page, "Four chords go round, one to a bar.");

  // The compiler goes and comes back at the same address.
  const known = errors.length;
  assert.equal(await stop(), 0, "an interrupt ends it cleanly");
  await page.locator(".gone #state", { hasText: "The compiler is gone" }).waitFor();
  assert.ok(await page.locator(".sheet img").count() > 1, "the last pages stay");
  save(["Four chords go round", "Five chords go round"]);
  assert.equal(await start(), address, "it serves at the same address");
  await shows(page, "Five chords go round");
  await page.locator("body:not(.gone)").waitFor();
  assert.ok(await page.evaluate(() => window.sameDocument), "it was never loaded again");
  assert.deepEqual(errors.slice(0, known), [], "no errors");
  assert.deepEqual(asked.filter((url) => !url.startsWith(address)), [], "nothing from elsewhere is asked for");

  // While nothing is found the lesson has the whole width; what is found slides in beside it, and out again.
  const widthOf = () => page.evaluate(() => document.getElementById("pages").getBoundingClientRect().width);
  save();
  await page.locator("body.clean").waitFor();
  assert.equal(await widthOf(), 1280, "the lesson has the whole width");
  assert.equal(await page.locator("#tally").isVisible(), false);
  save(["`B is the ninth of A`", "`C is the ninth of A`"]);
  await page.locator("#tally", { hasText: "1 fault" }).waitFor();
  assert.ok(await widthOf() < 1000, "what is found stands beside it");
  const moving = await browser.newPage({ viewport: { width: 1280, height: 800 }, reducedMotion: "no-preference" });
  for (const [one, seconds] of [[page, "0s"], [moving, "0.3s"]]) {
    if (one === moving) await one.goto(address);
    const moves = await one.evaluate(() => getComputedStyle(document.querySelector("aside")).transitionDuration.split(",")[0]);
    assert.equal(moves, seconds, "it slides for those who like that");
  }
  await moving.close();

  // It fits wide and narrow screens, light and dark, with a finding open.
  save(["`B is the ninth of A`", "`C is the ninth of A`"]);
  await page.locator("#tally", { hasText: "1 fault" }).waitFor();
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [1280, 390]) {
      const view = await browser.newPage({ viewport: { width, height: 800 }, colorScheme, reducedMotion: "reduce" });
      await view.goto(address);
      await shows(view, "Four chords go round");
      const over = await view.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      assert.ok(over <= 0, `nothing hangs over at ${width}`);
      const head = await view.evaluate(() => document.querySelector("header").getBoundingClientRect().height);
      assert.ok(head <= 56, `the header is one line at ${width}: ${head}`);
      if (width < 900) {
        const line = await view.evaluate(() => {
          const prose = [...document.querySelectorAll(".words p .line")].find((one) => one.textContent.includes("Four chords"));
          return parseFloat(getComputedStyle(prose).fontSize);
        });
        assert.ok(line >= 12, `words are read without zoom at ${width}: ${line}`);
        assert.ok(await view.evaluate(() => {
          const [own, room] = [document.querySelector(".words [role=heading] .line"), document.getElementById("pages")].map((one) => one.getBoundingClientRect());
          return own.left >= room.left && own.left < room.left + 40;
        }), "the words begin at the view's edge");
        await view.locator("#panel summary").click();
      }
      await view.locator("#findings a").first().click();
      assert.ok(await inView(view, "#place-1"), `the place is in view at ${width}`);
      if (pictures) {
        mkdirSync(pictures, { recursive: true });
        await view.screenshot({ path: join(pictures, `${colorScheme}-${width}.png`) });
      }
      await view.goto(`${address}#script`);
      await view.getByRole("main", { name: "Script" }).waitFor();
      assert.ok(await view.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `the script fits at ${width}`);
      const least = await view.locator("#script .figure img").evaluateAll((images) => Math.min(...images.map((image) => image.getBoundingClientRect().width / image.getAttribute("width"))));
      const cue = view.locator("#script .cue p", { hasText: "wide voicings for the chorus" });
      assert.match(await cue.first().textContent(), /^Cue: show figure\s\d+, wide voicings/, "a cue calls a figure by its caption");
      assert.ok(await view.evaluate(() => document.fonts.check('1rem "Fretleaf Serif"')), "words are set in the paper's face");
      if (width < 900) {
        const fades = await view.locator("#script .figure.wide").evaluateAll(async (figures) => {
          const wide = figures.filter((one) => one.scrollWidth > one.clientWidth);
          const beyond = () => wide.map((one) => parseFloat(getComputedStyle(one).getPropertyValue("--beyond")));
          const before = beyond();
          for (const one of wide) one.scrollLeft = 1e6;
          await new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)));
          return [before, beyond()];
        });
        assert.ok(fades[0].length > 0 && fades[0].every((fade) => fade > 0), `an edge fades where there is more: ${fades}`);
        assert.ok(fades[1].every((fade) => fade === 0), `and not at its end: ${fades}`);
      }
      await view.goto(`${address}#student`);
      await view.locator("#student iframe:not(.coming)").waitFor();
      const page = await (await view.locator("#student iframe").elementHandle()).contentFrame();
      assert.ok(await page.evaluate((width) => innerWidth <= width && innerHeight > 600 && document.documentElement.scrollWidth <= innerWidth, width), `the student's page fits at ${width}`);
      if (pictures) await view.screenshot({ path: join(pictures, `student-${colorScheme}-${width}.png`) });
      await view.goto(`${address}#script`);
      assert.ok(least > .95, `no figure is made small at ${width}: ${least}`);
      assert.ok(await view.locator("#script .speech", { hasText: "Don’t fill that hole" }).count() === 1, "quotes are curved");
      assert.ok(await view.evaluate(() => document.getElementById("script").scrollWidth <= document.getElementById("script").clientWidth), `and so do its items at ${width}`);
      if (pictures) {
        await view.screenshot({ path: join(pictures, `script-${colorScheme}-${width}.png`) });
        await view.evaluate(() => document.getElementById("script").scrollTo(0, 900));
        await view.screenshot({ path: join(pictures, `script-${colorScheme}-${width}-below.png`) });
      }
      await view.close();
    }
  }
  await stop();
  console.log("the live page holds");
} finally {
  await browser.close();
  compiler?.kill("SIGINT");
  rmSync(folder, { recursive: true, force: true });
}
