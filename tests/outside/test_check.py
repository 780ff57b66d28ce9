"""What check says of look-alikes is so for each two that it names."""

import json
import os
import shutil
import unittest

import common

FAMILY = "harness: RV3\nconnectors:\n"


class Check(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()

    def tearDown(self):
        shutil.rmtree(self.folder)

    def said(self, *keys):
        """The sentence on look-alikes, and the groups of the JSON document."""
        path = os.path.join(self.folder, "alike.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write(FAMILY)
            for number, key in enumerate(keys, 1):
                out.write(f"  - {{id: X{number}, family: f{', key: ' + key if key else ''}}}\n")
        document = json.loads(common.run("check", path, "--json").stdout)
        sentences = [each["message"] for each in document["diagnostics"]
                     if each["message"].startswith("look-alikes")]
        self.assertEqual(len(sentences), 1)
        return sentences[0], document["look_alikes"]

    def test_each_with_every_other(self):
        sentence, groups = self.said("A", "A", "")
        self.assertIn("X1, X2, X3: each ", sentence)
        self.assertEqual(groups, [["X1", "X2", "X3"]])

    def test_not_each_with_every_other(self):
        sentence, groups = self.said("A", "", "B")
        self.assertTrue(sentence.endswith(": X1 with X2; X2 with X1, X3; X3 with X2"), sentence)
        self.assertEqual(groups, [["X1", "X2", "X3"]])

    def notes(self, register):
        """Notes on numbers that are marked on a look-alike, with the register that there is."""
        path = os.path.join(self.folder, "marked.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write(FAMILY + "  - {id: X1, family: f}\n  - {id: X2, family: f}\n"
                      "  - {id: X3, family: 9}\n  - {id: K5, family: 8, port: P3}\n")
        with open(os.path.join(self.folder, "marked.tags"), "w", encoding="utf-8") as out:
            out.write("loomtag register 1 RV3\n" + register)
        document = json.loads(common.run("check", path, "--json").stdout)
        self.assertTrue(document["ok"])
        return [(each["line"], each["message"]) for each in document["diagnostics"]
                if each["severity"] == "note" and "marked with" in each["message"]]

    def test_registered_number_that_a_look_alike_is_marked_with(self):
        self.assertEqual(self.notes(""), [])
        # X3 and K5 are no look-alikes of the others, so that their numbers mislead nobody.
        self.assertEqual(self.notes("1 X1 HM\n2 X2 -\n3 K5 HM\n5 X3 HM\n"), [])
        (line, message), = self.notes("1 X2 HM\n2 X1 -\n")
        self.assertEqual(line, 3)
        self.assertIn("2 joints ", message)
        self.assertTrue(message.endswith(": X1 has 2 (marked on X2), X2 has 1 (marked on X1)"), message)
        (line, message), = self.notes("1 X2 HM\n")
        self.assertEqual(line, 4)
        self.assertTrue(message.endswith(": X2 has 1 (marked on X1)"), message)

    def diagnostics(self, *connectors):
        path = os.path.join(self.folder, "families.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write(FAMILY + "".join(f"  - {each}\n" for each in connectors))
        document = json.loads(common.run("check", path, "--json").stdout)
        return document["diagnostics"], document["look_alikes"]

    def near(self, *connectors):
        found, groups = self.diagnostics(*connectors)
        return [(each["line"], each["severity"], each["message"]) for each in found
                if "nearly" in each["message"]], groups

    def test_a_misspelt_family(self):
        misspelt = ("{id: A, family: M12 round}", "{id: B, family: Round-M 12}",
                    "{id: C, family: M12 ronud}")
        (warned,), groups = self.near(*misspelt)
        self.assertEqual(warned[:2], (5, "warning"))
        for named in ('"M12 round" at A', '"M12 ronud" at C'):
            self.assertIn(named, warned[2])
        self.assertNotIn("Round-M", warned[2])
        self.assertEqual(groups, [["A", "B", "C"]])
        asked = self.near(*misspelt[:2], "{id: C, family: M12 ronud, unlike: [A]}")[0]
        self.assertEqual(len(asked), 1)
        self.assertEqual(self.near(*misspelt[:2], "{id: C, family: M12 ronud, unlike: [B, A]}"),
                         ([], [["A", "B"]]))
        self.assertEqual(self.near("{id: A, family: M12 round}", "{id: B, family: M8 round}"),
                         ([], []))

    def test_long_families(self):
        words = " ".join(f"w{chr(97 + i % 26)}{chr(97 + i // 26)}" for i in range(124))
        self.assertLessEqual(len(words), 500)
        (warned,), groups = self.near(f"{{id: A, family: {words}}}",
                                      f"{{id: B, family: {words[:-1]}y}}")
        self.assertEqual(warned[0], 4)
        self.assertEqual(groups, [["A", "B"]])

    def test_fewer_ways_of_the_same_family(self):
        def noted(*connectors):
            return [(each["line"], each["hint"]) for each in self.diagnostics(*connectors)[0]
                    if each["severity"] == "note" and "ways: " in each["message"]]
        wide = "{id: A, family: tab, ways: 5}"
        (line, hint), = noted(wide, "{id: B, family: tab, ways: 3}")
        self.assertEqual(line, 4)
        self.assertIn("fits: [A] at B", hint)
        self.assertEqual(noted(wide, "{id: B, family: tab, ways: 3, fits: [A]}"), [])
        self.assertEqual(noted(wide, "{id: B, family: tab, ways: 3, unlike: [A]}"), [])
        self.assertEqual(noted(wide, "{id: B, family: lug, ways: 3}"), [])


if __name__ == "__main__":
    unittest.main()
