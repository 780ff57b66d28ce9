"""Words of a description that are whole scan codes themselves: what is printed is read as its own
sticker all the same, and check tells of them."""

import json
import os
import re
import shutil
import unittest

import common

# "2HP500" and "3MRV38" end in their check characters, "2HP501" does not.
TEXT = """harness: RV3
components:
  - {id: M1, name: pump 2HP500, fate: replace}
  - {id: B4, name: 2hp500}
connectors:
  - id: X1
    name: pump 2HP500
    mates: M1
    port: PWR
    place: behind 3MRV38 (left)
    family: a
  - {id: X2, name: spare 2HP501, mates: B4, family: b}
  - {id: X3, name: 2HP500, family: c, tag: paper}
  - {id: C1, name: cover, kind: clip, sides: 1}
"""


class PayloadWords(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.path = os.path.join(self.folder, "rv.yaml")
        for word, right in (("2HP500", True), ("3MRV38", True), ("2HP501", False)):
            self.assertEqual(common.check_character(word[:-1]) == word[-1], right)
        with open(self.path, "w", encoding="utf-8") as out:
            out.write(TEXT)

    def tearDown(self):
        shutil.rmtree(self.folder)

    def test_check_tells_of_them_at_their_place(self):
        said = common.run("check", self.path).stderr
        places = re.findall(r"rv\.yaml:(\d+:\d+): warning: (\w+ \w+): its (\w+) contains \"(\S+)\"",
                            said)
        self.assertEqual(places, [("3:20", "component M1", "name", "2HP500"),
                                  ("4:20", "component B4", "name", "2hp500"),
                                  ("7:11", "connector X1", "name", "2HP500"),
                                  ("10:12", "connector X1", "place", "3MRV38")])
        self.assertIn('"2 HP500"', said)
        warnings = [each for each in json.loads(common.run("check", self.path, "--json").stdout)
                    ["diagnostics"] if "scan code" in each["message"]]
        self.assertEqual([each["line"] for each in warnings], [3, 4, 7, 10])

    def payloads(self, *options):
        """What zbar reads on the stickers, by scan code."""
        pdf = os.path.join(self.folder, "out.pdf")
        said = common.run("stickers", self.path, "-o", pdf, *options).stdout
        labels = []
        for page in common.rasterise(pdf, 300, self.folder):
            labels += common.cut(page, 300, common.label_places("a4-3x8"), self.folder)
        found = [common.decode_text(label) for label in labels]
        return said, {payload.split(" ")[0].split("/")[-1]: payload for payload in found}

    def verify(self, payloads):
        """The verdicts on H and M of each joint, in the order of the numbers."""
        listing = common.tags(self.path)
        scans = [payloads.get(code, code[:-len("RV3") - 1]) for tag in listing["tags"]
                 for side, code in tag["codes"].items() if side != "X"]
        done = common.run("verify", self.path, "-", "--json", stdin="\n".join(scans) + "\n",
                          expect=None)
        return json.loads(done.stdout), done.returncode

    def test_what_is_printed_reads_back(self):
        for options, kind in ((("--payload", "facts"), "facts"), ((), "facts"),
                              (("--base", "http://h/2HP500"), "link"),
                              (("--payload", "code"), "code")):
            with self.subTest(options=options):
                said, payloads = self.payloads(*options)
                self.assertRegex(said, f"QR codes: {kind}\n")
                wanted = [code for tag in common.tags(self.path)["tags"]
                          if tag["connector"] != "X3" for code in tag["codes"].values()]
                self.assertEqual(sorted(payloads), sorted(wanted))
                result, code = self.verify(payloads)
                verdicts = {event["verdict"] for event in result["events"]}
                self.assertNotIn("misread", verdicts)
                self.assertTrue(result["ok"], result)
                self.assertEqual(code, 0)
                if kind == "facts":
                    facts = [text for code, text in payloads.items() if code[1] == "H"]
                    self.assertIn("X1 pump 2 HP500 to M1 pump 2 HP500 PWR; behind 3 MRV38 (left)",
                                  "\n".join(facts))
                    self.assertIn("X2 spare 2HP501 to B4 2 hp500", "\n".join(facts))


if __name__ == "__main__":
    unittest.main()
