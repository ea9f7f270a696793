#!/usr/bin/env python3
"""Holds the files of `fretleaf hear --all` to the text of the lessons: with a reader of its own for tabs, and
one of others' making for MIDI files (mido), it compares when each key is struck, the tempo and the meters.

    notes.py PROGRAM LESSON...

Riffs that are written with more than frets, counts, repeats and endings (joins, grace notes) are left to the
tests in Rust. Too few riffs that can be compared are a failure too."""

import pathlib
import re
import subprocess
import sys
import tempfile

import mido

QUARTER = 960
STANDARD = "E2 A2 D3 G3 B3 E4"
NAMED = {"E A D G": "E1 A1 D2 G2", "D A D G B E": "D2 A2 D3 G3 B3 E4", "E A D G B E": STANDARD}
LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
PARTS = {"&": 1 / 2, "+": 1 / 2, "e": 1 / 4, "a": 3 / 4}
PARTS |= {"la": 1 / 3, "li": 2 / 3, "trip": 1 / 3, "let": 2 / 3}
COUNT = r"\(?(?:\d+|la|li|trip|let|[&+ea])\)?"
ROWS = "chord count left right pick accent sung words tone ring mute ending meant meter notes".split()
AT_LEAST = 30


class Other(Exception):
    """A riff that this reader doesn't read."""


def blocks(text):
    """The riffs of a lesson: name, what holds for it, and its lines."""
    header = re.match(r"---\n(.*?)\n---\n", text, re.S)
    holds = dict(line.split(": ", 1) for line in header[1].splitlines() if ": " in line)
    fences = re.finditer(r"^~~~ *(\w+)([^\n]*)\n(.*?)^~~~ *$", text, re.M | re.S)
    for kind, phrases, lines in (fence.groups() for fence in fences):
        if kind == "now":
            holds.update(line.split(": ", 1) for line in lines.splitlines() if ": " in line)
        if kind == "riff":
            yield phrases.split(" --")[0], dict(holds), lines


def of_fence(phrases, holds):
    """The riff's name, and what holds for it with the keys in its fence line."""
    for key in ("meter", "tempo", "swing", "capo", "tuning"):
        said = re.search(rf"[, ]{key} ([^,]+)", phrases)
        if said:
            holds[key] = said[1].strip()
    name = re.match(r" *([A-Za-z][\w-]*)", phrases)
    return name and name[1], holds


def moments(row, first, last, meter, pickup):
    """The counts between two columns: by column, when each is in its bar."""
    beats, unit = meter
    found = [
        (first + sign.start() + (sign[0][0] == "("), sign[0].strip("()"))
        for sign in re.finditer(COUNT, row[first:last])
    ]
    if re.sub(COUNT + r"|[\s:|]|x\d+", "", row[first:last]):
        raise Other("counts")
    beat = 4 * QUARTER // unit
    if unit == 8 and beats in (6, 9, 12) and re.search(r"\b(la|li|trip|let)\b", row):
        beat, beats = beat * 3, beats // 3
    numbers = [int(sign) for _, sign in found if sign.isdigit()]
    number = (numbers[0] - 1 if numbers else (beats if pickup else 1)) or 1
    times = {}
    for column, sign in found:
        if sign.isdigit():
            number = int(sign)
        times[column] = round((number - 1 + PARTS.get(sign, 0)) * beat)
    return times


def systems(lines):
    for part in re.split(r"\n\s*\n", lines.strip("\n")):
        rows = [line for line in part.splitlines() if not line.startswith("# ")]
        yield [(line.split(None, 1)[0], line) for line in rows]


def open_strings(tuning):
    """The open strings of a tuning, the highest first: what each is called, and its key."""
    read = re.findall(r"([A-G])([#b]?)(\d)", NAMED.get(tuning, tuning))
    if len(read) != len(NAMED.get(tuning, tuning).split()):
        raise Other("tuning")
    signs = {"": 0, "#": 1, "b": -1}
    keys = [12 * (int(octave) + 1) + LETTERS[letter] + signs[sign] for letter, sign, octave in read]
    return list(zip((letter + sign for letter, sign, _ in read), keys))[::-1]


def keys_of(labels, tuning):
    """The keys of the open strings of rows: of all in order, else of those that are named."""
    strings = open_strings(tuning)
    if len(labels) == len(strings):
        return [key for _, key in strings]
    keys = {name: key for name, key in strings} | {strings[0][0].lower(): strings[0][1]}
    if any(label not in keys for label in labels):
        raise Other("rows")
    return [keys[label] for label in labels]


def bars_of(rows, meter, pickup, tuning):
    labels = [label for label, _ in rows]
    strings = [(label, row) for label, row in rows if label not in ROWS]
    if "count" not in labels or "meter" in labels or "notes" in labels or not strings:
        raise Other("rows")
    keys = keys_of([label for label, _ in strings], tuning)
    width = max(len(row) for _, row in rows)
    table = {label: row.ljust(width + 2) for label, row in rows}

    def colon(at):
        return at < width and any(row[at] == ":" for row in table.values())

    # A bar line is where the count and all strings have one.
    lined = [table["count"]] + [table[label] for label, _ in strings]
    lines = [at for at in range(width) if all(row[at] == "|" for row in lined)]
    lines = [at for at in lines if at - 1 not in lines]
    edges = [max(map(len, labels)) - 1, *lines, width]
    for index, (left, right) in enumerate(zip(edges, edges[1:])):
        start = left + 1
        if not re.sub(r"x\d+|[\s:|]", "", table["count"][start:right]):
            continue
        times = moments(table["count"], start, right, meter, pickup and index == 0)
        notes = []
        for (_, row), key in zip(strings, keys):
            cell = row.ljust(width)[start:right]
            if re.search(r"[^-\d\s|:]", cell):
                raise Other("signs")
            for fret in re.finditer(r"\d+", cell):
                if start + fret.start() not in times:
                    raise Other("column")
                notes.append((times[start + fret.start()], key + int(fret[0])))
        often = re.match(r"\|+x(\d+)", table["count"][right:])
        ending = re.match(r"\s*(\d)\.", table.get("ending", "")[start:right] or " ")
        yield {
            "notes": notes,
            "first": min(times.values()),
            "begin": left in lines and (colon(left + 1) or lined[0][left + 1] == "|" and colon(left + 2)),
            "end": (int(often[1]) if often else 2) if colon(right - 1) else 0,
            "ending": int(ending[1]) if ending else 0,
        }


def played(bars, pickup):
    """The bars in the order in which they are played."""
    order = bars[:1] if pickup else []
    rest = bars[1:] if pickup else bars
    while rest:
        ends = (i for i, bar in enumerate(rest, 1) if bar["end"] or rest[i:] and rest[i]["begin"])
        size = next(ends, len(rest))
        section, rest = rest[:size], rest[size:]
        times, within, kept = section[-1]["end"] or 1, 0, []
        for bar in section:
            within = bar["ending"] or within
            kept.append((within, bar))
        for time in range(1, times + 1):
            last = times > 1 and time == times
            order += [bar for ending, bar in kept if not (ending == 1 and last)]
    return order


def swung(at, swing):
    note = {"eighths": QUARTER // 2, "sixteenths": QUARTER // 4}.get(swing)
    if not note:
        return at
    within = at % (2 * note)
    later = within * 4 // 3 if within <= note else note * 4 // 3 + (within - note) * 2 // 3
    return at - within + later


def expected(phrases, holds, lines):
    tuning, capo = holds.get("tuning", STANDARD), int(holds.get("capo", "none").replace("none", "0"))
    if re.search(r"answer|blank|not printed", phrases):
        raise Other("phrase")
    meter = tuple(map(int, holds.get("meter", "4/4").split("/")))
    pickup = "pickup" in phrases
    bars = []
    for rows in systems(lines):
        bars += bars_of(rows, meter, pickup and not bars, tuning)
    whole = 4 * QUARTER // meter[1] * meter[0]
    compound = meter[1] == 8 and meter[0] in (6, 9, 12)
    swing = None if compound else holds.get("swing")
    start, notes = 0, []
    for index, bar in enumerate(played(bars, pickup)):
        skipped = bar["first"] if pickup and index == 0 else 0
        notes += [(start + swung(at - skipped, swing), key + capo) for at, key in bar["notes"]]
        start += whole - skipped
    tempo = re.fullmatch(r"(dotted )?(\d+)", holds.get("tempo", "100").strip())
    quarters = int(tempo[2]) * (1.5 if tempo[1] else 1)
    repeats = any(bar["end"] for bar in bars)
    kinds = repeats, swing in ("eighths", "sixteenths"), pickup, meter not in ((4, 4), (3, 4))
    return sorted(notes), round(60_000_000 / quarters), meter, kinds


def read(file):
    """When keys are struck in the parts of a file, its first tempo, and its meters."""
    song = mido.MidiFile(file, charset="utf-8")
    assert song.type == 1 and song.ticks_per_beat == QUARTER, file
    notes, tempos, meters, open_keys = [], [], [], 0
    for track in song.tracks:
        now = 0
        for message in track:
            now += message.time
            if message.type == "set_tempo":
                tempos.append((now, message.tempo))
            if message.type == "time_signature":
                meters.append((message.numerator, message.denominator))
            if message.type == "note_on" and message.velocity and message.channel != 9:
                notes.append((now, message.note))
                open_keys += 1
            if message.type == "note_off" and message.channel != 9:
                open_keys -= 1
    assert open_keys == 0, f"{file}: keys are left struck"
    return sorted(notes), tempos, meters


def differences(heard, notes, tempo, meter):
    """What a file has otherwise than the lesson's text, in words."""
    found, tempos, meters = heard
    if found != notes:
        yield f"{len(found)} notes, expected {len(notes)}; {sorted(set(found) ^ set(notes))[:4]}"
    if tempos != [(0, tempo)]:
        yield f"tempos {tempos}, expected {tempo}"
    if set(meters) != {meter}:
        yield f"meters {meters}, expected {meter}"


def main(program, lessons):
    seen, left, wrong, kinds = 0, {}, [], [0, 0, 0, 0]
    with tempfile.TemporaryDirectory() as folder:
        for lesson in map(pathlib.Path, lessons):
            out = pathlib.Path(folder) / lesson.stem
            out.mkdir()
            command = [program, "hear", "--all", "--notes", "--out", out, lesson]
            done = subprocess.run(command, capture_output=True, text=True)
            files = {file.stem: file for file in out.rglob("*.mid")}
            for phrases, holds, lines in blocks(lesson.read_text()):
                name, holds = of_fence(phrases, holds)
                try:
                    notes, tempo, meter, of_kind = expected(phrases, holds, lines)
                except Other as other:
                    left[str(other)] = left.get(str(other), 0) + 1
                    continue
                file = files.get(f"{lesson.stem}-{name}")
                if not file:
                    wrong.append(f"{lesson.name} {name}: no file; {done.stderr[:200]}")
                    continue
                seen += 1
                kinds = [count + is_one for count, is_one in zip(kinds, of_kind)]
                faults = differences(read(file), notes, tempo, meter)
                wrong += [f"{lesson.name} {name}: {fault}" for fault in faults]
    print(*wrong, sep="\n")
    print(f"{seen} riffs compared; repeats, swing, upbeats, other meters than 4/4 and 3/4: {kinds}")
    print(f"left to the tests in Rust: {left}")
    if wrong or seen < AT_LEAST or not all(kinds):
        sys.exit(f"{len(wrong)} differences in {seen} riffs; those of each kind: {kinds}")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
