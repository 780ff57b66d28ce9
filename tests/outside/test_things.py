"""Things that come off, with what they need said at the step: on every paper, page and screen."""

import os
import re
import shutil
import unittest

import common

HARNESS = """harness: KC1
unit: own
connectors:
  - {id: CV1, kind: cover, name: left cover, after: [H1], caution: sharp edge}
  - {id: S1, kind: screw, name: cover screws, count: 6, size: 4 x 16 mm, tool: T20,
     torque: 1.2 N m, cup: C3, after: [CV1]}
  - {id: H1, kind: hose, name: seal air, family: 8 mm push-in, mates: V1, cap: yes}
"""
NEEDS = ("6 pieces", "4 x 16 mm", "T20", "1.2 N m", "cup C3")


class Things(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = common.workdir()
        cls.path = os.path.join(cls.folder, "kc.yaml")
        with open(cls.path, "w", encoding="utf-8") as out:
            out.write(HARNESS)
        common.run("stickers", cls.path, "-o", os.path.join(cls.folder, "s.pdf"))

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    def test_one_sticker_for_a_thing(self):
        self.assertEqual(common.text(os.path.join(self.folder, "kc.tags")).splitlines()[1:],
                         ["1 CV1 H", "2 S1 H", "3 H1 HM"])

    def test_checklist(self):
        text = common.run("checklist", self.path, "-o", "-").stdout
        one, two = text.split("Part 2: ")
        for part in (one, two):
            cover, screws, hose = (re.search(rf"(?s)\({name}, .*?(?=\n\n)", part)[0]
                                   for name in ("CV1", "S1", "H1"))
            self.assertRegex(cover, r"caution +! sharp edge")
            for need in NEEDS:
                self.assertIn(need, " ".join(screws.split()))
            self.assertIn("cap", hose)
        # The caution is read before anything of the step.
        self.assertLess(two.index("sharp edge"), two.index("check that it is ticked"))

    def test_pages(self):
        pages = os.path.join(self.folder, "pages")
        common.run("map", self.path, "--pages", pages)
        found = {}
        for name in os.listdir(pages):
            index = os.path.join(pages, name, "index.html")
            if os.path.exists(index):
                found[name[:2]] = common.text(index)
        self.assertIn("<strong>sharp edge</strong>", found["1H"])
        for need in NEEDS:
            self.assertIn(need, found["2H"])
        self.assertRegex(found["3H"], "<dt>Cap</dt>")

    def next_at(self, stage):
        """What the live screen shows of the first joint of a stage."""
        text = common.run("verify", self.path, "--no-job", "--stage", stage, expect=1).stdout
        return " ".join(re.search(r"(?s)NEXT(.*?)KC1, stage", text)[1].split())

    def test_screen(self):
        first = self.next_at("unplug")
        for need in NEEDS:
            self.assertIn(need, first)
        self.assertIn("remove the caps", self.next_at("reconnect"))

    def test_order_of_unplugging_and_reconnecting(self):
        scans = "".join(f"{tag}\n" for tag in ("1H", "3H", "3M", "1H", "2H"))
        done = common.run("verify", self.path, "--no-job", "--typed", "-", stdin=scans)
        self.assertIn("out-of-order", done.stdout)
        self.assertTrue(done.stdout.splitlines()[-1].startswith("yes"))


if __name__ == "__main__":
    unittest.main()
