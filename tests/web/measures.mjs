// What is measured in a page, as a reader has it before their eyes. Each runs in the page itself and gives what is
// wrong, in words.

// Nothing stands beyond the sides of the screen, nor of its own box.
export function sideways() {
  const width = document.documentElement.clientWidth;
  const wrong = [];
  const over = document.documentElement.scrollWidth - width;
  if (over > 0) wrong.push(`the page is ${over} px too wide`);
  for (const one of document.body.querySelectorAll("*")) {
    if (one.ownerSVGElement || !one.checkVisibility()) continue;
    const { left, right, width: own } = one.getBoundingClientRect();
    if (own > 1 && (left < -.5 || right > width + .5)) wrong.push(`<${one.localName}> from ${left.toFixed(1)} to ${right.toFixed(1)} of ${width}: ${one.textContent.trim().slice(0, 40)}`);
    if (one instanceof HTMLElement && one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).overflowX !== "visible" && one.clientWidth > 1) wrong.push(`<${one.localName}> scrolls by itself`);
  }
  return wrong;
}

// Words are large enough: prose, and what is raised in it or stands in figures.
export function type() {
  const [LEAST_PROSE, LEAST_IN_FIGURES] = [15, 12];
  // Units to an em of the faces that outlines are called after; of all others a thousand.
  const UNITS = { x: 2048 };
  const wrong = [];
  const small = (size, least, where) => size < least - .01 && wrong.push(`type of ${size.toFixed(2)} px: ${where.trim().slice(0, 60)}`);
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const [text, within] = [texts.currentNode.data, texts.currentNode.parentElement];
    if (!text.trim() || within.closest("svg, script, style") || !within.checkVisibility()) continue;
    small(parseFloat(getComputedStyle(within).fontSize), within.closest("sup") ? LEAST_IN_FIGURES : LEAST_PROSE, text);
  }
  const ems = new Map();
  for (const size of document.querySelectorAll(".outlines use[id]")) {
    const [, face] = size.getAttribute("href").match(/^#([a-z]+)/);
    ems.set(`#${size.id}`, parseFloat(size.getAttribute("transform").slice("scale(".length)) * (UNITS[face] ?? 1000));
  }
  // A glyph that is used is one in its size, or stands in what several drawings have in common.
  const sizesIn = (drawn) => [...drawn.querySelectorAll("use")].flatMap((one) => {
    const name = one.getAttribute("href");
    return ems.get(name) ?? sizesIn(document.querySelector(name));
  });
  for (const drawing of document.querySelectorAll("figure svg")) {
    if (!drawing.checkVisibility()) continue;
    const scale = drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width;
    const sizes = sizesIn(drawing);
    if (sizes.some((size) => !(size > 0))) wrong.push("a glyph that has no size");
    small(Math.min(...sizes) * scale, LEAST_IN_FIGURES, `in ${drawing.closest("figure").id}`);
    for (const text of drawing.querySelectorAll("text, tspan")) small(parseFloat(getComputedStyle(text).fontSize) * scale, LEAST_IN_FIGURES, text.textContent);
  }
  return wrong;
}

// Of each figure one layout shows; all of it is within the screen.
export function layouts() {
  const wrong = [];
  const width = document.documentElement.clientWidth;
  for (const figure of document.querySelectorAll("figure")) {
    const shown = [...figure.querySelectorAll("svg")].filter((one) => one.checkVisibility());
    const name = figure.id || "a figure without a number";
    if (shown.length !== 1) wrong.push(`${name} shows ${shown.length} layouts`);
    for (const drawing of shown) {
      // Firefox counts what is not displayed within a drawing that is used whole; Chromium measures those.
      if (navigator.userAgent.includes("Firefox") && drawing.querySelector('use[href^="#b"]')) continue;
      // Without the breadth of lines, of which browsers think differently.
      const { x, width: own } = drawing.getBBox();
      const frame = drawing.getBoundingClientRect();
      const scale = frame.width / drawing.viewBox.baseVal.width;
      const [left, right] = [frame.left + x * scale, frame.left + (x + own) * scale];
      if (left < 0 || right > width) wrong.push(`${name} is drawn from ${left.toFixed(1)} to ${right.toFixed(1)} px of ${width}`);
    }
  }
  return wrong;
}

// The colours are those that the reader likes, and figures' own stand off the ground as far as words do.
export function colours(dark) {
  const light = (colour) => {
    const [red, green, blue, seen = 1] = colour.match(/[\d.]+/g).map(Number);
    const linear = [red, green, blue].map((part) => (part / 255 <= .04045 ? part / 255 / 12.92 : ((part / 255 + .055) / 1.055) ** 2.4));
    return seen ? .2126 * linear[0] + .7152 * linear[1] + .0722 * linear[2] : undefined;
  };
  const ground = light(getComputedStyle(document.documentElement).backgroundColor);
  const wrong = [];
  if (dark !== ground < .2) wrong.push(`the ground is not ${dark ? "dark" : "light"}`);
  const seen = new Set();
  for (const one of document.querySelectorAll("figure svg *")) {
    if (!one.checkVisibility()) continue;
    const { fill, stroke } = getComputedStyle(one);
    [fill, stroke].filter((colour) => /^rgb/.test(colour)).forEach((colour) => seen.add(colour));
  }
  for (const colour of seen) {
    const other = light(colour);
    const [most, least] = [Math.max(other, ground), Math.min(other, ground)];
    const contrast = (most + .05) / (least + .05);
    if (contrast > 1.001 && contrast < 4.5) wrong.push(`figures are drawn in ${colour}, ${contrast.toFixed(1)} from the ground`);
  }
  return wrong;
}

// Nothing moves, nor would.
export function motion() {
  const wrong = document.getAnimations().map((one) => `something moves: ${one.animationName ?? one.transitionProperty ?? one.id}`);
  for (const one of [document.documentElement, ...document.body.querySelectorAll("*")]) {
    const { transitionDuration, animationName, scrollBehavior } = getComputedStyle(one);
    if (scrollBehavior === "smooth") wrong.push(`<${one.localName}> scrolls smoothly`);
    if (animationName !== "none") wrong.push(`<${one.localName}> moves by ${animationName}`);
    if (transitionDuration.split(",").some((time) => parseFloat(time) > 0)) wrong.push(`<${one.localName}> changes in ${transitionDuration}`);
  }
  return wrong;
}
