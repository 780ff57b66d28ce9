"""loomtag print to real printer programs and to queues of a real print server: tapes, sheets, and
what a queue's driver takes."""

import os
import re
import unittest

import common
import pictures
import printed
import printers
import printserver
import pwg

RASTER, PDF = "image/pwg-raster", "application/pdf"
setUpModule = printed.set_up
tearDownModule = printed.tear_down


@printed.on_bench
class Tape(printed.Case):
    """300 dots per inch, tape of 12 mm cut at 20 to 100 mm, a trimmer."""

    @classmethod
    def setUpClass(cls):
        cls.printer = printed.BENCH.printer("tape", "tape-300")

    def back(self, page):
        """A page as it was drawn: what is across the head is the tape's width."""
        self.assertEqual((page.resolution, page.header["BitsPerPixel"], page.width),
                         ((300, 300), 1, printed.dots(12, 300)))
        return printed.turned_back((page.width, page.height, page.pixels()))

    def read(self, pages):
        """The scan codes of each page from left to right, which all stand upright: one, or one in
        each half."""
        found = []
        for number, page in enumerate(pages):
            path = os.path.join(self.folder, f"tape-{number}.pgm")
            whole = self.back(page)
            common.write_pgm(path, *whole)
            seen = printed.symbols(path)
            if len(seen) == 2:
                seen = []
                for left in (0, whole[0] // 2):
                    half = pictures.crop(whole, left, 0, whole[0] // 2, whole[1])
                    common.write_pgm(path, *half)
                    seen += printed.symbols(path)
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
        printer = printed.BENCH.printer("longer", longer)
        done, documents = self.print(printer, "--layout", "tape-12")
        pages = pwg.read(documents[0])
        self.assertEqual(self.read(pages), [self.codes(number) for number in self.numbers()])
        self.assert_cut(printer, pages)
        self.assertRegex(done.stdout, printers.done(15, "tape-12"))

    def test_what_is_too_long_together_comes_out_apart(self):
        done, documents = self.print(self.printer, "--layout", "tape-12")
        pages = pwg.read(documents[0])
        self.assertEqual(self.read(pages), [[code] for code in self.codes(self.tags_in_order())])
        self.assertLessEqual(self.length(pages), 100 + 25.4 / 300)
        self.assert_cut(self.printer, pages)
        self.assertRegex(done.stdout, printers.done(15, "tape-12"))

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

    def test_a_tape_printer_of_pdf(self):
        dress = printers.dressed(os.path.join(self.folder, "pdf.conf"), "tape-300", {
            "document-format-default": f"mimeMediaType {PDF}",
            "document-format-supported": f"mimeMediaType {PDF}",
            "pwg-raster-document-resolution-supported": None,
            "pwg-raster-document-sheet-back": None, "pwg-raster-document-type-supported": None})
        printer = printed.BENCH.printer("tape-pdf", dress)
        _, documents = self.print(printer, "--layout", "tape-12", "--only", "1-2")
        found = []
        for path in common.rasterise(documents[0], 300, self.folder):
            width, height, pixels = common.read_pgm(path)
            self.assertEqual(width, printed.dots(12, 300))
            self.assertLessEqual(height, printed.dots(100, 300) + 1)
            whole = printed.turned_back((width, height, pixels))
            halves = (0, whole[0] // 2)
            common.write_pgm(path, *whole)
            seen = printed.symbols(path)
            if len(seen) == 2:
                seen = []
                for left in halves:
                    common.write_pgm(path, *pictures.crop(whole, left, 0, halves[1],
                                                          whole[1]))
                    seen += printed.symbols(path)
            self.assertEqual({up for _, up in seen}, {"UP"})
            found += common.scan_codes([payload for payload, _ in seen])
        self.assertEqual(found, self.codes(["1H", "2H", "2M"]))
        self.assertRegex(self.job_of(printer)["media-col"], "x-dimension=1200 ")

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


@printed.on_bench
class Sheet(printed.Case):
    """600 dots per inch, A4, PDF alone."""

    @classmethod
    def setUpClass(cls):
        cls.printer = printed.BENCH.printer("sheet", "sheet-600")

    def sent(self, *options):
        done, (document,) = self.print(self.printer, "--layout", "a4-3x8", *options)
        common.quiet("qpdf", "--check", str(document))
        return done, printed.sheet_codes(document, "a4-3x8", 600, self.folder)

    def test_a_sheet_arrives(self):
        done, found = self.sent()
        self.assertEqual(found, list(enumerate(self.codes(self.tags_in_order()))))
        self.assertRegex(done.stdout, printers.done(15, "a4-3x8"))
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
        printer = printed.BENCH.printer("both", both)
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
        self.assertEqual(printed.sheet_codes(name, "a4-3x8", 600, self.folder),
                         [(0, self.codes(["1H"])[0])])

    def test_the_ladder(self):
        before = len(self.printer.documents())
        self.loomtag("print", "--ladder", "--layout", "a4-3x8", "--to", self.printer.uri)
        (document,) = self.printer.documents()[before:]
        (page,) = common.rasterise(document, 600, self.folder)
        told = {int(number) for payload in common.decode([page])[0]
                for number in re.findall(r"(\d+)", payload)}
        self.assertLessEqual({4, 5, 6, 7, 8}, told)


@printed.on_bench
class Queues(printed.Case):
    """A print server's queues, by their names; each brings its driver."""

    @classmethod
    def setUpClass(cls):
        server = printserver.PrintServer(printed.BENCH)
        cls.raster_queue = server.queue("raster-queue", RASTER)
        cls.pdf_queue = server.queue("pdf-queue", PDF)

    @classmethod
    def tearDownClass(cls):
        printed.BENCH.server = None

    def test_raster(self):
        done, documents = self.print(self.raster_queue, "--layout", "roll-54x25", "--copies", "2",
                                     to="raster-queue")
        pages = self.raster(documents, 203, 54, 25)
        self.assertEqual(self.decoded(pages), self.codes(
            [tag for number in self.numbers() for tag in number * 2]))
        self.assertRegex(done.stdout, printers.done(30))
        self.assertFalse(self.record().exists())
        _, _, title, copies, options = self.raster_queue.arguments(documents[0])
        self.assertEqual((title, copies), ("WMH", "1"))
        self.assertRegex(options, r"PageSize=Label54x25|media=\S*54x25")

    def test_pdf(self):
        _, documents = self.print(self.pdf_queue, "--layout", "roll-54x25", "--only", "1-2",
                                  to="pdf-queue")
        pages = common.rasterise(documents[0], 203, self.folder)
        self.assertEqual([common.read_pgm(page)[:2] for page in pages],
                         [(printed.dots(54, 203), printed.dots(25, 203))] * 3)
        self.assertEqual([common.scan_codes(found) for found in common.decode(pages)],
                         [[code] for code in self.codes(["1H", "2H", "2M"])])
        self.assertEqual(self.pdf_queue.arguments(documents[0])[3], "1")

    def test_a_queue_does_not_know_what_is_loaded(self):
        done, documents = self.print(self.raster_queue, to="raster-queue", expect=3)
        self.assertEqual(documents, [])
        self.assertIn("--layout", done.stderr)


if __name__ == "__main__":
    unittest.main()
