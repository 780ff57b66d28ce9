"""The harness map on paper, judged by poppler, qpdf, librsvg and zbar."""

import os
import re
import shutil
import struct
import subprocess
import unittest

import common

# mm, portrait: ISO 216, and ANSI/ASME Y14.1 A and B.
PAPERS = {"a4": (210, 297), "a3": (297, 420), "letter": (215.9, 279.4), "ledger": (279.4, 431.8)}
DPI = 200
# zbar misses symbols on a whole page: it is shown one window after the other, each overlapping the
# next by more than the largest symbol, with its quiet zone, that a map has.
WINDOW, STEP = 62, 30


def windows(width, height):
    return [(x, y, WINDOW, WINDOW) for y in range(0, int(height), STEP)
            for x in range(0, int(width), STEP)]


def read_page(pgm, size, folder):
    """All that is read on a page, each text once."""
    pieces = common.cut(pgm, DPI, windows(*size), folder)
    found = {payload for payloads in common.decode(pieces) for payload in payloads}
    for piece in pieces:
        os.unlink(piece)
    return found


def expected(listing, path):
    """What the symbols of a map say: links to each connector's page, or facts, and the harness's.
    Returns a pattern for each connector, by number."""
    base = re.search(r"^base: (\S+)", common.text(path), re.M)
    patterns = {}
    for tag in listing["tags"]:
        if base:
            scheme, host = re.match(r"(\w+)://(.*)", base[1]).groups()
            patterns[tag["number"]] = re.escape(
                f"{scheme.upper()}://{host.upper()}/{tag['codes']['H']}/#map")
        else:
            patterns[tag["number"]] = f"{listing['code']} map {tag['number']}: .*"
    return patterns


class Map(unittest.TestCase):
    def make(self, name, ending, *options):
        folder = common.workdir()
        self.addCleanup(shutil.rmtree, folder, True)
        path = common.sample(folder, name)
        listing = common.tags(path)
        out = os.path.join(folder, "map." + ending)
        common.run("map", path, "-o", out, *options)
        return folder, path, listing, out

    def check_symbols(self, listing, path, pages):
        """Each connector's symbol is there, each page has the harness's, and nothing else is."""
        patterns = expected(listing, path)
        seen = set()
        for page in pages:
            others = set(page)
            for number, pattern in patterns.items():
                matched = {text for text in page if re.fullmatch(pattern, text)}
                if matched:
                    seen.add(number)
                others -= matched
            self.assertEqual(len(others), 1, f"the harness's own symbol: {others}")
            # No symbol of a map reads as a sticker's: its last run of letters and digits is none.
            for text in page:
                code = common.scan_codes([text])[0]
                self.assertIsNone(re.fullmatch(r"[1-9][0-9]{0,4}[HMX].*", code), text)
        self.assertEqual(seen, set(patterns))

    def test_pdfs_are_whole_and_every_symbol_decodes(self):
        for name, paper, way in (("mast-head", "a4", "landscape"), ("mast-head", "letter", "portrait"),
                                 ("dome-shutter", "a4", "portrait"), ("dome-shutter", "a3", "landscape"),
                                 ("seed-gantry", "ledger", "landscape")):
            with self.subTest(sample=name, paper=paper, way=way):
                folder, path, listing, pdf = self.make(name, "pdf", "--paper", paper, "--" + way)
                common.quiet("qpdf", "--check", pdf)
                size = PAPERS[paper] if way == "portrait" else PAPERS[paper][::-1]
                sizes = re.findall(r"Page\s+\d+ size:\s+([\d.]+) x ([\d.]+)",
                                   common.quiet("pdfinfo", "-l", "1000", pdf))
                for wide, tall in sizes:
                    self.assertAlmostEqual(float(wide), size[0] / 25.4 * 72, delta=0.5)
                    self.assertAlmostEqual(float(tall), size[1] / 25.4 * 72, delta=0.5)
                pages = [read_page(page, size, folder)
                         for page in common.rasterise(pdf, DPI, folder)]
                self.assertEqual(len(pages), len(sizes))
                self.check_symbols(listing, path, pages)

    def test_the_words_are_there_to_be_searched(self):
        for name in common.SAMPLES:
            with self.subTest(sample=name):
                _, path, listing, pdf = self.make(name, "pdf")
                words = " ".join(common.quiet("pdftotext", "-layout", pdf, "-").split())
                for tag in listing["tags"]:
                    for side in tag["sides"]:
                        self.assertRegex(words, rf"(?<!\w){tag['number']}{side}(?!\w)")
                    self.assertIn(tag["connector"], words)
                for code in set(re.findall(r"\d+: ([A-Z]{2,6})[,}]", common.text(path))):
                    self.assertRegex(words, rf"(?<!\w){code}(?!\w)")
                sizes = [float(size) for size in re.findall(
                    r'<fontspec id="\d+" size="(-?[\d.]+)"',
                    common.quiet("pdftohtml", "-xml", "-i", "-stdout", "-zoom", "1", pdf))]
                self.assertGreater(len(sizes), 3)
                # pdftohtml gives whole points, rounded.
                self.assertGreaterEqual(min(sizes), 6)

    def test_pngs_are_in_colour_and_know_their_size(self):
        folder, path, listing, _ = self.make("dome-shutter", "png")
        pngs = sorted(os.path.join(folder, file) for file in os.listdir(folder)
                      if file.endswith(".png"))
        self.assertGreater(len(pngs), 1)
        pages = []
        for png in pngs:
            head = common.data(png)
            wide, tall, depth, kind = struct.unpack(">IIBB", head[16:26])
            # ISO/IEC 15948: 8 bits of each, colour type 2 is red, green and blue.
            self.assertEqual((depth, kind), (8, 2))
            self.assertAlmostEqual(wide, 297 / 25.4 * DPI, delta=1)
            self.assertAlmostEqual(tall, 210 / 25.4 * DPI, delta=1)
            at = head.index(b"pHYs")
            self.assertEqual(struct.unpack(">I", head[at + 4:at + 8])[0], 7874)
            pgm = png[:-4] + ".pgm"
            grey_of_png(png, pgm)
            pages.append(read_page(pgm, (297, 210), folder))
        self.check_symbols(listing, path, pages)

    def test_svgs_are_drawn_alike(self):
        folder, path, listing, _ = self.make("dome-shutter", "svg")
        svgs = sorted(os.path.join(folder, file) for file in os.listdir(folder)
                      if file.endswith(".svg"))
        self.assertGreater(len(svgs), 1)
        pages = []
        for svg in svgs:
            png, pgm = svg[:-4] + ".png", svg[:-4] + ".pgm"
            common.quiet("rsvg-convert", "-d", str(DPI), "-p", str(DPI), "-o", png, svg)
            grey_of_png(png, pgm)
            pages.append(read_page(pgm, (297, 210), folder))
        self.check_symbols(listing, path, pages)

    def test_the_same_description_gives_the_same_bytes(self):
        for ending in ("pdf", "svg", "png"):
            with self.subTest(ending=ending):
                first = self.make("mast-head", ending)[0]
                second = self.make("mast-head", ending)[0]
                names = sorted(file for file in os.listdir(first) if file.startswith("map"))
                self.assertGreaterEqual(len(names), 1)
                for file in names:
                    self.assertEqual(common.data(os.path.join(first, file)),
                                     common.data(os.path.join(second, file)))

    def test_what_cannot_be_done_is_said(self):
        folder = common.workdir()
        self.addCleanup(shutil.rmtree, folder, True)
        path = common.sample(folder, "mast-head")
        for options, words in (
                ((), r"-o OUT\.pdf.*--pages DIR"),
                (("-o", "map.txt"), r'-o .*\.pdf, \.png or \.svg.*"map\.txt"'),
                (("-o", "-"), r'-o .*\.pdf, \.png or \.svg.*"-"'),
                (("-o", "map.pdf", "--paper", "a5"), "--paper .*a4, a3, letter or ledger"),
                (("-o", "map.pdf", "--portrait", "--landscape"), "--landscape.*--portrait"),
                (("-o", path), r"-o .*\.pdf, .*mast-head\.yaml")):
            with self.subTest(options=options):
                done = common.run("map", path, *options, expect=2)
                self.assertRegex(done.stderr, words)
        self.assertEqual(common.text(path),
                         common.text(os.path.join(common.ROOT, "samples", "mast-head.yaml")))

    def test_no_page_takes_the_place_of_a_photograph(self):
        folder = common.workdir()
        self.addCleanup(shutil.rmtree, folder, True)
        path = os.path.join(folder, "qq.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write("harness: QQ\nconnectors:\n  - {id: X1, family: a, photo: qq-01.png}\n")
        photo = os.path.join(folder, "qq-01.png")
        shutil.copy(os.path.join(common.ROOT, "samples", "pictures", "stickers.png"), photo)
        before = common.data(photo)
        done = common.run("map", path, "-o", os.path.join(folder, "qq.png"), expect=4)
        self.assertIn("qq-01.png", done.stderr)
        self.assertEqual(common.data(photo), before)

    def test_a_photograph_is_drawn_and_a_missing_one_is_warned_of(self):
        folder = common.workdir()
        self.addCleanup(shutil.rmtree, folder, True)
        path = os.path.join(folder, "lock.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write("harness: LG2\nconnectors:\n  - {id: X1, family: a, photo: gate.png}\n"
                      "  - {id: X2, family: b, photo: gone.jpg}\n")
        shutil.copy(os.path.join(common.ROOT, "samples", "pictures", "stickers.png"),
                    os.path.join(folder, "gate.png"))
        pdf = os.path.join(folder, "map.pdf")
        done = common.run("map", path, "-o", pdf)
        self.assertIn("gone.jpg", done.stderr)
        self.assertNotIn("gate.png", done.stderr)
        pictures = common.quiet("pdfimages", "-list", pdf)
        self.assertRegex(pictures, r"\n\s+\d+\s+\d+ image ")


def grey_of_png(png, pgm):
    """A PNG in colour as grey, by netpbm."""
    with open(pgm, "wb") as out:
        in_colour = subprocess.run(["pngtopnm", png], check=True, capture_output=True)
        subprocess.run(["ppmtopgm"], check=True, input=in_colour.stdout, stdout=out)


if __name__ == "__main__":
    unittest.main()
