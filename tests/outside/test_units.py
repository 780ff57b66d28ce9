"""The unit that stickers were printed for: asked for where it is missing, and never changed unseen."""

import json
import os
import shutil
import unittest

import common
from texts import said

HARNESS = """harness: RV3
{unit}connectors:
  - {{id: X1, name: motor power, family: tab, ways: 3, mates: M1}}
  - {{id: X2, name: sensor, family: tab, ways: 2, mates: M1}}
components:
  - id: M1
    name: vent motor
"""


class Units(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.path = os.path.join(self.folder, "rv.yaml")
        self.tags = os.path.join(self.folder, "rv.tags")
        self.out = os.path.join(self.folder, "out.pdf")

    def tearDown(self):
        shutil.rmtree(self.folder)

    def describe(self, unit):
        with open(self.path, "w", encoding="utf-8") as out:
            out.write(HARNESS.format(unit=f"unit: {unit}\n" if unit else ""))

    def printed(self, unit):
        """Stickers of both joints, printed for this unit."""
        self.describe(unit)
        if os.path.exists(self.tags):
            os.remove(self.tags)
        common.run("stickers", self.path, "-o", self.out)
        return common.text(self.tags)

    def test_a_changed_unit_stops_every_command(self):
        for before, after in ((None, "7"), ("7", None), ("7", "8"), ("own", "7"), ("7", "own")):
            kept = self.printed(before)
            self.describe(after)
            os.remove(self.out)
            for command, *more in (("check",), ("tags",), ("stickers", "-o", self.out),
                                   ("map", "-o", self.out), ("checklist", "-o", self.out),
                                   ("verify", "--no-job", os.devnull)):
                with self.subTest(before=before, after=after, command=command):
                    done = common.run(command, self.path, *more, expect=None)
                    self.assertEqual(done.returncode, 1 if command == "check" else 3)
                    self.assertRegex(done.stderr, r"rv\.yaml:[12]:\d+: error: unit: .*\b4\b")
                    self.assertIn("--new-stickers", done.stderr)
            self.assertEqual(common.text(self.tags), kept)
            self.assertFalse(os.path.exists(self.out))

    def test_new_stickers(self):
        self.printed("7")
        self.describe("8")
        done = common.run("tags", self.path, "--new-stickers")
        self.assertRegex(done.stderr, r"rv\.yaml:2:\d+: warning: 4 ")
        self.assertEqual(common.text(self.tags),
                         "loomtag register 2 RV3 unit 8\n1 X1 HM\n2 X2 HM\n")
        common.run("stickers", self.path, "-o", self.out)
        self.assertIn("1 X1 HM\n", common.text(self.tags))
        self.assertEqual(json.loads(common.run("tags", self.path, "--json").stdout)["code"], "RV3U8")

    def test_a_unit_that_comes_back_still_has_its_stickers(self):
        """Those of unit 7 are on the machine all the time: M is on the old part."""
        self.printed("7")
        codes = [code for tag in common.tags(self.path)["tags"] for code in tag["codes"].values()]
        for unit in ("8", "7"):
            self.describe(unit)
            self.assertEqual(common.run("tags", self.path, expect=3).stdout, "")
            common.run("tags", self.path, "--new-stickers")
        scans = "".join(code + "\n" for code in codes)
        common.run("verify", self.path, "--no-job", "-", stdin=scans)
        with open(self.path, "a", encoding="utf-8") as out:
            out.write("    fate: replace\n")
        done = common.run("verify", self.path, "--no-job", "-", stdin=scans, expect=1)
        self.assertEqual(done.stdout.count("old-part"), 2)

    def test_a_numbered_older_register_takes_the_unit(self):
        with open(self.tags, "w", encoding="utf-8") as out:
            out.write("loomtag register 1 RV3\n1 X1 HM\n2 X2 HM\n")
        self.describe("7")
        for command in (("check",), ("map", "-o", self.out), ("verify", "--no-job", os.devnull)):
            done = common.run(*command[:1], self.path, *command[1:], expect=None)
            self.assertNotIn("numbers", done.stderr)
        self.assertTrue(common.text(self.tags).startswith("loomtag register 1 RV3\n"))
        common.run("tags", self.path)
        self.assertEqual(common.text(self.tags),
                         "loomtag register 2 RV3 unit 7\n1 X1 HM\n2 X2 HM\n")
        self.describe("8")
        common.run("tags", self.path, expect=3)

    def test_an_option_is_for_a_like_module(self):
        kept = self.printed("7")
        common.run("stickers", self.path, "-o", self.out, "--unit", "9")
        self.assertEqual(common.text(self.tags), kept)

    def test_an_older_register_is_of_any_unit(self):
        with open(self.tags, "w", encoding="utf-8") as out:
            out.write("loomtag register 1 RV3\n1 X1 HM\n")
        self.describe("7")
        common.run("check", self.path)
        self.assertTrue(common.text(self.tags).startswith("loomtag register 1 RV3\n"))
        common.run("tags", self.path)
        self.assertEqual(common.text(self.tags),
                         "loomtag register 2 RV3 unit 7\n1 X1 HM\n2 X2 -\n")

    def asked_for(self):
        """Whether anything says that no unit is given."""
        pages = os.path.join(self.folder, "pages")
        shutil.rmtree(pages, ignore_errors=True)
        texts = [common.run("stickers", self.path, "-o", self.out).stdout,
                 common.run("verify", self.path, "--no-job", os.devnull, expect=1).stdout,
                 common.run("verify", self.path, "--no-job", expect=1).stdout]
        common.run("map", self.path, "--pages", pages)
        texts.append(common.text(os.path.join(pages, "RV3", "index.html")))
        facts = (said("lt_sticker_run_words", "no_unit"), said("lt_result_words", "no_unit"),
                 said("lt_site_words", "no_unit"))
        return [any(fact in text for fact in facts) for text in texts]

    def test_a_unit_is_asked_for_unless_the_code_is_its_own(self):
        self.describe(None)
        self.assertEqual(self.asked_for(), [True] * 4)
        os.remove(self.tags)
        self.describe("own")
        self.assertEqual(self.asked_for(), [False] * 4)

    def test_a_faulty_unit(self):
        for unit in ("Own", "ow", "4 2", "-1", '""'):
            self.describe(unit)
            done = common.run("check", self.path, expect=1)
            self.assertRegex(done.stderr, r"rv\.yaml:2:7: error: unit: ")


if __name__ == "__main__":
    unittest.main()
