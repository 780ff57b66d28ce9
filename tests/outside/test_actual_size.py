"""Every PDF asks to be printed at its actual size, as qpdf reads its catalog: a label that was scaled
lies beside its sticker, and a ruler that was scaled measures wrong."""

import json
import os
import shutil
import unittest

import common


def preferences(pdf):
    """The viewer preferences of the catalog (ISO 32000-1, Table 150)."""
    common.quiet("qpdf", "--check", pdf)
    common.quiet("pdfinfo", pdf)
    read = json.loads(common.quiet("qpdf", "--json=2", "--json-key=qpdf", pdf))
    objects = read["qpdf"][1]
    catalog = objects["obj:" + objects["trailer"]["value"]["/Root"]]["value"]
    found = catalog.get("/ViewerPreferences", {})
    return objects["obj:" + found]["value"] if isinstance(found, str) else found


class ActualSize(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.path = common.sample(self.folder, "mast-head")

    def tearDown(self):
        shutil.rmtree(self.folder)

    def out(self, name):
        return os.path.join(self.folder, name)

    def check(self, *arguments):
        pdf = self.out("out.pdf")
        common.run(*arguments, "-o", pdf)
        self.assertEqual(preferences(pdf), {"/PrintScaling": "/None"}, arguments)
        os.unlink(pdf)

    def test_papers_of_a_description(self):
        for command in ("stickers", "map", "checklist"):
            self.check(command, self.path)
        self.check("print", self.path, "--layout", "roll-54x25")
        self.check("stickers", self.path, "--layout", "tape-12")

    def test_pages_of_layouts(self):
        self.check("ruler", "a4-3x8")
        self.check("layouts", "a4-3x8")
        self.check("layouts")

    def test_record(self):
        code = common.tags(self.path)["tags"][0]["codes"]["H"]
        store = self.out("jobs.db")
        common.run("verify", self.path, "-", "--db", store, stdin=code + "\n", expect=1)
        self.check("record", self.path, "--db", store)

    def test_papers_of_quick(self):
        common.run("quick", "3", "-o", self.out("job"))
        papers = [name for name in os.listdir(self.out("job")) if name.endswith(".pdf")]
        self.assertEqual(len(papers), 2)
        for name in papers:
            self.assertEqual(preferences(os.path.join(self.out("job"), name)),
                             {"/PrintScaling": "/None"}, name)


if __name__ == "__main__":
    unittest.main()
