"use strict";
// The live page. It is told of builds, fetches the sheets that changed, and puts words of a lesson in
// as text only.

const byId = (id) => document.getElementById(id);
const pages = byId("pages");
const script = byId("script");
const reading = new Reading(byId("read"), () => turnTo("script"));
const students = new StudentsPage(byId("student"), () => byId("follow").checked, (event) => onKey(event));
const lessons = new Map();
let shown = null;
let program = null;
let chosen = -1;

// What the reader set, kept for this address.

const kept = {
  read(name, usual) {
    try { return JSON.parse(localStorage.getItem(name)) ?? usual; } catch { return usual; }
  },
  write(name, value) {
    try { localStorage.setItem(name, JSON.stringify(value)); } catch { /* Nothing is kept then. */ }
  },
};

// An element with a class, words and attributes.
function made(tag, name = "", words = "", attributes = {}) {
  const element = document.createElement(tag);
  if (name) element.className = name;
  if (words) element.textContent = words;
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

// Words with what stands between backticks as code.
function withCode(element, words) {
  words.split("`").forEach((part, index) => {
    if (part) element.append(index % 2 ? made("code", "", part) : part);
  });
  return element;
}

// News

function listen() {
  const news = new EventSource("/news");
  news.addEventListener("hello", (event) => {
    if (program !== null && program !== event.data) location.reload();
    program = event.data;
    document.body.classList.remove("gone");
    say();
  });
  news.addEventListener("lesson", (event) => take(JSON.parse(event.data)));
  news.onerror = () => {
    document.body.classList.add("gone");
    say();
    // Some browsers give up after a refusal; asking again is left to nobody.
    news.close();
    setTimeout(listen, 700);
  };
}

function say() {
  const lesson = lessons.get(shown);
  const gone = document.body.classList.contains("gone");
  const news = lesson ? lesson.brief || `${counted(lesson.pages.length, "page")}, up to date` : "Waiting for the first build";
  const state = gone ? "The compiler is gone; this is what it printed last." : news;
  byId("state").textContent = state;
  byId("state").title = state;
  byId("trouble").textContent = lesson?.trouble ?? "";
  byId("trouble").hidden = !lesson?.trouble;
}

function take(lesson) {
  const old = lessons.get(lesson.id);
  lessons.set(lesson.id, lesson);
  const wished = !old && lesson.id === kept.read("lesson", null);
  if (shown === null || wished) shown = lesson.id;
  offer();
  if (shown === lesson.id) show(lesson, old);
}

// The choice among several lessons.
function offer() {
  const select = byId("lesson");
  byId("choice").hidden = lessons.size < 2;
  const inOrder = [...lessons.values()].sort((a, b) => a.title.localeCompare(b.title));
  select.replaceChildren(...inOrder.map((lesson) => {
    const faults = lesson.counts.fault ? ` (${counted(lesson.counts.fault, "fault")})` : "";
    return made("option", "", lesson.title + faults, { value: lesson.id });
  }));
  select.value = shown ?? "";
}

byId("lesson").addEventListener("change", (event) => {
  shown = event.target.value;
  kept.write("lesson", shown);
  pages.replaceChildren();
  script.replaceChildren();
  pages.scrollTop = script.scrollTop = 0;
  show(lessons.get(shown), undefined);
});

// A lesson

function show(lesson, old) {
  byId("title").textContent = lesson.title;
  byId("lesson").value = lesson.id;
  document.title = (lesson.counts.fault ? `(${lesson.counts.fault}) ` : "") + `${lesson.title} – fretleaf`;
  say();
  showPages(lesson);
  showScript(lesson, old);
  students.show(lesson.id, lesson.students);
  reading.show(lesson.script?.read ?? { items: [], pace: 150 }, old === undefined);
  showFindings(lesson, old);
  // A lesson that comes again, as after a lost connection, has changed nothing.
  const anew = old !== undefined && sheetsOf(old) !== sheetsOf(lesson);
  if (old === undefined || anew) showChanges(anew ? lesson.changed : []);
}

const sheetsOf = (lesson) => lesson.pages.map((page) => page.sheet).join();

function showPages(lesson) {
  const sheets = [...pages.children];
  sheets.slice(lesson.pages.length).forEach((sheet) => sheet.remove());
  lesson.pages.forEach((page, index) => {
    const sheet = sheets[index] ?? pages.appendChild(emptySheet());
    sheet.setAttribute("aria-label", `Page ${index + 1} of ${lesson.pages.length}`);
    sheet.style.setProperty("--ratio", page.width / page.height);
    // A point is 96/72 of the browser's units.
    sheet.style.setProperty("--width", page.width * 96 / 72);
    sheet.dataset.width = page.width;
    sheet.dataset.height = page.height;
    if (sheet.dataset.sheet !== page.sheet) fill(sheet, page);
  });
}

function emptySheet() {
  const sheet = made("section", "sheet");
  sheet.append(made("div", "words"), made("div", "changes"), made("div", "marks"));
  return sheet;
}

// Fetches a sheet. The old picture stays until the new one is there, so that nothing flickers.
async function fill(sheet, page) {
  sheet.dataset.sheet = page.sheet;
  const image = made("img", "", "", { alt: "", src: `/sheets/${page.sheet}.svg` });
  try {
    const [words] = await Promise.all([
      fetch(`/sheets/${page.sheet}.json`).then((answer) => answer.json()),
      image.decode(),
    ]);
    // A later build may have been faster.
    if (sheet.dataset.sheet !== page.sheet) return;
    sheet.querySelector("img")?.remove();
    sheet.prepend(image);
    sheet.querySelector(".words").replaceChildren(...wordsOf(words, page));
    sheet.dataset.ready = page.sheet;
    if (!placed) toWords(sheet, words, page);
  } catch {
    // The compiler is gone, or has built again: the next news brings it right.
    if (sheet.dataset.sheet === page.sheet) delete sheet.dataset.sheet;
  }
}

// Where a page is wider than the view, it begins with its words and not with its margin.
let placed = false;

function toWords(sheet, words, page) {
  const lines = words.parts.flatMap((part) => part.lines ?? []);
  if (lines.length === 0) return;
  placed = true;
  const left = Math.min(...lines.map((line) => line.left)) / page.width * sheet.clientWidth;
  if (pages.scrollWidth > pages.clientWidth) pages.scrollLeft = sheet.offsetLeft + left - 12;
}

// The words of a page, as elements with their roles, laid over what they say.
function wordsOf(words, page) {
  const elements = words.parts.map((part) => partOf(part, page));
  const outermost = [];
  words.parts.forEach((part, index) => {
    const around = part.parent === undefined ? undefined : elements[part.parent];
    if (around) around.append(elements[index]); else outermost.push(elements[index]);
  });
  return outermost;
}

const tags = { paragraph: "p", blockquote: "blockquote", code: "code", words: "span" };

function partOf(part, page) {
  const element = made(tags[part.role] ?? "div");
  if (!(part.role in tags)) element.setAttribute("role", part.role === "caption" ? "paragraph" : part.role);
  if (part.level) element.setAttribute("aria-level", part.level);
  if (part.role === "figure") {
    element.className = "figure";
    element.setAttribute("aria-label", "figure");
    element.textContent = part.words ?? "";
    if (part.area) lay(element, part.area, page);
  }
  for (const line of part.lines ?? []) element.append(lineOf(line, page));
  return element;
}

function lay(element, [left, top, width, height], page) {
  element.style.left = `${100 * left / page.width}%`;
  element.style.top = `${100 * top / page.height}%`;
  element.style.width = `${100 * width / page.width}%`;
  element.style.height = `${100 * height / page.height}%`;
}

const measure = document.createElement("canvas").getContext("2d");

function lineOf(line, page) {
  const element = made("span", line.serif ? "line serif" : "line sans", line.text);
  element.style.left = `${100 * line.left / page.width}%`;
  element.style.top = `${100 * (line.base - line.size * 0.85) / page.height}%`;
  element.style.fontSize = `${100 * line.size / page.width}cqw`;
  measure.font = `100px ${line.serif ? "serif" : "sans-serif"}`;
  const own = measure.measureText(line.text).width / 100 * line.size;
  if (own > 0) element.style.transform = `scaleX(${line.width / own})`;
  return element;
}

// What changed

function showChanges(areas) {
  pages.querySelectorAll(".changes").forEach((layer) => layer.replaceChildren());
  const marks = [];
  for (const area of joined(areas)) {
    const sheet = pages.children[area.page];
    if (!sheet) continue;
    const seam = area.height <= 0;
    const mark = made("div", seam ? "change seam" : "change");
    const page = { width: +sheet.dataset.width, height: +sheet.dataset.height };
    lay(mark, [page.width * 0.05, area.top - 1, page.width * 0.9, area.height + 2], page);
    sheet.querySelector(".changes").append(mark);
    marks.push(mark);
  }
  if (!pages.hidden && marks.length && byId("follow").checked && !marks.some(isInView)) scrollTo(marks[0]);
}

// Areas beneath each other as one.
function joined(areas) {
  const whole = [];
  for (const area of areas) {
    const last = whole.at(-1);
    if (last && last.page === area.page && area.top - (last.top + last.height) < 16) {
      last.height = Math.max(last.height, area.top + area.height - last.top);
    } else {
      whole.push({ ...area });
    }
  }
  return whole;
}

// The view that is open.
const open = () => [script, byId("student")].find((main) => !main.hidden) ?? pages;

function isInView(element) {
  const [own, view] = [element.getBoundingClientRect(), open().getBoundingClientRect()];
  return own.bottom > view.top && own.top < view.bottom;
}

function scrollTo(element) {
  const [own, view] = [element.getBoundingClientRect(), open().getBoundingClientRect()];
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  open().scrollBy({
    top: own.top - view.top - view.height / 3,
    left: own.left < view.left || own.left > view.right ? own.left - view.left - 24 : 0,
    behavior: still ? "instant" : "smooth",
  });
}

// The script: what is said, shown and played, each with its moment.

function showScript(lesson, old) {
  const { items, chapters, running: runs, sections, has_length } = lesson.script ?? { items: [], chapters: [], sections: [] };
  const spoken = items.some((item) => item.kind !== "heading");
  const known = new Map();
  for (const item of old?.script?.items ?? items) known.set(saying(item), (known.get(saying(item)) ?? 0) + 1);
  const elements = items.map((item, index) => {
    const left = known.get(saying(item)) ?? 0;
    known.set(saying(item), left - 1);
    return itemOf(item, index, left > 0);
  });
  // The words that stay keep their place on the screen.
  const anchor = [...script.querySelectorAll(".item")].find((element) => element.getBoundingClientRect().bottom > script.getBoundingClientRect().top);
  const [key, before] = [anchor?.dataset.key, anchor?.getBoundingClientRect().top];
  const focused = script.contains(document.activeElement) ? document.activeElement.id || document.activeElement.hash : "";
  const running = spoken ? `Runs ${runs}` : "Nothing is said in this lesson yet; a block of the kind “say” begins its script.";
  const list = made("ol");
  list.append(...chapters.map(chapterOf));
  const contents = made("nav", "chapters", "", { "aria-labelledby": "chapters" });
  contents.append(made("h2", "", "Chapters", { id: "chapters" }), list);
  const table = spoken && sections.length ? [tableOf(sections, script.querySelector(".sections")?.open ?? has_length)] : [];
  script.replaceChildren(made("p", "runs", running), ...table, ...(chapters.length ? [contents] : []), ...(spoken ? elements : []));
  const same = key && [...script.querySelectorAll(".item")].find((element) => element.dataset.key === key);
  if (same) script.scrollTop += same.getBoundingClientRect().top - before;
  if (focused) (byId(focused) ?? script.querySelector(`a[href="${focused}"]`))?.focus({ preventScroll: true });
  const changed = elements.filter((element) => element.classList.contains("said-anew"));
  if (!script.hidden && changed.length && byId("follow").checked && !changed.some(isInView)) scrollTo(changed[0]);
}

// What makes two items the same one, whenever they come.
const saying = (item) => `${item.kind} ${item.words} ${item.told?.caption ?? ""} ${item.figure?.sheet ?? ""}`;

// Where the time is; the last row is that of all sections.
function tableOf(sections, isOpen) {
  const row = (cells, tag, scope) => {
    const row = made("tr");
    row.append(...cells.map((cell, index) => index === 1 && scope ? made("th", "", cell, { scope }) : made(tag, "", cell, tag === "th" ? { scope: "col" } : {})));
    return row;
  };
  const [table, head, body] = [made("table"), made("thead"), made("tbody")];
  head.append(row(["begins", "section", "speech", "music", "pauses", "in all"], "th"));
  body.append(...sections.map(({ at, title, times }, index) => row([index + 1 < sections.length ? at : "", title, ...times], "td", "row")));
  table.append(head, body);
  const whole = made("details", "sections");
  whole.open = isOpen;
  whole.append(made("summary", "", "Where the time is"), table);
  return whole;
}

function chapterOf(chapter) {
  const entry = made("li");
  const link = made("a", "", "", { href: `#said-${chapter.item + 1}` });
  link.append(made("span", "clock", chapter.at), ` ${chapter.title}`);
  entry.append(link);
  return entry;
}

function itemOf(item, index, isKnown) {
  const element = made("div", `item ${item.kind}${isKnown ? "" : " said-anew"}`, "", { id: `said-${index + 1}`, tabindex: "-1" });
  element.dataset.key = saying(item);
  if (item.lines) [element.dataset.from, element.dataset.to] = item.lines;
  if (item.kind === "heading") {
    // The page's own heading is the first level.
    element.append(made(`h${Math.min(6, Math.max(2, item.level))}`, "", item.words));
    return element;
  }
  const words = made("p");
  if (item.kind === "cue") words.append(made("span", "hidden", "Cue: "));
  if (item.told) words.append(...Reading.cue(item.told));
  else words.append(item.words);
  element.append(made("span", "clock", item.at), words);
  if (item.figure) {
    const { sheet, width, height, words } = item.figure;
    // What is wider than the column beside cues stands beneath its own, as on the printed script.
    const isWide = width * 96 / 72 > 320;
    const image = made("img", "", "", { src: `/sheets/${sheet}.svg`, alt: words, width: Math.round(width * 96 / 72), height: Math.round(height * 96 / 72) });
    const frame = made("div", isWide ? "figure wide" : "figure");
    frame.append(image);
    element.append(frame);
  }
  return element;
}

// Where a finding stands in the script, if it does.
function saidAt(found) {
  const holds = (element) => +element.dataset.from <= found.line && found.line <= +element.dataset.to;
  return [...script.querySelectorAll(".item[data-from]")].find(holds);
}

function markSaid(found, index) {
  const element = saidAt(found);
  element?.append(made("a", `mark ${found.weight}`, String(index + 1), {
    href: `#finding-${index + 1}`,
    "aria-label": `${found.weight} ${index + 1}: ${found.message}`,
    title: found.message,
  }));
}

// Which view is open: the address says so. The view to read from lies over the others.
const viewed = () => ["script", "student", "read"].find((name) => location.hash === `#${name}`) ?? "handout";

function view() {
  const wished = viewed();
  // Before it is hidden, where nothing has a place any more.
  students.open = wished === "student";
  script.hidden = wished !== "script";
  pages.hidden = wished !== "handout";
  byId("student").hidden = wished !== "student";
  byId("read").hidden = wished !== "read";
  for (const element of document.querySelectorAll("header, #trouble, aside")) element.inert = wished === "read";
  reading.open = wished === "read";
  for (const link of document.querySelectorAll("#views a")) {
    if (link.hash === `#${wished}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
}

function turnTo(name) {
  history.replaceState(null, "", `#${name}`);
  view();
}

addEventListener("hashchange", view);

// Findings

const counted = (number, thing) => number === 1 ? `1 ${thing}` : `${number} ${thing}s`;

function showFindings(lesson, old) {
  const { counts, findings } = lesson;
  const present = ["fault", "doubt", "hint"].filter((weight) => counts[weight] > 0);
  document.body.classList.toggle("clean", findings.length === 0);
  byId("tally").textContent = present.map((weight) => counted(counts[weight], weight)).join(", ") || "No findings";
  const known = new Set((old?.findings ?? findings).map(sameness));
  const focused = document.activeElement?.closest?.("#findings a, .mark")?.hash;
  byId("findings").replaceChildren(...findings.map((found, index) => entryOf(found, index, !known.has(sameness(found)))));
  pages.querySelectorAll(".marks").forEach((layer) => layer.replaceChildren());
  findings.forEach(showMark);
  findings.forEach(markSaid);
  choose(findings.length > chosen ? chosen : -1);
  if (focused) document.querySelector(`a[href="${focused}"]`)?.focus({ preventScroll: true });
}

const sameness = (found) => `${found.rule} ${found.message}`;

function entryOf(found, index, isNew) {
  const entry = made("li", found.weight + (isNew ? " new" : ""), "", { id: `finding-${index + 1}` });
  const link = made("a", "", "", { href: `#place-${index + 1}` });
  link.append(
    made("span", "weight", `${found.weight} ${index + 1}`),
    made("span", "where", `, line ${found.line}, page ${found.place.page + 1}: `),
    withCode(made("span", "message"), found.message),
    made("span", "rule", ` (${found.rule})`),
  );
  entry.append(link);
  for (const note of found.notes) entry.append(withCode(made("p", "note"), note));
  for (const repair of found.repairs) entry.append(withCode(made("p", "note", "Repair: "), repair));
  return entry;
}

function showMark(found, index) {
  const sheet = pages.children[found.place.page];
  if (!sheet) return;
  const page = { width: +sheet.dataset.width, height: +sheet.dataset.height };
  const layer = sheet.querySelector(".marks");
  const place = made("div", "place", "", { id: `place-${index + 1}` });
  lay(place, [found.place.left, found.place.top, found.place.width, found.place.height], page);
  const mark = made("a", `mark ${found.weight}`, String(index + 1), {
    href: `#finding-${index + 1}`,
    "aria-label": `${found.weight} ${index + 1}: ${found.message}`,
    title: found.message,
  });
  // Marks of one line stand beside each other.
  const top = (100 * found.place.top / page.height).toFixed(3);
  const beside = [...layer.querySelectorAll(".mark")].filter((other) => Math.abs(other.dataset.top - top) < 2.2);
  mark.dataset.top = top;
  mark.style.top = `${top}%`;
  mark.style.right = `calc(.8cqw + ${beside.length * 28}px)`;
  layer.append(place, mark);
}

function choose(index) {
  chosen = index;
  document.querySelectorAll(".chosen").forEach((element) => element.classList.remove("chosen"));
  byId(`place-${index + 1}`)?.classList.add("chosen");
  byId(`finding-${index + 1}`)?.classList.add("chosen");
}

function toPlace(index) {
  choose(index);
  const said = script.hidden ? undefined : saidAt(lessons.get(shown).findings[index]);
  if (said) {
    said.classList.add("chosen");
    scrollTo(said);
    said.querySelector(`.mark[href="#finding-${index + 1}"]`)?.focus({ preventScroll: true });
    return;
  }
  if (pages.hidden) turnTo("handout");
  const place = byId(`place-${index + 1}`);
  if (place) scrollTo(place);
  place?.parentElement.querySelector(`.mark[href="#finding-${index + 1}"]`)?.focus({ preventScroll: true });
}

function toFinding(index) {
  byId("panel").open = true;
  choose(index);
  const link = byId(`finding-${index + 1}`)?.querySelector("a");
  link?.scrollIntoView({ block: "nearest" });
  link?.focus({ preventScroll: true });
}

function toSaid(index) {
  const element = byId(`said-${index + 1}`);
  element?.scrollIntoView({ block: "start" });
  element?.focus({ preventScroll: true });
}

document.addEventListener("click", (event) => {
  const hash = event.target.closest("a[href^='#']")?.hash ?? "";
  const [, kind, number] = /^#(place|finding|said)-(\d+)$/.exec(hash) ?? [];
  if (!kind) return;
  event.preventDefault();
  ({ place: toPlace, finding: toFinding, said: toSaid })[kind](number - 1);
});

// Zoom, following, keys

let zoom = 1;

// Zooms about the middle of what is in view.
function setZoom(next) {
  const main = open();
  const middle = (main.scrollTop + main.clientHeight / 2) / main.scrollHeight;
  zoom = Math.min(4, Math.max(0.25, next));
  document.documentElement.style.setProperty("--zoom", zoom);
  byId("fit").textContent = `${Math.round(zoom * 100)}%`;
  main.scrollTop = middle * main.scrollHeight - main.clientHeight / 2;
  kept.write("zoom", zoom);
}

function step(by) {
  const count = lessons.get(shown)?.findings.length ?? 0;
  if (count) toPlace((chosen + by + count) % count);
}

const keys = {
  "n": () => step(1),
  "p": () => step(chosen < 0 ? 0 : -1),
  "+": () => setZoom(zoom * 1.2),
  "=": () => setZoom(zoom * 1.2),
  "-": () => setZoom(zoom / 1.2),
  "0": () => setZoom(1),
  "s": () => { turnTo(script.hidden ? "script" : "handout"); open().focus(); },
  "w": () => { turnTo(viewed() === "student" ? "handout" : "student"); open().focus(); },
  "r": () => turnTo("read"),
  "f": () => byId("follow").click(),
  "?": () => byId("help").showModal(),
};

function onKey(event) {
  if (viewed() === "read") {
    // Whoever wants no single keys goes on by space, arrows and a presenter's keys alone.
    if (event.key === " " || event.key.length > 1 || byId("single").checked) reading.takes(event);
    return;
  }
  const typing = event.target.closest("select, textarea, input:not([type=checkbox]), dialog");
  if (event.ctrlKey || event.metaKey || event.altKey || typing || !byId("single").checked) return;
  const act = keys[event.key];
  if (!act) return;
  event.preventDefault();
  act();
}

document.addEventListener("keydown", onKey);

byId("larger").addEventListener("click", keys["+"]);
byId("smaller").addEventListener("click", keys["-"]);
byId("fit").addEventListener("click", keys["0"]);
byId("keys").addEventListener("click", keys["?"]);
for (const name of ["follow", "single"]) {
  byId(name).checked = kept.read(name, true);
  byId(name).addEventListener("change", (event) => kept.write(name, event.target.checked));
}
if (matchMedia("(max-width: 56rem)").matches) byId("panel").open = false;

view();
setZoom(kept.read("zoom", 1));
listen();
