"""What the checks of printing share: a bench of printers for each module, the program run on it,
and what arrived read back by the bench's own reader of PWG Raster (PWG 5102.4) or by poppler, and
decoded by zbar."""

import os
import pathlib
import re
import subprocess
import sys
import unittest
import xml.etree.ElementTree as ElementTree

import common
import printers
import pwg

BENCH = None
REFUSED = printers.refused()
on_bench = unittest.skipIf(REFUSED, REFUSED)


def set_up():
    """For setUpModule."""
    global BENCH
    if REFUSED:
        print(f"passed over: {REFUSED}", file=sys.stderr)
        return
    BENCH = printers.Bench(os.path.join(common.workdir(), "bench"))


def tear_down():
    global BENCH
    if BENCH:
        BENCH.close()
    BENCH = None


def dots(mm, dpi):
    return round(mm / 25.4 * dpi)


def scan_code(tag, harness):
    return f"{tag}{harness}{common.check_character(tag + harness)}"


def turned_back(picture):
    """A picture as it was before a quarter turn clockwise."""
    width, height, pixels = picture
    rows = [pixels[row * width:(row + 1) * width] for row in range(height)]
    return height, width, b"".join(bytes(row[width - 1 - y] for row in rows)
                                   for y in range(width))


def symbols(path):
    """The QR codes of a picture: (payload, which way is up)."""
    done = subprocess.run(["zbarimg", "-q", "--xml", "-Sdisable", "-Sqrcode.enable", path],
                          capture_output=True, check=False)
    tree = ElementTree.fromstring(done.stdout) if done.stdout.strip() else ()
    return [(common.payload_of(part), node.get("orientation")) for node in tree and tree.iter()
            if node.tag.endswith("symbol") for part in node if part.tag.endswith("data")]


def module_dots(pgm):
    """Dots a module of the one symbol in a picture: a finder's dark and light are as 1:1:3:1:1 over
    three modules (ISO/IEC 18004)."""
    width, height, pixels = common.read_pgm(pgm)
    rows = [pixels[y * width:(y + 1) * width] for y in range(height)]
    for size in range(12, 1, -1):
        finder = re.compile(rb"(?<!\0)\0{%d}\xff{%d}\0{%d}\xff{%d}\0{%d}(?!\0)" % (
            size, size, 3 * size, size, size))
        at = [{match.start() for match in finder.finditer(row)} for row in rows]
        if any(set.intersection(*at[y:y + 3 * size]) for y in range(height - 3 * size)):
            return size
    raise AssertionError(f"{pgm}: no finder")


def sheet_codes(pdf, layout, dpi, folder):
    """(label, scan code) of the labels of a PDF's pages that are not blank, cut out of the page by
    the layout's arithmetic."""
    found, places = [], common.label_places(layout)
    for number, page in enumerate(common.rasterise(pdf, dpi, folder)):
        files = common.cut(page, dpi, places, folder)
        for name, payloads in zip(files, common.decode(files)):
            label = int(re.search(r"-label-(\d+)\.pgm$", name)[1]) + number * len(places)
            found += [(label, code) for code in common.scan_codes(payloads)]
    return found


class Case(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.sample = common.sample(self.folder, "mast-head", registered=True)
        self.home = os.path.abspath(os.path.join(self.folder, "config"))

    def loomtag(self, *arguments, expect=0, env=None):
        """Runs the program on the bench, without a terminal."""
        done = BENCH.run(["setsid", "-w", common.PROGRAM, *arguments], stdin="",
                         env={"XDG_CONFIG_HOME": self.home, "SOURCE_DATE_EPOCH": common.EPOCH,
                              **(env or {})}, expect=expect)
        self.assertNotIn("Sanitizer", done.stderr)
        return done

    def print(self, printer, *options, to=None, **more):
        """Prints the sample; returns what the program said and the documents that arrived."""
        before = len(printer.documents())
        done = self.loomtag("print", self.sample, "--to", to or printer.uri, *options, **more)
        return done, printer.documents()[before:]

    def record(self):
        return pathlib.Path(self.sample).with_suffix(".print")

    def register(self):
        return common.text(pathlib.Path(self.sample).with_suffix(".tags"))

    def tags_in_order(self):
        """The tags that are wanted: connectors as they stand in the description, each with the
        sides that are its, numbered as the register says."""
        written = common.text(self.sample)
        numbers = dict(line.split()[1::-1] for line in self.register().splitlines()[1:])
        found = []
        for name, rest in re.findall(r"^  - id: (\S+)\n((?:    .*\n)*)", written, re.M):
            found += [f"{numbers[name]}{side}" for side in ("H" if "sides: 1" in rest else "HM")]
        return found

    def numbers(self):
        """The tags of each number."""
        tags = self.tags_in_order()
        return [[tag for tag in tags if tag[:-1] == number]
                for number in dict.fromkeys(tag[:-1] for tag in tags)]

    def codes(self, tags, harness="WMH"):
        return [scan_code(tag, harness) for tag in tags]

    def pictures(self, pages):
        return [page.write_pgm(os.path.join(self.folder, f"page-{number:03}.pgm"))
                for number, page in enumerate(pages)]

    def decoded(self, pages):
        """The scan codes of pages with a sticker each."""
        payloads = common.decode(self.pictures(pages))
        self.assertEqual([len(found) for found in payloads], [1] * len(pages))
        return common.scan_codes([found[0] for found in payloads])

    def raster(self, documents, dpi, width, height):
        """The pages of the one document, of bits, and of that size in mm."""
        (document,) = documents
        pages = pwg.read(document)
        for page in pages:
            self.assertEqual(page.resolution, (dpi, dpi))
            self.assertEqual(page.header["BitsPerPixel"], 1)
            self.assertEqual(page.header["ColorSpace"], pwg.BLACK)
            self.assertEqual(page.header["NumCopies"], 0)
            self.assertEqual(page.header["TotalPageCount"], len(pages))
            self.assertEqual((page.width, page.height), (dots(width, dpi), dots(height, dpi)))
        return pages

    def job_of(self, printer):
        """The attributes that the last job was asked for with, all requests having been taken."""
        told = printer.log.read_text(encoding="utf-8", errors="replace")
        answers = re.findall(r"^Response:\n.*?status-code=(\S+)", told, re.M | re.S)
        self.assertEqual(set(answers), {"successful-ok(0000)"})
        return printer.requests("Create-Job")[-1][1]

    def syntaxes(self, printer, operation):
        """Groups and attributes of the last request of an operation: [(name, its syntax)]."""
        told = printer.log.read_text(encoding="utf-8", errors="replace")
        last = re.findall(rf"operation-id={operation}\(.*\n((?:[ ].*\n|\n)+)", told)[-1]
        return [(name, syntax) for name, syntax in
                re.findall(r"^ +([a-z-]+-tag|[a-z-]+ (?=\())(?:\((\w+)\).*)?$", last, re.M)]

    def assert_nothing_sent(self, printer):
        asked = {name for name, _ in printer.requests()}
        self.assertEqual(asked, {"Get-Printer-Attributes"})
        self.assertEqual(printer.documents(), [])
        self.assertFalse(self.record().exists())
