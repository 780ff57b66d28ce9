"""Where labels come to lie on sheets: every mark of every sticker of a full page, by the arithmetic
of first, grid and pitch, against the same sticker alone on a sheet of one label that begins at the
page's corner.

Texts and bars are kept in a PDF to 1/100 pt (0.0035 mm), so they show label positions to the
0.01 mm asked for. QR codes lie on a grid of 1/600 in (0.0423 mm) so that printers find whole dots:
of two positions each may be rounded by half a step, so their difference is right to one step."""

import os
import re
import shutil
import unittest

import common
import content
import descriptions

TEXT = 0.01
CODE = 25.4 / 600 + 0.002  # the matrix is written to 1e-5 pt, the page height to a float's digits

SHEETS = [name for name in common.LAYOUTS if common.layout(name)["kind"] == "sheet"]


def copy_of_one_label(folder, name, place="0 x 0 mm"):
    """The layout with one label, at the page's corner."""
    written = common.text(os.path.join(common.ROOT, "layouts", name + ".yaml"))
    for key, value in (("layout", "one"), ("grid", "1 x 1"), ("first", place), ("cut", "none")):
        written = re.sub(rf"^{key}:.*$", f"{key}: {value}", written, flags=re.M)
    path = os.path.join(folder, "one.yaml")
    with open(path, "w", encoding="utf-8") as out:
        out.write(written)
    return path


def uncut(folder, name):
    """The layout, or where it has lines to cut along a copy without them: they are no labels."""
    if "cut" not in common.layout(name):
        return name
    written = common.text(os.path.join(common.ROOT, "layouts", name + ".yaml"))
    path = os.path.join(folder, "uncut.yaml")
    with open(path, "w", encoding="utf-8") as out:
        out.write(re.sub(r"^cut:.*\n", "", written, flags=re.M)
                  .replace(f"layout: {name}\n", "layout: uncut\n"))
    return path


class Positions(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()

    def tearDown(self):
        shutil.rmtree(self.folder)

    def describe(self, name, labels):
        fields = common.layout(name)
        around = {"wrap": (4.8, 6), "flag": (3, 4.5), "plate": None}[fields["style"]]
        path = os.path.join(self.folder, "harness.yaml")
        with open(path, "w", encoding="utf-8") as out:
            # Without replaced parts two stickers each, so that no label is left free between.
            out.write(descriptions.describe(name, (labels + 1) // 2, around,
                                            "http://bench.local", "HX", replaced=0))
        return path

    def stickers(self, path, layout, *options):
        pdf = os.path.join(self.folder, "out.pdf")
        common.run("stickers", path, "-o", pdf, "--layout", layout, "-q", *options)
        return content.pages(pdf)

    def deviation(self, mark, alone, x, y):
        self.assertTrue(mark.same(alone), f"{mark.what} is not {alone.what}")
        return max(abs(mark.x - alone.x - x), abs(mark.y - alone.y - y))

    def check_page(self, page, ones, places, move=(0, 0), scale=(1, 1)):
        """The stickers `ones`, each from a page of its own, stand in `places` of this page."""
        marks = iter(page.marks)
        for one, (x, y, _, _) in zip(ones, places):
            self.assertTrue(one.codes())
            for alone in one.marks:
                off = self.deviation(next(marks), alone, x * scale[0] + move[0],
                                     y * scale[1] + move[1])
                self.assertLessEqual(off, CODE if alone.kind == "code" else TEXT, alone.what)
        self.assertIsNone(next(marks, None))

    def test_labels_stand_where_the_grid_says(self):
        for name in SHEETS:
            with self.subTest(layout=name):
                places = common.label_places(name)
                pairs = len(places) // 2 * 2
                path = self.describe(name, len(places) + 2)
                ones = self.stickers(path, copy_of_one_label(self.folder, name))
                self.assertGreater(len(ones), pairs)
                two = self.stickers(path, uncut(self.folder, name))
                self.assertEqual(len(two), 2)
                self.check_page(two[0], ones[:pairs], places)
                self.check_page(two[1], ones[pairs:], places)
                width, height = common.numbers(common.layout(name)["page"])
                self.assertAlmostEqual(two[0].width, width, delta=TEXT)
                self.assertAlmostEqual(two[0].height, height, delta=TEXT)
                # A printer that is off by something is made good by the same.
                moved, scaled = (0.63, -0.41), (1.0043, 0.9958)
                page = self.stickers(path, uncut(self.folder, name), "--nudge", "0.63,-0.41")[0]
                self.check_page(page, ones[:pairs], places, move=moved)
                page = self.stickers(path, uncut(self.folder, name), "--scale", "1.0043,0.9958")[0]
                self.check_page(page, ones[:pairs], places, scale=scaled)
                # Both: what is nudged is not scaled, which would show here as 0.02 mm.
                page = self.stickers(path, uncut(self.folder, name), "--scale", "1.0043,0.9958",
                                     "--nudge", "5.63,-4.41")[0]
                self.check_page(page, ones[:pairs], places, move=(5.63, -4.41), scale=scaled)

    def free_labels(self, name, path, *options):
        """Of the first page the labels with ink, from 1."""
        pdf = os.path.join(self.folder, "used.pdf")
        common.run("stickers", path, "-o", pdf, "--layout", uncut(self.folder, name), "-q",
                   *options)
        page = common.rasterise(pdf, 60, self.folder)[0]
        wide, _, pixels = common.read_pgm(page)
        inked = []
        for number, (x, y, width, height) in enumerate(common.label_places(name), 1):
            left, top, right, bottom = (round(value / 25.4 * 60) for value in
                                        (x, y, x + width, y + height))
            if any(pixels[row * wide + left:row * wide + right].count(255) < right - left
                   for row in range(top, bottom)):
                inked.append(number)
        return inked

    def test_labels_that_are_gone_stay_blank(self):
        for name in SHEETS:
            with self.subTest(layout=name):
                labels = len(common.label_places(name))
                path = self.describe(name, 6)  # three numbers
                self.assertEqual(self.free_labels(name, path), [1, 2, 3, 4, 5, 6])
                start = labels - 6
                self.assertEqual(self.free_labels(name, path, "--start", start),
                                 list(range(start, start + 6)))
                self.assertEqual(self.free_labels(name, path, "--used", "2-3,5,8"),
                                 [1, 4, 6, 7, 9, 10])
                # What finds no room goes on a page of its own; a number stays together.
                self.assertEqual(self.free_labels(name, path, "--start", labels - 2),
                                 [labels - 2, labels - 1])
                self.assertEqual(self.free_labels(name, path, "--used", f"1-{labels - 2}"),
                                 [labels - 1, labels])


if __name__ == "__main__":
    unittest.main()
