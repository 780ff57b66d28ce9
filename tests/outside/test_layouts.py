"""Label layouts: the list, one of them, the faults of one's own, and the ruler to hold against
them."""

import glob
import json
import os
import re
import shutil
import subprocess
import tempfile
import unittest

import common
from texts import said

SHIPPED = sorted(os.path.basename(path)[:-5]
                 for path in glob.glob(os.path.join(common.ROOT, "layouts", "*.yaml")))


class Layouts(unittest.TestCase):
    def test_all_are_listed(self):
        lines = common.run("layouts").stdout.splitlines()
        self.assertEqual([line.split()[0] for line in lines[1:]], SHIPPED)
        self.assertTrue(all(len(line) <= 80 for line in lines))
        listed = json.loads(common.run("layouts", "--json").stdout)
        self.assertEqual([entry["name"] for entry in listed], SHIPPED)
        for entry in listed:
            self.assertEqual(entry["bundle"]["most"] is None,
                             entry["style"] == "plate" or
                             (entry["style"], entry["kind"]) == ("flag", "tape"))

    def test_one_is_shown(self):
        for name in SHIPPED:
            shown = common.run("layouts", name).stdout
            self.assertTrue(shown.startswith(name + ": "))
            one, = json.loads(common.run("layouts", name, "--json").stdout)
            self.assertEqual(one["name"], name)
            for size in (one["label"]["width"], one["label"]["height"], one["inset"]):
                if size is not None:
                    self.assertIn(f"{size:g}", shown)
        common.run("layouts", "a4-3x8", "a4-5x13", expect=2)
        self.assertIn("a4-3x8", common.run("layouts", "a4-3x9", expect=3).stderr)

    def test_plain_paper_to_cut(self):
        for name in ("a4-cut", "letter-cut"):
            one, = json.loads(common.run("layouts", name, "--json").stdout)
            self.assertEqual((one["cut"], one["labels"]), ("lines", 24))
            self.assertIn(said("lt_layout_words", "cut_lines"), common.run("layouts", name).stdout)
            # Office printers leave up to 8 mm blank.
            places = common.label_places(name)
            page = common.numbers(common.layout(name)["page"])
            for left, top, width, height in places:
                self.assertGreaterEqual(min(left, top), 8)
                self.assertLessEqual(left + width, page[0] - 8)
                self.assertLessEqual(top + height, page[1] - 8)
        one, = json.loads(common.run("layouts", "a4-3x8", "--json").stdout)
        self.assertEqual(one["cut"], "none")
        one, = json.loads(common.run("layouts", "tape-12", "--json").stdout)
        self.assertIsNone(one["cut"])

    def test_one_is_drawn(self):
        """On the terminal within its columns, and as a picture of which the code is read."""
        with tempfile.TemporaryDirectory() as folder:
            picture = os.path.join(folder, "picture.pdf")
            for name in SHIPPED:
                shown = common.run("layouts", name, env={"COLUMNS": "60"}).stdout
                drawn = shown[shown.index("\u250c"):].splitlines()
                self.assertTrue(all(len(line) <= 60 for line in drawn), shown)
                self.assertIn("mm", "".join(drawn))
                self.assertNotIn("\u250c", common.run("layouts", name, "-q").stdout)
                common.run("layouts", name, "-o", picture)
                common.quiet("qpdf", "--check", picture)
                written = common.quiet("pdftotext", "-layout", picture, "-")
                self.assertTrue(written.lstrip().startswith(name), written)
                image = os.path.join(folder, "picture")
                common.quiet("pdftoppm", "-r", "600", "-gray", "-singlefile", picture, image)
                self.assertIn("12HDS4", self.scan(image + ".pgm"), name)

    def test_all_are_drawn(self):
        with tempfile.TemporaryDirectory() as folder:
            sheet = os.path.join(folder, "all.pdf")
            told = common.run("layouts", "-o", sheet).stdout
            self.assertIn(f"{len(SHIPPED)} layouts", told)
            common.quiet("qpdf", "--check", sheet)
            # ISO 216 A4 in points.
            sizes = re.findall(r"size:\s+(\S+) x (\S+)",
                               common.quiet("pdfinfo", "-l", "99", sheet))
            self.assertGreater(len(sizes), 1)
            for size in sizes:
                self.assertAlmostEqual(float(size[0]), 210 / 25.4 * 72, delta=0.1)
                self.assertAlmostEqual(float(size[1]), 297 / 25.4 * 72, delta=0.1)
            words = common.quiet("pdftotext", sheet, "-").split()
            for name in SHIPPED:
                self.assertEqual(words.count(name), 1, name)

    def test_pictures_of_nothing(self):
        with tempfile.TemporaryDirectory() as folder:
            out = os.path.join(folder, "out.pdf")
            common.run("layouts", "no-such-layout", "-o", out, expect=3)
            common.run("layouts", "-o", os.path.join(folder, "out.txt"), expect=2)
            common.run("layouts", "-o", "-", expect=2)
            common.run("layouts", "--json", "-o", out, expect=2)
            common.run("layouts", "--check", "x.yaml", "-o", out, expect=2)
            common.run("layouts", "a4-3x8", "--dpi", "1", "-o", out, expect=2)
            own = os.path.join(folder, "own.pdf")
            shutil.copy(os.path.join(common.ROOT, "layouts", "a4-3x8.yaml"), own)
            before = common.data(own)
            common.run("layouts", own, "-o", own, expect=None)
            self.assertEqual(common.data(own), before)
            self.assertEqual(os.listdir(folder), ["own.pdf"])

    @staticmethod
    def scan(image):
        done = subprocess.run(["zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable",
                               image], capture_output=True, text=True, check=False)
        return done.stdout

    def test_faults_are_found(self):
        for name in SHIPPED:
            common.run("layouts", "--check", os.path.join(common.ROOT, "layouts",
                                                          name + ".yaml"))
        common.run("layouts", "--check", expect=2)
        with tempfile.TemporaryDirectory() as folder:
            missing = os.path.join(folder, "missing.yaml")
            bad = os.path.join(folder, "bad.yaml")
            with open(bad, "w", encoding="utf-8") as out:
                out.write("layout: bad\nkind: roll\nlabel: 30 x 15 mm\ngab: 3 mm\ndpi: 20\n"
                          "inset: 1 mm\n")
            said = common.run("layouts", "--check", bad, expect=1)
            self.assertIn(f"{bad}:4:1: error:", said.stderr)
            self.assertIn('did you mean "gap"?', said.stderr)
            self.assertIn(f"{bad}:5:6: error:", said.stderr)
            self.assertIn("3 errors, 0 warnings", said.stdout)
            found = json.loads(common.run("layouts", "--check", "--json", bad, expect=1).stdout)
            self.assertFalse(found["ok"])
            self.assertEqual(sorted(fault["line"] for fault in found["diagnostics"]), [1, 4, 5])
            common.run("layouts", "--check", missing, expect=3)
            common.run("layouts", "--check", bad, missing, expect=3)


def longest_runs(pdf, dpi=300):
    """The longest straight dark runs to the right and down on a PDF's page, in mm, by poppler."""
    page = subprocess.run(["pdftoppm", "-r", str(dpi), "-gray", pdf], check=True,
                          capture_output=True).stdout
    magic, width, height, _, pixels = page.split(None, 4)
    if magic != b"P5":
        raise AssertionError("not a greyscale page")
    width, height = int(width), int(height)
    pixels = pixels[-width * height:].translate(bytes([1 if v < 128 else 0 for v in range(256)]))
    rows = (pixels[y * width:(y + 1) * width] for y in range(height))
    columns = (pixels[x::width] for x in range(width))
    return [max(len(run) for line in lines for run in line.split(b"\0")) * 25.4 / dpi
            for lines in (rows, columns)]


class Ruler(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.out = os.path.join(self.folder, "ruler.pdf")

    def test_bars_are_true(self):
        # On this sheet no outline is as long as a bar, and none lies in line with another.
        own = os.path.join(self.folder, "own.yaml")
        with open(own, "w", encoding="utf-8") as out:
            out.write("layout: own\nkind: sheet\npage: 210 x 297 mm\nlabel: 50 x 40 mm\n"
                      "grid: 3 x 6\nfirst: 10 x 10 mm\npitch: 60 x 46 mm\ninset: 1 mm\n")
        for scale in ((1, 1), (1.02, 0.98)):
            common.run("ruler", own, "-o", self.out, "--scale", f"{scale[0]},{scale[1]}",
                       "--nudge", "0.5,-0.5")
            for run, factor in zip(longest_runs(self.out), scale):
                # From outer edge to outer edge, to a dot at 300 dpi.
                self.assertAlmostEqual(run, 100 * factor, delta=0.1)

    def test_it_says_what_to_do(self):
        for name in SHIPPED:
            said = common.run("ruler", name, "-o", self.out).stdout
            self.assertIn("--nudge X,Y", said)
            subprocess.run(["qpdf", "--check", self.out], check=True, capture_output=True)
            written = subprocess.run(["pdftotext", self.out, "-"], check=True,
                                     capture_output=True, text=True)
            self.assertEqual(written.stderr, "")
            if name.startswith(("a4", "letter")):
                self.assertIn("--scale X,Y", written.stdout)
        self.assertEqual(common.run("ruler", "a4-3x8", "-o", self.out, "--quiet").stdout, "")

    def test_what_is_wrong_is_told(self):
        png = os.path.join(self.folder, "ruler.png")
        common.run("ruler", "roll-20x8", "-o", png)
        self.assertEqual(common.data(png)[:4], b"\x89PNG")
        common.run("ruler", "a4-3x8", expect=2)
        common.run("ruler", "-o", self.out, expect=2)
        common.run("ruler", "a4-3x8", "-o", os.path.join(self.folder, "r.txt"), expect=2)
        for option, value in (("--nudge", "1"), ("--nudge", "51,0"), ("--scale", "1,2"),
                              ("--scale", "1.0.0,1"), ("--dpi", "20")):
            self.assertIn(option, common.run("ruler", "a4-3x8", "-o", self.out, option, value,
                                             expect=2).stderr)
        self.assertFalse(os.path.exists(self.out))
        common.run("ruler", "a4-3x9", "-o", self.out, expect=3)
        common.run("ruler", "a4-3x8", "-o", "/nowhere/at/all/r.pdf", expect=4)
        self.assertIn("warning", common.run("ruler", "tape-12", "-o", self.out, "--scale",
                                            "1.01,1").stderr)


if __name__ == "__main__":
    unittest.main()
