// What `src/hear/strings` and `src/hear/render` do, once more, for a page and for node: a page plays what `hear` writes.
// `src/web/sound.rs` hands over scores, and the tables that sines and powers are needed for; here are + − × ÷ and √
// alone, in the order of the Rust code, so that each number of the mix has the same bits (`tests/web/string.mjs`). Names
// are the same too, and where a figure comes from stands there.
"use strict";

const strings = (() => {
  const RATE = 44_100;
  const PIECE = 1024;
  const TAIL = RATE * 3 / 2;
  const LOUDNESS = 0.1;
  const PEAKS = [0.35, 0.85];
  const UNHEARD = 0.001;
  const KNEE = 0.8;
  const NOTHING = 1e-14;
  const STRETCH = 32;

  const part = (whole, parts) => Math.floor(whole / parts);
  const clamp = (number, least, most) => Math.min(Math.max(number, least), most);
  const quieted = (sample) => (sample < NOTHING && sample > -NOTHING ? 0 : sample);
  // Rust's sums begin with −0.
  const sum = (numbers) => numbers.reduce((all, number) => all + number, -0);

  // How many of a sorted list's first ones pass.
  function passing(all, test) {
    let [least, most] = [0, all.length];
    while (least < most) {
      const middle = part(least + most, 2);
      if (test(all[middle])) least = middle + 1;
      else most = middle;
    }
    return least;
  }

  // A copy of all that a player's state is made of.
  function copied(thing) {
    if (typeof thing !== "object" || thing === null) return thing;
    if (ArrayBuffer.isView(thing)) return thing.slice();
    if (Array.isArray(thing)) return thing.map(copied);
    const copy = Object.create(Object.getPrototypeOf(thing));
    for (const [name, value] of Object.entries(thing)) copy[name] = copied(value);
    return copy;
  }

  // ---- tables (losses.rs)

  const LOWEST = 10;
  const STEPS = 16;
  const HALF_STEPS = 118;

  const ORDER = 6;

  // Numbers out of base64: the sixth differences of their bits, each in bytes of seven bits.
  function unpacked(text) {
    const before = new Array(ORDER).fill(0n);
    const bits = whole(atob(text)).map((left) => {
      for (let order = ORDER - 1; order >= 0; order -= 1) {
        before[order] = BigInt.asUintN(64, before[order] + (order === ORDER - 1 ? left : before[order + 1]));
      }
      return before[0];
    });
    return new Float64Array(BigUint64Array.from(bits).buffer);
  }

  // Whole numbers, the lowest bits first; the lowest of all is set where one is below 0.
  function whole(bytes) {
    const numbers = [];
    let [number, shift] = [0n, 0n];
    for (const letter of bytes) {
      const byte = letter.charCodeAt(0);
      number |= BigInt(byte & 127) << shift;
      shift += 7n;
      if (byte > 127) continue;
      numbers.push((number >> 1n) ^ -(number & 1n));
      [number, shift] = [0n, 0n];
    }
    return numbers;
  }

  class Losses {
    // `first` is the step of the whole tables with which these begin.
    constructor(first, tables) {
      this.first = first;
      this.packed = tables;
      this.tables = {};
    }

    at(pitch, damping) {
      // Whoever plays nothing needs none of them.
      const [delays, gains, poles] = this.tables[damping] ??= this.packed[damping].map(unpacked);
      const step = clamp((pitch - LOWEST) * STEPS, 0, HALF_STEPS * STEPS);
      const whole = Math.trunc(step);
      const from = whole - this.first;
      const to = Math.min(from + 1, delays.length - 1);
      const between = (column) => column[from] + (column[to] - column[from]) * (step - whole);
      return { delay: between(delays), gain: between(gains), pole: between(poles) };
    }
  }

  function toward(from, to, share) {
    const between = (name) => from[name] + (to[name] - from[name]) * share;
    return { delay: between("delay"), gain: between("gain"), pole: between("pole") };
  }

  // ---- what sets a string moving (pluck.rs)

  function burst(pluck, length) {
    const one = length / pluck.harmonic;
    const push = pushed(pluck, one);
    const again = (at) => {
      const turn = Math.trunc(at / one);
      return push[at - Math.trunc(Math.min(turn * one + 0.5, at))] ?? 0;
    };
    const samples = Float64Array.from({ length: Math.max(Math.trunc(length + 0.5), 2) }, (_, at) => again(at));
    const middle = sum(samples) / samples.length;
    const level = samples.map((sample) => sample - middle);
    const size = Math.sqrt(sum(level.map((sample) => sample * sample)) / level.length);
    const scale = size > NOTHING ? pluck.strength / size : 0;
    return level.map((sample) => sample * scale);
  }

  function pushed(pluck, length) {
    const samples = new Float64Array(Math.max(Math.trunc(length + 0.5), 2));
    const wide = Math.max(Math.min(60 * (1 - pluck.bright) - 2, length * 0.4), 2);
    const dark = 0.15 + 0.75 * (1 - pluck.bright);
    const next = noise(pluck.seed);
    let pressed = 0;
    let filtered = 0;
    for (let at = 0; at < samples.length; at += 1) {
      const share = at / wide;
      pressed += (share < 1 ? 6 * share * (1 - share) : 0) / wide;
      filtered += (1 - dark) * (pressed + pluck.noise * next() - filtered);
      samples[at] = filtered;
    }
    const back = Math.max(Math.trunc(length * pluck.place + 0.5), 1);
    return samples.map((sample, at) => sample - (at < back ? 0 : samples[at - back]));
  }

  // A congruence of 64 bits.
  function noise(seed) {
    let state = BigInt(seed);
    return () => {
      state = BigInt.asUintN(64, state * 6_364_136_223_846_793_005n + 1_442_695_040_888_963_407n);
      return Number(state >> 33n) / 2 ** 30 - 1;
    };
  }

  // ---- a loop of delay (line.rs)

  const LENGTH = 4096;
  const MASK = LENGTH - 1;
  const MOST = LENGTH / 4;

  class Line {
    samples = new Float64Array(LENGTH);
    at = 0;
    filtered = 0;

    rest() {
      this.samples.fill(0);
      this.filtered = 0;
    }

    run(from, to, burst, fed, out) {
      const { samples } = this;
      const moves = ["delay", "gain", "pole", "pickup"].some((name) => from[name] !== to[name]);
      const share = 1 / Math.max(out.length, 1);
      let { at, filtered } = this;
      let { delay, gain, pole, pickup } = from;
      const reader = new Reader(delay);
      let power = 0;
      for (let index = 0; index < out.length; index += 1) {
        if (moves) {
          const gone = index * share;
          delay = from.delay + (to.delay - from.delay) * gone;
          gain = from.gain + (to.gain - from.gain) * gone;
          pole = from.pole + (to.pole - from.pole) * gone;
          pickup = from.pickup + (to.pickup - from.pickup) * gone;
          reader.set(delay);
        }
        filtered = gain * (1 - pole) * reader.read(samples, at) + pole * filtered;
        const begun = filtered + (fed + index < burst.length ? burst[fed + index] : 0);
        samples[at & MASK] = begun;
        out[index] += begun;
        if (pickup > 0) out[index] -= tapped(samples, at, delay * pickup);
        at = (at + 1) & MASK;
        power += begun * begun;
      }
      this.at = at;
      this.filtered = quieted(filtered);
      return power;
    }
  }

  class Reader {
    constructor(delay) {
      this.set(delay);
    }

    set(length) {
      const delay = clamp(length, 2, LENGTH - 4);
      const whole = Math.trunc(delay);
      const d = delay - whole + 1;
      this.ago = whole - 1;
      this.a = -(d - 1) * (d - 2) * (d - 3) / 6;
      this.b = d * (d - 2) * (d - 3) / 2;
      this.c = -d * (d - 1) * (d - 3) / 2;
      this.d = d * (d - 1) * (d - 2) / 6;
    }

    read(samples, at) {
      const end = at - this.ago;
      return (this.a * samples[end & MASK] + this.b * samples[(end - 1) & MASK])
        + (this.c * samples[(end - 2) & MASK] + this.d * samples[(end - 3) & MASK]);
    }
  }

  function tapped(samples, at, ago) {
    const whole = Math.trunc(ago);
    const newer = samples[(at - whole) & MASK];
    return newer + (ago - whole) * (samples[(at - whole - 1) & MASK] - newer);
  }

  // ---- a string with the hand on it (string.rs)

  const LANDING = part(RATE, 250);
  const TOUCHED = 0.08;
  const TOUCH = part(RATE, 1000);
  const SILENT = 3e-8;

  class Glide {
    constructor(from, to, over) {
      this.from = from;
      this.to = to;
      this.gone = 0;
      this.over = over;
    }

    now() {
      return this.isOver() ? this.to : this.from + (this.to - this.from) * this.gone / this.over;
    }

    isOver() {
      return this.gone >= this.over;
    }

    go(samples) {
      this.gone = Math.min(this.gone + samples, this.over);
    }
  }

  class Tied {
    line = new Line();
    burst = new Float64Array(0);
    fed = 0;
    touched = new Glide(1, 1, 0);
    pitch = new Glide(60, 60, 0);
    damping = ["open", "open", new Glide(1, 1, 0)];
    shake = 0;
    shaken = 0;
    pickup = 0;
    silent = 0;
    atRest = true;

    take({ does, pitch, pluck, damping, over, wide }, losses) {
      if (does === "pluck") {
        this.pitch = new Glide(this.atRest ? pitch : this.sounding(), pitch, part(LANDING, 2));
        this.damping = [damping, damping, new Glide(1, 1, 0)];
        this.push(pitch, pluck, losses);
        this.touched = new Glide(1, TOUCHED, TOUCH);
      } else if (does === "land") {
        this.pitch = new Glide(this.sounding(), pitch, LANDING);
        this.push(pitch, pluck, losses);
      } else if (does === "glide") {
        this.pitch = new Glide(this.pitch.now(), pitch, over);
      } else if (does === "shake") {
        const left = Math.max(this.pitch.over - this.pitch.gone, LANDING);
        this.pitch = new Glide(this.sounding(), this.pitch.to, left);
        [this.shake, this.shaken] = [wide, 0];
      } else {
        this.damping = [this.damping[1], damping, new Glide(0, 1, LANDING)];
      }
    }

    push(pitch, pluck, losses) {
      this.shake = 0;
      this.burst = burst(pluck, losses.at(pitch, "open").delay);
      this.fed = 0;
      this.touched = new Glide(1, 1, 0);
      this.silent = 0;
      this.atRest = false;
    }

    play(losses, pickup, out) {
      let now = 0;
      while (!this.atRest && now < out.length) {
        const left = this.burst.length - this.fed;
        const stays = left === 0 && this.isSteady() && this.pickup === pickup;
        const most = stays ? MOST : left === 0 ? STRETCH : Math.min(left, STRETCH);
        const next = Math.min(now + most, out.length);
        this.stretch(losses, pickup, out.subarray(now, next));
        now = next;
      }
      if (this.atRest) this.pickup = pickup;
    }

    isSteady() {
      return this.pitch.isOver() && this.damping[2].isOver() && this.shake < NOTHING;
    }

    stretch(losses, pickup, out) {
      const from = this.setting(losses);
      this.pitch.go(out.length);
      this.damping[2].go(out.length);
      this.touched.go(out.length);
      this.shaken += out.length;
      this.pickup += (pickup - this.pickup) * 0.05;
      if (Math.abs(pickup - this.pickup) < 1e-6) this.pickup = pickup;
      const to = this.setting(losses);
      const power = this.line.run(from, to, this.burst, this.fed, out);
      this.fed = Math.min(this.fed + out.length, this.burst.length);
      this.silent = power < SILENT * SILENT ? this.silent + out.length : 0;
      if (this.silent > LENGTH) {
        this.line.rest();
        this.atRest = true;
      }
    }

    setting(losses) {
      const pitch = this.sounding();
      const [before, now, glide] = this.damping;
      const share = glide.now();
      let tuned = losses.at(pitch, now);
      if (share < 1) tuned = toward(losses.at(pitch, before), tuned, share);
      if (this.fed < this.burst.length) tuned.gain *= this.touched.now();
      tuned.pickup = this.pickup;
      return tuned;
    }

    sounding() {
      return this.pitch.now() + this.shake * this.wave();
    }

    wave() {
      if (this.shake < NOTHING) return 0;
      const seconds = this.shaken / RATE;
      const depth = clamp((seconds - 0.125) * 6, 0, 1);
      const turn = Math.max(seconds - 0.125, 0) * 5.5;
      const half = (turn - Math.trunc(turn)) * 2;
      const arch = (share) => 4 * share * (1 - share);
      return depth * (half < 1 ? arch(half) : -arch(half - 1));
    }
  }

  // ---- body, amplifier and loudspeaker (amp.rs)

  const TURN = 50 / RATE;
  const LOW = 2 * Math.PI * 160 / RATE;

  class Filter {
    one = 0;
    two = 0;

    constructor(weights) {
      [this.a, this.b, this.c, this.d, this.e] = weights;
    }

    next(sample) {
      const out = this.a * sample + this.one;
      this.one = (this.b * sample + this.two) - this.d * out;
      this.two = this.c * sample - this.e * out;
      return out;
    }

    quiet() {
      this.one = quieted(this.one);
      this.two = quieted(this.two);
    }
  }

  class Amp {
    low = 0;
    before = 0;
    out = 0;
    drive = null;

    constructor({ body, speaker }) {
      this.shares = body.map(([share]) => share);
      this.filters = body.map(([, weights]) => new Filter(weights));
      this.speaker = new Filter(speaker);
    }

    lead(driven, sound) {
      let drive = this.drive ?? (driven ? 1 : 0);
      for (let index = 0; index < sound.length; index += 1) {
        const strings = sound[index];
        let clean = 0;
        for (let one = 0; one < this.filters.length; one += 1) {
          clean += this.shares[one] * this.filters[one].next(strings);
        }
        drive = driven ? Math.min(drive + TURN, 1) : Math.max(drive - TURN, 0);
        if (drive > 0) {
          this.low = quieted(this.low + LOW * (clean - this.low));
          const loud = this.speaker.next(bent(8 * (clean - 0.7 * this.low))) * 0.95;
          clean += drive * (loud - clean);
        }
        this.out = (clean - this.before) + 0.998 * this.out;
        this.before = clean;
        sound[index] = this.out;
      }
      this.drive = drive;
      this.filters.forEach((filter) => filter.quiet());
      this.speaker.quiet();
      this.out = quieted(this.out);
    }
  }

  function bent(sample) {
    const limited = (sample) => sample / Math.sqrt(1 + sample * sample);
    return limited(sample + 0.2) - limited(0.2);
  }

  // ---- what hands do (hands.rs)

  const STRUM = part(RATE * 7, 1000);
  const DEAD = 33;

  // How many samples ticks take at a tempo, to the nearest.
  function samples({ number, dotted }, ticks) {
    const minute = 62_500_000n;
    const [above, beneath] = dotted ? [2n * minute, 3n * BigInt(number)] : [minute, BigInt(number)];
    const time = (BigInt(ticks) * above + beneath - 1n) / beneath;
    return Number((time * BigInt(RATE) + 500_000_000n) / 1_000_000_000n);
  }

  // One time through: how long it is, its clicks, and what each part does to its strings, with its tones.
  function planned(score, tempo) {
    const length = samples(tempo, score.length);
    const players = score.parts.map((part) => player(part, score.sounds[part.sound], tempo, length));
    return { ...clicksAlone(score.clicks, score.length, tempo), players };
  }

  function clicksAlone(clicks, length, tempo) {
    const at = ([tick, strong]) => [samples(tempo, tick), strong];
    return { length: samples(tempo, length), clicks: clicks.map(at), players: [] };
  }

  function ringingOut(plan) {
    const end = plan.length - 1;
    const stays = ({ at, does }) => at < end || does !== "damp";
    const players = plan.players.map((one) => ({ ...one, strings: one.strings.map((all) => all.filter(stays)) }));
    return { ...plan, players };
  }

  function fading(score, length) {
    const stopped = [{ at: length - part(length, 6), does: "damp", damping: "stopped" }];
    const players = score.parts.map(({ strings, tones }) => ({
      strings: strings.map(() => stopped),
      tones: tones.slice(-1).map(([, ...tone]) => [0, ...tone]),
    }));
    return { length, clicks: [], players };
  }

  function player(part, sound, tempo, length) {
    const strings = part.strings.map(() => []);
    const last = part.strings.map(() => null);
    part.notes.forEach((note, index) => {
      const hand = new Hand(part, sound, note, tempo, last[note.string], index);
      strings[note.string].push(...hand.plays());
      last[note.string] = [hand.start, hand.pitch()];
    });
    const tones = part.tones.map(([tick, ...tone]) => [samples(tempo, tick), ...tone]);
    return { strings: strings.map((all) => inTime(all, length)), tones };
  }

  // Rising, within the time through, without what stops a string that is struck again at once.
  function inTime(gestures, length) {
    const rising = gestures.map((one) => ({ ...one, at: Math.min(one.at, Math.max(length - 1, 0)) }));
    rising.sort((one, next) => one.at - next.at);
    return rising.filter(({ at, does, damping }, index) => {
      const next = rising[index + 1];
      const isStruck = next && next.at - at <= 7 * STRUM && next.does === "pluck";
      return does !== "damp" || damping !== "stopped" || !isStruck;
    });
  }

  class Hand {
    constructor(part, sound, note, tempo, before, seed) {
      const [start, end] = [samples(tempo, note.start), samples(tempo, note.end)];
      this.note = note;
      this.sound = sound;
      this.seed = seed;
      this.open = part.strings[note.string];
      this.start = start + late(note.strum, Math.max(end - start, 0));
      this.end = Math.max(end, this.start + 1);
      this.before = before ?? [this.start, this.open];
    }

    plays() {
      const { start, end, note } = this;
      const all = this.begins();
      if (note.vibrato) all.push({ at: start, does: "shake", wide: 0.2 });
      if (note.quarter) all.push({ at: start, does: "glide", pitch: this.pitch(), over: this.within(part(RATE, 6)) });
      const stopped = (at) => ({ at, does: "damp", damping: "stopped" });
      if (note.release === undefined) all.push(stopped(end));
      if (note.release === "up" || note.release === "down") {
        const over = this.within(part(RATE, 6));
        const away = note.release === "up" ? 5 : -Math.min(5, this.aboveNut());
        all.push(...overFrets(this.pitch(), this.pitch() + away, end - over, over));
        all.push(stopped(end - part(over, 4)));
      }
      return all;
    }

    begins() {
      const { start, before: [, from] } = this;
      const pitch = this.fretted();
      const land = (share, brighter) => ({ at: start, does: "land", pitch, pluck: this.pluck(share, brighter) });
      const slidIn = (from) => [this.plucked(from), ...overFrets(from, pitch, start, this.within(part(RATE, 9)))];
      const slid = () => {
        const over = Math.min(part(this.sinceBefore(), 2), part(RATE, 11));
        return [...overFrets(from, pitch, start - over, over), land(0.2, -0.2)];
      };
      const bent = () => {
        const over = Math.min(part(this.sinceBefore(), 3) * 2, part(RATE * 14, 100));
        const at = start - over;
        return [{ at, does: "shake", wide: 0 }, { at, does: "glide", pitch, over }];
      };
      switch (this.note.attack) {
        case "slid up": return slidIn(pitch - Math.min(3, this.aboveNut()));
        case "slid down": return slidIn(pitch + 3);
        case "hammer": return [land(0.42, -0.25)];
        case "pull": return [land(0.46, -0.05)];
        case "slide": return slid();
        case "bend": return bent();
        default: return [this.plucked(pitch)];
      }
    }

    sinceBefore() {
      return Math.max(this.start - this.before[0], 0);
    }

    aboveNut() {
      return Math.max(this.fretted() - this.open, 0);
    }

    within(most) {
      return Math.min(most, part(this.end - this.start, 3) * 2);
    }

    plucked(pitch) {
      const { start: at, note } = this;
      const share = note.attack === "tapped" ? 0.6 : 1;
      if (note.pitch === undefined) {
        const pluck = { ...this.pluck(0.8 * share, -0.2), noise: 3 };
        return { at, does: "pluck", pitch: DEAD, pluck, damping: "muted" };
      }
      const [times, brighter, damping] = note.palm ? [1.5, -0.3, "palm"] : [1, 0, "open"];
      return { at, does: "pluck", pitch, pluck: this.pluck(times * share, brighter), damping };
    }

    pluck(share, brighter) {
      const { place, bright, noise } = this.sound;
      const [strength, more] = { ghost: [0.2, -0.2], accent: [1, 0.12] }[this.note.strength] ?? [0.6, 0];
      return {
        strength: strength * share,
        bright: clamp(bright + more + brighter, 0.1, 0.97),
        place,
        noise,
        harmonic: this.harmonic() ?? 1,
        seed: this.seed,
      };
    }

    pitch() {
      return this.fretted() + (this.note.quarter ? 0.5 : 0);
    }

    fretted() {
      const { pitch, harmonic } = this.note;
      return pitch === undefined || harmonic && this.harmonic() ? this.open : pitch;
    }

    harmonic() {
      const parts = { 12: 2, 19: 3, 24: 4, 28: 5, 31: 6 };
      return this.note.harmonic ? parts[this.note.pitch - this.open] : undefined;
    }
  }

  function late(strum, length) {
    if (!strum) return 0;
    const [direction, rank] = strum;
    return rank * Math.min(direction === "up" ? part(STRUM * 6, 7) : STRUM, part(length, 10));
  }

  function overFrets(from, to, at, over) {
    const way = to - from;
    const frets = Math.max(Math.trunc(Math.abs(way) + 0.5), 1);
    const step = part(part(over, frets), 2);
    return Array.from({ length: frets }, (_, index) => {
      const fret = index + 1;
      return { at: at + part(over, frets) * fret - step, does: "glide", pitch: from + way * fret / frets, over: step };
    });
  }

  // ---- who plays (band.rs, click.rs)

  // What stays as it is while it is played: a seat for each part, from left to right.
  function staged(score) {
    const last = score.parts.length - 1;
    return score.parts.map(({ notes, sound }, index) => {
      const strokes = notes.filter((note, at) => at === 0 || notes[at - 1].start !== note.start).length;
      const level = Math.sqrt(Math.max(strokes, 1) / Math.max(notes.length, 1));
      const place = last === 0 ? 0 : 1.2 * index / last - 0.6;
      const sides = [(1 - place) / 2, (1 + place) / 2].map((share) => level * Math.sqrt(share));
      return { ...score.sounds[sound], sides };
    });
  }

  class Band {
    click = null;

    constructor(stage, score) {
      this.players = stage.map((seat, index) => ({
        strings: score.parts[index].strings.map(() => new Tied()),
        amp: new Amp(seat),
        tone: null,
      }));
    }

    // So many samples of a plan from a place in it, left and right, the strings so many times as loud.
    play(stage, clicks, plan, at, length, scale) {
      const mixed = [new Float64Array(length), new Float64Array(length)];
      this.players.forEach((playing, index) => {
        const seat = stage[index];
        const player = plan.players[index];
        if (player) playing.tone = player.tones[passing(player.tones, ([from]) => from < at + length) - 1] ?? [0, false, 0];
        if (!playing.tone) return;
        const [, driven, pickup] = playing.tone;
        const alone = new Float64Array(length);
        playing.strings.forEach((tied, string) => {
          const gestures = player ? within(player.strings[string], at, length) : [];
          playString(tied, gestures, at, seat.losses, seat.pickups[pickup], alone);
        });
        playing.amp.lead(driven, alone);
        mixed.forEach((side, which) => {
          const loud = seat.sides[which] * scale;
          for (let one = 0; one < length; one += 1) side[one] += loud * alone[one];
        });
      });
      this.playClick(clicks, plan, at, mixed);
      return mixed;
    }

    playClick(clicks, plan, at, [left, right]) {
      let next = passing(plan.clicks, ([when]) => when < at);
      for (let index = 0; index < left.length; index += 1) {
        if (plan.clicks[next]?.[0] === at + index) {
          this.click = { of: clicks[plan.clicks[next][1] ? 1 : 0], over: 0 };
          next += 1;
        }
        if (!this.click || this.click.over >= this.click.of.length) continue;
        left[index] += this.click.of[this.click.over];
        right[index] += this.click.of[this.click.over];
        this.click.over += 1;
      }
    }
  }

  function within(gestures, at, length) {
    const before = (moment) => passing(gestures, (gesture) => gesture.at < moment);
    return gestures.slice(before(at), before(at + length));
  }

  function playString(tied, gestures, at, losses, pickup, alone) {
    let now = 0;
    for (const gesture of gestures) {
      tied.play(losses, pickup, alone.subarray(now, gesture.at - at));
      tied.take(gesture, losses);
      now = gesture.at - at;
    }
    tied.play(losses, pickup, alone.subarray(now));
  }

  // The samples of a click: tones that turn and die away, each sample as the one before it, times a number.
  function click({ size, rise, length, tones }) {
    const states = tones.map(({ share, turn }) => ({ share, turn, real: 1, imaginary: 0 }));
    return Float64Array.from({ length }, (_, at) => {
      let tone = 0;
      for (const state of states) {
        const { real, imaginary, turn: [cos, sin] } = state;
        tone += state.share * imaginary;
        state.real = real * cos - imaginary * sin;
        state.imaginary = real * sin + imaginary * cos;
      }
      return size * Math.min(at / rise, 1) * tone;
    });
  }

  // ---- all of it (mod.rs)

  // The scores of a page, each with the tables that it needs; `data` is what `src/web/sound.rs` made, read as JSON.
  function scores(data) {
    const sounds = {};
    for (const [name, { first, losses, ...sound }] of Object.entries(data.sounds)) {
      sounds[name] = { ...sound, losses: new Losses(first, losses) };
    }
    const clicks = data.clicks.map(click);
    const played = (part) => ({ ...part, notes: part.notes.map(note) });
    return data.scores.map((score) => ({ ...score, parts: score.parts.map(played), sounds, clickSamples: clicks }));
  }

  // A note by names: when it begins, how long it is, its string, its pitch if it has one, and what is unusual about it.
  function note([start, length, string, pitch, unusual]) {
    return { start, end: start + length, string, pitch: pitch ?? undefined, ...unusual };
  }

  // Plays a score piece by piece: left and right, −1 to 1 but for peaks. Nothing is kept of a piece that is given.
  function* mix(score) {
    if (score.rounds.length === 0) return;
    const stage = staged(score);
    const scale = scaled(stage, score);
    let band = new Band(stage, score);
    const play = function* (plan) {
      for (const [at, length] of pieces(plan)) yield band.play(stage, score.clickSamples, plan, at, length, scale);
    };
    for (const [index, tempo] of score.rounds.entries()) {
      yield* play(clicksAlone(score.countIn, score.countInLength, tempo));
      const plan = planned(score, tempo);
      let second = null;
      for (let time = 0; time < tempo.times; time += 1) {
        if (time === 1) second = copied(band);
        if (time > 1) band = copied(second);
        const isLast = index + 1 === score.rounds.length && time + 1 === tempo.times;
        yield* play(isLast ? ringingOut(plan) : plan);
      }
    }
    yield* play(fading(score, TAIL));
  }

  function scaled(stage, score) {
    const plan = { ...planned(score, score.rounds[0]), clicks: [] };
    const band = new Band(stage, score);
    let peak = 0;
    const powers = [];
    for (const [at, length] of pieces(plan)) {
      const [left, right] = band.play(stage, [], plan, at, length, 1);
      let power = 0;
      for (let one = 0; one < length; one += 1) {
        peak = Math.max(peak, Math.abs(left[one]), Math.abs(right[one]));
        power += left[one] * left[one] + right[one] * right[one];
      }
      powers.push(power / (2 * length));
    }
    if (peak < 1e-9) return 1;
    const [least, most] = PEAKS;
    return Math.max(Math.min(LOUDNESS / loudness(powers), most / peak), least / peak);
  }

  function loudness(powers) {
    const loudest = powers.reduce((one, other) => Math.max(one, other), 0);
    const heard = powers.filter((power) => power >= loudest * UNHEARD);
    return Math.sqrt(sum(heard) / Math.max(heard.length, 1));
  }

  function* pieces({ length }) {
    for (let at = 0; at < length; at += PIECE) yield [at, Math.min(length - at, PIECE)];
  }

  // A sample of 16 bits: what is beyond the knee comes near full scale and never to it.
  function roundedOff(sample) {
    const size = Math.abs(sample);
    const over = Math.max(size - KNEE, 0) / (1 - KNEE);
    const bent = Math.min(size, KNEE) + (1 - KNEE) * over / (1 + over);
    const whole = Math.trunc(bent * 32_766 + 0.5);
    return sample < 0 ? -whole : whole;
  }

  // How many samples a score comes to, left and right as one.
  function length(score) {
    const round = (tempo) => samples(tempo, score.countInLength) + tempo.times * samples(tempo, score.length);
    return score.rounds.length === 0 ? 0 : score.rounds.reduce((all, tempo) => all + round(tempo), TAIL);
  }

  return { RATE, scores, mix, roundedOff, samples, length };
})();

if (typeof module === "object") module.exports = strings;
else globalThis.strings = strings;
