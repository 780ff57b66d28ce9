"""Label layouts: the list, one of them, and the faults of one's own."""

import glob
import json
import os
import tempfile
import unittest

import common

SHIPPED = sorted(os.path.basename(path)[:-5]
                 for path in glob.glob(os.path.join(common.ROOT, "layouts", "*.yaml")))


class Layouts(unittest.TestCase):
    def test_all_are_listed(self):
        lines = common.run("layouts").stdout.splitlines()
        self.assertEqual([line.split()[0] for line in lines[1:]], SHIPPED)
        self.assertTrue(all(len(line) <= 80 for line in lines))
        listed = json.loads(common.run("layouts", "--json").stdout)
        self.assertEqual([entry["name"] for entry in listed], SHIPPED)
        for entry in listed:
            self.assertEqual(entry["bundle"]["most"] is None,
                             entry["style"] == "plate" or
                             (entry["style"], entry["kind"]) == ("flag", "tape"))

    def test_one_is_shown(self):
        for name in SHIPPED:
            shown = common.run("layouts", name).stdout
            self.assertTrue(shown.startswith(name + ": "))
            one, = json.loads(common.run("layouts", name, "--json").stdout)
            self.assertEqual(one["name"], name)
            for size in (one["label"]["width"], one["label"]["height"], one["inset"]):
                if size is not None:
                    self.assertIn(f"{size:g}", shown)
        common.run("layouts", "a4-3x8", "a4-5x13", expect=2)
        self.assertIn("a4-3x8", common.run("layouts", "a4-3x9", expect=3).stderr)

    def test_faults_are_found(self):
        for name in SHIPPED:
            common.run("layouts", "--check", os.path.join(common.ROOT, "layouts",
                                                          name + ".yaml"))
        common.run("layouts", "--check", expect=2)
        with tempfile.TemporaryDirectory() as folder:
            missing = os.path.join(folder, "missing.yaml")
            bad = os.path.join(folder, "bad.yaml")
            with open(bad, "w", encoding="utf-8") as out:
                out.write("layout: bad\nkind: roll\nlabel: 30 x 15 mm\ngab: 3 mm\ndpi: 20\n"
                          "inset: 1 mm\n")
            said = common.run("layouts", "--check", bad, expect=1)
            self.assertIn(f"{bad}:4:1: error:", said.stderr)
            self.assertIn("did you mean gap?", said.stderr)
            self.assertIn(f"{bad}:5:6: error:", said.stderr)
            self.assertIn("3 errors, 0 warnings", said.stdout)
            found = json.loads(common.run("layouts", "--check", "--json", bad, expect=1).stdout)
            self.assertFalse(found["ok"])
            self.assertEqual(sorted(fault["line"] for fault in found["diagnostics"]), [1, 4, 5])
            common.run("layouts", "--check", missing, expect=3)
            common.run("layouts", "--check", bad, missing, expect=3)


if __name__ == "__main__":
    unittest.main()
