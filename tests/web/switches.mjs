// What a student turns on and off, by the keyboard alone.

// Turns each the other way, with Space; it holds once the page is loaded anew.
export async function turned(page) {
  const wrong = [];
  const states = () => page.evaluate(() => [...document.querySelectorAll("#switches input")].map((one) => one.checked));
  const before = await states();
  for (const which of before.keys()) {
    await page.evaluate((which) => document.querySelectorAll("#switches input")[which].focus(), which);
    await page.keyboard.press(" ");
  }
  await page.reload();
  const after = await states();
  if (after.some((state, which) => state === before[which])) wrong.push(`switches don’t stay as they are turned: ${before} to ${after}`);
  return wrong;
}
