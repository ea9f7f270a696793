// The page on paper.

import { execFileSync } from "node:child_process";
import { rmSync, writeFileSync } from "node:fs";

// The page as its style sets it for paper: prose and figures show, and nothing that is used.
export async function onPaper(page) {
  // What is said of screens and of paper changes places, since not every browser shows a page as if on paper.
  const change = () => page.evaluate(() => {
    const turned = (rules) => {
      for (const rule of rules) {
        if (rule.media) rule.media.mediaText = rule.media.mediaText.replace(/\b(screen|print)\b/g, (name) => (name === "print" ? "screen" : "print"));
        if (rule.cssRules) turned(rule.cssRules);
      }
    };
    for (const sheet of document.styleSheets) turned(sheet.cssRules);
  });
  await change();
  const wrong = await page.evaluate(() => {
    const wrong = [];
    const shows = (one) => one.checkVisibility();
    for (const one of document.querySelectorAll("nav, button, input, select, output, summary, label, [role=button]")) if (shows(one)) wrong.push(`<${one.localName}> is printed`);
    for (const one of document.querySelectorAll("h1, h2, h3, h4, main > p:not(#search), main li, td, figcaption")) if (!shows(one)) wrong.push(`<${one.localName}> isn’t printed: ${one.textContent.slice(0, 40)}`);
    for (const figure of document.querySelectorAll("figure")) {
      const count = [...figure.querySelectorAll("svg")].filter(shows).length;
      if (count !== 1) wrong.push(`${figure.id} is printed ${count} times`);
    }
    return wrong;
  });
  await change();
  return wrong;
}

// The page as a PDF of its own making: all the words of its prose, none of what is used, and figures with their glyphs.
export async function asPdf(page, path) {
  const { words, controls, glyphs } = await page.evaluate(() => {
    const texts = (selector) => [...document.querySelectorAll(selector)].map((one) => one.textContent.replace(/\s+/g, "")).filter(Boolean);
    return {
      words: texts("h1, h2, h3, main > p, main > ul > li, td, figcaption"),
      controls: texts("button, label, summary"),
      glyphs: document.querySelectorAll("figure svg.middle use").length,
    };
  });
  writeFileSync(path, await page.pdf({ format: "A4", timeout: 60_000 }));
  const printed = execFileSync("pdftotext", ["-layout", path, "-"], { encoding: "utf8" });
  const drawn = execFileSync("mutool", ["trace", path], { encoding: "utf8", maxBuffer: 1 << 30 }).match(/<fill_path/g)?.length ?? 0;
  rmSync(path);
  const bare = (text) => text.normalize("NFKC").replace(/[\s\u00ad]/g, "");
  const text = bare(printed);
  // An f and what it is joined with may have lost their letters.
  const begins = (one) => new RegExp(bare(one).slice(0, 20).replace(/[.*+?^${}()|[\]\\]/g, "\\$&").replace(/f+[a-z]?/g, ".{1,3}"));
  const wrong = [];
  const lost = words.filter((one) => !begins(one).test(text));
  if (lost.length > 0) wrong.push(`the PDF lacks ${lost.length} of ${words.length} pieces: ${lost[0].slice(0, 60)}`);
  const said = bare(words.join(""));
  const used = controls.map(bare).filter((one) => !said.includes(one));
  for (const one of used) if (text.includes(one)) wrong.push(`the PDF has what is used: ${one}`);
  if (drawn < glyphs) wrong.push(`the PDF draws ${drawn} outlines, and figures have ${glyphs} glyphs`);
  return wrong;
}
