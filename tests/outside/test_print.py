"""loomtag print: what it sends to real printer programs and to queues of a real print server. What
arrived is read back with the bench's own reader of PWG Raster (PWG 5102.4) or by poppler, and
decoded by zbar."""

import os
import pathlib
import re
import select
import signal
import subprocess
import sys
import termios
import unittest
import xml.etree.ElementTree as ElementTree

import common
import pictures
import printers
import printserver
import pwg

RASTER, PDF = "image/pwg-raster", "application/pdf"
BENCH = None
REFUSED = printers.refused()
on_bench = unittest.skipIf(REFUSED, REFUSED)


def setUpModule():
    global BENCH
    if REFUSED:
        print(f"passed over: {REFUSED}", file=sys.stderr)
        return
    BENCH = printers.Bench(os.path.join(common.workdir(), "bench"))


def tearDownModule():
    if BENCH:
        BENCH.close()


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


class Case(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.sample = common.sample(self.folder, "mast-head")
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


@on_bench
class Roll(Case):
    """203 dots per inch, die-cut labels of 54 x 25 mm, no cutter."""

    @classmethod
    def setUpClass(cls):
        cls.printer = BENCH.printer("roll", "roll-203")

    def sent(self, *options, **more):
        done, documents = self.print(self.printer, *options, **more)
        return done, self.raster(documents, 203, 54, 25)

    def test_all_labels_arrive(self):
        done, pages = self.sent()
        wanted = self.tags_in_order()
        self.assertEqual(len(wanted), 15)
        self.assertEqual(self.decoded(pages), self.codes(wanted))
        self.assertIn("15 stickers of roll-54x25", done.stdout)
        self.assertIn("15 of 15 stickers, the last 8M", done.stdout)
        self.assertNotIn("error", done.stderr)
        self.assertFalse(self.record().exists())
        # Both sides of all but the clamp are in the register as printed.
        self.assertEqual([line.split()[2] for line in self.register().splitlines()[1:]],
                         ["H"] + ["HM"] * 7)
        job = self.job_of(self.printer)
        self.assertEqual(job["media-col"], "{media-size={x-dimension=5400 y-dimension=2500}}")
        self.assertEqual((job["copies"], job["printer-resolution"]), ("1", "203dpi"))
        self.assertEqual(job["job-name"], "WMH")
        self.assertNotIn("finishings", job)
        document = self.printer.requests("Send-Document")[-1][1]
        self.assertEqual((document["document-format"], document["last-document"]),
                         (RASTER, "true"))

    def test_attributes_are_of_their_syntaxes(self):
        """RFC 8011, 4.1.4, 4.2.4, 4.3.1 and 5.2; PWG 5100.7."""
        self.sent("--only", "1", "--user", "ann")
        first = [("operation-attributes-tag", ""), ("attributes-charset ", "charset"),
                 ("attributes-natural-language ", "naturalLanguage"), ("printer-uri ", "uri")]
        user = ("requesting-user-name ", "nameWithoutLanguage")
        self.assertEqual(self.syntaxes(self.printer, "Create-Job"), [
            *first, user, ("job-name ", "nameWithoutLanguage"), ("job-attributes-tag", ""),
            ("copies ", "integer"), ("print-quality ", "enum"),
            ("printer-resolution ", "resolution"), ("media-col ", "collection")])
        self.assertEqual(self.syntaxes(self.printer, "Send-Document"), [
            *first, ("job-id ", "integer"), user, ("document-format ", "mimeMediaType"),
            ("last-document ", "boolean")])
        self.assertEqual(self.printer.requests("Create-Job")[-1][1]["requesting-user-name"], "ann")

    def test_other_harnesses(self):
        """One with replaced parts and with connectors that have no room for a sticker."""
        sample = common.sample(self.folder, "dome-shutter")
        self.sample = sample
        _, pages = self.sent()
        listed = common.tags(sample)
        self.assertEqual(sorted(self.decoded(pages)),
                         common.expected_codes(listed, common.text(sample)))
        self.assertTrue(any("X" in tag["sides"] for tag in listed["tags"]))

    def test_the_dots_are_those_of_the_stickers_on_file(self):
        """Each page is the picture that `stickers` draws for the same head, dot by dot."""
        _, pages = self.sent("--only", "1-2")
        self.loomtag("stickers", self.sample, "--only", "1-2", "--layout", "roll-54x25", "-o",
                     os.path.join(self.folder, "label.png"))
        for number, page in enumerate(pages, 1):
            name = os.path.join(self.folder, f"label-{number:02}.png")
            self.assertEqual((page.width, page.height, page.pixels()), common.png_pixels(name))

    def test_only_some(self):
        done, pages = self.sent("--only", "3,5-6,8M")
        self.assertEqual(self.decoded(pages), self.codes(["3H", "3M", "5H", "5M", "6H", "6M", "8M"]))
        self.assertIn("done: 7 stickers", done.stdout)
        self.assertEqual([line.split()[2:] for line in self.register().splitlines()[1:]],
                         [["-"], ["-"], ["HM"], ["-"], ["HM"], ["HM"], ["-"], ["M"]])

    def test_copies_stay_together(self):
        _, pages = self.sent("--only", "2", "--copies", "2")
        self.assertEqual(self.decoded(pages), self.codes(["2H", "2M", "2H", "2M"]))
        self.assertEqual(self.job_of(self.printer)["copies"], "1")

    def test_the_payload_is_chosen(self):
        _, pages = self.sent("--only", "4", "--payload", "code")
        self.assertEqual([found for found in common.decode(self.pictures(pages))],
                         [[code] for code in self.codes(["4H", "4M"])])

    def test_the_unit_is_in_the_codes(self):
        _, pages = self.sent("--only", "1", "--unit", "0042")
        self.assertEqual(self.decoded(pages), self.codes(["1H"], "WMHU0042"))

    def test_by_its_name_on_the_network(self):
        BENCH.advertised("roll")
        done, pages = self.sent("--only", "1", to="roll")
        self.assertEqual(self.decoded(pages), self.codes(["1H"]))
        self.assertNotIn("error", done.stderr)

    def test_a_name_that_nobody_has(self):
        BENCH.advertised("roll")
        done, documents = self.print(self.printer, to="rol", expect=4)
        self.assertEqual(documents, [])
        self.assertIn('called "rol"', done.stderr)
        self.assertIn('"roll"', done.stderr)

    def test_a_certificate_of_its_own(self):
        secure = self.printer.secure_uri
        done, documents = self.print(self.printer, "--only", "1", to=secure, expect=4)
        self.assertEqual(documents, [])
        self.assertIn("certificate", done.stderr)
        self.assertIn("--any-certificate", done.stderr)
        _, pages = self.sent("--only", "1", "--any-certificate", to=secure)
        self.assertEqual(self.decoded(pages), self.codes(["1H"]))

    def test_a_layout_that_is_not_loaded(self):
        printer = BENCH.printer("not-it", "roll-203")
        done, _ = self.print(printer, "--layout", "roll-38x19", expect=3)
        for size in ("38 x 19 mm", "54 x 25 mm"):
            self.assertIn(size, done.stderr)
        self.assert_nothing_sent(printer)

    def test_no_layout_goes_with_what_is_loaded(self):
        strange = printers.dressed(os.path.join(self.folder, "strange.conf"), "roll-203", {
            "media-ready": "keyword om_strange_61x44mm", "media-default": "keyword "
            "om_strange_61x44mm", "media-supported": "keyword om_strange_61x44mm",
            "media-col-ready": "collection { MEMBER collection media-size { MEMBER integer "
                               "x-dimension 6100 MEMBER integer y-dimension 4400 } }"})
        printer = BENCH.printer("strange", strange)
        done, _ = self.print(printer, expect=3)
        self.assertIn("61 x 44 mm", done.stderr)
        # The other size is that of the nearest labels that there are.
        self.assertIn("the nearest are roll-76x51 (labels of 76 x 51 mm)", done.stderr)
        self.assert_nothing_sent(printer)

    def test_a_dry_run_sends_and_writes_nothing(self):
        printer = BENCH.printer("dry", "roll-203")
        before = sorted(os.listdir(self.folder))
        done, _ = self.print(printer, "--only", "2-3", "--dry-run", "--nudge", "1,0")
        self.assertRegex(done.stdout, r"printer +ipp://localhost:\d+/ipp/print\n")
        self.assertRegex(done.stdout, r"layout +roll-54x25\n")
        self.assertRegex(done.stdout, r"medium +54 x 25 mm\n")
        self.assertRegex(done.stdout, r"image/pwg-raster, 4 pages at 203 dots an inch, black_1\n")
        self.assertRegex(done.stdout, r"stickers +2H 2M 3H 3M\n")
        self.assertEqual(sorted(os.listdir(self.folder)), before)
        self.assert_nothing_sent(printer)

    def test_a_job_is_written(self):
        printer = BENCH.printer("unused", "roll-203")
        without, asked = (os.path.join(self.folder, name) for name in ("a.pwg", "b.pwg"))
        self.loomtag("print", self.sample, "--layout", "roll-54x25", "-o", without)
        self.assertEqual(self.decoded(self.raster([without], 203, 54, 25)),
                         self.codes(self.tags_in_order()))
        self.print(printer, "-o", asked)
        self.assertEqual(common.data(asked), common.data(without))
        self.assert_nothing_sent(printer)
        self.assertEqual(self.register().splitlines()[2].split()[2], "HM")
        written = os.path.join(self.folder, "job.pdf")
        self.loomtag("print", self.sample, "--layout", "a4-3x8", "-o", written, "--only", "1-2")
        common.quiet("qpdf", "--check", written)
        self.assertEqual(sheet_codes(written, "a4-3x8", 300, self.folder),
                         [(place, code) for place, code in enumerate(
                             self.codes(["1H", "2H", "2M"]))])
        self.loomtag("print", self.sample, "-o", without, expect=2)
        self.loomtag("print", self.sample, "--layout", "roll-54x25", "-o",
                     os.path.join(self.folder, "job.png"), expect=2)

    def test_a_nudge_is_remembered(self):
        def ink(pages):
            """The left and upper ends of the ink of the first page."""
            width, height, pixels = pages[0].width, pages[0].height, pages[0].pixels()
            return (min(pixels[x::width].count(0) and x or (width if not pixels[x::width].count(0)
                                                           else x) for x in range(width)),
                    min(y for y in range(height) if 0 in pixels[y * width:(y + 1) * width]))
        _, plain = self.sent("--only", "1")
        done, moved = self.sent("--only", "1", "--nudge", "1,0.5")
        self.assertIn("remembered", done.stderr)
        done, recalled = self.sent("--only", "1")
        self.assertIn("as remembered", done.stderr)
        self.assertEqual([page.rows for page in recalled], [page.rows for page in moved])
        (x, y), (moved_x, moved_y) = ink(plain), ink(moved)
        self.assertAlmostEqual(moved_x - x, 1 / 25.4 * 203, delta=1)
        self.assertAlmostEqual(moved_y - y, 0.5 / 25.4 * 203, delta=1)
        # Another name is another printer.
        _, other = self.sent("--only", "1", "--printer", "the one in the van", "--nudge", "0,0")
        self.assertEqual([page.rows for page in other], [page.rows for page in plain])

    def test_the_ladder(self):
        done, documents = self.print_ladder(self.printer)
        pages = self.raster(documents, 203, 54, 25)
        payloads = [found for page in common.decode(self.pictures(pages)) for found in page]
        told = [int(number) for payload in payloads for number in re.findall(r"(\d+)", payload)]
        self.assertEqual(len(set(told)), len(told))
        self.assertLessEqual({3, 4, 5, 6}, set(told))
        self.assertIn("--smallest", done.stdout)

    def print_ladder(self, printer, *options):
        before = len(printer.documents())
        done = self.loomtag("print", "--ladder", "--to", printer.uri, *options)
        return done, printer.documents()[before:]

    def test_the_smallest_that_reads_is_kept(self):
        done = self.loomtag("print", "--smallest", "5", "--to", self.printer.uri)
        self.assertIn("--smallest 5", done.stderr)
        self.assertIn("smallest: 5", common.text(os.path.join(self.home, "loomtag",
                                                              "printers.yaml")))
        before = len(self.printer.documents())
        # There was room for four; what has none at five goes without, or as a smaller payload.
        done, pages = self.sent("--only", "2")
        self.assertIn("--smallest 5", done.stderr)
        for name in self.pictures(pages):
            self.assertGreaterEqual(module_dots(name), 5)
        self.assertEqual(len(self.printer.documents()), before + 1)
        _, pages = self.sent("--only", "2", "--printer", "another", "--smallest", "4")
        self.assertEqual({module_dots(name) for name in self.pictures(pages)}, {4})

    def test_a_printer_that_is_finer_than_the_layout(self):
        fine = printers.dressed(os.path.join(self.folder, "fine.conf"), "roll-203", {
            "printer-resolution-supported": "resolution 300dpi",
            "printer-resolution-default": "resolution 300dpi",
            "pwg-raster-document-resolution-supported": "resolution 300dpi"})
        printer = BENCH.printer("fine", fine)
        done, documents = self.print(printer)
        self.assertRegex(done.stderr, r"warning: .*203 dots.*300")
        self.assertEqual(self.decoded(self.raster(documents, 300, 54, 25)),
                         self.codes(self.tags_in_order()))
        self.assertEqual(self.job_of(printer)["printer-resolution"], "300dpi")

    def test_a_printer_of_grey_alone(self):
        grey = printers.dressed(os.path.join(self.folder, "grey.conf"), "roll-203", {
            "pwg-raster-document-type-supported": "keyword sgray_8"})
        printer = BENCH.printer("grey", grey)
        _, documents = self.print(printer, "--only", "1-2")
        pages = pwg.read(documents[0])
        self.assertEqual({(page.header["BitsPerPixel"], page.header["ColorSpace"])
                          for page in pages}, {(8, pwg.SGRAY)})
        self.assertEqual(self.decoded(pages), self.codes(["1H", "2H", "2M"]))
        self.assertEqual({value for page in pages for value in page.pixels()}, {0, 255})

    def test_a_label_that_the_printer_has_turned(self):
        turned = printers.dressed(os.path.join(self.folder, "turned.conf"), "roll-203", {
            "media-ready": "keyword om_turned_25x54mm", "media-default": "keyword "
            "om_turned_25x54mm", "media-supported": "keyword om_turned_25x54mm",
            "media-size-supported": "collection { MEMBER integer x-dimension 2500 MEMBER integer "
                                    "y-dimension 5400 }",
            "media-col-ready": "collection { MEMBER collection media-size { MEMBER integer "
                               "x-dimension 2500 MEMBER integer y-dimension 5400 } }"})
        printer = BENCH.printer("turned", turned)
        _, documents = self.print(printer, "--only", "1-2")
        pages = self.raster(documents, 203, 25, 54)
        self.assertEqual(self.decoded(pages), self.codes(["1H", "2H", "2M"]))
        self.assertEqual(self.job_of(printer)["media-col"],
                         "{media-size={x-dimension=2500 y-dimension=5400}}")
        _, straight = self.sent("--only", "1-2")
        for one, other in zip(pages, straight):
            self.assertEqual(turned_back((one.width, one.height, one.pixels())),
                             (other.width, other.height, other.pixels()))

    def test_a_password(self):
        line = BENCH.proxy(self.printer, "--password", "ann:secret")
        options = ("--only", "1", "--user", "ann")

        def attempt(word, expect):
            env = {} if word is None else {"LOOMTAG_PASSWORD": word}
            return self.print(self.printer, *options, to=line.uri, env=env, expect=expect)
        _, documents = attempt("secret", 0)
        self.assertEqual(self.decoded(self.raster(documents, 203, 54, 25)), self.codes(["1H"]))
        self.record().unlink(missing_ok=True)
        for word, said in (("wrong", 'does not take the password of user "ann"'),
                           (None, 'wants a password of user "ann", and none was given')):
            with self.subTest(word=word):
                done, documents = attempt(word, 4)
                self.assertEqual(documents, [])
                self.assertIn(said, done.stderr)
                self.assertFalse(self.record().exists())
        # There is no way to have it listed among the processes.
        done, documents = self.print(
            self.printer, to=line.uri.replace("//", "//ann:secret@"), expect=4)
        self.assertEqual(documents, [])
        self.assertIn("has a password in it", done.stderr)
        self.assertNotIn("secret", done.stderr + done.stdout)
        self.loomtag("print", self.sample, "--to", line.uri, "--password", "secret", expect=2)


@on_bench
class Tape(Case):
    """300 dots per inch, tape of 12 mm cut at 20 to 100 mm, a trimmer."""

    @classmethod
    def setUpClass(cls):
        cls.printer = BENCH.printer("tape", "tape-300")

    def back(self, page):
        """A page as it was drawn: what is across the head is the tape's width."""
        self.assertEqual((page.resolution, page.header["BitsPerPixel"], page.width),
                         ((300, 300), 1, dots(12, 300)))
        return turned_back((page.width, page.height, page.pixels()))

    def read(self, pages):
        """The scan codes of each page from left to right, which all stand upright: one, or one in
        each half."""
        found = []
        for number, page in enumerate(pages):
            path = os.path.join(self.folder, f"tape-{number}.pgm")
            whole = self.back(page)
            common.write_pgm(path, *whole)
            seen = symbols(path)
            if len(seen) == 2:
                seen = []
                for left in (0, whole[0] // 2):
                    half = pictures.crop(whole, left, 0, whole[0] // 2, whole[1])
                    common.write_pgm(path, *half)
                    seen += symbols(path)
            self.assertEqual({up for _, up in seen}, {"UP"})
            found.append(common.scan_codes([payload for payload, _ in seen]))
        return found

    def length(self, pages):
        return max(page.height for page in pages) / 300 * 25.4

    def assert_cut(self, printer, pages):
        """Cut after each page, on tape that is as long as the longest."""
        job = self.job_of(printer)
        self.assertEqual(job["finishings"], "trim-after-pages")
        size = re.fullmatch(r"\{media-size=\{x-dimension=1200 y-dimension=(\d+)\}\}",
                            job["media-col"])
        self.assertAlmostEqual(int(size[1]) / 100, self.length(pages), delta=25.4 / 300)

    def test_both_halves_of_a_number_come_out_together(self):
        size = ("collection { MEMBER collection media-size { MEMBER integer x-dimension 1200 "
                "MEMBER rangeOfInteger y-dimension 2000-50000 } }")
        longer = printers.dressed(os.path.join(self.folder, "longer.conf"), "tape-300", {
            "media-supported": "keyword custom_min_12x20mm,custom_max_12x500mm,"
                               "om_tape-12x40_12x40mm",
            "media-size-supported": "collection { MEMBER integer x-dimension 1200 "
                                    "MEMBER rangeOfInteger y-dimension 2000-50000 }",
            "media-col-ready": size, "media-col-database": size})
        printer = BENCH.printer("longer", longer)
        done, documents = self.print(printer, "--layout", "tape-12")
        pages = pwg.read(documents[0])
        self.assertEqual(self.read(pages), [self.codes(number) for number in self.numbers()])
        self.assert_cut(printer, pages)
        self.assertIn("done: 15 stickers of tape-12", done.stdout)

    def test_what_is_too_long_together_comes_out_apart(self):
        done, documents = self.print(self.printer, "--layout", "tape-12")
        pages = pwg.read(documents[0])
        self.assertEqual(self.read(pages), [[code] for code in self.codes(self.tags_in_order())])
        self.assertLessEqual(self.length(pages), 100 + 25.4 / 300)
        self.assert_cut(self.printer, pages)
        self.assertIn("done: 15 stickers of tape-12", done.stdout)

    def test_flags(self):
        _, documents = self.print(self.printer, "--layout", "tape-12-flag", "--only", "2-4")
        pages = pwg.read(documents[0])
        self.assertLessEqual(self.length(pages), 100 + 25.4 / 300)
        # A flag has two faces with the same code.
        codes = self.codes([f"{number}{side}" for number in (2, 3, 4) for side in "HM"])
        self.assertEqual([code for page in self.read(pages) for code in page],
                         [code for code in codes for _ in range(2)])
        self.assert_cut(self.printer, pages)

    def test_the_ladder(self):
        before = len(self.printer.documents())
        self.loomtag("print", "--ladder", "--layout", "tape-12", "--to", self.printer.uri)
        (document,) = self.printer.documents()[before:]
        pages = pwg.read(document)
        self.assertLessEqual(self.length(pages), 100 + 25.4 / 300)
        files = []
        for number, page in enumerate(pages):
            files.append(os.path.join(self.folder, f"ladder-{number}.pgm"))
            common.write_pgm(files[-1], *pictures.enlarge(self.back(page), 2))
        told = {int(number) for found in common.decode(files) for payload in found
                for number in re.findall(r"(\d+)", payload)}
        # Of five dots there is none on 12 mm: 29 modules are 12.3 mm.
        self.assertEqual(told, {2, 3, 4})
        self.assert_cut(self.printer, pages)

    def test_plates_and_flags_go_with_the_tape(self):
        done, documents = self.print(self.printer, expect=3)
        self.assertEqual(documents, [])
        for words in ("12 x 100 mm", "tape-12,", "tape-12-flag", "--layout"):
            self.assertIn(words, done.stderr)

    def test_a_tape_that_is_not_loaded(self):
        done, documents = self.print(self.printer, "--layout", "tape-18", expect=3)
        self.assertEqual(documents, [])
        self.assertIn("18 mm wide", done.stderr)
        self.assertIn("12 x 100 mm", done.stderr)


@on_bench
class Sheet(Case):
    """600 dots per inch, A4, PDF alone."""

    @classmethod
    def setUpClass(cls):
        cls.printer = BENCH.printer("sheet", "sheet-600")

    def sent(self, *options):
        done, (document,) = self.print(self.printer, "--layout", "a4-3x8", *options)
        common.quiet("qpdf", "--check", str(document))
        return done, sheet_codes(document, "a4-3x8", 600, self.folder)

    def test_a_sheet_arrives(self):
        done, found = self.sent()
        self.assertEqual(found, list(enumerate(self.codes(self.tags_in_order()))))
        self.assertIn("done: 15 stickers of a4-3x8", done.stdout)
        job = self.job_of(self.printer)
        self.assertEqual(job["media-col"], "{media-size={x-dimension=21000 y-dimension=29700}}")
        # Fitted into the printer's margins, labels would not be where the sheet has them.
        self.assertEqual(job["print-scaling"], "none")
        self.assertNotIn("finishings", job)
        self.assertEqual(self.printer.requests("Send-Document")[-1][1]["document-format"], PDF)

    def test_a_used_sheet(self):
        _, found = self.sent("--only", "1-3", "--start", "5", "--used", "7")
        # Counted from 0 here; both of a number are on one page, and the seventh is gone.
        self.assertEqual(found, list(zip((4, 5, 7, 8, 9), self.codes(
            ["1H", "2H", "2M", "3H", "3M"]))))

    def test_start_beyond_the_sheet(self):
        done, documents = self.print(self.printer, "--layout", "a4-3x8", "--start", "25", expect=2)
        self.assertEqual(documents, [])
        self.assertIn("24 labels", done.stderr)

    def test_a_sheet_printer_of_raster(self):
        both = printers.dressed(os.path.join(self.folder, "both.conf"), "sheet-600", {
            "document-format-supported": "mimeMediaType application/pdf,image/pwg-raster",
            "pwg-raster-document-resolution-supported": "resolution 300dpi,600dpi",
            "pwg-raster-document-sheet-back": "keyword normal",
            "pwg-raster-document-type-supported": "keyword sgray_8,black_1"})
        printer = BENCH.printer("both", both)
        _, documents = self.print(printer, "--layout", "a4-3x8")
        pages = self.raster(documents, 600, 210, 297)
        files = common.cut(self.pictures(pages)[0], 600, common.label_places("a4-3x8"),
                           self.folder)
        self.assertEqual([common.scan_codes(found) for found in common.decode(files)],
                         [[code] for code in self.codes(self.tags_in_order())])

    def test_a_job_in_raster_cannot_be_had(self):
        name = os.path.join(self.folder, "job.pwg")
        done, documents = self.print(self.printer, "--layout", "a4-3x8", "-o", name, expect=2)
        self.assertEqual(documents, [])
        self.assertFalse(os.path.exists(name))
        self.assertIn(".pdf", done.stderr)
        name = os.path.join(self.folder, "job.pdf")
        self.print(self.printer, "--layout", "a4-3x8", "-o", name, "--only", "1")
        self.assertEqual(sheet_codes(name, "a4-3x8", 600, self.folder),
                         [(0, self.codes(["1H"])[0])])

    def test_the_ladder(self):
        before = len(self.printer.documents())
        self.loomtag("print", "--ladder", "--layout", "a4-3x8", "--to", self.printer.uri)
        (document,) = self.printer.documents()[before:]
        (page,) = common.rasterise(document, 600, self.folder)
        told = {int(number) for payload in common.decode([page])[0]
                for number in re.findall(r"(\d+)", payload)}
        self.assertLessEqual({4, 5, 6, 7, 8}, told)


@on_bench
class Queues(Case):
    """A print server's queues, by their names; each brings its driver."""

    @classmethod
    def setUpClass(cls):
        server = printserver.PrintServer(BENCH)
        cls.raster_queue = server.queue("raster-queue", RASTER)
        cls.pdf_queue = server.queue("pdf-queue", PDF)

    @classmethod
    def tearDownClass(cls):
        BENCH.server = None

    def test_raster(self):
        done, documents = self.print(self.raster_queue, "--layout", "roll-54x25", "--copies", "2",
                                     to="raster-queue")
        pages = self.raster(documents, 203, 54, 25)
        self.assertEqual(self.decoded(pages), self.codes(
            [tag for number in self.numbers() for tag in number * 2]))
        self.assertIn("done: 30 stickers", done.stdout)
        self.assertFalse(self.record().exists())
        _, _, title, copies, options = self.raster_queue.arguments(documents[0])
        self.assertEqual((title, copies), ("WMH", "1"))
        self.assertRegex(options, r"PageSize=Label54x25|media=\S*54x25")

    def test_pdf(self):
        _, documents = self.print(self.pdf_queue, "--layout", "roll-54x25", "--only", "1-2",
                                  to="pdf-queue")
        pages = common.rasterise(documents[0], 203, self.folder)
        self.assertEqual([common.read_pgm(page)[:2] for page in pages],
                         [(dots(54, 203), dots(25, 203))] * 3)
        self.assertEqual([common.scan_codes(found) for found in common.decode(pages)],
                         [[code] for code in self.codes(["1H", "2H", "2M"])])
        self.assertEqual(self.pdf_queue.arguments(documents[0])[3], "1")

    def test_a_queue_does_not_know_what_is_loaded(self):
        done, documents = self.print(self.raster_queue, to="raster-queue", expect=3)
        self.assertEqual(documents, [])
        self.assertIn("--layout", done.stderr)


@on_bench
class Terminal(Case):
    """On a terminal of its own, which the program may ask for a password."""

    def setUp(self):
        super().setUp()
        self.printer = BENCH.printer(f"asking-{self._testMethodName}", "roll-203")
        line = BENCH.proxy(self.printer, "--password", "ann:secret")
        self.near, far = os.openpty()
        self.process = BENCH.start(
            ["setsid", "-c", "-w", common.PROGRAM, "print", self.sample, "--only", "1", "--to",
             line.uri, "--user", "ann"], stdin=far, stdout=far, stderr=far,
            env={"XDG_CONFIG_HOME": self.home})
        os.close(far)
        self.seen = b""

    def tearDown(self):
        os.close(self.near)

    def until(self, words):
        """Reads what the terminal shows until these words, or its end."""
        while words is None or words not in self.seen:
            ready = select.select([self.near], [], [], printers.DEADLINE)[0]
            self.assertTrue(ready, f"nothing more than {self.seen}")
            try:
                shown = os.read(self.near, 4096)
            except OSError:
                shown = b""
            if not shown:
                break
            self.seen += shown
        self.assertIn(words or b"", self.seen)

    def shows(self):
        return bool(termios.tcgetattr(self.near)[3] & termios.ECHO)

    def end(self):
        self.until(None)
        return self.process.wait(printers.DEADLINE)

    def test_a_password_is_typed(self):
        self.until(b"assword")
        self.assertFalse(self.shows())
        os.write(self.near, b"secret\n")
        self.assertEqual(self.end(), 0)
        self.assertIn(b"done: 1 sticker", self.seen)
        self.assertNotIn(b"secret", self.seen)
        self.assertEqual(len(self.printer.documents()), 1)

    def test_no_password_is_typed(self):
        self.until(b"assword")
        os.write(self.near, b"\3")
        self.until(b"\n")
        printers.wait_for("the echo", self.shows)
        self.assertEqual(self.end(), -signal.SIGINT)
        self.assertEqual(self.printer.documents(), [])


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


if __name__ == "__main__":
    unittest.main()
