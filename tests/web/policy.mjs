// The page's content policy, and a page without its script.

// Nothing from outside comes in, and nothing runs that isn't the page's own, even where it has got into the page.
export async function refuses(page, noted, outside) {
  const before = noted.wrong.length;
  const got = await page.evaluate(async (outside) => {
    window.refused = [];
    const put = (name, attributes, words = "") => document.body.append(Object.assign(document.createElement(name), attributes, words && { textContent: words }));
    put("script", {}, "window.ran = true");
    put("script", { src: `${outside}/ran.js` });
    put("style", {}, "body { margin-top: 77px }");
    put("link", { rel: "stylesheet", href: `${outside}/style.css` });
    put("img", { src: `${outside}/picture.png` });
    put("iframe", { src: `${outside}/frame.html` });
    put("object", { data: `${outside}/object` });
    document.body.setAttribute("onclick", "window.ran = true");
    document.body.click();
    await fetch(`${outside}/fetched`).then(() => { window.ran = true; }, () => {});
    await new Promise((over) => setTimeout(over, 150));
    return { ran: !!window.ran, margin: getComputedStyle(document.body).marginTop, refused: window.refused.map((one) => one.split(" ")[0]) };
  }, outside);
  noted.wrong.length = before;
  const wrong = [];
  if (got.ran) wrong.push("a script from outside ran");
  if (got.margin === "77px") wrong.push("a style from outside holds");
  for (const kind of ["script-src", "style-src", "img-src", "connect-src"]) {
    if (!got.refused.some((one) => one.startsWith(kind))) wrong.push(`no ${kind} was refused: ${got.refused}`);
  }
  return wrong;
}

// With script off all of it can be read, and nothing shows that would do nothing. The page stands in a frame that runs
// no script, so that it can be looked at from outside.
export async function withoutScript(page, address) {
  return page.evaluate(async (address) => {
    const frame = document.createElement("iframe");
    frame.sandbox = "allow-same-origin";
    frame.width = innerWidth;
    frame.height = innerHeight;
    const [there, loaded] = [await (await fetch(address)).text(), new Promise((done) => { frame.onload = done; })];
    frame.src = address;
    document.body.replaceChildren(frame);
    await loaded;
    const off = frame.contentDocument;
    const written = new DOMParser().parseFromString(there, "text/html");
    const wrong = [];
    for (const one of off.querySelectorAll("details")) one.open = true;
    const shown = (selector) => [...off.querySelectorAll(selector)].filter((one) => one.checkVisibility());
    for (const one of shown("button, input, select, textarea, output, [role=button]")) wrong.push(`<${one.localName}> shows with script off`);
    // What stands in the place of headings where a column has no room for them isn't for a wide one.
    const isMeant = (one) => innerWidth < 688 || !one.matches(".note.narrow:not(.middle)");
    const words = (one) => one.textContent.replace(/\s+/g, " ").trim();
    for (const selector of ["h1, h2, h3, h4, h5, h6", "nav a", "p:not([hidden], [hidden] *)", "td", "figcaption"]) {
      const [wished, seen] = [[...written.querySelectorAll(selector)].filter(isMeant), shown(selector)].map((all) => all.map(words).filter(Boolean));
      const lost = wished.filter((one) => !seen.includes(one));
      if (lost.length > 0) wrong.push(`with script off ${selector} has lost ${lost[0].slice(0, 60)}`);
    }
    for (const figure of off.querySelectorAll("figure")) {
      const drawings = [...figure.querySelectorAll("svg")];
      if (drawings.filter((one) => one.checkVisibility()).length !== 1) wrong.push(`${figure.id} doesn’t show with script off`);
      if (words(figure.querySelector("desc") ?? figure).length < 20) wrong.push(`${figure.id} has no words with script off`);
    }
    if (off.defaultView.innerWidth && off.documentElement.scrollWidth > off.documentElement.clientWidth) wrong.push("it is too wide with script off");
    return wrong;
  }, address);
}
