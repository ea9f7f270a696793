"use strict";
// The view to read from: what is said, large, moving at the pace and waiting at each cue. It stands
// alone in a file, and is a view of the live page. Words of a lesson are put in as text only.

const Reading = (() => {
  // How far from the top the line lies that is being said, as a share of the height.
  const LINE = 0.36;
  // How long the page takes to follow a leap, in seconds. Assumed: quick, but the eye can follow.
  const FOLLOWS = 0.12;
  // The longest step of the clock, in seconds: a page that slept doesn't leap when it wakes.
  const LONGEST_STEP = 1;
  const PACES = [60, 240];
  const SIZES = [0.5, 2];

  const between = (value, [least, most]) => Math.min(most, Math.max(least, value));
  const wordsIn = (text) => text.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)).length;

  function made(tag, name = "", words = "") {
    const element = document.createElement(tag);
    if (name) element.className = name;
    if (words) element.textContent = words;
    return element;
  }

  function clock(seconds) {
    const whole = Math.max(0, Math.round(seconds));
    const [hours, minutes, rest] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, String(whole % 60).padStart(2, "0")];
    return hours ? `${hours}:${String(minutes).padStart(2, "0")}:${rest}` : `${minutes}:${rest}`;
  }

  // A text in its sentences, which together are the text.
  const sentences = (text) => text.replace(/\s+/g, " ").split(/(?<=[.!?…]["”’)\]]*\s)(?=\S)/);

  const stillness = matchMedia("(prefers-reduced-motion: reduce)");

  const KEYS = [
    ["Space", "go on, or hold"],
    ["→ ↓ PageDown", "on from a cue, or to the next one"],
    ["← ↑ PageUp", "back to the cue before"],
    ["Home End", "to the beginning, to the end"],
    ["[ ] or , .", "slower, faster"],
    ["+ −", "larger, smaller"],
    ["d", "light on dark, or dark on light"],
    ["m", "mirrored, for a glass"],
    ["s", "music as it is said, or as it is written"],
    ["?", "this list"],
  ];

  return class Reading {
    #root; #leave; #column = made("div", "column"); #left = made("span", "left"); #over = made("span", "over");
    #state = made("span", "state"); #pace = made("span", "pace"); #help = made("dialog");
    #script = { items: [], pace: 150 };
    #items = []; #tops = []; #marked = "";
    // The place: an item, and the share of it that is over.
    #at = 0; #share = 0;
    #runs = false; #begun = false; #wordsAMinute = 150;
    #shown = null; #last = null; #open = false;
    #looks = { size: 1, dark: matchMedia("(prefers-color-scheme: dark)").matches, mirrored: false, said: true };

    // Builds the view in an element; `leave` leads out of it, where there is something else.
    constructor(root, leave) {
      this.#root = root;
      this.#leave = leave ?? null;
      this.#looks = { ...this.#looks, ...kept() };
      root.classList.add("reading");
      const stage = made("div", "stage");
      stage.append(this.#column);
      stage.addEventListener("click", () => this.#goOn());
      stage.addEventListener("wheel", (event) => this.#nudge(event.deltaY), { passive: true });
      root.replaceChildren(stage, this.#foot(), this.#list());
      addEventListener("resize", () => this.#measure());
      document.fonts?.ready.then(() => this.#measure());
      this.#dress();
    }

    #foot() {
      const foot = made("footer");
      this.#state.setAttribute("role", "status");
      const keys = made("button", "", "Keys");
      keys.type = "button";
      keys.addEventListener("click", () => this.#help.showModal());
      foot.append(this.#left, this.#over, this.#state, this.#pace, keys);
      if (this.#leave) {
        const out = made("button", "", "Leave");
        out.type = "button";
        out.addEventListener("click", this.#leave);
        foot.append(out);
      }
      return foot;
    }

    #list() {
      const list = made("dl");
      for (const [key, does] of [...KEYS, ...(this.#leave ? [["Esc", "leave this view"]] : [])]) {
        list.append(made("dt", "", key), made("dd", "", does));
      }
      const close = made("button", "", "Close");
      const form = made("form");
      form.method = "dialog";
      form.append(close);
      this.#help.setAttribute("aria-label", "Keys");
      this.#help.append(list, form);
      this.#help.addEventListener("close", () => this.#root.focus());
      return this.#help;
    }

    // A cue's words: what is to be done, which figure by its number and caption, and how.
    static cue({ verb, which, caption, how }) {
      const pieces = [made("span", "verb", verb), which, caption && made("i", "", caption), how].filter(Boolean);
      return pieces.flatMap((piece, index) => index ? [" ", piece] : [piece]);
    }

    // Shows a script. One that was edited keeps its place; another one begins anew.
    show(script, isAnother) {
      const here = this.#script.items[this.#at];
      if (isAnother || script.pace !== this.#script.pace) this.#wordsAMinute = script.pace;
      this.#script = script;
      if (isAnother) this.#to(0, false);
      else this.#stay(here);
      this.#build();
    }

    // Finds what was being said in the edited script, near where it stood.
    #stay(here) {
      const { items } = this.#script;
      const same = (index) => items[index]?.kind === here?.kind && items[index]?.words === here?.words;
      const places = [...items.keys()].filter(same).sort((a, b) => Math.abs(a - this.#at) - Math.abs(b - this.#at));
      this.#at = places[0] ?? Math.min(this.#at, items.length);
      this.#shown = null;
    }

    // Begins to be seen, or ends.
    set open(isOpen) {
      if (isOpen === this.#open) return;
      this.#open = isOpen;
      if (!isOpen) { this.#runs = false; return; }
      this.#measure();
      this.#root.focus();
      this.#last = null;
      requestAnimationFrame((now) => this.#frame(now));
    }

    #build() {
      this.#items = this.#script.items.map((item) => {
        const element = made(item.kind === "heading" ? "h2" : "p", `passage ${item.kind}`);
        const words = this.#looks.said && item.said ? item.said : item.words;
        const pieces = item.kind === "speech" ? sentences(words) : [words];
        const spans = pieces.map((piece) => made("span", "sentence", piece));
        if (item.told) spans[0].replaceChildren(...Reading.cue(item.told));
        if (item.faulty) element.append(made("span", "wrong", "Something is wrong here:"));
        element.append(...spans);
        const counts = pieces.map(wordsIn);
        return { element, spans, counts, all: Math.max(1, counts.reduce((a, b) => a + b, 0)) };
      });
      this.#column.replaceChildren(...this.#items.map((item) => item.element));
      this.#marked = "";
      this.#measure();
    }

    #measure() {
      const from = this.#column.getBoundingClientRect();
      const top = (item) => item.element.getBoundingClientRect().top - from.top;
      this.#tops = [...this.#items.map(top), from.height];
      this.#shown = null;
      this.#draw(0);
    }

    // The clock

    #frame(now) {
      if (!this.#open) return;
      const step = Math.min(LONGEST_STEP, (now - (this.#last ?? now)) / 1000);
      this.#last = now;
      this.#advance(step);
      this.#draw(step);
      requestAnimationFrame((next) => this.#frame(next));
    }

    #advance(step) {
      for (let left = step; this.#runs && left > 0;) {
        const item = this.#script.items[this.#at];
        if (!item) { this.#runs = false; return; }
        if (this.#stops(item)) return;
        const takes = this.#takes(item);
        const rest = takes * (1 - this.#share);
        if (left < rest) { this.#share += left / takes; return; }
        left -= rest;
        this.#at += 1;
        this.#share = 0;
      }
    }

    // Whether it waits for whoever reads; a pause goes on by itself.
    #stops(item) {
      return item.kind === "cue" && !(item.goes && this.#runs);
    }

    // How long an item takes, in seconds; what is said at the pace.
    #takes(item) {
      return item.kind === "speech" ? item.seconds * this.#script.pace / this.#wordsAMinute : item.seconds;
    }

    #secondsLeft() {
      const left = (item, index) => index < this.#at ? 0 : this.#takes(item) * (index === this.#at ? 1 - this.#share : 1);
      return this.#script.items.reduce((all, item, index) => all + left(item, index), 0);
    }

    // Where it is, and how it gets elsewhere

    #to(at, runs = this.#runs) {
      this.#at = at;
      this.#share = 0;
      this.#runs = runs;
    }

    #goOn() {
      const item = this.#script.items[this.#at];
      this.#begun = true;
      if (item && this.#stops(item)) this.#to(this.#at + 1, true);
      else this.#runs = Boolean(item) && !this.#runs;
      if (this.#runs) navigator.wakeLock?.request("screen").catch(() => { /* The screen may sleep then. */ });
    }

    #forward() {
      const item = this.#script.items[this.#at];
      if (item && this.#stops(item)) { this.#goOn(); return; }
      const next = this.#script.items.findIndex((item, index) => index > this.#at && item.kind === "cue");
      this.#to(next < 0 ? this.#script.items.length : next);
    }

    #back() {
      const before = this.#script.items.slice(0, this.#at).findLastIndex((item) => item.kind === "cue");
      this.#to(Math.max(0, before), before < 0 ? false : this.#runs);
    }

    #nudge(by) {
      const wished = this.#place() + by;
      const at = this.#tops.findLastIndex((top) => top <= wished);
      this.#to(Math.max(0, at));
      const height = (this.#tops[at + 1] ?? 0) - this.#tops[at];
      if (this.#script.items[at]?.kind === "speech" && height > 0) this.#share = (wished - this.#tops[at]) / height;
    }

    // How far down the column the reading line is.
    #place() {
      const top = this.#tops[this.#at] ?? 0;
      const moves = this.#script.items[this.#at]?.kind === "speech";
      return moves ? top + this.#share * (this.#tops[this.#at + 1] - top) : top;
    }

    // The sentence that is being said.
    #sentence() {
      const item = this.#items[this.#at];
      let said = this.#share * (item?.all ?? 0);
      const at = item?.counts.findIndex((count) => (said -= count) < 0) ?? 0;
      return at < 0 ? item.counts.length - 1 : at;
    }

    // Drawing

    #draw(step) {
      this.#mark();
      const wished = stillness.matches ? this.#still() : this.#place();
      const glides = this.#shown !== null && !stillness.matches;
      this.#shown = glides ? this.#shown + (wished - this.#shown) * (1 - Math.exp(-step / FOLLOWS)) : wished;
      const line = this.#column.parentElement.clientHeight * LINE;
      this.#column.style.transform = `translateY(${(line - this.#shown).toFixed(2)}px)`;
      this.#tell();
    }

    // Where it stands without gliding: at the speech, or a screenful further where that is longer.
    #still() {
      const top = this.#tops[this.#at] ?? 0;
      const screenful = this.#column.parentElement.clientHeight * (1 - LINE) * 0.8;
      return screenful > 0 ? top + Math.floor((this.#place() - top) / screenful) * screenful : top;
    }

    // What was said fades, what is being said stands out.
    #mark() {
      const sentence = this.#sentence();
      const mark = `${this.#at} ${sentence}`;
      if (mark === this.#marked) return;
      this.#marked = mark;
      this.#items.forEach(({ spans, element }, index) => {
        const isHere = index === this.#at;
        element.classList.toggle("here", isHere);
        spans.forEach((span, place) => {
          span.classList.toggle("past", index < this.#at || isHere && place < sentence);
          span.classList.toggle("now", isHere && place === sentence);
        });
      });
    }

    #tell() {
      const left = this.#secondsLeft();
      const { length, items } = this.#script;
      const over = length === undefined ? 0 : items.reduce((all, item) => all + this.#takes(item), 0) - length;
      put(this.#left, `${clock(left)} left`);
      put(this.#over, over >= 1 ? `runs ${clock(over)} over its ${clock(length)}` : "");
      put(this.#pace, `${this.#wordsAMinute} words a minute`);
      const [state, words] = this.#standing();
      if (this.#root.dataset.state !== state) this.#root.dataset.state = state;
      if (this.#root.dataset.at !== String(this.#at)) this.#root.dataset.at = this.#at;
      put(this.#state, words);
    }

    #standing() {
      const item = this.#script.items[this.#at];
      if (!item) return ["end", this.#script.items.length ? "the end" : "nothing is said in this lesson yet"];
      if (!this.#begun) return ["held", "Space or a tap begins"];
      if (this.#stops(item)) return ["waits", "Space or a tap goes on"];
      if (!this.#runs) return ["held", "waiting: Space or a tap goes on"];
      if (item.kind === "cue") return ["pauses", `goes on in ${Math.ceil(this.#takes(item) * (1 - this.#share))} s`];
      return ["moves", ""];
    }

    #dress() {
      const { size, dark, mirrored } = this.#looks;
      this.#root.style.setProperty("--times", size);
      this.#root.dataset.ground = dark ? "dark" : "light";
      this.#root.classList.toggle("mirrored", mirrored);
    }

    // Changes what it looks like, and keeps that in the browser where it can.
    #look(change) {
      Object.assign(this.#looks, change);
      try { localStorage.setItem("reading", JSON.stringify(this.#looks)); } catch { /* Nothing is kept then. */ }
      this.#dress();
      if ("said" in change) this.#build();
      this.#measure();
    }

    #hurry(by) { this.#wordsAMinute = between(this.#wordsAMinute + by, PACES); }
    #enlarge(times) { this.#look({ size: between(this.#looks.size * times, SIZES) }); }

    // What a key does; `null` where it does nothing here.
    #act(key) {
      switch (key) {
        case " ": return () => this.#goOn();
        case "ArrowRight": case "ArrowDown": case "PageDown": return () => this.#forward();
        case "ArrowLeft": case "ArrowUp": case "PageUp": return () => this.#back();
        case "Home": return () => this.#to(0, false);
        case "End": return () => this.#to(this.#script.items.length, false);
        case "[": case ",": return () => this.#hurry(-5);
        case "]": case ".": return () => this.#hurry(5);
        case "+": case "=": return () => this.#enlarge(1.1);
        case "-": case "−": return () => this.#enlarge(1 / 1.1);
        case "d": return () => this.#look({ dark: !this.#looks.dark });
        case "m": return () => this.#look({ mirrored: !this.#looks.mirrored });
        case "s": return () => this.#look({ said: !this.#looks.said });
        case "?": return () => this.#help.showModal();
        case "Escape": return this.#leave;
        default: return null;
      }
    }

    // Takes a key if it is one of its own, and says whether it was.
    takes(event) {
      const isElsewhere = event.target.closest?.("dialog, button");
      if (event.ctrlKey || event.metaKey || event.altKey || isElsewhere) return false;
      const act = this.#act(event.key);
      if (!act) return false;
      event.preventDefault();
      this.#begun ||= event.key.startsWith("Arrow") || event.key.startsWith("Page");
      act();
      this.#draw(0);
      return true;
    }
  };

  function put(element, words) {
    if (element.textContent !== words) element.textContent = words;
  }

  // The looks that were chosen before, as far as they can be.
  function kept() {
    try {
      const looks = JSON.parse(localStorage.getItem("reading")) ?? {};
      const fits = ([name, value]) => name === "size" ? Number.isFinite(value) && between(value, SIZES) === value : typeof value === "boolean";
      return Object.fromEntries(Object.entries(looks).filter(fits));
    } catch { return {}; }
  }
})();

// A file of its own carries its script.
const carried = document.getElementById("reading-data");
if (carried) {
  const reading = new Reading(document.getElementById("reading"));
  reading.show(JSON.parse(carried.textContent), true);
  reading.open = true;
  document.addEventListener("keydown", (event) => reading.takes(event));
}
