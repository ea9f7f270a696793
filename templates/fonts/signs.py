#!/usr/bin/env python3
"""Draws the signs ♯ ♭ ♮ 𝄪 𝄫 ♩ and writes them as `FretleafSigns.ttf` beside this file.

Wants fontTools and skia-pathops. The font has each sign twice: glyphs 1 to 6 are for type of ten points
and more, glyphs 7 to 12, in the same order, for smaller type and for bold letters: sturdier, and wider where
they would close up. Lengths are thousandths of the size of type. Of a sign at 13 pt the upright lines are 0.24 mm wide, the
bars 0.35 mm. The other measures were chosen by eye, the small ones on prints that were blurred and
thresholded. The program is under the licence of fretleaf, and so are the signs."""

import pathlib
from dataclasses import dataclass, replace

import pathops
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen

FILE = pathlib.Path(__file__).resolve().parent / "FretleafSigns.ttf"
NAMES = {"sharp": 0x266F, "flat": 0x266D, "natural": 0x266E, "doublesharp": 0x1D12A, "doubleflat": 0x1D12B}
NAMES |= {"quarternote": 0x2669}
# How high a sign is, and where it begins: its middle is that of the capitals.
HEIGHT, FOOT = 620, 14
TOP = FOOT + HEIGHT


@dataclass
class Cut:
    """The measures of one size."""

    stem: float  # upright lines
    bar: float  # bars, measured upright, at their middle
    swell: float  # how much of it they gain or lose towards their ends
    room: float  # between two upright lines
    reach: float  # of bars beyond the upright lines
    rise: float  # of a bar, along its whole length
    apart: float  # between the middles of two bars
    bowl: float  # the flat's bowl: how far it reaches to the right
    wall: float  # and how strong it is where it is strongest
    side: float  # air at each side


LARGE = Cut(stem=52, bar=76, swell=16, room=132, reach=58, rise=70, apart=214, bowl=284, wall=84, side=100)
SMALL = Cut(stem=66, bar=88, swell=14, room=158, reach=56, rise=70, apart=236, bowl=322, wall=98, side=92)


def polygon(path, points):
    pen = path.getPen()
    pen.moveTo(points[0])
    for point in points[1:]:
        pen.lineTo(point)
    pen.closePath()


def upright(path, left, width, low, high):
    polygon(path, [(left, low), (left + width, low), (left + width, high), (left, high)])


def bar(path, cut, left, right, middle):
    """A bar that rises to the right and swells on its way."""
    low, high = middle - cut.rise / 2, middle + cut.rise / 2
    thin, thick = (cut.bar - cut.swell) / 2, (cut.bar + cut.swell) / 2
    polygon(path, [(left, low - thin), (right, high - thick), (right, high + thick), (left, low + thin)])


def sharp(path, cut):
    width = 2 * cut.reach + 2 * cut.stem + cut.room
    first, second = cut.reach, cut.reach + cut.stem + cut.room
    step = 34
    upright(path, first, cut.stem, FOOT, TOP - step)
    upright(path, second, cut.stem, FOOT + step, TOP)
    middle = FOOT + HEIGHT / 2
    for side in (-1, 1):
        bar(path, cut, 0, width, middle + side * cut.apart / 2)
    return width


def natural(path, cut):
    """Two lines whose ends are cut along the bars between them."""
    width = 2 * cut.stem + cut.room * 1.12
    rise = cut.rise * width / (width + 2 * cut.reach)
    middle = FOOT + HEIGHT / 2

    def edge(side, x):
        """Where a bar's outer edge is."""
        return middle + side * (cut.apart + cut.bar) / 2 + rise * (x / width - 0.5)

    right = width - cut.stem
    polygon(path, [(0, edge(-1, 0)), (cut.stem, edge(-1, cut.stem)), (cut.stem, TOP), (0, TOP)])
    polygon(path, [(right, FOOT), (width, FOOT), (width, edge(1, width)), (right, edge(1, right))])
    flatter = replace(cut, rise=rise, swell=0)
    for side in (-1, 1):
        bar(path, flatter, 0, width, middle + side * cut.apart / 2)
    return width


def flat_at(path, cut, left):
    """A line, and a bowl that leaves it upwards, turns wide and runs back to its foot."""
    upright(path, left, cut.stem, FOOT, TOP)
    stem, outer, inner = left + cut.stem, left + cut.bowl, left + cut.bowl - cut.wall
    shoulder, roof = FOOT + 384, cut.bar * 0.92
    pen = path.getPen()
    pen.moveTo((stem - 20, FOOT))
    pen.lineTo((stem, FOOT))
    pen.curveTo((stem + 130, FOOT + 70), (outer, FOOT + 150), (outer, FOOT + 272))
    pen.curveTo((outer, FOOT + 340), (outer - 40, shoulder), (outer - 100, shoulder))
    pen.curveTo((outer - 150, shoulder), (stem + 40, shoulder - 26), (stem - 20, shoulder - 86))
    pen.lineTo((stem - 20, shoulder - 86 - roof))
    pen.curveTo((stem + 40, shoulder - roof - 36), (inner - 66, shoulder - roof), (inner - 40, shoulder - roof))
    pen.curveTo((inner - 10, shoulder - roof), (inner, shoulder - roof - 20), (inner, FOOT + 252))
    pen.curveTo((inner, FOOT + 180), (stem + 46, FOOT + 116), (stem - 20, FOOT + 76))
    pen.closePath()


def flat(path, cut):
    flat_at(path, cut, 0)
    return cut.bowl


def double_flat(path, cut):
    step = cut.bowl + 54
    flat_at(path, cut, 0)
    flat_at(path, cut, step)
    return step + cut.bowl


def double_sharp(path, cut):
    """Two strokes across, broad at their ends and narrow where they meet."""
    size, middle = 440, FOOT + HEIGHT / 2
    half, waist, end = size / 2, cut.stem * 0.5, cut.bar * 0.92
    one = [(-half, -half), (-half + end, -half), (waist, -waist), (half, half - end)]
    one += [(half, half), (half - end, half), (-waist, waist), (-half, -half + end)]
    other = [(x, -y) for x, y in reversed(one)]
    for corners in (one, other):
        polygon(path, [(half + x, middle + y) for x, y in corners])
    return size


def quarter_note(path, cut):
    """A slanted head as high as a bar's two thirds of small letters, its line at the right; 0.3 mm at 9 pt."""
    wide, high, slant, line, top = 318, 236, 0.36, cut.stem * 1.4, 800
    pen, k = path.getPen(), 0.5523
    middle = (wide / 2, high / 2)

    def at(x, y):
        x, y = x * wide / 2 * 0.98, y * high / 2 * 0.86
        return (middle[0] + x * 0.96 - y * 0.22, middle[1] + y + x * slant * 0.62)

    pen.moveTo(at(1, 0))
    for (a, b, c) in (
        ((1, k), (k, 1), (0, 1)),
        ((-k, 1), (-1, k), (-1, 0)),
        ((-1, -k), (-k, -1), (0, -1)),
        ((k, -1), (1, -k), (1, 0)),
    ):
        pen.curveTo(at(*a), at(*b), at(*c))
    pen.closePath()
    right = at(1, 0)[0]
    upright(path, right - line + 4, line, middle[1] + 20, top)
    return wide


SHAPES = {"sharp": sharp, "flat": flat, "natural": natural, "doublesharp": double_sharp, "doubleflat": double_flat}
SHAPES["quarternote"] = quarter_note


def glyph(shape, cut):
    """A sign as one outline, with its advance."""
    path = pathops.Path()
    width = shape(path, cut)
    path.simplify(fix_winding=True, keep_starting_points=False)
    pen = TTGlyphPen(None)
    curves = Cu2QuPen(pen, max_err=0.6, reverse_direction=True)
    path.draw(TransformPen(curves, (1, 0, 0, 1, cut.side, 0)))
    return pen.glyph(), round(width + 2 * cut.side)


def whole():
    order, glyphs, metrics = [".notdef"], {}, {}
    box = TTGlyphPen(None)
    for corners in ([(60, 0), (60, 640), (440, 640), (440, 0)], [(100, 40), (400, 40), (400, 600), (100, 600)]):
        box.moveTo(corners[0])
        for corner in corners[1:]:
            box.lineTo(corner)
        box.closePath()
    glyphs[".notdef"], metrics[".notdef"] = box.glyph(), (500, 60)
    for ending, cut in (("", LARGE), (".small", SMALL)):
        for name, shape in SHAPES.items():
            order.append(name + ending)
            glyphs[name + ending], advance = glyph(shape, cut)
            metrics[name + ending] = (advance, round(cut.side))
    font = FontBuilder(1000, isTTF=True)
    font.setupGlyphOrder(order)
    font.setupCharacterMap({code: name for name, code in NAMES.items()})
    font.setupGlyf(glyphs)
    font.setupHorizontalMetrics(metrics)
    font.setupHorizontalHeader(ascent=894, descent=-246)
    font.setupNameTable(
        {
            "familyName": "Fretleaf Signs",
            "styleName": "Regular",
            "uniqueFontIdentifier": "FretleafSigns-1",
            "fullName": "Fretleaf Signs",
            "psName": "FretleafSigns",
            "version": "Version 1.0",
            "licenseDescription": "MIT or Apache-2.0",
        },
        mac=False,
    )
    font.setupOS2(sTypoAscender=894, sTypoDescender=-246, usWinAscent=894, usWinDescent=246, fsType=0)
    font.setupPost()
    # The same signs make the same bytes.
    font.font["head"].created = font.font["head"].modified = 3_786_912_000
    font.font.recalcTimestamp = False
    font.save(FILE)


if __name__ == "__main__":
    whole()
