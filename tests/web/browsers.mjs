// The browsers that a page is held in, each as it comes from its makers: Chromium by its own protocol, Firefox by
// WebDriver BiDi, which it speaks itself. Firefox takes what a reader likes as preferences, before it starts.
//
// puppeteer-core and axe-core are looked for from the current folder; `.ci/run` installs them into one.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const require = createRequire(join(process.cwd(), "here.js"));
const puppeteer = require("puppeteer-core");
const AXE = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

// A reader who likes light pages, and whose scroll bars lie over them, as on a telephone; one who likes dark ones that
// stand still, and whose scroll bars take room where the browser's own do.
export const READERS = [
  { name: "light", dark: false, still: false },
  { name: "dark", dark: true, still: true },
];

export async function launched(kind, program, reader) {
  const browser = await puppeteer.launch({
    browser: kind,
    executablePath: program,
    args: kind === "chrome" ? ["--no-sandbox", "--mute-audio"] : [],
    extraPrefsFirefox: {
      "layout.css.prefers-color-scheme.content-override": reader.dark ? 0 : 1,
      "ui.useOverlayScrollbars": reader.dark ? 0 : 1,
      "ui.prefersReducedMotion": reader.still ? 1 : 0,
      "media.volume_scale": "0.0",
    },
  });
  return { browser, kind, reader };
}

// A page that notes what it asks for, what it refuses and what goes wrong in it.
export async function opened({ browser, kind, reader }) {
  const page = await browser.newPage();
  page.setDefaultTimeout(60_000);
  const noted = { asked: [], refused: [], wrong: [] };
  page.on("request", (request) => request.url().startsWith("data:") || noted.asked.push(request.url()));
  page.on("pageerror", (error) => noted.wrong.push(error.message));
  page.on("console", (message) => message.type() === "error" && noted.wrong.push(message.text()));
  page.on("dialog", (dialog) => {
    noted.wrong.push(`a dialog: ${dialog.message()}`);
    dialog.dismiss();
  });
  await page.evaluateOnNewDocument(() => {
    window.refused = [];
    addEventListener("securitypolicyviolation", (event) => window.refused.push(`${event.violatedDirective} ${event.blockedURI}`));
  });
  if (kind === "chrome") {
    await page.emulateMediaFeatures([
      { name: "prefers-color-scheme", value: reader.dark ? "dark" : "light" },
      { name: "prefers-reduced-motion", value: reader.still ? "reduce" : "no-preference" },
    ]);
  }
  return { page, noted };
}

// What axe finds against a page, by all its rules or by those named.
export async function violations(page, rules) {
  if (await page.evaluate(() => !window.axe)) await page.evaluate(AXE);
  return page.evaluate(async (rules) => {
    const all = Object.fromEntries(axe.getRules().map(({ ruleId }) => [ruleId, { enabled: true }]));
    const options = rules ? { runOnly: rules } : { rules: all };
    const { violations } = await axe.run(document, { ...options, resultTypes: ["violations"] });
    return violations.map(({ id, nodes }) => `axe: ${id}: ${nodes.length}: ${nodes[0].html.slice(0, 200)}: ${nodes[0].failureSummary}`);
  }, rules);
}
