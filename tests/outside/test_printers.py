"""loomtag printers, against real printer programs and a real print server."""

import json
import os
import unittest

import common
import printers
import printserver
from texts import said

LABEL = "om_label-54x25_54x25mm"
RASTER, PDF = "image/pwg-raster", "application/pdf"
REFUSED = printers.refused()


@unittest.skipIf(REFUSED, REFUSED)
class Listed(unittest.TestCase):
    def setUp(self):
        self.bench = printers.Bench(os.path.join(common.workdir(), "bench"))
        self.addCleanup(self.bench.close)

    def loomtag(self, *arguments):
        done = self.bench.run([common.PROGRAM, *arguments], expect=0)
        self.assertNotIn("Sanitizer", done.stderr)
        self.assertEqual(done.stderr, "")
        return done.stdout

    def listed(self):
        found = json.loads(self.loomtag("printers", "--json"))["printers"]
        self.assertEqual([printer["name"] for printer in found],
                         sorted(printer["name"] for printer in found))
        return {printer["name"]: printer for printer in found}

    def test_none_is_said_and_no_error(self):
        self.assertIn(said("lt_printers_words", "none_found"), self.loomtag("printers"))
        self.assertEqual(self.listed(), {})

    def test_printers_on_the_network(self):
        self.bench.printer("Bench roll", "roll-203")
        self.bench.printer("tape", "tape-300")
        self.bench.printer("sheet", "sheet-600")
        empty = self.bench.printer("empty", "roll-203")
        empty.load(LABEL, "labels", 0)
        self.bench.advertised("Bench roll", "tape", "sheet", "empty")
        found = self.listed()
        self.assertEqual(set(found), {"Bench roll", "tape", "sheet", "empty"})
        for printer in found.values():
            self.assertTrue(printer["answers"], printer)
            self.assertFalse(printer["queue"])
            self.assertEqual((printer["state"], printer["error"]), ("ready", None))
        roll = found["Bench roll"]
        self.assertEqual(roll["loaded"], [{"name": LABEL, "width": 54, "height": 25}])
        self.assertEqual((roll["resolutions"], roll["formats"]), ([203], [RASTER]))
        self.assertEqual(found["tape"]["resolutions"], [300])
        self.assertEqual({medium["width"] for medium in found["tape"]["loaded"]}, {12})
        self.assertEqual((found["sheet"]["resolutions"], found["sheet"]["formats"]), ([600], [PDF]))
        self.assertEqual([(medium["width"], medium["height"])
                          for medium in found["sheet"]["loaded"]], [(210, 297)])
        self.assertEqual(found["empty"]["reasons"], ["media-empty-report"])
        why = said("lt_printer_reason_words", "media_empty")
        self.assertEqual(found["empty"]["why"], [why])
        listing = self.loomtag("printers")
        for field, value in (("loaded", "54 x 25 mm"), ("reasons", why),
                             ("state", said("lt_printers_words", "ready")),
                             ("resolutions", "600 dpi"),
                             ("formats", said("lt_printers_words", "pdf"))):
            self.assertIn(f"\n  {said('lt_printers_words', field)}: {value}\n", listing)

    def test_queues(self):
        server = printserver.PrintServer(self.bench)
        server.queue("raster-queue", RASTER)
        server.queue("pdf-queue", PDF)
        found = self.listed()
        self.assertEqual(set(found), {"raster-queue", "pdf-queue"})
        for name, form in (("raster-queue", RASTER), ("pdf-queue", PDF)):
            self.assertTrue(found[name]["queue"])
            self.assertEqual(found[name]["formats"], [form])
            self.assertTrue(found[name]["uri"].endswith("/printers/" + name), found[name])

    def test_a_queue_and_a_printer_of_one_name(self):
        server = printserver.PrintServer(self.bench)
        server.queue("Twice", PDF)
        self.bench.printer("Twice", "roll-203")
        self.bench.advertised("Twice")
        found = json.loads(self.loomtag("printers", "--json"))["printers"]
        self.assertEqual([(printer["name"], printer["queue"], printer["formats"])
                          for printer in found],
                         [("Twice", True, [PDF]), ("Twice", False, [RASTER])])


if __name__ == "__main__":
    unittest.main()
