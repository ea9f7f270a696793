"""Drafts a film by itself: a lesson of 900 spoken words is written, watched, and edited 36 times; after each save
the line that `watch` prints is compared with what was changed, and the clock, the chapters, the list of cues, the
pictures and the captions with a count of their own (count.py). A reader of WebVTT from elsewhere parses the captions.

Usage: draft.py FRETLEAF, with a Python that has the package webvtt-py."""

import csv
import os
import queue
import random
import re
import subprocess
import sys
import tempfile
import threading
from pathlib import Path

import webvtt

sys.dont_write_bytecode = True
sys.path.insert(0, str(Path(__file__).parent))
from count import Lesson  # noqa: E402

NOUNS = "string hand bar beat thumb chord note shape song finger count tune neck loop pattern melody".split()
VERBS = "listen to,look at,count,play,hold,lift,move,hear,repeat,slow down,wait for,think of".split(",")
ENDS = "before you go on,as long as you like,with a loose wrist,until it sings,and breathe,at the end of the line".split(",")
OPENINGS = "Now,Then,Here,Again,For a while,When you are ready,Very slowly,With both hands".split(",")


def sentence(chance):
    """A sentence that says nothing, as long as sentences are."""
    opening, verb, noun = chance.choice(OPENINGS), chance.choice(VERBS), chance.choice(NOUNS)
    second, end = chance.choice(NOUNS), chance.choice(ENDS)
    form = chance.choice([
        f"{opening}, {verb} the {noun} and the {second} {end}.",
        f"{opening} you {verb} the {noun}; the {second} comes next.",
        f"Do you {verb} the {noun}?",
        f"{opening}, {verb} the {noun}, the {second}, and the next {noun} too, {end}, because the {second} follows it.",
    ])
    return form


def words_of(text):
    return [word for word in text.split() if any(c.isalnum() for c in word)]


def speech(chance, words):
    """Sentences of so many words in all."""
    said = []
    while len(words_of(" ".join(said))) < words:
        said.append(sentence(chance))
    kept = " ".join(said).split()
    while len(words_of(" ".join(kept))) > words:
        kept.pop()
    return re.sub(r"[,;.?]?$", ".", " ".join(kept))


def lesson(chance):
    """A lesson of 900 spoken words in five sections."""
    def say(words):
        return speech(chance, words)

    return f"""---
title: The Draft
key: A major
tempo: 96
---

~~~ say
[camera face]
{say(60)}
~~~

## The verse

~~~ changes verse
| A | F#m7 | D | E |
~~~

~~~ riff hook over verse
count   1   &   2   &   3   &   4   &   |1   &   2   &   3   &   4   &   |
e       ------------------------0-------|------------------------2-------|
B       --------2---------------2-------|--------2---------------2-------|
G       ----2-------2---2---6-------2---|----2-------2-------2-------2---|
A       0---------------0---------------|--------------------------------|
E       --------------------------------|2-------------------------------|
~~~

Prose that stands on the handout alone.

~~~ say
[show verse]
{say(110)}
[play verse]
{say(50)}
~~~

~~~ say
[camera fretting hand]
{say(70)}
[show hook]
[play hook twice slowly]
{say(60)}
~~~

## The chorus

~~~ shape grips
Dmaj7   x 5 7 6 7 x
E7      0 2 0 1 0 0
~~~

~~~ say
[show Dmaj7]
{say(140)}
[pause 2 s]
{say(60)}
~~~

## Bridge

~~~ voicings high
A F#m D E : triads on strings 3 2 1, near fret 5
~~~

~~~ say
[camera face]
[tone clean, a little room]
{say(120)}
[show high]
{say(80)}
~~~

## The end

~~~ say
{say(100)}
~~~

~~~ say
{say(50)}
~~~
"""


# What each cue's picture is called, whatever comes before it.
PICTURES = {
    "show verse": "verse.svg",
    "show hook": "hook.svg",
    "show bars 1 to 2 of hook": "hook-bars-1-2.svg",
    "show Dmaj7": "grips-Dmaj7.svg",
    "show high": "high.svg",
}


class Watching:
    """The program while it watches, with the lines that it prints."""

    def __init__(self, program, folder):
        command = [program, "watch", "--script", "--figures", "--at", "640x360", "draft.md"]
        self.run = subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        self.lines = queue.Queue()
        threading.Thread(target=lambda: [self.lines.put(line.rstrip("\n")) for line in self.run.stdout], daemon=True).start()

    def line(self):
        while True:
            line = self.lines.get(timeout=120)
            if line.startswith("draft.md: "):
                return line

    def end(self):
        self.run.terminate()
        self.run.wait(timeout=10)


def whole(seconds):
    """Whole seconds as they are told; a hair below the next one is the next one."""
    return int(seconds + 1e-6)


def told(seconds):
    seconds = int(seconds)
    hours, minutes, seconds = seconds // 3600, seconds // 60 % 60, seconds % 60
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"


def by_section(count):
    """What each section takes, by its heading; talk before the first is the opening."""
    sections = {}
    for item in count.items:
        name = item.section or "Opening"
        sections[name] = sections.get(name, 0) + item.takes
    return sections


def runs(now, before):
    """What the line says of the running time."""
    difference = whole(now.runs) - whole(before.runs)
    if difference == 0:
        return f"script {told(whole(now.runs))}"
    way = "longer" if difference > 0 else "shorter"
    return f"script {told(whole(now.runs))}, {told(abs(difference))} {way}"


def check_clock(folder, count):
    """The list of cues has each cue at its time, and says how long it stays up."""
    rows = list(csv.DictReader(open(folder / "draft-cues.csv", encoding="utf-8")))
    cues = [item for item in count.items if item.kind != "speech"]
    assert len(rows) == len(cues), (len(rows), len(cues))
    for row, cue in zip(rows, cues):
        hours, minutes, seconds = row["time"].split(":")
        at = int(hours) * 3600 + int(minutes) * 60 + float(seconds)
        assert abs(at - cue.at) < 0.002, (row, cue.at)
        assert row["kind"] == cue.kind and row["words"].lstrip("'") == cue.words, (row, cue.words)
    shows = [cue for cue in cues if cue.kind == "show"]
    ends = [cue.at for cue in shows[1:]] + [count.runs]
    shown = [row for row in rows if row["kind"] == "show"]
    for row, cue, end in zip(shown, shows, ends):
        assert abs(float(row["seconds"]) - (end - cue.at)) < 0.06, (row, end - cue.at)
        assert row["figure"] == PICTURES[row["words"]], row
        assert (folder / "draft-figures" / row["figure"]).is_file(), row


def check_chapters(folder, count):
    chapters, short = [], 10.0
    for name, takes in by_section(count).items():
        at = next(item.at for item in count.items if (item.section or "Opening") == name)
        if chapters and (takes < short or chapters[-1][1] == name):
            continue
        chapters.append((at if chapters else 0.0, name))
    expected = [f"{told(whole(at))} {name}" for at, name in chapters]
    found = (folder / "draft-chapters.txt").read_text(encoding="utf-8").splitlines()
    assert found == expected, (found, expected)


def letters(text):
    """Words without the signs that are set otherwise than typed."""
    text = text.replace("♯", "#").replace("♭", "b").replace("`", "").replace("*", "").replace("’", "'")
    return text.split()


def check_captions(folder, count, as_said):
    captions = list(webvtt.read(str(folder / "draft.vtt")))
    speeches = [item for item in count.items if item.kind == "speech"]
    before = 0.0
    for caption in captions:
        start, end = seconds_of(caption.start), seconds_of(caption.end)
        lines = caption.text.split("\n")
        assert before - 1e-6 <= start < end, caption
        assert len(lines) <= 2 and all(len(line) <= 42 for line in lines), caption.text
        assert 1.0 - 0.002 <= end - start <= 6.0 + 0.002, (caption.text, end - start)
        if len(lines) == 2:
            assert all(" " in line or len(line) > 5 for line in lines), caption.text
        before = end
    words = [(word, c) for c in captions for word in letters(c.text.replace("\n", " "))]
    typed = [word for speech in speeches for word in letters(speech.words)]
    if not as_said:
        assert [word for word, _ in words] == typed, (words, typed)
        at = 0
        for speech in speeches:
            # A caption may have the end of what was said before in it, and so begin earlier; never later.
            first = words[at][1]
            assert speech.at - 6.002 <= seconds_of(first.start) <= speech.at + 0.002, (first, speech.at)
            assert seconds_of(first.end) > speech.at, (first, speech.at)
            at += len(letters(speech.words))
    silent = [i for i in count.items if i.kind in ("play", "pause") and i.takes > 0]
    for item in silent:
        for c in captions:
            assert seconds_of(c.end) <= item.at + 0.002 or seconds_of(c.start) >= item.at + item.takes - 0.002, c.text


def seconds_of(moment):
    parts = [float(part) for part in moment.split(":")]
    return sum(part * 60 ** place for place, part in enumerate(reversed(parts)))


def once(old, new):
    """An edit that puts something in the place of what stands once in the text."""
    def edit(text):
        assert text.count(old) == 1, (old, text.count(old))
        return text.replace(old, new)
    return edit


def speech_of(text, number):
    """The lines of speech in the say block of a number, from 0."""
    block = re.findall(r"^~~~ say\n(.*?)^~~~$", text, re.M | re.S)[number]
    return [line for line in block.splitlines() if line and not line.startswith("[")]


def longer(number, words):
    """An edit that adds words to the first speech of a say block."""
    def edit(text):
        line = speech_of(text, number)[0]
        return once(line, line + " " + words)(text)
    return edit


def shorter(number, count):
    """An edit that takes words off the last speech of a say block."""
    def edit(text):
        line = speech_of(text, number)[-1]
        return once(line, " ".join(line.split()[:-count]) + ".")(text)
    return edit


VERSE, VERSE_2 = "The verse, what is said", "The verse, what is said (2)"
CHORUS, BRIDGE, END = "The chorus, what is said", "Bridge, what is said", "The end, what is said"
OPENING = "The opening, what is said"

# Each edit: what is done, what the line says of it, and what it says of findings.
EDITS = [
    (longer(0, "And one sentence more for the camera."), OPENING, None),
    (longer(1, "Listen twice before you play."), VERSE, None),
    (shorter(3, 9), CHORUS, None),
    (once("Prose that stands", "Words that stand"), "prose", None),
    (once("tempo: 96", "tempo: 84"), "header", "any"),
    (once("title: The Draft", "title: The Draft\npace: 140"), "header", None),
    (once("[play verse]", "[play verse twice]"), VERSE, None),
    (once("[pause 2 s]", "[pause 4.5 s]"), CHORUS, None),
    (once("[show high]", "[show high]\n[play high]"), BRIDGE, None),
    (once("[play high]", "[play high, each 2 s]"), BRIDGE, None),
    (once("[tone clean, a little room]", "[tone driven]"), BRIDGE, None),
    (once("[camera fretting hand]", "[camera picking hand]"), VERSE_2, None),
    (once("[show hook]", "[show bars 1 to 2 of hook]"), VERSE_2, None),
    (once("[show bars 1 to 2 of hook]", "[show hook]\n[retake too fast]"), VERSE_2, None),
    (once("[play hook twice slowly]", "[play bar 2 of hook 3 times at 120]"), VERSE_2, None),
    (once("| A | F#m7 | D | E |", "|: A | F#m7 | D | E :|"), "verse", None),
    (once("## The end", "## The solo\n\n~~~ say\nA solo is a song without words, and it needs room to breathe.\n~~~\n\n## The end"),
     "prose and The solo, what is said (new)", None),
    (once("\n~~~ say\nA solo is a song without words, and it needs room to breathe.\n~~~\n", ""),
     "The solo, what is said (gone)", None),
    (once("## The solo\n\n", ""), "prose", None),
    (once("## Bridge", "## The bridge"), "prose", None),
    (once("## The bridge", "## Bridge"), "prose", None),
    (once("[show Dmaj7]", "[show Dmaj7]\n<!-- ask about this\nlater on -->"), CHORUS, None),
    (once("<!-- ask about this\nlater on -->", "Two things:\n\n- the thumb stays low\n- the wrist is loose"), CHORUS, None),
    (once("- the wrist is loose", "- see [the first lesson](https://example.org) for the wrist"), CHORUS, None),
    (once("[show hook]\n", "[show hok]\n"), VERSE_2, "new fault"),
    (once("[show hok]\n", "[show hook]\n"), VERSE_2, "gone: fault"),
    (longer(4, "Look at it [show high] now."), BRIDGE, "new fault"),
    (once(" Look at it [show high] now.", ""), BRIDGE, "gone: fault"),
    (longer(4, "Remember that `C# is the third of A`."), BRIDGE, None),
    (once("title: The Draft", "title: The Draft\nlength: 7:00"), "header", None),
    (once("length: 7:00", "length: 6:30"), "header", None),
    (once("title: The Draft", "title: The Draft\ncaptions: as said"), "header", None),
    (once("captions: as said", "captions: as written"), "header", None),
    (once("E7      0 2 0 1 0 0\n", "E7      0 2 0 1 3 0\n"), "grips", None),
    (lambda text: text[:text.rindex("~~~ say")].rstrip() + "\n", "The end, what is said (2) (gone)", None),
    (longer(5, "Goodbye, and play well."), END, None),
]


def check_line(line, edit, before, now):
    """The line names what changed, how the clock moved, which sections moved most, and what is wrong."""
    _, things, finding = edit
    clauses = line[len("draft.md: "):].split(" · ")
    named = clauses[0].removesuffix(" changed")
    assert named == things or (finding == "any" and named.startswith(things)), (line, things)
    script = next(clause for clause in clauses if clause.startswith("script "))
    expected = runs(now, before)
    plain = re.sub(r" \([^)]*\)", "", script)
    assert plain == expected or plain.startswith(expected + ", "), (script, expected)
    check_sections(re.search(r"\(([^)]*)\)", script), by_section(before), by_section(now))
    if "length" in now.header:
        minutes, seconds = now.header["length"].split(":")
        off = whole(now.runs) - int(minutes) * 60 - int(seconds)
        words = "to the second" if off == 0 else f"{told(abs(off))} {'over' if off > 0 else 'under'}"
        assert words in script, (script, words)
    if finding in ("new fault", "gone: fault"):
        assert any(clause.startswith(finding) for clause in clauses), (line, finding)
    elif finding is None:
        assert not any(clause.startswith(("new ", "gone: fault", "gone: doubt")) for clause in clauses), line


def check_sections(named, before, now):
    """The sections that moved by a second at least are named, three at most, each with its way and how far."""
    moves = {name: now.get(name, 0) - before.get(name, 0) for name in before | now}
    moves = {name: by for name, by in moves.items() if abs(by) >= 1}
    told_moves = named.group(1).split(", ") if named else []
    assert len(told_moves) == min(3, len(moves)), (told_moves, moves)
    for move in told_moves:
        name, time, way = move.rsplit(" ", 2)
        ways = {"longer": 1, "new": 1, "shorter": -1, "gone": -1}
        minutes, seconds = time.split(":")
        by = ways[way] * (int(minutes) * 60 + int(seconds))
        assert abs(by - moves[name]) <= 1, (move, moves)
        assert (way == "new") == (name not in before) and (way == "gone") == (name not in now), move


def save(path, text):
    """A whole file takes the place of the old one, as editors save."""
    beside = path.with_suffix(".tmp")
    beside.write_text(text, encoding="utf-8")
    os.replace(beside, path)


def check_files(folder, count):
    check_clock(folder, count)
    check_chapters(folder, count)
    check_captions(folder, count, count.header.get("captions") == "as said")


def main(program):
    text = lesson(random.Random(7))
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        save(folder / "draft.md", text)
        watching = Watching(os.path.abspath(program), folder)
        try:
            draft(watching, folder, text)
        finally:
            watching.end()
    print(f"{len(EDITS)} edits passed, 0 failed")


def draft(watching, folder, text):
    """Saves each edit, and checks what the program makes of it."""
    count = Lesson(text)
    words = sum(len(words_of(item.words)) for item in count.items if item.kind == "speech")
    assert words == 900, words
    assert f"script {told(whole(count.runs))}" in watching.line()
    check_files(folder, count)
    for number, edit in enumerate(EDITS, 1):
        before, text = count, edit[0](text)
        count = Lesson(text)
        save(folder / "draft.md", text)
        line = watching.line()
        try:
            check_line(line, edit, before, count)
            if edit[2] != "new fault":
                check_files(folder, count)
        except AssertionError as error:
            raise AssertionError(f"edit {number}: {line}\n{error}") from error


if __name__ == "__main__":
    main(sys.argv[1])
