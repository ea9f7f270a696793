#!/usr/bin/env python3
"""Makes the type of the student's page: subsets of the handout's serif, beside this file as WOFF2.

Each face is cut twice. The small cut has the letters of `FretleafSerif.txt`: English and German, and all that we print
ourselves. The other has those of `FretleafSerif-Latin.txt` too, for the other languages of Western and Central Europe.
Kerning and the usual ligatures stay; other features and hints go. The signs ♯ ♭ ♮ 𝄪 𝄫 ♩ are ours (`signs.py`), the
sturdy ones in bold, as far from the letters before them as `src/ink/signs.rs` sets them on paper.

Libertinus is under the SIL Open Font License 1.1, and so are its subsets, under a name of their own.

Wants fontTools 4.68 and brotli 1.2, and cargo, which knows where the serif is. With --check it only says whether the
files are as they would be written."""

import io
import json
import pathlib
import subprocess
import sys

from fontTools import subset
from fontTools.fontBuilder import FontBuilder
from fontTools.otlLib.builder import PairPosBuilder
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables.otTables import ValueRecord

HERE = pathlib.Path(__file__).resolve().parent
FAMILY = "Fretleaf Serif"
# The letters of each cut, by what its files' names end in.
SMALL = (HERE / "FretleafSerif.txt").read_text().replace("\n", "")
CUTS = {"": SMALL, "-Latin": SMALL + (HERE / "FretleafSerif-Latin.txt").read_text().replace("\n", "")}

SIGNS = "♯♭♮𝄪𝄫♩"
# The first glyph of each cut of the signs in their own face.
FINE, STURDY = 1, 7
FIRST_SIGN = {"Regular": FINE, "Italic": FINE, "Bold": STURDY}
# How far a sign stands from the letter before it, as in `src/ink/signs.rs`, in thousandths of the size of type.
CLEAR, CLEAR_SHARP, SIDE = 131, 90, 100
NARROWER, WIDER = -80, 60
# What stands before signs: the last letters of notes, digits of chords.
BEFORE_SIGNS = "ABCDEFGHaeilo0123456789"


def serif():
    """The folder of the handout's serif."""
    command = ["cargo", "metadata", "--locked", "--format-version", "1"]
    read = json.loads(subprocess.run(command, cwd=HERE, check=True, stdout=subprocess.PIPE).stdout)
    (manifest,) = (package["manifest_path"] for package in read["packages"] if package["name"] == "typst-assets")
    return pathlib.Path(manifest).parent / "files" / "fonts"


def cut(font, letters):
    """Leaves a font those letters alone that are asked for."""
    options = subset.Options(
        layout_features=["kern", "liga"],
        hinting=False,
        desubroutinize=True,
        glyph_names=True,
        name_IDs=[0, 1, 2, 4, 6, 13, 14],
        name_languages=[0x409],
    )
    options.drop_tables += ["FFTM", "GDEF", "gasp"]
    subsetter = subset.Subsetter(options)
    subsetter.populate(text=letters)
    subsetter.subset(font)


def put_signs(font, first):
    """Gives a font our signs, those from a glyph of their own face on."""
    source = TTFont(HERE / "FretleafSigns.ttf")
    assert source["head"].unitsPerEm == font["head"].unitsPerEm
    outlines, top = source.getGlyphSet(), font["CFF "].cff.topDictIndex[0]
    names = {}
    for place, sign in enumerate(SIGNS):
        drawn, name = source.getGlyphName(first + place), f"sign{place}"
        width, side = source["hmtx"][drawn]
        # A charstring says its width beside the usual one of its font.
        pen = T2CharStringPen(width - top.Private.nominalWidthX, outlines)
        outlines[drawn].draw(pen)
        charstring = pen.getCharString(private=top.Private, globalSubrs=top.GlobalSubrs)
        top.CharStrings.charStringsIndex.append(charstring)
        top.CharStrings.charStrings[name] = len(top.charset)
        top.charset.append(name)
        font["hmtx"][name] = (width, side)
        names[sign] = name
    font.setGlyphOrder(top.charset)
    letters = font.getBestCmap() | {ord(sign): name for sign, name in names.items()}
    FontBuilder(font=font).setupCharacterMap(letters)
    return names


def kern_signs(font, names):
    """Moves the signs to one distance from the letters before them, whatever air these bring along."""
    pairs, glyphs = PairPosBuilder(font, None), font.getGlyphSet()
    letters = font.getBestCmap()
    for before in (letters[ord(letter)] for letter in BEFORE_SIGNS):
        pen = BoundsPen(glyphs)
        glyphs[before].draw(pen)
        air = glyphs[before].width - pen.bounds[2]
        for sign, name in names.items():
            clear = CLEAR_SHARP if sign == "♯" else CLEAR
            value = ValueRecord()
            value.XAdvance = round(min(max(clear - SIDE - air, NARROWER), WIDER))
            pairs.addGlyphPair(None, before, value, name, None)
    table = font["GPOS"].table
    lookup = pairs.build()
    table.LookupList.Lookup.append(lookup)
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag == "kern":
            record.Feature.LookupListIndex.append(len(table.LookupList.Lookup) - 1)


def rename(font, style):
    """Calls a font by a name of its own; whose it is stays said."""
    told = {1: FAMILY, 2: style, 4: f"{FAMILY} {style}", 6: f"FretleafSerif-{style}"}
    for record in font["name"].names:
        if record.nameID in told:
            record.string = told[record.nameID]
    top = font["CFF "].cff
    top.fontNames = [told[6]]
    top.topDictIndex[0].FamilyName, top.topDictIndex[0].FullName = told[1], told[4]


def made(source, style, letters):
    """A face's bytes."""
    font = TTFont(source, recalcTimestamp=False)
    cut(font, "".join(set(letters) - set(SIGNS)))
    kern_signs(font, put_signs(font, FIRST_SIGN[style]))
    rename(font, style)
    lacking = [letter for letter in letters if ord(letter) not in font.getBestCmap()]
    if lacking:
        sys.exit(f"{style} has no {' '.join(lacking)}")
    font["post"].formatType = 3.0
    font.flavor = "woff2"
    written = io.BytesIO()
    font.save(written)
    return written.getvalue()


if __name__ == "__main__":
    folder = serif()
    for style in FIRST_SIGN:
        for ends, letters in CUTS.items():
            face = made(folder / f"LibertinusSerif-{style}.otf", style, letters)
            file = HERE / f"FretleafSerif-{style}{ends}.woff2"
            if sys.argv[1:] == ["--check"]:
                if not file.exists() or file.read_bytes() != face:
                    sys.exit(f"{file.name} is not what web.py makes: run it")
            else:
                file.write_bytes(face)
