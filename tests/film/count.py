"""The clock of a filmed lesson, counted from its text alone as somebody with a pencil counts it: words, bars
and pauses. It knows nothing of the program."""

import html
import re

CUE = re.compile(r"^\[(.*)\]$")
ITEM = re.compile(r"^(?:[-*+]|\d+[.)]|#{1,6})\s+")
LINK = re.compile(r"!?\[([^\]]*)\]\([^)]*\)")
COMMENT = re.compile(r"<!--.*?-->", re.S)


class Item:
    """Something that happens: its kind (speech, show, play, pause, …), words as typed, and seconds."""

    def __init__(self, kind, words, takes, section):
        self.kind, self.words, self.takes, self.section, self.at = kind, words, takes, section, 0.0


class Block:
    def __init__(self, kind, name, tempo, meter, section):
        self.kind, self.name, self.tempo, self.meter, self.section = kind, name, tempo, meter, section
        self.lines = []

    def quarters(self):
        """The length of each bar in quarters, repeats played out."""
        bar = self.meter[0] * 4 / self.meter[1]
        if self.kind == "changes":
            row = " ".join(self.lines)
            bars = []
            for part in re.split(r"(?=\|:)|(?<=:\|)", row):
                inside = [cell for cell in re.split(r"[|:]+", part) if cell.strip()]
                bars += [bar] * len(inside) * (2 if ":|" in part else 1)
            return bars
        if self.kind == "riff":
            rows = [line for line in self.lines if line.startswith("count")]
            cells = [cell for line in rows for cell in line[len("count"):].split("|") if cell.strip()]
            return [bar] * len(cells)
        if self.kind == "voicings":
            chords = sum(len(line.split(":")[0].split()) for line in self.lines)
            return [bar] * chords
        return [bar] * len(self.lines)

    def times_itself(self):
        return self.kind in ("changes", "riff")


class Lesson:
    """What an independent reader finds in a lesson's text."""

    def __init__(self, text):
        self.header = dict(re.findall(r"^([a-z ]+): *(.*)$", text.split("---")[1], re.M))
        self.pace = float(self.header.get("pace", "150"))
        self.blocks = self.read(text.split("---\n", 2)[2])
        self.items = [item for block in self.blocks if block.kind == "say" for item in self.said(block)]
        self.sections = []
        for block in self.blocks:
            if block.section not in self.sections:
                self.sections.append(block.section)
        now = 0.0
        for item in self.items:
            item.at, now = now, now + item.takes
        self.runs = now

    def read(self, body):
        section, inside, blocks = "", None, []
        tempo = float(self.header.get("tempo", "100"))
        meter = tuple(int(number) for number in self.header.get("meter", "4/4").split("/"))
        for line in body.splitlines():
            if line.startswith("~~~"):
                if inside is None:
                    words = line[3:].split("--")[0].replace(",", " ").split()
                    name = words[1] if len(words) > 1 else ""
                    inside = Block(words[0], name, tempo, meter, section)
                else:
                    blocks.append(inside)
                    inside = None
            elif inside is not None:
                inside.lines.append(line)
                if inside.kind == "now" and line.startswith("tempo:"):
                    tempo = float(line.split(":")[1])
            elif line.startswith("#"):
                section = line.lstrip("#").strip()
        return blocks

    def said(self, block):
        text = COMMENT.sub("", "\n".join(block.lines))
        speech = []

        def flush():
            words = " ".join(speech)
            speech.clear()
            if words:
                count = sum(any(c.isalnum() for c in word) for word in words.split())
                yield Item("speech", words, count * 60 / self.pace, block.section)

        for line in map(str.strip, text.splitlines()):
            cue = CUE.match(line)
            if cue or not line:
                yield from flush()
            if cue:
                yield self.cue(cue.group(1), block.section)
            elif line:
                speech.append(html.unescape(LINK.sub(r"\1", ITEM.sub("", line))))
        yield from flush()

    def cue(self, words, section):
        verb, _, rest = words.partition(" ")
        takes = 0.0
        if verb == "pause":
            takes = float(re.match(r"[\d.]+", rest).group())
        elif verb == "play":
            takes = self.playing(rest)
        return Item(verb, words, takes, section)

    def playing(self, rest):
        words = rest.replace(",", " ").split()
        bars = None
        if words[0] in ("bar", "bars"):
            of = words.index("of")
            numbers = [int(word) for word in words[:of] if word.isdigit()]
            bars, words = (numbers[0], numbers[-1]), words[of + 1:]
        words = [word for word in words if word != "the"]
        block = next(block for block in self.blocks if block.name == words[0])
        quarters = block.quarters()
        if bars:
            quarters = quarters[bars[0] - 1:bars[1]]
        if "each" in words:
            once = float(words[words.index("each") + 1]) * len(quarters)
        else:
            tempo = float(words[words.index("at") + 1]) if "at" in words else block.tempo
            once = sum(quarters) * 60 / tempo * (2 if "slowly" in words else 1)
        if "twice" in words:
            return once * 2
        return once * int(words[words.index("times") - 1]) if "times" in words else once
