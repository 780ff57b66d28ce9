"""The dots of a print head: the picture of a layout and its PDF, rasterised by poppler at the same
resolution, show the same stickers."""

import os
import re
import shutil
import unittest

import common

# Text need not agree to the dot, and cannot: in a picture a text begins on a whole dot, so does each
# of its characters, and hinting moves their stems onto whole dots and makes them whole dots thick; a
# PDF has none of it, and poppler inks the dots whose middle the outline covers. Each of the four
# moves an edge by up to half a dot, so that ink is within two dots of ink of the other; but where
# two edges meet, in the bowl of a U, the corner moves farther: by up to four, for one dot in 200.
# Strokes of small text are two or three dots thick, so that an edge moved is a good part of their
# ink; but in all they have no more or less of it.
TEXT_REACH = 2
TEXT_ASTRAY = 1 / 200
TEXT_FARTHEST = 4
TEXT_DIFFERS = 0.45
TEXT_INK = 0.1


# No bundle is known, so that every layout suits.
DESCRIPTION = """harness: KLN
title: Kiln lid
components:
  - {id: M1, name: lid motor, place: rear}
connectors:
  - {id: X1, name: lid motor supply, mates: M1, family: round}
  - {id: X2, name: lid switch, mates: M1, family: round}
  - {id: X3, family: flat, sides: 1}
"""


class Page:
    """Rows of dots as whole numbers, the leftmost dot highest; 1 is ink."""

    def __init__(self, width, rows):
        self.width = width
        self.rows = rows

    def ink(self):
        return sum(row.bit_count() for row in self.rows)

    def part(self, row, left, width):
        return self.rows[row] >> (self.width - left - width) & ((1 << width) - 1)

    def without(self, codes):
        """The page with the squares of its codes blank."""
        rows = list(self.rows)
        for code in codes:
            square = ((1 << code.size) - 1) << (self.width - code.left - code.size)
            for row in range(code.top, code.top + code.size):
                rows[row] &= ~square
        return Page(self.width, rows)

    def grown(self, reach):
        """Every dot of ink as a square that reaches so far to all sides."""
        wide = []
        for row in self.rows:
            for step in range(-reach, reach + 1):
                row |= self.rows[len(wide)] << step if step > 0 else self.rows[len(wide)] >> -step
            wide.append(row)
        return Page(self.width, [self.any(wide[max(0, i - reach):i + reach + 1])
                                 for i in range(len(wide))])

    @staticmethod
    def any(rows):
        together = 0
        for row in rows:
            together |= row
        return together


class Code:
    """A symbol in a PDF: its place in dots, and its modules, a row a whole number, 1 dark."""

    def __init__(self, size, x, y, modules, digits, page_height, dpi):
        dots = dpi / 72
        self.modules = modules
        self.module = size * dots / modules
        self.corner = (x * dots, (page_height - y - size) * dots)
        self.left, self.top = map(round, self.corner)
        self.size = round(self.module) * modules
        each = (modules + 7) // 8 * 2
        self.rows = [~int(digits[i:i + each], 16) >> (each * 4 - modules) & ((1 << modules) - 1)
                     for i in range(0, len(digits), each)]

    def row(self, row):
        """A row of dots of the symbol."""
        dots = round(self.module)
        dark = self.rows[row // dots]
        return int("".join(bit * dots for bit in f"{dark:0{self.modules}b}"), 2)


def read_picture(path):
    width, _, rows = common.read_png(path)
    spare = -width % 8
    return Page(width, [~int.from_bytes(row, "big") >> spare & ((1 << width) - 1) for row in rows])


def read_pbm(path):
    page = common.data(path)
    head = re.match(rb"P4\s+(\d+)\s+(\d+)\s", page)
    width, height = int(head[1]), int(head[2])
    stride = (width + 7) // 8
    rows = [page[head.end() + i * stride:head.end() + (i + 1) * stride] for i in range(height)]
    return Page(width, [int.from_bytes(row, "big") >> -width % 8 for row in rows])


def read_codes(pdf, dpi, folder):
    """The symbols of each page, as its content draws them."""
    plain = os.path.join(folder, "plain.pdf")
    common.quiet("qpdf", "--qdf", "--object-streams=disable", pdf, plain)
    written = common.data(plain)
    heights = re.findall(rb"/MediaBox \[\s+\S+\s+\S+\s+\S+\s+(\S+)\s+\]", written)
    contents = re.split(rb"%% Contents for page \d+\n", written)[1:]
    assert len(heights) == len(contents)
    return [[Code(float(size), float(x), float(y), int(modules), digits, float(height), dpi)
             for size, x, y, modules, digits in re.findall(
                 rb"q (\S+) 0 0 \1 (\S+) (\S+) cm\s+BI /W (\d+) /H \4 /IM true /F /AHx ID "
                 rb"([0-9A-F]+)>\s+EI Q", content)]
            for height, content in zip(heights, contents)]


class Dots(unittest.TestCase):
    def check(self, name, layout, dpi):
        folder = common.workdir()
        self.check_in(folder, common.sample(folder, name), layout, dpi)
        shutil.rmtree(folder)

    def check_in(self, folder, path, layout, dpi):
        for kind in ("png", "pdf"):
            common.run("stickers", path, "-o", os.path.join(folder, f"out.{kind}"),
                       "--layout", layout, "--dpi", dpi)
        pdf = os.path.join(folder, "out.pdf")
        common.quiet("pdftoppm", "-mono", "-r", str(dpi), pdf, os.path.join(folder, "page"))
        files = sorted(os.listdir(folder))
        pictures = [read_picture(os.path.join(folder, file)) for file in files
                    if file.endswith(".png")]
        printed = [read_pbm(os.path.join(folder, file)) for file in files if file.endswith(".pbm")]
        codes = read_codes(pdf, dpi, folder)
        wanted = common.expected_codes(common.tags(path), common.text(path))
        faces = 2 if common.layout(layout)["style"] == "flag" else 1
        self.assertEqual(sum(map(len, codes)), faces * len(wanted))
        self.assertTrue(all(codes))
        self.assertEqual([len(pictures), len(printed)], [len(codes)] * 2)
        for one, other, on_page in zip(pictures, printed, codes):
            self.check_codes(one, other, on_page)
            self.check_texts(one.without(on_page), other.without(on_page))

    def check_codes(self, picture, printed, codes):
        for code in codes:
            # On the dots, but for the hair by which the symbol keeps within its place.
            self.assertAlmostEqual(code.module, round(code.module), delta=0.02)
            self.assertGreaterEqual(code.module, 2)
            for place in code.corner:
                self.assertAlmostEqual(place, round(place), delta=0.02)
            for row in range(code.size):
                dots = code.row(row)
                self.assertEqual(picture.part(code.top + row, code.left, code.size), dots)
                self.assertEqual(printed.part(code.top + row, code.left, code.size), dots)

    def check_texts(self, picture, printed):
        # A page ends within a dot: one is rounded, the other has every dot that was begun.
        self.assertLessEqual(abs(picture.width - printed.width), 1)
        self.assertLessEqual(abs(len(picture.rows) - len(printed.rows)), 1)
        width = max(picture.width, printed.width)
        height = max(len(picture.rows), len(printed.rows))
        one, other = (Page(width, [row << (width - page.width) for row in page.rows] +
                           [0] * (height - len(page.rows))) for page in (picture, printed))
        ink = other.ink()
        self.assertGreater(ink, 1000)
        self.assertAlmostEqual(one.ink() / ink, 1, delta=TEXT_INK)
        differing = sum((a ^ b).bit_count() for a, b in zip(one.rows, other.rows))
        self.assertLess(differing / ink, TEXT_DIFFERS)
        self.assertLess(self.astray(one, other, TEXT_REACH) / ink, TEXT_ASTRAY)
        self.assertEqual(self.astray(one, other, TEXT_FARTHEST), 0)

    def astray(self, one, other, reach):
        """How many dots of either page lie farther from ink of the other."""
        return sum((row & ~around).bit_count()
                   for page, near in ((one, other.grown(reach)), (other, one.grown(reach)))
                   for row, around in zip(page.rows, near.rows))

    def test_pictures_and_pdfs_agree(self):
        # The gantry's 147 stickers fill every place of a sheet.
        for name, layout, dpi in (("seed-gantry", "a4-3x8", 300), ("dome-shutter", "a4-3x8", 600),
                                  ("seed-gantry", "a4-5x13", 300), ("mast-head", "a4-5x13", 600),
                                  ("dome-shutter", "roll-54x25", 203),
                                  ("dome-shutter", "roll-25x13", 300)):
            with self.subTest(sample=name, layout=layout, dpi=dpi):
                self.check(name, layout, dpi)

    def test_every_layout_at_its_own_resolution(self):
        folder = common.workdir()
        path = os.path.join(folder, "kiln.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write(DESCRIPTION)
        for file in sorted(os.listdir(os.path.join(common.ROOT, "layouts"))):
            layout = file.removesuffix(".yaml")
            dpi = int(common.layout(layout).get("dpi", 600))
            with self.subTest(layout=layout, dpi=dpi):
                place = os.path.join(folder, layout)
                os.mkdir(place)
                self.check_in(place, path, layout, dpi)
        shutil.rmtree(folder)

    def test_file_knows_the_pictures(self):
        folder = common.workdir()
        png = os.path.join(folder, "out.png")
        common.run("stickers", common.sample(folder, "dome-shutter"), "-o", png,
                   "--only", "1H", "--layout", "roll-54x25", "--dpi", 300)
        # 54 x 25 mm are 637.8 x 295.3 dots. What file does not tell is the resolution.
        self.assertIn("PNG image data, 638 x 295, 1-bit grayscale, non-interlaced",
                      common.quiet("file", png))
        shutil.rmtree(folder)


if __name__ == "__main__":
    unittest.main()
