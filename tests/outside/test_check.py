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


if __name__ == "__main__":
    unittest.main()
