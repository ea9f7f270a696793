// The list of a folder's lessons, searched by the keyboard alone.

export async function searched(page, address) {
  const wrong = [];
  const shown = () => page.evaluate(() => [...document.querySelectorAll("main h2")].filter((one) => one.checkVisibility()).map((one) => one.textContent));
  const all = await shown();
  if (all.length < 3) return [`the list has ${all.length} lessons`];
  await page.goto(address);
  await page.keyboard.press("Tab");
  if (await page.evaluate(() => document.activeElement.type) !== "search") return ["Tab doesn’t come to the field first"];
  await page.keyboard.type("slow fer");
  const found = await shown();
  if (found.join() !== "Slow Ferry") wrong.push(`“slow fer” finds ${found}`);
  const said = await page.evaluate(() => document.querySelector("output").textContent);
  if (!said.startsWith("1 ")) wrong.push(`“slow fer” is said to find ${said}`);
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => location.pathname.endsWith("/slow-ferry.html"), { timeout: 3000 });
  await page.goto(address);
  await page.keyboard.press("Tab");
  await page.keyboard.type("no such words");
  const none = await shown();
  if (none.length > 0) wrong.push(`what isn’t there is found: ${none}`);
  for (let times = 0; times < 13; times += 1) await page.keyboard.press("Backspace");
  if ((await shown()).length !== all.length) wrong.push("an empty search doesn’t show all");
  return wrong;
}
