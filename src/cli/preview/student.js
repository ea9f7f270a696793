"use strict";
// The student's page in a frame of its own, which is there only while it is looked at. When the page comes anew, what is
// before the reader stays where it is, and what was chosen at the figures stays chosen.

class StudentsPage {
  // `follows` says whether to go to what changed; `takesKey` is told of the keys that are pressed in the page.
  constructor(main, follows, takesKey) {
    Object.assign(this, { main, follows, takesKey, isOpen: false, id: null, version: "" });
    // What was before the reader of each lesson, by the lesson's name.
    this.left = new Map();
    // What each control of the page is set to of itself.
    this.usual = new Map();
  }

  // Takes the lesson that is shown while the view is open; the version tells one page of it from the next.
  show(id, version) {
    if (id !== this.id) this.leave();
    Object.assign(this, { id, version });
    if (this.isOpen) this.fetch();
  }

  set open(isOpen) {
    this.isOpen = isOpen;
    if (isOpen) this.fetch();
    else this.leave();
  }

  // Takes the page away, so that nothing sounds unseen.
  leave() {
    const page = this.main.querySelector("iframe:not(.coming)")?.contentDocument;
    if (page) this.left.set(this.id, this.stateOf(page));
    this.main.replaceChildren();
  }

  fetch() {
    const last = this.main.lastElementChild;
    if (!this.version || last?.dataset.version === this.version) return;
    if (last?.className === "coming") last.remove();
    const frame = document.createElement("iframe");
    Object.assign(frame, { className: "coming", title: "Student’s page", allow: "autoplay" });
    frame.dataset.version = this.version;
    frame.addEventListener("load", () => this.take(frame), { once: true });
    frame.src = `/student/${this.id}?${this.version}`;
    this.main.append(frame);
  }

  // Puts a page that has come in the place of the last one.
  async take(frame) {
    const page = frame.contentDocument;
    await page?.fonts.ready;
    if (!frame.isConnected) return;
    // The compiler is gone: the next news brings it right.
    if (!page?.querySelector("main")) return frame.remove();
    const last = this.main.querySelector("iframe:not(.coming)");
    const before = last ? this.stateOf(last.contentDocument) : this.left.get(this.id);
    const hasFocus = this.main.contains(document.activeElement);
    this.usual = new Map(controlsOf(page).map(([, control]) => [control, settingOf(control)]));
    page.addEventListener("keydown", this.takesKey);
    for (const link of page.links) if (!isWithin(link)) link.target = "_blank";
    const changed = before ? putBack(page, before) : [];
    last?.remove();
    frame.className = "";
    if (hasFocus) focusIn(frame, before?.focused);
    changed.forEach(mark);
    if (this.follows() && changed.length > 0 && !changed.some(isInWindow)) goTo(changed[0]);
  }

  // What is before the reader of a page.
  stateOf(page) {
    const parts = partsOf(page).map(([key, part]) => ({ key, ...edgesOf(part) }));
    const controls = controlsOf(page);
    return {
      parts,
      first: parts.findIndex((part) => part.bottom > 0),
      scrolled: page.defaultView.scrollY,
      set: controls.map(([key, control]) => [key, settingOf(control), this.usual.get(control)]).filter(([, now, usual]) => now !== usual),
      focused: controls.find(([, control]) => control === page.activeElement)?.[0],
    };
  }
}

// Gives each thing a key: its words, and how many before it have the same.
function keyed(things, wordsOf) {
  const seen = new Map();
  return things.map((thing) => {
    const words = wordsOf(thing);
    seen.set(words, (seen.get(words) ?? 0) + 1);
    return [`${words} ${seen.get(words)}`, thing];
  });
}

// The parts of a page that stand beneath each other, known by what they say; their controls say what they do.
function partsOf(page) {
  const said = (part) => [...part.childNodes].filter((child) => child.className !== "player").map((child) => child.textContent);
  return keyed([...page.querySelectorAll("body > header, main > *")], (part) => `${part.tagName} ${said(part).join(" ")}`);
}

// What of a page takes the focus: links, known by their words, and the controls at figures, by the figure's caption
// without its number.
function controlsOf(page) {
  const captionOf = (figure) => figure.querySelector("figcaption")?.lastChild.textContent ?? figure.dataset.block;
  const placeOf = (control) => control.tagName === "A" ? control.textContent : captionOf(control.closest("figure"));
  const controls = [...page.querySelectorAll("a[href], figure :is(button, select, input, summary)")];
  return keyed(controls, (control) => `${placeOf(control)} ${control.tagName}`);
}

const edgesOf = (element) => {
  const { top, bottom } = element.getBoundingClientRect();
  return { top, bottom };
};

function settingOf(control) {
  if (control.tagName === "SUMMARY") return control.parentElement.open;
  return control.type === "checkbox" ? control.checked : control.value;
}

function set(control, setting) {
  if (control.tagName === "SUMMARY") control.parentElement.open = setting;
  else if (control.type === "checkbox") control.checked = setting;
  else if ([...control.options].some((option) => option.value === setting)) control.value = setting;
  control.dispatchEvent(new Event("change"));
}

// Brings a page to what was before the reader; gives the parts that are new to them.
function putBack(page, before) {
  const controls = new Map(controlsOf(page));
  for (const [key, setting] of before.set) if (controls.has(key)) set(controls.get(key), setting);
  const parts = partsOf(page);
  const now = new Map(parts);
  // What was at the top, or where that changed, what stood before it.
  const anchor = before.parts.slice(0, before.first + 1).findLast(({ key }) => now.has(key));
  const down = anchor ? edgesOf(now.get(anchor.key)).top - anchor.top : before.scrolled;
  page.defaultView.scrollBy({ top: down, behavior: "instant" });
  const known = new Set(before.parts.map(({ key }) => key));
  return parts.filter(([key]) => !known.has(key)).map(([, part]) => part);
}

function focusIn(frame, key) {
  frame.focus();
  new Map(controlsOf(frame.contentDocument)).get(key)?.focus({ preventScroll: true });
}

// Whether a link leads to a place of its own page.
function isWithin(link) {
  const { origin, pathname } = link.ownerDocument.location;
  return link.hash !== "" && link.origin === origin && link.pathname === pathname;
}

const isStill = () => matchMedia("(prefers-reduced-motion: reduce)").matches;

// The page's own policy lets no style in but by its parts.
function mark(part) {
  part.style.boxShadow = "-4px 0 #c9972e";
  if (!isStill()) part.animate({ backgroundColor: ["rgb(222 174 70 / 34%)", "transparent"] }, 2500);
}

function isInWindow(part) {
  const { top, bottom } = edgesOf(part);
  return bottom > 0 && top < part.ownerDocument.defaultView.innerHeight;
}

function goTo(part) {
  const view = part.ownerDocument.defaultView;
  view.scrollBy({ top: edgesOf(part).top - view.innerHeight / 3, behavior: isStill() ? "instant" : "smooth" });
}
