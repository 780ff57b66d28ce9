"""Labels of more than one kind in one run: --layout auto --stock, --layout-h and -m; the preview on
the terminal; and options that cannot be meant."""

import glob
import json
import math
import os
import re
import shutil
import unittest

import common
from test_labels import Label, region
import texts


class Stock(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.path = common.sample(self.folder, "dome-shutter")

    def tearDown(self):
        shutil.rmtree(self.folder)

    def files(self, pattern="*"):
        return sorted(os.path.basename(path)
                      for path in glob.glob(os.path.join(self.folder, pattern)))

    def figures(self, *options):
        return json.loads(common.run("stickers", self.path, "--json", *options).stdout)["stickers"]

    def codes(self):
        listing = common.tags(self.path)
        every = {f"{tag['number']}{side}": code for tag in listing["tags"]
                 for side, code in tag["codes"].items()}
        wanted = common.expected_codes(listing, common.text(self.path))
        return {tag: code for tag, code in every.items() if code in wanted}

    def read_file(self, pdf, name, figures):
        """The scan codes in a file, each label cut out, all faces; as a list for each sticker."""
        fields = common.layout(name)
        sheet = fields["kind"] == "sheet"
        dpi = 600 if sheet else round(float(fields["dpi"]))
        pages = [common.read_pgm(page) for page in common.rasterise(pdf, dpi, self.folder)]
        places = common.label_places(name) if sheet else None
        files, out = [], []
        for i, figure in enumerate(figures):
            label = Label(name, figure["width"], figure["height"], figure["bundle"] or 0)
            page, left, top = (0, *places[i][:2]) if sheet else (i, 0, 0)
            for number, (x, y, wide, tall) in enumerate(label.faces):
                width, height, rows = region(pages[page], dpi, (left + x, top + y, wide, tall))
                files.append(os.path.join(self.folder, f"label-{i}-{number}.pgm"))
                common.write_pgm(files[-1], width, height, b"".join(rows))
                out.append(figure["tag"])
        for page in glob.glob(os.path.join(self.folder, "page-*")):
            os.unlink(page)
        if not sheet:
            self.assertEqual(len(pages), len(figures))
        return list(zip(out, common.decode(files)))

    def check_files(self, said, figures, wanted):
        """`wanted` is layout by file. Each sticker is in the file of its layout, and in no other;
        what is said of each file is how many it takes."""
        found = {}
        for file, name in wanted.items():
            mine = [figure for figure in figures if figure["layout"] == name]
            for tag, payloads in self.read_file(os.path.join(self.folder, file), name, mine):
                self.assertEqual(len(payloads), 1, f"{tag} in {file}")
                found.setdefault(tag, set()).add((name, common.scan_codes(payloads)[0]))
            self.assertRegex(said, rf"(?m){re.escape(file)}: {len(mine)} stickers? on ")
        codes = self.codes()
        self.assertEqual(found, {figure["tag"]: {(figure["layout"], codes[figure["tag"]])}
                                 for figure in figures})
        self.assertEqual(set(found), set(codes))

    def fits(self, name, bundle):
        """Whether a layout goes round a bundle, by arithmetic done here."""
        fields = common.layout(name)
        around = math.pi * bundle
        if fields["style"] == "wrap":
            printed, clear = (common.numbers(fields[key])[-1] for key in ("printed", "clear"))
            return printed <= around and math.pi * (bundle + 0.2) <= clear
        if fields["style"] == "flag" and fields["kind"] != "tape":
            return around <= common.numbers(fields["loop"])[0]
        return True

    def check_stock(self, stock, used):
        """All stickers come out on `used`, and each where it fits; H goes round where it can."""
        options = ("--layout", "auto", "--stock", ",".join(stock))
        figures = self.figures(*options)
        said = common.run("stickers", self.path, "-o", os.path.join(self.folder, "out.pdf"),
                          *options)
        self.assertEqual(self.files("*.pdf"), sorted(f"out-{name}.pdf" for name in used))
        self.check_files(said.stdout, figures, {f"out-{name}.pdf": name for name in used})
        rounds = [name for name in stock if common.layout(name)["style"] != "plate"]
        for figure in figures:
            around, flat = figure["bundle"], common.layout(figure["layout"])["style"] == "plate"
            if around is not None:
                self.assertTrue(self.fits(figure["layout"], around), figure)
            if figure["tag"].endswith("H") and around is not None:
                self.assertEqual(flat, not any(self.fits(name, around) for name in rounds), figure)
            elif not figure["tag"].endswith("H"):
                self.assertTrue(flat, figure)
        for file in glob.glob(os.path.join(self.folder, "*.p*")):
            os.unlink(file)

    def test_stock_is_chosen_from(self):
        self.check_stock(["wrap-25x11", "wrap-25x20", "roll-25x13"],
                         ["wrap-25x11", "wrap-25x20", "roll-25x13"])
        self.check_stock(["wrap-25x11", "tape-12-flag", "a4-5x13"], ["tape-12-flag", "a4-5x13"])
        self.check_stock(["a4-flag-3x20", "wrap-25x20", "flag-25x13", "a4-4x10"],
                         ["a4-flag-3x20", "wrap-25x20", "flag-25x13", "a4-4x10"])

    def test_a_bundle_that_nothing_suits(self):
        # The heater's wires: two of 0.75 mm2, 2 x 1.9 = 3.8 mm; wrap-25x20 wants 20 / pi = 6.4 mm.
        out = os.path.join(self.folder, "out.pdf")
        done = common.run("stickers", self.path, "-o", out, "--layout", "auto",
                          "--stock", "wrap-25x20", expect=3)
        told = done.stderr[done.stderr.index("connector X8"):]
        self.assertIn("3.80 mm", told)
        hint = told.splitlines()[3]
        named = [name.strip() for name in hint.rsplit(": ", 1)[1].split(",")]
        self.assertTrue(named)
        for name in named:
            self.assertTrue(self.fits(name, 3.8), name)
            self.assertNotEqual(name, "wrap-25x20")
        done = common.run("stickers", self.path, "-o", out, "--layout", "wrap-25x20", expect=3)
        self.assertRegex(done.stderr, "connector X8: its bundle of 3.80 mm is too thin for layout "
                         "wrap-25x20, which suits 6.4 to ")
        done = common.run("stickers", self.path, "-o", out, "--layout", "wrap-20x6", expect=3)
        self.assertRegex(done.stderr, "connector X6: its bundle of 7.20 mm is too thick")
        self.assertEqual(self.files(), ["dome-shutter.yaml"])  # nothing half done

    def test_layouts_that_would_do_really_do(self):
        number = {tag["connector"]: tag["number"] for tag in common.tags(self.path)["tags"]}
        hints = set()
        for name in common.LAYOUTS:
            for options in (("--layout", name), ("--layout", "auto", "--stock", name)):
                said = common.run("stickers", self.path, "--json", *options, expect=None).stderr
                for connector, named in re.findall(
                        r"error: connector (\S+): .*\n(?: .*\n){2} *hint: [^:\n]*: (.*)", said):
                    hints |= {(connector, hint) for hint in named.split(", ")}
        self.assertGreater(len(hints), 40)
        for connector, hint in sorted(hints):
            common.run("stickers", self.path, "--json", "--layout", hint,
                       "--only", number[connector])

    def test_wire_and_housing_have_labels_of_their_own(self):
        options = ("--layout-h", "tape-12-flag", "--layout-m", "roll-38x19")
        said = common.run("stickers", self.path, "-o", os.path.join(self.folder, "out.pdf"),
                          *options).stdout
        self.assertEqual(self.files("*.pdf"), ["out-h.pdf", "out-m.pdf"])
        figures = self.figures(*options)
        for figure in figures:
            self.assertEqual(figure["layout"] == "tape-12-flag", figure["tag"].endswith("H"))
        self.assertTrue(any(figure["tag"].endswith("X") for figure in figures))
        self.check_files(said, figures, {"out-h.pdf": "tape-12-flag", "out-m.pdf": "roll-38x19"})

    def test_a_preview_leaves_nothing_behind(self):
        for options in ((), ("--layout", "auto", "--stock", "tape-12-flag,roll-25x13"),
                        ("--layout-h", "tape-12-flag", "--layout-m", "roll-38x19")):
            shown = common.run("stickers", self.path, "-o", "-", "--color", "never", *options).stdout
            self.assertGreater(shown.count("▀"), 1000)
            self.assertNotIn("\x1b", shown)
            self.assertIn(texts.said("lt_sticker_run_words", "preview") + ": ", shown)
            self.assertEqual(self.files(), ["dome-shutter.yaml"])
        self.figures()
        common.run("stickers", self.path, "--explain")
        self.assertEqual(self.files(), ["dome-shutter.yaml"])
        # Nor does a preview say that an M sticker went out, which would have X cover it.
        common.run("tags", self.path)
        before = common.data(os.path.join(self.folder, "dome-shutter.tags"))
        common.run("stickers", self.path, "-o", "-")
        self.assertEqual(common.data(os.path.join(self.folder, "dome-shutter.tags")), before)

    def test_a_preview_can_be_scanned_from_the_screen(self):
        """Half blocks are drawn as two squares; what stands on the terminal reads as printed."""
        codes = self.codes()
        self.assertEqual(len(self.figures("--only", "3H")), 1)
        shown = common.run("stickers", self.path, "-o", "-", "--color", "never", "--only", "3H",
                           "--layout", "roll-54x25").stdout
        rows = [line for line in shown.splitlines() if line.startswith("│")]
        width = max(map(len, rows)) - 2
        halves = {"█": (0, 0), "▀": (0, 255), "▄": (255, 0)}
        pixels = b""
        for row in rows:
            cells = [halves.get(cell, (255, 255)) for cell in row[1:-1].ljust(width)]
            for half in (0, 1):
                line = b"".join(bytes([cell[half]]) * 6 for cell in cells)
                pixels += line * 6
        path = os.path.join(self.folder, "screen.pgm")
        common.write_pgm(path, width * 6, len(rows) * 12, pixels)
        self.assertEqual(common.scan_codes(common.decode([path])[0]), [codes["3H"]])

    def test_options_that_cannot_be_meant(self):
        for options, code, words in (
                (("--scale", "2,2"), 2, "0.9 to 1.1"),
                (("--scale", "1"), 2, "from 0.9 to 1.1"),
                (("--scale", "nan,1"), 2, "from 0.9 to 1.1"),
                (("--nudge", "99,0"), 2, "--nudge"),
                (("--nudge", "1"), 2, "--nudge"),
                (("--used", "0"), 2, "from 1 to 24"),
                (("--used", "1-99"), 2, "24 labels"),
                (("--used", "9-3"), 2, 'range "9-3"'),
                (("--used", "x"), 2, "is not the number of a label"),
                (("--used", "1-24"), 2, "--used"),
                (("--start", "0"), 2, "from 1"),
                (("--start", "99"), 2, "24 labels"),
                (("--start", "3", "--used", "1"), 2, "--start and --used"),
                (("--stock", "a4-3x8", "--layout", "a4-5x13"), 2, "--stock is not used"),
                (("--layout", "auto"), 2, "--stock a4-3x8,"),
                (("--layout", "auto", "--stock", "a4-3x9"), 3, 'did you mean "a4-3x8"?'),
                (("--layout", "auto", "--stock", "a4-3x8,,tape-12"), 3, "--stock has a comma"),
                (("--distance", "5"), 2, "100 to 10000 mm"),
                (("--distance", "far"), 2, "100 to 10000 mm"),
                (("--layout-h", "a4-3x8", "--layout-m", "a4-5x13", "--start", "3"), 2,
                 "a4-3x8 and a4-5x13"),
                (("--layout-h", "tape-12", "--layout-m", "roll-25x13", "--used", "3"), 2,
                 "tape-12 is not a sheet"),
                (("--dpi", "5"), 2, "from 100 to 2400"),
                (("--only", "99"), 3, "number 99"),
                (("--only", "3X"), 3, "fate: replace"),
                (("--only", "10M"), 3, "sides: 1"),
                (("--json", "-o", "-"), 2, "--json and -o -"),
                (("--payload", "all"), 2, "auto, link, facts or code"),
        ):
            with self.subTest(options=options):
                out = os.path.join(self.folder, "out.pdf")
                done = common.run("stickers", self.path, "-o", out, *options, expect=code)
                self.assertIn(words, done.stderr)
                self.assertIn("hint: ", done.stderr)
                self.assertEqual(self.files(), ["dome-shutter.yaml"])

    def test_a_number_too_low_for_the_distance(self):
        # NUREG-0700, 11.4.1.5-1: 0.004 x 3000 mm = 12 mm.
        out = os.path.join(self.folder, "out.pdf")
        low = ("--layout", "roll-25x10", "--distance")
        said = common.run("stickers", self.path, "-o", out, *low, "3000").stderr
        self.assertRegex(said, r"warning: layout roll-25x10: .*\b4\.\d mm\b.*\b3000 mm\b.*"
                         r"\b12\.0 mm: ")
        seen = set()
        for distance in (500, 700, 800, 900, 1000, 2000):
            # From farther away the number is made higher, at the cost of what else there is.
            figures = self.figures(*low, distance)
            wants = 0.004 * distance
            names = [figure["tag"] for figure in figures if figure["number_height"] < wants - 0.005]
            told = common.run("stickers", self.path, "-o", out, *low, distance).stderr
            self.assertEqual(": numbers of " in told, bool(names), distance)
            for name in names[:4]:
                self.assertRegex(told, rf"\b{wants:.1f} mm: .*\b{name}\b")
            seen.add(bool(names))
        self.assertEqual(seen, {False, True})
        self.assertEqual(common.run("stickers", self.path, "-o", out, *low, "50 cm").stderr,
                         common.run("stickers", self.path, "-o", out, *low, "500").stderr)


if __name__ == "__main__":
    unittest.main()
