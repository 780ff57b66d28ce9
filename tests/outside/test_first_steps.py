"""What verify says to somebody who has not printed yet, or has no scanner."""

import os
import shutil
import unittest

import common
from texts import said

HARNESS = """harness: RV3
connectors:
  - {id: X1, family: tab, ways: 3}
  - {id: X2, family: tab, ways: 2}
"""
PAPER = "harness: RV3\nconnectors: [{id: X1, tag: paper}]\n"


class FirstSteps(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.path = os.path.join(self.folder, "rv.yaml")
        self.describe(HARNESS)

    def tearDown(self):
        shutil.rmtree(self.folder)

    def describe(self, text):
        with open(self.path, "w", encoding="utf-8") as out:
            out.write(text)

    def hints_at_printing(self, *options, scans=os.devnull):
        """Whether verify says how to print, from a file and live on a pipe."""
        batch = common.run("verify", self.path, "--no-job", *options, scans, expect=1).stdout
        live = common.run("verify", self.path, "--no-job", *options, expect=1).stdout
        return tuple(f"loomtag stickers {self.path}" in " ".join(text.split())
                     for text in (batch, live))

    def test_nothing_is_printed_yet(self):
        self.assertEqual(self.hints_at_printing("--stage", "tag"), (True, True))
        self.assertEqual(self.hints_at_printing("--stage", "reconnect"), (False, False))
        common.run("stickers", self.path, "-o", os.path.join(self.folder, "s.pdf"), "--only", "1H")
        self.assertEqual(self.hints_at_printing("--stage", "tag"), (False, False))

    def test_nothing_has_to_be_printed(self):
        self.describe(PAPER)
        self.assertEqual(self.hints_at_printing("--stage", "tag"), (False, False))

    def test_a_typed_tag_says_what_typed_does(self):
        for options in ((), ("--stage", "tag")):
            done = common.run("verify", self.path, "--no-job", *options, "-", stdin="1H\n", expect=1)
            self.assertIn("--typed", done.stdout)
            done = common.run("verify", self.path, "--no-job", "--typed", *options, "-",
                              stdin="1H\n1M\n", expect=1)
            self.assertNotIn(said("lt_result_words", "no_scan"), done.stdout)
            self.assertNotIn("--typed", done.stdout)


if __name__ == "__main__":
    unittest.main()
