// The keyboard alone: Tab goes to all that can be used, in the order of the page, each is seen to be where it is, and
// Enter does what a tap does.

// What Tab has come to, as soon as the browser has brought it into sight.
async function standing() {
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  const all = [...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]")]
    .filter((one) => !one.disabled && one.tabIndex >= 0 && one.checkVisibility({ visibilityProperty: true }))
    .filter((one) => one.type !== "radio" || one.checked);
  const [one, wrong] = [document.activeElement, []];
  if (one === document.body || !one) return { at: -1, all: all.length, wrong };
  const name = `<${one.localName}> “${one.textContent.trim().slice(0, 30)}”`;
  const { outlineStyle, outlineWidth } = getComputedStyle(one);
  if (outlineStyle === "none" || parseFloat(outlineWidth) < 2) wrong.push(`${name} has no ring while the keyboard is on it`);
  const { top, bottom } = one.getBoundingClientRect();
  if (bottom <= 0 || top >= innerHeight) wrong.push(`${name} is out of sight while the keyboard is on it`);
  return { at: all.indexOf(one), name, all: all.length, wrong };
}

// Tab from the page's top to its end.
export async function tabOrder(page) {
  const wrong = [];
  await page.evaluate(() => { document.activeElement?.blur(); getSelection().removeAllRanges(); scrollTo(0, 0); });
  const { all } = await page.evaluate(standing);
  for (let next = 0; next < all; next += 1) {
    await page.keyboard.press("Tab");
    const { at, name, wrong: here } = await page.evaluate(standing);
    wrong.push(...here);
    if (at !== next) return [...wrong, `Tab ${next + 1} of ${all} comes to ${at + 1}: ${name}`];
  }
  return wrong;
}

// Enter on the first and the last link of the contents leads to their headings.
export async function contents(page) {
  const wrong = [];
  for (const which of [0, -1]) {
    const goal = await page.evaluate((which) => {
      const link = [...document.querySelectorAll("nav a")].at(which);
      link?.focus();
      return link?.hash;
    }, which);
    if (!goal) continue;
    await page.keyboard.press("Enter");
    await page.waitForFunction((goal) => location.hash === goal, { timeout: 2000 }, goal);
    const seen = await page.evaluate((goal) => {
      const { top, bottom } = document.querySelector(goal).getBoundingClientRect();
      return top >= 0 && bottom <= innerHeight;
    }, goal);
    if (!seen) wrong.push(`the contents don’t lead to ${goal}`);
  }
  return wrong;
}

// Enter and Space open and close what can be opened.
export async function details(page) {
  const wrong = [];
  const count = await page.evaluate(() => document.querySelectorAll("summary").length);
  for (const which of count > 0 ? [0, count - 1] : []) {
    const open = () => page.evaluate((which) => document.querySelectorAll("summary")[which].closest("details").open, which);
    const before = await open();
    await page.evaluate((which) => document.querySelectorAll("summary")[which].focus(), which);
    for (const [key, wished] of [["Enter", !before], [" ", before]]) {
      await page.keyboard.press(key);
      if (await open() !== wished) wrong.push(`“${key}” doesn’t work what can be opened (${which})`);
    }
  }
  return wrong;
}
