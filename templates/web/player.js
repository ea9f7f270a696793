// Plays what a page shows. Each figure that can be heard gets the controls of the page's template; what is heard is made by
// the page's own strings (`string.js`) into a buffer, and the glyphs of each moment are heavy while it sounds.
"use strict";

(() => {
  const Sounding = window.AudioContext;
  if (!Sounding || !window.BigUint64Array) return;
  const scores = strings.scores(JSON.parse(document.getElementById("heard").textContent));
  const template = document.getElementById("player").content.firstElementChild;
  document.getElementById("silent").hidden = true;

  // ---- which bars, how fast: a score as it is asked for

  // What is heard between two moments of one time through.
  function between(score, from, to) {
    if (from === 0 && to === score.length) return score;
    const isHeard = ({ start }) => start >= from && start < to;
    const moved = (note) => ({ ...note, start: note.start - from, end: Math.min(note.end, to) - from });
    const parts = score.parts.map((part) => ({
      ...part,
      notes: part.notes.filter(isHeard).map(moved),
      tones: part.tones.filter(([at]) => at < to).map(([at, ...tone]) => [Math.max(at - from, 0), ...tone]),
    }));
    const clicks = score.clicks.filter(([at]) => at >= from && at < to).map(([at, strong]) => [at - from, strong]);
    const moments = score.moments.filter(([at]) => at >= from && at < to).map(([at, written]) => [at - from, written]);
    return { ...score, parts, clicks, moments, length: to - from };
  }

  // The moments between which two bars, as they are written, are played: without what is repeated before or behind them.
  function span(score, first, last) {
    const all = score.bars;
    const written = [...new Set(all.map((bar) => bar.written))].sort((one, other) => one - other);
    if (first === written[0] && last === written[written.length - 1]) return [0, score.length];
    const begins = all.findIndex((bar) => bar.written === first);
    const found = all.findIndex((bar, at) => at >= begins && bar.written === last);
    const ends = found < 0 ? all.findIndex((bar) => bar.written === last) : found;
    const near = all.slice(0, ends + 1).map((bar) => bar.written).lastIndexOf(first);
    const begun = all[near < 0 ? ends : near];
    return [begun.start, all[ends].start + all[ends].length];
  }

  // A bar of clicks before a bar that isn't the first.
  function countedInto(score, from) {
    const bar = score.bars.find(({ start }) => start === from);
    if (from === 0 || !bar) return score;
    const count = Math.max(Math.ceil(bar.length / bar.beat), 1);
    const countIn = Array.from({ length: count }, (_, beat) => [beat * bar.beat, beat === 0]);
    return { ...score, countIn, countInLength: bar.length };
  }

  function asked(score, { first, last, left, share, rung, counted, round }) {
    const [from, to] = span(score, first, last);
    let heard = counted ? countedInto(score, from) : { ...score, countIn: [], countInLength: 0 };
    heard = between(heard, from, to);
    heard.parts = heard.parts.filter((_, index) => !left.has(index));
    const rounds = rung === null ? score.rounds : [score.rounds[rung]];
    heard.rounds = rounds.map((tempo) => ({ ...tempo, number: Math.round(tempo.number * share) }));
    // The second time is like any later one, so that it can go round and round; the third is never heard.
    if (round) heard.rounds = heard.rounds.slice(-1).map((tempo) => ({ ...tempo, times: 3 }));
    return heard;
  }

  // When each moment sounds, in samples; where it goes round, what is played again, and where that ends.
  function timed(score, round) {
    const marks = [];
    let at = 0;
    let again = null;
    for (const tempo of score.rounds) {
      if (score.countInLength > 0) marks.push([at, null]);
      at += strings.samples(tempo, score.countInLength);
      for (let time = 0; time < (round ? 2 : tempo.times); time += 1) {
        if (round && time === 1) again = at;
        for (const [moment, written] of score.moments) marks.push([at + strings.samples(tempo, moment), written]);
        at += strings.samples(tempo, score.length);
      }
    }
    return { marks, again, length: round ? at : strings.length(score) };
  }

  // ---- sound

  // So long a browser may take to begin, in milliseconds; assumed.
  const PATIENCE = 4000;

  let audio = null;
  let playing = null;

  // The samples that a file of it would have, a buffer's −1 to 1; others get their turn meanwhile.
  async function rendered(score, length, goesOn) {
    const buffer = audio.createBuffer(2, length, strings.RATE);
    const sides = [0, 1].map((side) => buffer.getChannelData(side));
    let [at, since] = [0, performance.now()];
    for (const piece of strings.mix(score)) {
      const count = Math.min(piece[0].length, length - at);
      sides.forEach((side, which) => {
        for (let one = 0; one < count; one += 1) side[at + one] = strings.roundedOff(piece[which][one]) / 32768;
      });
      at += count;
      if (at >= length) break;
      if (performance.now() - since > 30) {
        await new Promise((done) => setTimeout(done));
        if (!goesOn()) return null;
        since = performance.now();
      }
    }
    return buffer;
  }

  // What is heard right now, in seconds of the context's time.
  function heardNow() {
    const { contextTime, performanceTime } = audio.getOutputTimestamp?.() ?? {};
    if (contextTime > 0) return contextTime + (performance.now() - performanceTime) / 1000;
    return audio.currentTime - (audio.outputLatency || audio.baseLatency || 0);
  }

  // Ends what is played; what is said of that then stands at its figure.
  function stop(words = "") {
    if (!playing) return;
    const { source, shown, button, said } = playing;
    playing = null;
    source?.stop();
    show(shown, null);
    button.textContent = button.dataset.play;
    said.textContent = words;
  }

  async function play(score, round, shown, { button, said }) {
    stop();
    const mine = { shown, button, said, source: null };
    playing = mine;
    button.textContent = button.dataset.stop;
    said.textContent = said.dataset.ready;
    audio ??= new Sounding({ sampleRate: strings.RATE });
    // Where a machine has no sound, a browser may say neither yes nor no.
    const isOn = await Promise.race([audio.resume().then(() => true), new Promise((done) => setTimeout(done, PATIENCE, false))]);
    if (playing !== mine) return;
    if (!isOn) return stop(said.dataset.silent);
    const { marks, again, length } = timed(score, round);
    const buffer = await rendered(score, length, () => playing === mine);
    if (!buffer || playing !== mine) return;
    const source = audio.createBufferSource();
    source.buffer = buffer;
    source.connect(audio.destination);
    if (again !== null) {
      source.loop = true;
      source.loopStart = again / strings.RATE;
      source.loopEnd = length / strings.RATE;
    }
    const begins = audio.currentTime + 0.05;
    source.onended = () => playing === mine && stop();
    source.start(begins);
    mine.source = source;
    said.textContent = "";
    follow(mine, begins, marks, again, length);
  }

  // Shows what sounds until it has ended.
  function follow(mine, begins, marks, again, length) {
    let last;
    const step = () => {
      if (playing !== mine) return;
      let at = Math.round((heardNow() - begins) * strings.RATE);
      if (again !== null && at >= length) at = again + (at - again) % (length - again);
      const written = marks[lastBefore(marks, at)]?.[1] ?? null;
      if (written !== last) show(mine.shown, written);
      last = written;
      requestAnimationFrame(step);
    };
    step();
  }

  function lastBefore(marks, at) {
    let [least, most] = [0, marks.length];
    while (least < most) {
      const middle = (least + most) >> 1;
      if (marks[middle][0] <= at) least = middle + 1;
      else most = middle;
    }
    return least - 1;
  }

  // ---- what shows it

  // The drawings of a figure, each with the glyphs of each moment and with its bars.
  const shownBy = (block) => [...document.querySelectorAll(`figure[data-block="${block}"] svg[data-moments]`)].map(read);

  const read = (svg) => {
    const glyphs = svg.querySelectorAll("use");
    const moments = new Map(
      numbers(svg.dataset.moments).map(([moment, ...which]) => [moment, which.map((index) => glyphs[index])]),
    );
    return { svg, moments, bars: numbers(svg.dataset.bars), heavy: [] };
  };

  const numbers = (text) => (text ? text.split(";").map((entry) => entry.split(" ").map(Number)) : []);

  // Makes the glyphs of a moment heavy, and no others; at a moment without any, those before it still sound.
  function show(drawings, written) {
    for (const drawing of drawings) {
      if (written !== null && !drawing.moments.has(written)) continue;
      drawing.heavy.forEach((word) => {
        word.classList.remove("now");
        word.removeAttribute("transform");
      });
      drawing.heavy = drawing.moments.get(written) ?? [];
      drawing.heavy.forEach((word) => {
        word.classList.add("now");
        grow(word);
      });
    }
  }

  // Makes a digit larger about its middle, so that it is heavy and can be read; names of chords have no room for that.
  function grow(word) {
    const { x, y, width, height } = word.getBBox();
    if (width > 2 * height) return;
    const [across, down] = [x + width / 2, y + height / 2];
    word.setAttribute("transform", `translate(${across} ${down}) scale(1.3) translate(${-across} ${-down})`);
  }

  // Brackets bars from one to another, as they are written; none where all are to be played.
  function bracket(drawings, first, last, all) {
    for (const { svg, bars } of drawings) {
      svg.querySelectorAll(".chosen").forEach((one) => one.remove());
      if (all) continue;
      for (const [start, left, upper, right] of bars) {
        if (start < first || start > last) continue;
        const line = document.createElementNS(svg.namespaceURI, "path");
        const [y, from, to] = [upper - 2, start === first ? `${left} ${upper + 4}V` : `${left} `, start === last ? "v6" : ""];
        line.setAttribute("d", `M${from}${y}H${right}${to}`);
        line.setAttribute("class", "chosen");
        svg.append(line);
      }
    }
  }

  // The bar at a place of the screen, as it is written.
  function barAt({ svg, bars }, event) {
    const matrix = svg.getScreenCTM();
    if (!matrix) return undefined;
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    return bars.find(([, left, upper, right, lower]) => x >= left && x <= right && y >= upper && y <= lower)?.[0];
  }

  // ---- controls

  // What a student has ticked stays on this machine; a browser may keep nothing.
  function remembered(key) {
    try {
      return localStorage.getItem(key) === "done";
    } catch {
      return false;
    }
  }

  function remember(key, isDone) {
    try {
      if (isDone) localStorage.setItem(key, "done");
      else localStorage.removeItem(key);
    } catch {
      // Then it holds as long as the page is open.
    }
  }

  const option = (value, words) => {
    const made = document.createElement("option");
    made.value = value;
    made.textContent = words;
    return made;
  };

  const tick = (words, isOn, changed) => {
    const label = document.createElement("label");
    const box = document.createElement("input");
    box.type = "checkbox";
    box.checked = isOn;
    box.addEventListener("change", () => changed(box.checked));
    label.append(box, ` ${words}`);
    return label;
  };

  const number = ({ number: beats, dotted }) => (dotted ? `♩. = ${beats}` : `♩ = ${beats}`);

  for (const figure of document.querySelectorAll("figure[data-score]")) {
    const score = scores[figure.dataset.score];
    const panel = template.cloneNode(true);
    const at = (name) => panel.querySelector(name);
    const [button, slower, round, count, from, to, parts, ladder, said] = [
      ".play", ".slower select", ".round input", ".count input", ".from select", ".to select", ".parts", ".ladder", "output",
    ].map(at);
    const caption = figure.querySelector("figcaption");
    if (caption) {
      caption.id ||= `caption-${figure.dataset.block}`;
      panel.setAttribute("aria-describedby", caption.id);
    }
    const left = new Set();

    const bars = [...new Map(score.bars.map((bar) => [bar.written, bar])).values()].sort((one, other) => one.written - other.written);
    const [opening, closing] = [bars[0].written, bars[bars.length - 1].written];
    for (const { written, number: bar } of bars) {
      const words = bar === 0 ? said.dataset.upbeat : String(bar);
      from.append(option(written, words));
      to.append(option(written, words));
    }
    to.value = closing;

    const isLadder = score.rounds.length > 1;
    for (let percent = 100; percent >= 50; percent -= 5) {
      const tempo = { ...score.rounds[0], number: Math.round(score.rounds[0].number * percent / 100) };
      const written = percent === 100 ? slower.parentElement.dataset.written : `${percent} %`;
      slower.append(option(percent / 100, isLadder ? written : `${written}, ${number(tempo)}`));
    }
    count.checked = "counted" in figure.dataset;
    if (bars.length < 2) at(".bars").remove();
    if (score.parts.length > 1) {
      score.parts.forEach(({ name }, index) => {
        parts.append(tick(name, true, (isOn) => {
          if (isOn) left.delete(index);
          else left.add(index);
          stop();
        }));
      });
    } else parts.remove();
    let rung = null;
    if (isLadder) {
      const which = document.createElement("select");
      which.setAttribute("aria-label", ladder.dataset.which);
      which.append(option("", ladder.dataset.all), ...score.rounds.map((tempo, index) => option(index, number(tempo))));
      which.addEventListener("change", () => {
        rung = which.value === "" ? null : Number(which.value);
        stop();
      });
      ladder.before(which);
      // The boxes to tick stand there; those on paper would be the same once more.
      figure.classList.add("practised");
      for (const [index, tempo] of score.rounds.entries()) {
        const key = `fretleaf ${location.pathname} ${figure.id || figure.dataset.block} ${index} ${tempo.number}`;
        ladder.append(tick(number(tempo), remembered(key), (isDone) => remember(key, isDone)));
      }
    } else ladder.remove();

    const drawings = shownBy(figure.dataset.shown);
    const chosen = () => [Number(from.value || opening), Number(to.value || closing)];
    const isAll = () => chosen()[0] === opening && chosen()[1] === closing;
    const choose = (first, last) => {
      [from.value, to.value] = [first, last];
      bracket(drawings, first, last, isAll());
      stop();
    };
    from.addEventListener("change", () => choose(chosen()[0], Math.max(...chosen())));
    to.addEventListener("change", () => choose(Math.min(...chosen()), chosen()[1]));
    // The first tap chooses a bar, the second those up to another.
    let tapped = null;
    if (figure.dataset.shown === figure.dataset.block && bars.length > 1) {
      for (const drawing of drawings) {
        drawing.svg.classList.add("tapped");
        drawing.svg.addEventListener("click", (event) => {
          const bar = barAt(drawing, event);
          if (bar === undefined) return;
          if (tapped === null) choose(bar, bar);
          else choose(Math.min(tapped, bar), Math.max(tapped, bar));
          tapped = tapped === null ? bar : null;
        });
      }
    }
    [slower, round, count].forEach((control) => control.addEventListener("change", () => stop()));

    button.addEventListener("click", () => {
      if (playing?.button === button) return stop();
      const [first, last] = chosen();
      const share = Number(slower.value);
      const wanted = { first, last, left, share, rung, counted: count.checked, round: round.checked };
      const heard = asked(score, wanted);
      if (heard.parts.length > 0) play(heard, round.checked, drawings, { button, said });
    });
    if (caption) caption.after(panel);
    else figure.prepend(panel);
  }
})();
