"""Symbols as printed, then blotted, blurred or bent, and read by zbar.

What zbar reads depends on how many pixels a module has, and not always for the better; a phone's
camera shows a symbol in one size after the other while it is held there. So each symbol is shown
in several sizes. Where zbar misses one in all of them, a count of wrong codewords by ISO/IEC 18004
tells whether the symbol or zbar is to blame."""

import math
import os
import random
import shutil
import unittest

import common
import descriptions
import pictures
import symbols

NEARER = (1, 2, 3)


def every_symbol(folder):
    """Versions 1 to 4 in all the levels that the program chooses for them, on six heads."""
    found = []
    for seed, (layout, payload, base, harness) in enumerate([
            ("roll-25x13", "code", None, "KV"), ("roll-54x25", "code", None, "KV2WERFT"),
            ("roll-20x8", "code", None, "KV2W"), ("roll-25x10", "code", None, "KV2WERFT9"),
            ("roll-25x13", "link", "http://k.local", "KV7"),
            ("roll-38x19", "link", "http://bench.local:8080", "KV7"),
            ("roll-54x25", "link", "http://bench.workshop.local:8080", "KV7WERFT"),
            ("roll-76x51", "link", "http://bench.workshop.local:8080/PIER-FOUR/CRANE-12",
             "KV7WERFT9A")]):
        text = descriptions.describe(seed, 3, None, base, harness)
        found += symbols.printed(folder, layout, text, "--payload", payload)
    return [symbol for symbol in found if symbol.version <= 4]


class Damage(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = common.workdir()
        cls.symbols = every_symbol(cls.folder)
        cls.truth = cls.read([symbol.picture for symbol in cls.symbols])

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    @classmethod
    def read(cls, shown):
        """What zbar reads in each picture: a tuple of texts."""
        files = []
        for number, picture in enumerate(shown):
            files.append(os.path.join(cls.folder, f"shown-{number}.pgm"))
            common.write_pgm(files[-1], *picture)
        return [tuple(found) for found in common.decode(files)]

    def count_read(self, shown, wanted):
        """Whether each was read. What was read wrong would be worse than nothing."""
        got = self.read(shown)
        for found, right in zip(got, wanted, strict=True):
            self.assertIn(found, ((), right))
        return [bool(found) for found in got]

    def read_in_any(self, sizes, wanted):
        """`sizes` are lists of the same symbols' pictures."""
        return [any(seen) for seen in zip(*(self.count_read(shown, wanted) for shown in sizes))]

    def test_symbols_are_printed_in_whole_dots_with_white_around(self):
        kinds = {(symbol.version, symbol.level) for symbol in self.symbols}
        self.assertLessEqual({(1, "H"), (1, "Q"), (2, "Q"), (2, "M"), (3, "Q"), (4, "Q")}, kinds)
        self.assertTrue(all(len(found) == 1 for found in self.truth))
        for symbol in self.symbols:
            # A letter beside the symbol may reach two dots farther, for it is drawn in whole dots.
            # That is half a module less of four, and nothing to a reader.
            side = symbol.picture[0] - 4
            self.assertEqual(pictures.crop(symbol.picture, 2, 2, side, side), pictures.crop(
                pictures.draw(symbol.modules, symbol.dots), 2, 2, side, side), symbol.name)

    def test_codewords_fill_symbols(self):
        # ISO/IEC 18004, table 1: codewords, and the bits that remain.
        for version, count, remain in ((1, 26, 0), (2, 44, 7), (3, 70, 7), (4, 100, 7)):
            self.assertEqual(len(symbols.codewords(version)), 8 * count + remain)
            for level in "LMQH":
                self.assertEqual(sum(size for size, _ in symbols.BLOCKS[version, level]), count)

    def blot(self, chance, symbol, value):
        """A picture with a blot of 5 % of the symbol's area, clear of the three finder patterns
        and their separators; the most wrong codewords that it makes in a block, counting a module
        as wrong when a quarter of a module round its middle is touched; whether the blot touches
        the alignment pattern."""
        size = len(symbol.modules) * symbol.dots
        finder = 8 * symbol.dots
        while True:
            wide = round(math.sqrt(0.05 * size * size * chance.uniform(0.5, 2)))
            tall = round(0.05 * size * size / wide)
            left, top = chance.randrange(size - wide), chance.randrange(size - tall)
            low, right = top + tall > size - finder, left + wide > size - finder
            if not (top < finder and (left < finder or right) or low and left < finder):
                break
        quiet = pictures.QUIET * symbol.dots
        picture = pictures.blot(symbol.picture, quiet + left, quiet + top, wide, tall, value)
        ends = [(start / symbol.dots, (start + length) / symbol.dots)
                for start, length in ((top, tall), (left, wide))]
        touched = [{module for module in range(len(symbol.modules))
                    if end > module + 0.25 and begin < module + 0.75} for begin, end in ends]
        changed = {(row, column) for row in touched[0] for column in touched[1]
                   if symbol.modules[row][column] != (value == 0)}
        first = symbols.alignment(symbol.version)
        mark = set(range(first, first + 5)) if symbol.version > 1 else set()
        return (picture, symbols.wrong_codewords(symbol.version, symbol.level, changed),
                bool(touched[0] & mark and touched[1] & mark))

    def test_blotted_symbols_of_levels_q_and_h_are_read(self):
        chance = random.Random(18004)
        cases, wanted = [], []
        for symbol, right in zip(self.symbols, self.truth):
            if symbol.level in "QH":
                cases += [(symbol, *self.blot(chance, symbol, value)) for value in (0, 255, 0, 255)]
                wanted += [right] * 4
        seen = self.read_in_any([[pictures.enlarge(case[1], times) for case in cases]
                                 for times in NEARER], wanted)
        counts = {"all": [], "H": [], "corrected": [], "alignment": [], "beyond": []}
        for (symbol, _, wrong, over_mark), is_read in zip(cases, seen):
            counts["all"].append(is_read)
            if symbol.level == "H":
                counts["H"].append(is_read)
            # A level corrects some wrong codewords and not others: 5 % of the area, in one place,
            # are up to 8 of 26 codewords of a version 1, and its level Q corrects 6.
            if wrong > symbols.corrects(symbol.version, symbol.level):
                counts["beyond"].append(is_read)
            elif over_mark:
                counts["alignment"].append(is_read)
            else:
                counts["corrected"].append(is_read)
                self.assertTrue(is_read, symbol.name)
        said = {kind: f"{sum(found)} of {len(found)}" for kind, found in counts.items()}
        self.assertGreater(len(counts["all"]), 150)
        self.assertGreater(len(counts["H"]), 40)
        self.assertTrue(all(counts["H"]), said)  # level H corrects 8 of 26: whatever 5 % can do
        self.assertGreater(len(counts["corrected"]), 0.75 * len(counts["all"]), said)
        # With a blot on the alignment pattern zbar sometimes finds another one that is none, and
        # bends its grid to that; the codewords are within what is corrected, it is zbar's fault.
        self.assertGreater(len(counts["alignment"]), 10)
        self.assertGreaterEqual(sum(counts["alignment"]), 0.75 * len(counts["alignment"]), said)
        self.assertGreaterEqual(sum(counts["all"]), 0.92 * len(counts["all"]), said)
        self.report("blots of 5 %, read", said)

    def report(self, what, said):
        if os.environ.get("LOOMTAG_FIGURES"):
            print(f"\n{what}: {said}")

    def shots(self, share, sizes):
        return [[pictures.photograph(symbol.modules, pixels, share) for symbol in self.symbols]
                for pixels in sizes]

    def test_blurred_symbols_are_read(self):
        """A blur that is half a module wide, and a Gaussian one of sigma 0.4 module, which is
        much more: all are read."""
        for share in (pictures.box(0.5), pictures.gaussian(0.4)):
            for shown in self.shots(share, (4, 6, 8)):
                self.assertTrue(all(self.count_read(shown, self.truth)))

    def test_what_a_gaussian_blur_of_sigma_half_a_module_leaves(self):
        """At sigma 0.5 module the middle of a single dark module among white ones has kept
        erf(0.5 / (0.5 sqrt 2))^2 = 0.466 of its darkness: less than half, so a reader that asks
        whether a pixel is darker than half way takes it for white, and the reverse. That costs
        every symbol some codewords, however it is printed, and now and then more than its level
        corrects. So not all can be read; most are."""
        self.assertAlmostEqual(math.erf(0.5 / (0.5 * math.sqrt(2))) ** 2, 0.466, places=3)
        lost, beyond = 0, 0
        for symbol, (wide, _, pixels) in zip(self.symbols,
                                             self.shots(pictures.gaussian(0.5), (5,))[0]):
            middle = [(pictures.QUIET + module) * 5 + 2 for module in range(len(symbol.modules))]
            changed = {(row, column) for row, line in enumerate(symbol.modules)
                       for column, dark in enumerate(line)
                       if (pixels[middle[row] * wide + middle[column]] < 128) != dark}
            wrong = symbols.wrong_codewords(symbol.version, symbol.level, changed)
            lost += wrong > 0
            beyond += wrong > symbols.corrects(symbol.version, symbol.level)
        self.assertEqual(lost, len(self.symbols))
        seen = self.read_in_any(self.shots(pictures.gaussian(0.5), (5, 6, 7.3, 8)), self.truth)
        self.report("Gaussian blur of 0.5 module", f"{sum(seen)} of {len(seen)} are read; of "
                    f"{beyond} more codewords are wrong than their level corrects")
        self.assertGreaterEqual(sum(seen), 0.75 * len(seen))


if __name__ == "__main__":
    unittest.main()
