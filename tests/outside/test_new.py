"""Descriptions to start from: what new and quick write is right, and so are the examples in it."""

import json
import os
import re
import shutil
import unittest

import common


def uncommented(text):
    """The description with each example in it, and a value behind each empty key."""
    head, rest = re.split("(?m)^(?=harness:)", text)
    lines = head.splitlines()
    for line in rest.splitlines():
        example = re.match(r"# (\w+:|  ( *- |  +)\S)", line)
        line = line[2:] if example else line
        line = re.sub(r"^    # (name|place|orient|lock|seat|port):$", r"    \1: some", line)
        line = re.sub(r"^    # mates:$", "    mates: M1", line)
        line = re.sub(r"^    # moulding:$", "    moulding: A", line)
        lines.append(re.sub(r"^    # wires:$", "    wires: {1: BN, 2: BU}", line))
    return "\n".join(lines) + "\n"


class New(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()

    def tearDown(self):
        shutil.rmtree(self.folder)

    def checked(self, path):
        return json.loads(common.run("check", path, "--json").stdout)

    def write(self, text):
        path = os.path.join(self.folder, "filled.yaml")
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        return path

    def test_a_description_to_fill_in(self):
        done = common.run("new", "roof-vent", "3", cwd=self.folder)
        path = os.path.join(self.folder, "roof-vent.yaml")
        self.assertIn("roof-vent.yaml", done.stdout)
        document = self.checked(path)
        self.assertEqual(document["lacking"], {"family": 3, "place": 3, "orient": 3, "lock": 3})
        listed = json.loads(common.run("tags", path, "--json").stdout)
        self.assertEqual((listed["code"], [tag["connector"] for tag in listed["tags"]]),
                         ("ROOFVENT", ["X1", "X2", "X3"]))

    def test_the_examples_are_right(self):
        common.run("new", "roof-vent", "1", cwd=self.folder)
        text = uncommented(common.text(os.path.join(self.folder, "roof-vent.yaml")))
        for key in ("title", "unit", "revision", "hazards", "mouldings", "components", "finish"):
            self.assertRegex(text, rf"(?m)^{key}:")
        document = self.checked(self.write(text))
        self.assertEqual(document["diagnostics"], [])
        self.assertEqual(set(document["lacking"].values()), {0})

    def test_those_of_quick_too(self):
        common.run("quick", "1", "-o", "job", cwd=self.folder)
        job = os.path.join(self.folder, "job")
        path, = (os.path.join(job, name) for name in os.listdir(job) if name.endswith(".yaml"))
        text = uncommented(common.text(path))
        self.assertRegex(text, "(?m)^unit: own")
        self.assertEqual(self.checked(self.write(text))["diagnostics"], [])

    def test_how_many(self):
        for arguments, count in ((("some",), 6), (("more.yaml", "999"), 999)):
            common.run("new", *arguments, cwd=self.folder)
            name = arguments[0].removesuffix(".yaml") + ".yaml"
            text = common.text(os.path.join(self.folder, name))
            self.assertEqual(len(re.findall(r"(?m)^  - id: X", text)), count)
        for wrong in ("0", "1000", "-1", "x", "1.5", ""):
            common.run("new", "other", "--", wrong, cwd=self.folder, expect=2)
        self.assertFalse(os.path.exists(os.path.join(self.folder, "other.yaml")))

    def test_names_that_give_no_code(self):
        for name in ("7", "x", "+++", "rvu12", "1st", ".yaml", "", "é", "a\nb", "ab\t"):
            with self.subTest(name=name):
                done = common.run("new", name, cwd=self.folder, expect=2)
                self.assertIn("NAME", done.stderr)
        self.assertEqual(os.listdir(self.folder), [])

    def test_nothing_is_replaced(self):
        path = self.write("mine\n")
        for name in ("filled", "filled.yaml"):
            done = common.run("new", name, cwd=self.folder, expect=4)
            self.assertIn("filled.yaml: error:", done.stderr)
        self.assertEqual(common.text(path), "mine\n")
        os.remove(path)
        os.symlink("nowhere", path)
        common.run("new", "filled", cwd=self.folder, expect=4)
        self.assertTrue(os.path.islink(path))


if __name__ == "__main__":
    unittest.main()
