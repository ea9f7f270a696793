// The controls of a figure that is heard, worked by the keyboard alone.

const at = (name) => `.player ${name}`;
const is = (page, name, property) => page.evaluate((name, property) => document.querySelector(name)[property], at(name), property);
const isThere = (page) => page.evaluate(() => !!document.querySelector(".player"));

async function pressed(page, name, key) {
  await page.evaluate((name) => document.querySelector(name).focus(), at(name));
  await page.keyboard.press(key);
}

// Plays and stops. What is heard turns heavy meanwhile, and `moving` tells what else moves.
export async function played(page, moving) {
  if (!await isThere(page)) return [];
  const wrong = [];
  const heavy = () => page.evaluate(() => [...document.querySelectorAll(".now")].filter((one) => one.checkVisibility()).length);
  const play = await is(page, ".play", "textContent");
  await pressed(page, ".play", "Enter");
  if (await is(page, ".play", "textContent") === play) wrong.push("Enter doesn’t play");
  const sounds = await page.waitForFunction(() => document.querySelector(".now"), { timeout: 10_000 }).then(() => true, () => false);
  if (!sounds) wrong.push("nothing turns heavy as it sounds");
  else if (await heavy() === 0) wrong.push("what turns heavy isn’t in the layout that shows");
  wrong.push(...await moving());
  await page.keyboard.press(" ");
  if (await is(page, ".play", "textContent") !== play) wrong.push("Space doesn’t stop it");
  if (await heavy() > 0) wrong.push("what has sounded stays heavy");
  return wrong;
}

// Changes what would be played.
export async function chosen(page) {
  if (!await isThere(page)) return [];
  const wrong = [];
  for (const [name, property, key] of [[".slower select", "value", "ArrowDown"], [".round input", "checked", " "], [".count input", "checked", " "], [".from select", "value", "ArrowDown"]]) {
    const before = await is(page, name, property);
    await pressed(page, name, key);
    if (await is(page, name, property) === before) wrong.push(`${name} isn’t changed by “${key}”`);
  }
  if (await page.evaluate(() => !document.querySelector(".chosen"))) wrong.push("bars that are chosen aren’t shaded");
  return wrong;
}
