"""Symbols as the program makes them, of many versions and levels; and where on a symbol each of its
codewords lies, by ISO/IEC 18004, to tell damage that its level corrects from damage that it does
not."""

import json
import os

import common
import content
import pictures

# ISO/IEC 18004, table 9: for each version and level the blocks, each of so many codewords of which
# so many are data; half of the rest can be wrong, less those kept for noticing misreads (table 9's
# note: p = 3 for 1-L, 2 for 1-M and 2-L, 1 for 1-Q, 1-H and 3-L).
BLOCKS = {
    (1, "L"): [(26, 19)], (1, "M"): [(26, 16)], (1, "Q"): [(26, 13)], (1, "H"): [(26, 9)],
    (2, "L"): [(44, 34)], (2, "M"): [(44, 28)], (2, "Q"): [(44, 22)], (2, "H"): [(44, 16)],
    (3, "L"): [(70, 55)], (3, "M"): [(70, 44)], (3, "Q"): [(35, 17)] * 2, (3, "H"): [(35, 13)] * 2,
    (4, "L"): [(100, 80)], (4, "M"): [(50, 32)] * 2, (4, "Q"): [(50, 24)] * 2,
    (4, "H"): [(25, 9)] * 4,
}
KEPT = {(1, "L"): 3, (1, "M"): 2, (2, "L"): 2, (1, "Q"): 1, (1, "H"): 1, (3, "L"): 1}


def corrects(version, level):
    """Wrong codewords that each block of a symbol can have."""
    total, good = BLOCKS[version, level][0]
    return (total - good - KEPT.get((version, level), 0)) // 2


def alignment(version):
    """First row, and column, of the one alignment pattern of versions 2 to 6, five modules wide."""
    return 17 + 4 * version - 9


def is_function(version, row, column):
    """Finders with separators and format, timing, alignment pattern."""
    size = 17 + 4 * version
    if row == 6 or column == 6 or (row < 9 and column < 9):
        return True
    if (row < 9 and column >= size - 8) or (row >= size - 8 and column < 9):
        return True
    first = alignment(version)
    return version > 1 and first <= row < first + 5 and first <= column < first + 5


def codewords(version):
    """For each module that holds data its codeword, in the order in which they are placed: two
    columns at a time from the right, upwards and downwards by turns."""
    size = 17 + 4 * version
    order = []
    up = True
    for right in [column for column in range(size - 1, 0, -2) if column > 6] + [5, 3, 1]:
        for row in range(size - 1, -1, -1) if up else range(size):
            for column in (right, right - 1):
                if not is_function(version, row, column):
                    order.append((row, column))
        up = not up
    return {place: number // 8 for number, place in enumerate(order)}


def wrong_codewords(version, level, changed):
    """The most wrong codewords in any block, of a set of changed modules (row, column); codewords
    take blocks by turns. In BLOCKS all blocks of a symbol are alike, so the turns are even."""
    count = len(BLOCKS[version, level])
    total = sum(size for size, _ in BLOCKS[version, level])
    where = codewords(version)
    wrong = {where[place] for place in changed if place in where}
    # What remains when the symbol is full of codewords is no data.
    return max(sum(1 for word in wrong if word % count == block and word < total)
               for block in range(count))


class Symbol:
    """One symbol as printed: its modules, and its picture with its quiet zone off the label."""

    def __init__(self, figure, modules, picture):
        self.version, self.level = figure["version"], figure["level"]
        self.dots, self.modules, self.picture = figure["dots"], modules, picture
        self.name = f"{figure['tag']} on {figure['layout']} {self.version}-{self.level}"


def printed(folder, layout, description, *options):
    """The symbols of a description's stickers, cut out of the pictures for a roll's head."""
    stem = os.path.join(folder, f"symbols-{len(os.listdir(folder))}")
    with open(stem + ".yaml", "w", encoding="utf-8") as out:
        out.write(description)
    for ending in (".png", ".pdf"):
        common.run("stickers", stem + ".yaml", "-o", stem + ending, "--layout", layout, "-q",
                   *options)
    figures = json.loads(common.run("stickers", stem + ".yaml", "--json", "--layout", layout,
                                    *options).stdout)["stickers"]
    pngs = sorted(os.path.join(folder, name) for name in os.listdir(folder) if
                  name.startswith(os.path.basename(stem)) and name.endswith(".png"))
    dpi = float(common.layout(layout)["dpi"])
    return [symbol_of(figure, png, page.codes()[0], dpi)
            for figure, png, page in zip(figures, pngs, content.pages(stem + ".pdf"), strict=True)]


def symbol_of(figure, png, code, dpi):
    dots = figure["dots"]
    side = (len(code.what) + 2 * pictures.QUIET) * dots
    left, top = (round(value / 25.4 * dpi) - pictures.QUIET * dots for value in (code.x, code.y))
    return Symbol(figure, code.what, pictures.crop(common.png_pixels(png), left, top, side, side))
