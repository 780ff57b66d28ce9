"""The figures of stickers --explain and --json, worked out by hand for three stickers, and the dots
and millimetres of modules on three heads."""

import json
import math
import os
import shutil
import unittest

import common
import content
from texts import said

PACKING = said("lt_sticker_run_words", "bundle_source", "LT_BUNDLE_PACKING")

HARNESS = """harness: KV7
base: http://bench.local:8080
components:
  - {id: M1, name: pump}
connectors:
  - id: X1
    name: pump supply
    mates: M1
    family: round
    ways: 5
    wires: {1: BN, 2: BU, 3: BK, 4: WH, 5: GY}
    size: 0.5 mm2
"""

# ISO/IEC 18004, table 7: characters that version and level hold in alphanumeric mode.
ALPHANUMERIC = {1: {"L": 25, "M": 20, "Q": 16, "H": 10}, 2: {"L": 47, "M": 38, "Q": 29, "H": 20}}

# The symbol's inventor publishes these (qrcode.com, "Point for setting the module size"): dots a mm
# of a head, dots a module, module in mm.
INVENTOR = [(8, 4, 0.5), (8, 5, 0.63), (8, 6, 0.75), (12, 4, 0.33), (12, 5, 0.42), (12, 6, 0.5),
            (24, 4, 0.17), (24, 5, 0.21), (24, 6, 0.25)]


# What figures are rounded to, half of it; others to 0.01 mm.
ROUNDED = {"module": 0.00005001, "code_read_from": 0.501, "bend": 0.501}


class Explain(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.path = os.path.join(self.folder, "harness.yaml")
        with open(self.path, "w", encoding="utf-8") as out:
            out.write(HARNESS)

    def tearDown(self):
        shutil.rmtree(self.folder)

    def figures(self, layout, *options):
        done = common.run("stickers", self.path, "--json", "--layout", layout, *options)
        return json.loads(done.stdout)["stickers"]

    def check(self, layout, dpi, wanted, line):
        figure = self.figures(layout, "--only", "1H")[0]
        for key, value in wanted.items():
            if isinstance(value, float):
                self.assertAlmostEqual(figure[key], value, delta=ROUNDED.get(key, 0.00501), msg=key)
            else:
                self.assertEqual(figure[key], value, key)
        # The number's height is that of the ink, within two dots for the rounding of its two edges.
        height = self.height_of_ink(layout, dpi, figure["number_height"])
        self.assertAlmostEqual(figure["number_height"], height, delta=2 * 25.4 / dpi)
        # NUREG-0700, 11.4.1.5-1: at least 0.004 of the distance. The heights are to 0.01 mm.
        self.assertAlmostEqual(figure["number_read_from"], figure["number_height"] / 0.004,
                               delta=0.005 / 0.004 + 0.5)
        shown = common.run("stickers", self.path, "--explain", "--layout", layout).stdout
        row, = [row for row in shown.splitlines() if row.startswith("1H ")]
        number = f"{figure['number_height']:.2f} mm {figure['number_read_from']:.0f} mm"
        self.assertEqual(" ".join(row.split()), line.replace("NUMBER", number))
        self.assertRegex(shown.splitlines()[-2], r"\b500 mm\b.*\b2\.0 mm\b.*\b3\.0 mm\b")

    def height_of_ink(self, layout, dpi, about):
        """Of the tag in a picture: the rows that are inked, from its baseline upwards, in the
        columns of its first character, a 1; the place is where the PDF has it."""
        for ending in (".pdf", ".png"):
            common.run("stickers", self.path, "-o", os.path.join(self.folder, "one" + ending),
                       "--layout", layout, "-q", "--only", "1H", "--dpi", dpi)
        wide, _, pixels = common.png_pixels(os.path.join(self.folder, "one.png"))
        tag, = [mark for mark in content.pages(os.path.join(self.folder, "one.pdf"))[0].marks
                if mark.what == b"(1H)"]
        left = round(tag.x / 25.4 * dpi)
        right = left + round(0.9 * about / 25.4 * dpi)  # a digit is narrower than it is high
        row = round(tag.y / 25.4 * dpi) - 2
        top = row
        while 0 in pixels[top * wide + left:top * wide + right]:
            top -= 1
        while 0 in pixels[row * wide + left:row * wide + right]:
            row += 1
        return (row - top - 1) / dpi * 25.4

    def test_on_a_sheet(self):
        # The link: HTTP://BENCH.LOCAL:8080 is 23 characters, then / and the code 1HKV7 with its
        # check character, 6: 30 in all, capitals, digits and :/. alone, so alphanumeric.
        self.assertEqual(len("HTTP://BENCH.LOCAL:8080/1HKV7" +
                             common.check_character("1HKV7")), 30)
        # Version 1 holds 20 at M; version 2 38 at M, and only 29 at Q: 2-M.
        self.assertTrue(ALPHANUMERIC[1]["M"] < 30 <= ALPHANUMERIC[2]["M"])
        self.assertLess(ALPHANUMERIC[2]["Q"], 30)
        # 17 + 4 x 2 = 25 modules, with the quiet zone 33, in at most 0.45 of the label's 38.1 mm:
        # 17.145 / 33 = 0.5195 mm, 12.3 dots of 1/600 in: 12 dots, 12 x 25.4 / 600 = 0.508 mm.
        # The code is 12.7 mm wide, read from 127 mm.
        # 5 equal wires of 0.5 mm2, each 1.6 mm over its insulation (ISO 6722-1), in a circle of
        # 2.701 diameters: 4.32 mm.
        self.check("a4-5x13", 600, {
            "payload": "link", "version": 2, "level": "M", "modules": 25, "dots": 12,
            "module": 0.508, "code_read_from": 127.0, "width": 38.1, "height": 21.2,
            "bundle": 1.6 * 2.701, "bundle_source": "packing", "bend": 0.0,
        }, "1H a4-5x13 link 2-M 25 12 0.508 mm 127 mm NUMBER 4.32 mm, " + PACKING)

    def test_on_a_tape(self):
        # The same link, 2-M. 33 modules across 12 mm: 0.3636 mm, 4.3 dots of 1/300 in: 4 dots,
        # 4 x 25.4 / 300 = 0.3387 mm. The code is 8.467 mm wide, read from 85 mm.
        self.check("tape-12", 300, {
            "payload": "link", "version": 2, "level": "M", "modules": 25, "dots": 4,
            "module": 0.33867, "code_read_from": 84.67, "height": 12.0,
            "bundle": 1.6 * 2.701, "bundle_source": "packing", "bend": 0.0,
        }, "1H tape-12 link 2-M 25 4 0.339 mm 85 mm NUMBER 4.32 mm, " + PACKING)

    def test_on_a_wrap(self):
        # The printed zone of 11 mm goes round 4.32 mm, pi x 4.32 = 13.58 mm, and shows whole.
        # Whatever the code says it goes far round, so it says the least: 1HKV7 and its check
        # character, 6 characters, which version 1 holds at H, 10. 17 + 4 = 21 modules. A quarter
        # of 13.58 mm would be 3.39 mm, 0.16 mm a module: less than the 0.25 mm and 4 dots that are
        # aimed at, so it is those: 4 x 25.4 / 300 = 0.3387 mm, 7.112 mm wide, read from 71 mm.
        # Round the bundle: 360 x 7.112 / 13.58 = 188.6 degrees.
        around = math.pi * 1.6 * 2.701
        self.assertAlmostEqual(around, 13.58, places=2)
        self.assertLess(11, around)
        self.assertLessEqual(6, ALPHANUMERIC[1]["H"])
        self.assertAlmostEqual(360 * 7.112 / around, 188.6, places=1)
        self.check("wrap-25x11", 300, {
            "payload": "code", "version": 1, "level": "H", "modules": 21, "dots": 4,
            "module": 0.33867, "code_read_from": 71.12, "width": 25.0, "height": 32.0,
            "bundle": 1.6 * 2.701, "bundle_source": "packing", "bend": 188.6,
        }, "1H wrap-25x11 code 1-H 21 4 0.339 mm 71 mm NUMBER 4.32 mm, " + PACKING +
           ", code goes round 189 degrees")

    def check_bundle(self, old, new, diameter, source):
        with open(self.path, "w", encoding="utf-8") as out:
            out.write(HARNESS.replace(old, new))
        figure = self.figures("a4-5x13")[0]
        self.assertEqual(figure["bundle_source"], source)
        if diameter is None:
            self.assertIsNone(figure["bundle"])
        else:
            self.assertAlmostEqual(figure["bundle"], diameter, delta=0.0051)

    def test_bundles(self):
        size = "    size: 0.5 mm2\n"
        # Two of 2.5 mm2 and three of 0.75 mm2, 3.0 and 1.9 mm (ISO 6722-1), laid by hand:
        # 1.2 x sqrt(2 x 9 + 3 x 3.61) = 6.44 mm. No less than any k alone: 2 x 3.0 = 6.0,
        # 2.701 x 1.9 = 5.13.
        mixed = "wires:\n" + "".join(
            f"  - {{from: X1.{way}, to: X2.{way}, colour: {colour}, size: {wire} mm2}}\n"
            for way, colour, wire in ((1, "BN", 2.5), (2, "BU", 2.5), (3, "BK", 0.75),
                                      (4, "WH", 0.75), (5, "GY", 0.75)))
        other = "  - {id: X2, name: far end, ways: 5, family: flat}\n"
        self.check_bundle(HARNESS[HARNESS.index("    wires: {"):], other + mixed,
                          1.2 * math.sqrt(2 * 9 + 3 * 3.61), "rule of thumb")
        # Two of 4 mm2 and one of 0.35 mm2: 1.2 x sqrt(2 x 13.69 + 1.96) = 6.50 mm by the rule of
        # thumb, but the two of 3.7 mm alone need 7.4 mm. It is still called by the rule of thumb,
        # for mixed wires have no packing of their own.
        thick = "wires:\n" + "".join(
            f"  - {{from: X1.{way}, to: X2.{way}, colour: {colour}, size: {wire} mm2}}\n"
            for way, colour, wire in ((1, "BN", 4), (2, "BU", 4), (3, "BK", 0.35)))
        self.check_bundle(HARNESS[HARNESS.index("    wires: {"):], other + thick, 7.4,
                          "rule of thumb")
        self.check_bundle(size, "    bundle: 6.2 mm\n", 6.2, "measured")
        self.check_bundle(size, size + "    bundle: 6.2 mm\n", 6.2, "measured")
        self.check_bundle(size, "", None, "not known")

    def test_dots_and_millimetres_of_modules(self):
        """Heads called 200, 300 and 600 dpi are 203, 300 and 600: 7.99, 11.81 and 23.62 dots/mm,
        up to 1.6 % fewer than the inventor's 8, 12 and 24, whose modules are rounded to 0.01 mm."""
        for head, dots, module in INVENTOR:
            if module > 14 / 21:
                continue  # a code of 21 modules is made no wider than 14 mm
            dpi = {8: 203, 12: 300, 24: 600}[head]
            # A code of version 1 with its quiet zone is 29 modules wide and may take 0.45 of the
            # label; this one has room for less than one dot more.
            width = 29 * (dots + 0.5) * 25.4 / dpi / 0.45
            path = os.path.join(self.folder, f"head-{dpi}.yaml")
            with open(path, "w", encoding="utf-8") as out:
                out.write(f"layout: head-{dpi}\nkind: roll\nlabel: {width:.2f} x {width:.2f} mm\n"
                          f"gap: 2 mm\ndpi: {dpi}\ninset: 0.5 mm\nstyle: plate\n")
            figure = self.figures(path, "--payload", "code")[0]
            self.assertEqual((figure["dots"], figure["modules"]), (dots, 21), (dpi, dots))
            self.assertAlmostEqual(figure["module"], dots * 25.4 / dpi, delta=0.00005)
            self.assertAlmostEqual(figure["module"], module, delta=0.005 + 0.016 * module)


if __name__ == "__main__":
    unittest.main()
