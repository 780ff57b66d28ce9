"""Symbols wound round a bundle, seen straight from the front, read by zbar.

The picture is that of a cylinder far away: what lies y along its surface from the middle is seen at
R sin(y / R). Versions 1 and 2 are read at 90 degrees, 3 to 5 at 60, larger ones at 50, which is how far the
program lets them go round before it warns; and it says how far they do: 360 x width / (pi x D)."""

import json
import math
import os
import shutil
import unittest

import common
import descriptions
import pictures
import symbols

SIZES = (4, 6, 8, 12)  # pixels a module, of a camera


class Bend(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()

    def tearDown(self):
        shutil.rmtree(self.folder)

    def every_version(self):
        """Up to two symbols of each version to 8, by version."""
        found = {}
        wanted = [("code", None, "KV"), ("code", None, "KV2WERFT"),
                  ("link", "http://bench.local:8080", "KV7")]
        wanted += [("link", "http://bench.workshop.local:8080", "KV7WERFT"),
                   ("link", "http://bench.workshop.local:8080/PIER-FOUR/CRANE-12", "KV7WERFT9A")]
        wanted += [("facts", None, "KV7")] * 8
        for seed, (payload, base, harness) in enumerate(wanted):
            text = descriptions.describe(seed, 3, None, base, harness)
            for symbol in symbols.printed(self.folder, "roll-76x51", text, "--payload", payload):
                found.setdefault(symbol.version, []).append(symbol)
        return {version: found[version][:2] for version in sorted(found) if version <= 8}

    def show(self, symbol, degrees, pixels, across):
        """A symbol wound round, up and down or from side to side."""
        modules = list(zip(*symbol.modules)) if across else symbol.modules
        share = len(modules) / (len(modules) + 2 * pictures.QUIET)
        picture = pictures.wind(pictures.draw(modules, 12), degrees, share, pixels / 12)
        return pictures.turn(picture) if across else picture

    def read(self, shown):
        files = []
        for number, picture in enumerate(shown):
            files.append(os.path.join(self.folder, f"shown-{number}.pgm"))
            common.write_pgm(files[-1], *picture)
        return [tuple(found) for found in common.decode(files)]

    def check(self, versions, degrees, sizes):
        """All are read in so many of SIZES; nothing is read wrong."""
        for version in versions:
            flat = self.read([symbol.picture for symbol in self.symbols[version]])
            for across in (False, True):
                shown = [self.show(symbol, degrees, pixels, across)
                         for symbol in self.symbols[version] for pixels in SIZES]
                got = self.read(shown)
                for i, (right,) in enumerate(flat):
                    mine = got[i * len(SIZES):(i + 1) * len(SIZES)]
                    self.assertLessEqual(set(mine), {(), (right,)})
                    self.assertGreaterEqual(mine.count((right,)), sizes,
                                            f"version {version} at {degrees} degrees")

    def test_bent_symbols_are_read(self):
        self.symbols = self.every_version()
        self.assertLessEqual({1, 2, 3, 4, 5, 6, 8}, set(self.symbols))
        self.check((1, 2), 90, len(SIZES))
        self.check((3, 4, 5), 60, len(SIZES))
        # The largest version with one alignment pattern alone, far from three corners of four, is
        # read at 60 degrees in some sizes only.
        self.check((6, 8), 50, len(SIZES))

    def test_the_bend_is_that_of_the_bundle(self):
        for layout, around in (("wrap-25x20", (7, 11)), ("wrap-25x11", (3.7, 6.3)),
                               ("wrap-20x6", (2.1, 3.5)), ("tape-36-wrap", (4, 7)),
                               ("a4-wrap-6x7", (4, 7)), ("flag-25x13", (3, 6))):
            path = os.path.join(self.folder, layout + ".yaml")
            with open(path, "w", encoding="utf-8") as out:
                out.write(descriptions.describe(layout, 6, around, harness="KV7"))
            done = common.run("stickers", path, "--json", "--layout", layout)
            figures = json.loads(done.stdout)["stickers"]
            too_far = False
            for figure in figures:
                bend = 0
                if "wrap" in layout:
                    bend = 360 * figure["modules"] * figure["module"] / (
                        math.pi * figure["bundle"])
                # The bend is given in whole degrees, a module to 1e-4 mm, a bundle to 0.01 mm.
                self.assertAlmostEqual(figure["bend"], bend, delta=0.5 + bend * 0.003)
                too_far |= bend > (90 if figure["version"] <= 2 else 60 if figure["version"] <= 5 else 50) + 1
            self.assertEqual("degrees round the bundle" in done.stderr, too_far, layout)

    def test_a_wrap_for_a_bundle_that_is_not_known(self):
        """At best the bundle is the thickest that the wrap goes round: the code is the shortest
        where a longer one would go too far round even that, and of the number no more is asked to
        be seen from one side than a third of it."""
        for name in ("wrap-20x6", "wrap-25x11"):
            path = os.path.join(self.folder, name + ".yaml")
            with open(path, "w", encoding="utf-8") as out:
                out.write("harness: KV7\nconnectors:\n  - {id: X1}\n")
            done = common.run("stickers", path, "--json", "--layout", name)
            self.assertRegex(done.stderr, f"warning: layout {name} .*bundle.*not known: 1\n")
            clear = common.numbers(common.layout(name)["clear"])[-1]
            for figure in json.loads(done.stdout)["stickers"]:
                self.assertEqual(figure["payload"], "code")
                self.assertLessEqual(figure["number_height"], (clear - 0.2 * math.pi) / 3)
                flat = json.loads(common.run("stickers", path, "--json", "--layout", "roll-25x13",
                                             "--only", figure["tag"]).stdout)["stickers"][0]
                self.assertEqual(flat["payload"], "facts")


if __name__ == "__main__":
    unittest.main()
