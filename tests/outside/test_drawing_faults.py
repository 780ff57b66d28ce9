"""A canvas that fails while it is drawn on: exit code 4, as for all that could not be written, an error
that says so, and no file and no register. Functions of the libraries below are made to fail."""

import os
import shutil
import unittest

import common

# A page of a PDF is deflated, one of a PNG encoded, and text in pictures is drawn as outlines.
PDF = """
int compress(unsigned char *to, unsigned long *room, const unsigned char *from, unsigned long length)
{
	(void)to, (void)room, (void)from, (void)length;
	return -4;
}
"""
PNG = """
#include <stddef.h>
void *png_create_write_struct(const char *version, void *data, void *error, void *warning)
{
	(void)version, (void)data, (void)error, (void)warning;
	return NULL;
}
"""
SVG = """
int FT_Outline_Decompose(void *outline, const void *functions, void *user)
{
	(void)outline, (void)functions, (void)user;
	return 1;
}
"""
SAID = {PDF: "error: there is not enough memory to compress page 1\n",
        PNG: "error: the PNG library cannot encode page 1\n",
        SVG: "error: the font library cannot draw a text on page 1\n"}


class DrawingFaults(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.addCleanup(shutil.rmtree, self.folder)
        self.sample = common.sample(self.folder, "mast-head")

    def assert_fails(self, source, ending, *command):
        out = os.path.join(self.folder, "out." + ending)
        env = common.preload(self.folder, source)
        done = common.run(*command, "-o", out, env=env, expect=4)
        self.assertIn(SAID[source], done.stderr)
        left = [name for name in os.listdir(self.folder) if not name.startswith("preloaded.")]
        self.assertEqual(left, ["mast-head.yaml"])

    def test_stickers(self):
        for layout in ("a4-3x8", "roll-54x25", "tape-12"):
            with self.subTest(layout=layout):
                self.assert_fails(PDF, "pdf", "stickers", self.sample, "--layout", layout)
        self.assert_fails(PNG, "png", "stickers", self.sample, "--layout", "roll-54x25")

    def test_print(self):
        self.assert_fails(PDF, "pdf", "print", self.sample, "--layout", "a4-3x8")

    def test_papers(self):
        self.assert_fails(PDF, "pdf", "checklist", self.sample)
        self.assert_fails(PDF, "pdf", "ruler", "a4-3x8")
        self.assert_fails(PNG, "png", "ruler", "roll-54x25")
        self.assert_fails(PDF, "pdf", "layouts")

    def test_maps(self):
        self.assert_fails(PDF, "pdf", "map", self.sample)
        self.assert_fails(PNG, "png", "map", self.sample)
        self.assert_fails(SVG, "svg", "map", self.sample)


if __name__ == "__main__":
    unittest.main()
