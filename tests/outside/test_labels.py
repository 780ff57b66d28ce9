"""Every layout, and so every style, with random content: each label is cut out by the layout's own
arithmetic, each of its faces is read by zbar, and what is read is what stands beside it in ink."""

import itertools
import json
import math
import os
import re
import shutil
import unittest

import common
import content
import descriptions
import pictures


class Label:
    """The zones of one label of a layout, in mm from its corner, by arithmetic done here: a flag
    is a face, the loop, a face; a wrap is its printed zone and below it the clear tail."""

    def __init__(self, name, width, height, bundle):
        fields = common.layout(name)
        self.inset = common.numbers(fields["inset"])[0]
        self.width, self.height = width, height
        tape = fields["kind"] == "tape"
        self.faces, self.blank = [(0, 0, width, height)], None
        if fields["style"] == "flag":
            # A tape is cut to the loop that the bundle needs, pi x D, where that is known.
            loop = math.pi * bundle if tape and bundle else common.numbers(fields["loop"])[0]
            face = (width - loop) / 2 if tape else common.numbers(fields["face"])[0]
            self.faces = [(0, 0, face, height), (face + loop, 0, face, height)]
            self.blank = (face, 0, loop, height)
        elif fields["style"] == "wrap":
            printed = common.numbers(fields["printed"])[-1]
            self.faces = [(0, 0, width, printed)]
            self.blank = (0, printed, width, common.numbers(fields["clear"])[-1])


def bundles(name):
    """What goes round: the printed zone at most pi x D, the clear tail at least pi x (D + 2t), t
    being 0.1 mm where the layout does not say; a flag's loop at least pi x D."""
    fields = common.layout(name)
    if fields["style"] == "wrap":
        printed, clear = (common.numbers(fields[key])[-1] for key in ("printed", "clear"))
        return printed / math.pi + 0.01, clear / math.pi - 0.2 - 0.01
    if fields["style"] == "flag":
        return 2, common.numbers(fields["loop"])[0] / math.pi - 0.01
    return None


def region(picture, dpi, place, shrink=0.0):
    """A part of a picture in mm as width, height, rows. `shrink` mm are left off all round."""
    width, height, pixels = picture
    x, y, wide, tall = place
    left, top = (round((value + shrink) / 25.4 * dpi) for value in (x, y))
    right, bottom = (round((value - shrink) / 25.4 * dpi) for value in (x + wide, y + tall))
    right, bottom = min(right, width), min(bottom, height)
    return right - left, bottom - top, [pixels[row * width + left:row * width + right]
                                        for row in range(top, bottom)]


def is_blank(picture, dpi, place, shrink=0.0):
    return all(row.count(255) == len(row) for row in region(picture, dpi, place, shrink)[2])


class Labels(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.files, self.wanted = [], []

    def tearDown(self):
        shutil.rmtree(self.folder)

    def describe(self, name, seed):
        path = os.path.join(self.folder, f"{name}-{seed}.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write(descriptions.describe(f"{name} {seed}", 5, bundles(name)))
        return path

    def add_label(self, picture, dpi, corner, label, code, what):
        """Cuts a label's faces out for zbar; nothing may stand outside of what is printable."""
        for number, (x, y, wide, tall) in enumerate(label.faces):
            place = corner[0] + x, corner[1] + y, wide, tall
            wide, tall, rows = region(picture, dpi, place)
            # A dot may lie across the edge by half; text by poppler's grey edge one more.
            edge = math.floor(label.inset / 25.4 * dpi) - 2
            frame = rows[:edge] + rows[-edge:] + [row[:edge] + row[-edge:] for row in rows]
            self.assertEqual({value for row in frame for value in row}, {255},
                             f"{what}: ink in the inset")
            path = os.path.join(self.folder, f"face-{len(self.files)}.pgm")
            common.write_pgm(path, wide, tall, b"".join(rows))
            self.files.append(path)
            self.wanted.append((code, f"{what}, face {number + 1}"))
        if label.blank:
            x, y, wide, tall = label.blank
            self.assertTrue(is_blank(picture, dpi, (corner[0] + x, corner[1] + y, wide, tall),
                                     25.4 / dpi), f"{what}: ink in the loop or the clear tail")

    def check_words(self, pdf, page, corner, label, tag):
        """On each face the tag stands once in letters, and it is this one."""
        for x, y, wide, tall in label.faces:
            left, top = corner[0] + x, corner[1] + y
            found = [word for number, word, (x0, y0, x1, y1) in self.words(pdf)
                     if number == page and left < (x0 + x1) / 2 < left + wide
                     and top < (y0 + y1) / 2 < top + tall]
            self.assertEqual([word for word in found if re.fullmatch(r"\d+[HMX]", word)], [tag])

    def words(self, pdf):
        if pdf not in self.read:
            page, words = 0, []
            for line in common.quiet("pdftotext", "-bbox", pdf, "-").splitlines():
                page += "<page " in line
                word = re.search(r'xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*)</word>',
                                 line)
                if word:
                    box = [float(value) / 72 * 25.4 for value in word.groups()[:4]]
                    words.append((page, word[5], box))
            self.read[pdf] = words
        return self.read[pdf]

    def check_layout(self, name, seed):
        path = self.describe(name, seed)
        fields = common.layout(name)
        sheet = fields["kind"] == "sheet"
        pdf = path[:-5] + ".pdf"
        common.run("stickers", path, "-o", pdf, "--layout", name)
        common.quiet("qpdf", "--check", pdf)
        figures = json.loads(common.run("stickers", path, "--json", "--layout",
                                        name).stdout)["stickers"]
        listing = common.tags(path)
        codes = {f"{tag['number']}{side}": code for tag in listing["tags"]
                 for side, code in tag["codes"].items()}
        order = [figure["tag"] for figure in figures]
        self.assertEqual(sorted(codes[tag] for tag in order),
                         common.expected_codes(listing, common.text(path)))
        labels = [Label(name, figure["width"], figure["height"], figure["bundle"] or 0)
                  for figure in figures]
        places = self.sheet_places(name, order) if sheet else [(i, 0, 0) for i in
                                                               range(len(labels))]
        for dpi in (300, 600) if sheet else (round(float(fields["dpi"])),):
            for kind in ("pdf", "png"):
                pages = self.pages(path, pdf, kind, name, dpi)
                self.assertEqual(len(pages), places[-1][0] + 1)
                if kind == "png" and dpi == (600 if sheet else round(float(fields["dpi"]))):
                    self.check_quiet_zones(pdf, pages, dpi, name)
                for i, tag in enumerate(order):
                    page, *corner = places[i]
                    picture = pages[page]
                    what = f"{tag} on {name} in {kind} at {dpi} dpi"
                    if not sheet:
                        for side in (0, 1):
                            self.assertAlmostEqual(
                                picture[side], (labels[i].width, labels[i].height)[side] / 25.4 *
                                dpi, delta=1.1, msg=what)  # poppler rounds up
                    self.add_label(picture, dpi, corner, labels[i], codes[tag], what)
                    if kind == "pdf":
                        self.check_words(pdf, page + 1, corner, labels[i], tag)

    def sheet_places(self, name, order):
        """Page and corner of each label: row by row, the stickers of a number on one page."""
        free, page, out = common.label_places(name), 0, []
        for number, group in itertools.groupby(order, key=lambda tag: tag[:-1]):
            group = list(group)
            if len(group) > len(free):
                free, page = common.label_places(name), page + 1
            out += [(page, *free.pop(0)[:2]) for _ in group]
        return out

    def check_quiet_zones(self, pdf, pages, dpi, name):
        """Four modules of white round each code, in the picture for the head. A text beside it, and
        its last letter again, begins on a whole dot, and its strokes are whole dots thick: its ink
        may reach two dots farther than its outline, half a module of four at the most."""
        for page, picture in zip(content.pages(pdf), pages, strict=True):
            for code in page.codes():
                left, top = (round(value / 25.4 * dpi) for value in (code.x, code.y))
                wide = round(code.size[0] / 25.4 * dpi)
                margin = 4 * wide // len(code.what) - 2
                for x, y, width, height in (
                        (left - margin, top - margin, wide + 2 * margin, margin),
                        (left - margin, top + wide, wide + 2 * margin, margin),
                        (left - margin, top, margin, wide), (left + wide, top, margin, wide)):
                    part = pictures.crop(picture, x, y, width, height)
                    self.assertEqual(part[2].count(255), len(part[2]),
                                     f"{name}: ink in a quiet zone, {part[2].count(0)} dots")

    def pages(self, path, pdf, kind, name, dpi):
        stem = path[:-5]
        if kind == "png":
            common.run("stickers", path, "-o", stem + ".png", "--layout", name, "--dpi", dpi)
            names = sorted(file for file in os.listdir(self.folder) if
                           re.fullmatch(re.escape(os.path.basename(stem)) + r"(-\d+)?\.png", file))
            pages = [common.png_pixels(os.path.join(self.folder, file)) for file in names]
        else:
            names = common.rasterise(pdf, dpi, self.folder)
            pages = [common.read_pgm(file) for file in names]
        for file in names:
            os.unlink(os.path.join(self.folder, os.path.basename(file)))
        return pages

    def test_random_content_decodes_on_every_layout(self):
        self.read = {}
        for name in common.LAYOUTS:
            with self.subTest(layout=name):
                self.check_layout(name, 1)
        payloads = common.decode(self.files)
        missed = [what for (_, what), found in zip(self.wanted, payloads) if len(found) != 1]
        self.assertEqual(missed, [], f"of {len(self.files)} faces zbar missed {len(missed)}")
        for (code, what), found in zip(self.wanted, payloads):
            self.assertEqual(common.scan_codes(found), [code], f"{what}: {found}")
        self.assertGreater(len(self.files), 10 * len(common.LAYOUTS))

    def test_wraps_that_wind_to_any_side(self):
        """The printed zone is 24 x 14 mm, the clear tail lies where the layout says: below, above
        or beside it; beside it is as long as the 24 mm that then go round ask for."""
        for direction, label, clear, face, tail in (
                ("down", (24, 44), (24, 30), (0, 0), (0, 14)),
                ("up", (24, 44), (24, 30), (0, 30), (0, 0)),
                ("right", (74, 14), (50, 14), (0, 0), (24, 0)),
                ("left", (74, 14), (50, 14), (50, 0), (0, 0))):
            with self.subTest(direction=direction):
                layout = os.path.join(self.folder, f"own-{direction}.yaml")
                with open(layout, "w", encoding="utf-8") as out:
                    out.write(f"layout: own-{direction}\nkind: roll\nstyle: wrap\n"
                              f"label: {label[0]} x {label[1]} mm\ngap: 3 mm\ndpi: 300\n"
                              f"inset: 1 mm\nprinted: 24 x 14 mm\n"
                              f"clear: {clear[0]} x {clear[1]} mm\ndirection: {direction}\n")
                path = os.path.join(self.folder, "wound.yaml")
                with open(path, "w", encoding="utf-8") as out:
                    out.write(descriptions.describe(direction, 2, (7.8, 9), replaced=0))
                png = os.path.join(self.folder, f"wound-{direction}.png")
                common.run("stickers", path, "-o", png, "--layout", layout)
                wanted = common.expected_codes(common.tags(path), common.text(path))
                files = []
                for number in range(1, 5):
                    picture = common.png_pixels(png.replace(".png", f"-{number:02}.png"))
                    self.assertTrue(is_blank(picture, 300, (*tail, *clear), 0.1))
                    width, height, rows = region(picture, 300, (*face, 24, 14))
                    files.append(os.path.join(self.folder, f"{direction}-{number}.pgm"))
                    common.write_pgm(files[-1], width, height, b"".join(rows))
                found = common.decode(files)
                self.assertEqual(sorted(common.scan_codes([one for one, in found])), wanted)
                os.unlink(path[:-5] + ".tags")

    def test_facts_are_read_in_any_script(self):
        """What a phone shows: the code, a space, and the mapping in words on the same line."""
        names = [("датчик глубины", "лебёдка"), ("αισθητήρας", "αντλία"), ("Ölstandsgeber", "Kühler"),
                 ("łącznik krańcowy", "wciągarka"), ("capteur de marée", "hélice")]
        path = os.path.join(self.folder, "scripts.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write("harness: KV7\ncomponents:\n" + "".join(
                f"  - {{id: M{i}, name: {mate}}}\n" for i, (_, mate) in enumerate(names)) +
                "connectors:\n" + "".join(
                f"  - {{id: X{i}, name: {name}, mates: M{i}, ways: 2, family: f{i},"
                f" wires: {{1: BN, 2: BU}}}}\n" for i, (name, _) in enumerate(names)))
        png = os.path.join(self.folder, "scripts.png")
        common.run("stickers", path, "-o", png, "--layout", "roll-76x51", "--payload", "facts")
        tags = common.tags(path)["tags"]
        for i, (name, mate) in enumerate(names):
            tag = next(tag for tag in tags if tag["connector"] == f"X{i}")
            for j, side in enumerate("HM"):
                shown = common.decode_text(png.replace(".png", f"-{2 * i + j + 1:02}.png"))
                self.assertTrue(shown.startswith(tag["codes"][side] + " "), shown)
                for word in (name, mate, tag["connector"], "1 BN", "2 BU"):
                    self.assertIn(word, shown)
                self.assertEqual(shown.count("\n"), 0)


if __name__ == "__main__":
    unittest.main()
