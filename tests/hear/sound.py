#!/usr/bin/env python3
"""Measures the sound that `fretleaf hear` writes, with a detector of its own for pitch and readers of others' making
for WAV (Python), FLAC (libsndfile) and MIDI (mido).

    sound.py PROGRAM LESSON...

It writes lessons of its own with every note of four instruments, with loops and with clicks; of the lessons named it
measures the loops. Cents are hundredths of a half step."""

import itertools
import math
import pathlib
import re
import subprocess
import sys
import tempfile
import wave

import mido
import numpy as np
import soundfile

RATE = 44_100
FULL = 32_768
QUARTER = 960
SIX = {"E2": 40, "A2": 45, "D3": 50, "G3": 55, "B3": 59, "E4": 64}
FOUR = {"E1": 28, "A1": 33, "D2": 38, "G2": 43}
INSTRUMENTS = {"nylon": SIX, "steel": SIX, "electric": SIX, "bass": FOUR}
FRETS = range(16)
IN_TUNE = 1.0  # cents
DETECTED = 0.1  # cents that the detector itself may be wrong by
STRAY = 0.1  # radians that a steady tone's phase may stray from its line
BELOW = 0.05  # of the fundamental, what may be heard at a half and a third of it
QUIET = 10 ** (-12 / 20)  # of full scale: no file's peak is lower
LEANS = 0.001  # of full scale: no file's middle is further from nothing
RINGS_ON = 1.5  # seconds
EXACT = 0.001  # seconds
AROUND = RATE // 20
HEARD = 30  # of 32768: a click has begun

# The first riff strikes nothing where it begins, so that no pluck hides a crack there; the others do.
LOOPS = """---
title: Loops
instrument: nylon
tempo: 120
---

~~~ riff ringing
count   1   &   2   &   3   &   4   &   |
e       ----------------0-----------3---|
B       ------------1-------1-----------|
G       --------0-----------------------|
A       ----3---------------------------|
ring    ================================|
~~~

~~~ riff upbeat, pickup
count   4   |1   2   3   4   |
G       0---|----------------|
D       ----|0---2---4---5---|
ring    ====|================|
~~~

~~~ riff eighths, meter 6/8
count   1   2   3   4   5   6   |1   2   3   4   5   6   |
B       0---1---3---------------|1-----------------------|
D       ------------0---2---3---|------------0-----------|
ring    ========================|========================|
~~~

~~~ loop round
ringing 4 times, no click, no count-in
~~~
"""
# In quarters: the count-in, once through, a felt beat, and where bars begin once through.
CLICKED = {
    "ringing": (4, 4, 1, [0]),
    "upbeat": (3, 5, 1, [1]),
    "eighths": (3, 6, 1.5, [0, 3]),
}
TEMPOS = 97, 131
TIMES = 3


class Bench:
    """Where lessons are made and heard, and what is found wrong."""

    def __init__(self, program, folder):
        self.program, self.folder = program, pathlib.Path(folder)
        self.wrong, self.seconds = [], 0

    def written(self, name, text):
        lesson = self.folder / f"{name}.md"
        lesson.write_text(text)
        return lesson

    def hear(self, lesson, *options):
        """The files that are made of a lesson, by their names without the lesson's."""
        out = pathlib.Path(tempfile.mkdtemp(dir=self.folder))
        command = [self.program, "hear", "--out", out, *options, lesson]
        done = subprocess.run(command, capture_output=True, text=True)
        if done.returncode:
            self.hold(False, f"{lesson.name}: {done.stderr}")
        return {file.name.removeprefix(f"{lesson.stem}-"): file for file in out.iterdir()}

    def hold(self, holds, otherwise):
        if not holds:
            self.wrong.append(otherwise)

    def samples(self, file):
        """Left and right of a WAV file, held to a fair loudness."""
        with wave.open(str(file)) as sound:
            form = sound.getnchannels(), sound.getsampwidth(), sound.getframerate()
            self.hold(form == (2, 2, RATE), f"{file.name}: {form}")
            read = np.frombuffer(sound.readframes(sound.getnframes()), "<i2")
        sides = read.reshape(-1, 2).astype(int)
        peak, leans = abs(sides).max() / FULL, abs(sides.mean(axis=0)).max() / FULL
        self.hold(QUIET < peak < (FULL - 1) / FULL, f"{file.name}: the peak is {peak:.3f} of full scale")
        self.hold(leans < LEANS, f"{file.name}: the middle is {leans:.5f} of full scale from nothing")
        self.seconds += len(sides) / RATE
        return sides


def notes(instrument, strings):
    """A lesson in which each string is played at each fret, a riff for a string."""
    bars = [FRETS[first : first + 4] for first in range(0, len(FRETS), 4)]
    counts = "|".join("1   2   3   4   " for _ in bars)
    frets = "|".join("".join(f"{fret:-<4}" for fret in bar) for bar in bars)
    riffs = (
        f"~~~ riff string-{name}, tempo {60 / lasts(pitch):.0f}\ncount  {counts}|\n{name:6} {frets}|\n~~~\n"
        for name, pitch in strings.items()
    )
    header = f"title: Notes\ninstrument: {instrument}\ntuning: {' '.join(strings)}"
    return f"---\n{header}\n---\n\n" + "\n".join(riffs)


def lasts(open_string):
    """How many seconds each note of a string is played for: of a low one more."""
    return 1 if open_string < 45 else 0.5


def windowed(size):
    """A window of four cosines (F. J. Harris, 1978), whose side lobes are at -92 dB."""
    turns = 2 * np.pi * np.arange(size) / size
    shares = 0.35875, -0.48829, 0.14128, -0.01168
    return sum(share * np.cos(number * turns) for number, share in enumerate(shares))


def detected(tone, hertz):
    """By how many cents a tone is higher than so many hertz; and how far its phase strays from a line.

    Turned back by so many hertz, a tone's phase stands still; what it turns yet, in windows of twelve waves, is how
    far it is out of tune. Louder windows count for more."""
    size = int(RATE * max(12 / hertz, 0.06))
    still = tone * np.exp(-2j * np.pi * hertz * np.arange(len(tone)) / RATE)
    starts = np.arange(0, len(tone) - size, RATE // 100)
    window = windowed(size)
    heard = np.array([window @ still[start : start + size] for start in starts])
    phases, times = np.unwrap(np.angle(heard)), starts / RATE
    slope, begun = np.polyfit(times, phases, 1, w=abs(heard))
    strays = phases - slope * times - begun
    stray = math.sqrt(np.average(strays**2, weights=abs(heard) ** 2))
    return 1200 * math.log2(1 + slope / (2 * np.pi * hertz)), stray


def loud(tone, hertz):
    return abs((tone * windowed(len(tone))) @ np.exp(-2j * np.pi * hertz * np.arange(len(tone)) / RATE))


def note_of(samples, index, seconds):
    """One of equally long notes, without its first 30 ms, in which it is plucked."""
    first, end = (int(RATE * seconds * at) for at in (index, index + 1))
    return samples[first + RATE * 3 // 100 : end - RATE // 500]


def hertz_of(pitch, tuned):
    return tuned * 2 ** ((pitch - 69) / 12)


def detector(bench):
    """What the detector is wrong by, on tones made up: harmonics that die away, the high ones sooner."""
    chance, worst = np.random.default_rng(1), 0
    for pitch in range(28, 80):
        cents = chance.uniform(-20, 20)
        hertz = hertz_of(pitch + cents / 100, 440)
        times = np.arange(int(RATE * lasts(pitch))) / RATE
        harmonics = range(1, min(30, int(RATE / 2 / hertz)))
        tone = sum(
            np.sin(2 * np.pi * number * hertz * times + chance.uniform(0, 6)) / number
            * np.exp(-times * number * chance.uniform(1, 4))
            for number in harmonics
        )
        tone = np.round(0.5 * FULL * tone / abs(tone).max())
        worst = max(worst, abs(detected(note_of(tone, 0, lasts(pitch)), hertz_of(pitch, 440))[0] - cents))
    bench.hold(worst < DETECTED, f"the detector is wrong by {worst:.3f} cents")
    print(f"the detector is within {worst:.4f} cents of tones made up")


def tuned(bench, instrument, strings, pitch):
    """Holds each note of an instrument to equal temperament."""
    lesson = bench.written(f"{instrument}-{pitch}", notes(instrument, strings))
    files, worst, count = bench.hear(lesson, "--all", f"--pitch={pitch}"), (0, ""), 0
    for name, open_string in strings.items():
        samples = bench.samples(files[f"string-{name}.wav"]).sum(axis=1)
        for fret in FRETS:
            hertz = hertz_of(open_string + fret, pitch)
            tone = note_of(samples, fret, lasts(open_string))
            cents, stray = detected(tone, hertz)
            what = f"{instrument}, string {name}, fret {fret}, A at {pitch} Hz"
            beneath = max(loud(tone, hertz / part) for part in (2, 3)) / loud(tone, hertz)
            bench.hold(abs(cents) <= IN_TUNE, f"{what}: {cents:+.2f} cents")
            bench.hold(stray < STRAY, f"{what}: no steady tone, it strays by {stray:.2f}")
            bench.hold(beneath < BELOW, f"{what}: a lower tone is {beneath:.3f} as loud")
            worst, count = max(worst, (abs(cents), what)), count + 1
    print(f"{count} notes; furthest out of tune, by {worst[0]:.3f} cents: {worst[1]}")


def passes_of(says):
    """How often a loop is played at a tempo, and at how many tempos."""
    words = {"once": 1, "twice": 2}
    times = re.search(r"(\d+) times|once|twice", says)
    return int(times[1] or words[times[0]]), max(1, len(re.findall(r"\b(?:at|then) (?:dotted )?\d+", says)))


def seams(file, times):
    """At which samples the times through a loop begin, and the last ends, for each tempo, as its MIDI file tells: so
    many times at each, behind a count-in."""
    bars, tempos, now = [], [], 0
    song = mido.MidiFile(file, charset="utf-8")
    for message in song.tracks[0]:
        now += message.time
        if message.type == "set_tempo":
            tempos.append((now, round(60_000_000 / message.tempo, 2)))
        if message.type == "marker" and re.match(r"bar \d", message.text):
            bars.append(now)
    ahead = bars[0]
    begun = bars[:: len(bars) // (times * len(tempos))]
    once = begun[1] - begun[0] if times > 1 else begun[1] - begun[0] - ahead

    def samples(ticks, rate):
        return round(float(ticks) / QUARTER * 60 / rate * RATE)

    rounds, end = [], 0
    for _, rate in tempos:
        first = end + samples(ahead, rate)
        rounds.append([first + samples(once, rate) * time for time in range(times + 1)])
        end = rounds[-1][-1]
    return rounds


def seamless(bench, what, file, says):
    """Holds a loop to the same sound each time, and to no crack between."""
    times, tempos = passes_of(says)
    sides = bench.samples(file)
    rounds = seams(file.with_suffix(".mid"), times)
    bench.hold(len(rounds) == tempos, f"{what}: {len(rounds)} tempos, expected {tempos}")
    lasting = len(sides) / RATE - rounds[-1][-1] / RATE - RINGS_ON
    bench.hold(abs(lasting) < EXACT, f"{what}: it ends {lasting:+.4f} s late")
    steps = abs(np.diff(sides, axis=0)).max(axis=1)
    for number, begins in enumerate(rounds, 1):
        for seam in begins[1:]:
            around = np.concatenate([steps[seam - AROUND : seam - 1], steps[seam : seam + AROUND]])
            bench.hold(steps[seam - 1] <= around.max(), f"{what}: a step of {steps[seam - 1]} at sample {seam}")
        second, *later = [sides[first:end] for first, end in itertools.pairwise(begins)][1:] or [None]
        same = all(np.array_equal(second, other) for other in later)
        bench.hold(same, f"{what}: times 2 and 3 differ at tempo {number}")
    return times * tempos


def clicked():
    """Loops with clicks and without, of which the clicks are the difference."""
    for name in CLICKED:
        for kind, said in {"clicked": "with a click", "plain": "no click"}.items():
            tempos = ", then ".join(map(str, TEMPOS))
            yield f"~~~ loop {name}-{kind}\n{name} {TIMES} times at {tempos}, {said}, with a count-in\n~~~\n"


def beats(count_in, once, beat, bars):
    """When clicks are heard, in seconds, and whether they are a bar's first; from when to when it is counted in; and
    when all is over."""
    def each(length, firsts, tempo, since):
        quarters = np.arange(0, length, beat)
        return [(since + at * 60 / tempo, at in firsts) for at in quarters]

    heard, ahead, now = [], [], 0
    for tempo in TEMPOS:
        heard += each(count_in, [0], tempo, now)
        ahead.append((now, now := now + count_in * 60 / tempo))
        for _ in range(TIMES):
            heard += each(once, bars, tempo, now)
            now += once * 60 / tempo
    return heard, ahead, now


def onsets(clicks):
    """When clicks begin, in seconds, behind 100 ms without one, and how loud they are."""
    above = np.flatnonzero(abs(clicks) > HEARD)
    first = above[np.diff(above, prepend=-RATE) > RATE // 10]
    return [(at / RATE, abs(clicks[at : at + RATE // 50]).max()) for at in first]


def beaten(bench, name, files):
    """Holds clicks to the beats, and all that is heard to its length."""
    alone, plain = (bench.samples(files[f"{name}-{kind}.wav"]) for kind in ("clicked", "plain"))
    expected, counted, lasting = beats(*CLICKED[name])
    over = len(alone) / RATE - lasting - RINGS_ON
    bench.hold(abs(over) < EXACT, f"{name}: it ends {over:+.4f} s late")
    clicks = alone[:, 0] - plain[:, 0]
    first, end = (round(at * RATE) for at in counted[0])
    clicks[first:end] = alone[first:end, 0]
    # Over later count-ins the last notes ring on, and both files have the clicks: they are not looked for there.
    expected = [(at, first) for at, first in expected if not any(since <= at < until for since, until in counted[1:])]
    heard = onsets(clicks)
    bench.hold(len(heard) == len(expected), f"{name}: {len(heard)} clicks, expected {len(expected)}")
    late = [at - when for (at, _), (when, _) in zip(heard, expected)]
    worst = max(late, key=abs)
    bench.hold(abs(worst) < EXACT, f"{name}: a click is {worst:+.4f} s late")
    firsts = [size for (_, size), (_, first) in zip(heard, expected) if first]
    others = [size for (_, size), (_, first) in zip(heard, expected) if not first]
    bench.hold(min(firsts) > 1.2 * max(others), f"{name}: a bar's first click is no louder than others")
    print(f"{name}: {len(heard)} clicks, at most {abs(worst) * 1000:.2f} ms from their beats")


def as_long_as_notes(bench, files):
    """Holds the sound to the length of the notes as a MIDI reader counts it."""
    for name, file in files.items():
        if name.endswith(".wav"):
            notes = mido.MidiFile(file.with_suffix(".mid"), charset="utf-8").length
            with wave.open(str(file)) as sound:
                over = sound.getnframes() / RATE - notes - RINGS_ON
            bench.hold(abs(over) < EXACT, f"{name}: the sound ends {over:+.4f} s behind the notes")


def written_alike(bench):
    """Holds FLAC to the same samples, and a second run to the same bytes."""
    lesson = bench.written("short", LOOPS)
    files = bench.hear(lesson, "--all")
    again, packed = bench.hear(lesson, "--all"), bench.hear(lesson, "--all", "--flac")
    for name, file in files.items():
        bench.hold(file.read_bytes() == again[name].read_bytes(), f"{name}: a second run differs")
        if name.endswith(".wav"):
            unpacked, rate = soundfile.read(packed[name.replace(".wav", ".flac")], dtype="int16")
            same = rate == RATE and np.array_equal(unpacked, bench.samples(file))
            bench.hold(same, f"{name}: FLAC holds other samples")


def loops_of(bench, lesson):
    """Measures the loops of a lesson."""
    fences = re.findall(r"^~~~ *loop *([\w-]*)[^\n]*\n(.*?)^~~~", lesson.read_text(), re.M | re.S)
    files = bench.hear(lesson) if fences else {}
    return sum(
        seamless(bench, f"{lesson.stem} {name}", files[f"{name or 'loop'}.wav"], says) for name, says in fences
    )


def main(program, lessons):
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(program, folder)
        detector(bench)
        for instrument, strings in INSTRUMENTS.items():
            tuned(bench, instrument, strings, 440)
        tuned(bench, "steel", SIX, 432)
        lesson = bench.written("loops", LOOPS + "\n" + "\n".join(clicked()))
        files = bench.hear(lesson, "--all")
        as_long_as_notes(bench, files)
        written_alike(bench)
        for name in CLICKED:
            beaten(bench, name, files)
        count = loops_of(bench, lesson)
        theirs = sum(loops_of(bench, pathlib.Path(lesson)) for lesson in lessons)
        print(f"{count} seams, and {theirs} of the lessons named; {bench.seconds:.0f} s of sound")
    if bench.wrong:
        print(*bench.wrong, sep="\n")
        sys.exit(f"{len(bench.wrong)} faults in the sound")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
