"""Stickers on the terminal: what its block characters show, made a picture of, is read by zbar."""

import os
import re
import unittest

import common
from texts import said

# A dot of the terminal, in pixels.
DOT = 4
FRAME = re.compile(r"^\u250c\u2500+\u2510$")
UPPER, LOWER = "\u2580\u2588", "\u2584\u2588"
# Layout, columns, and the number shown where not all bundles suit the layout. A code takes a dot a
# module on each.
SCREENS = [("roll-54x25", 80, None), ("roll-25x13", 80, None), ("a4-3x8", 80, None),
           ("wrap-25x11", 80, 3), ("flag-25x13", 100, 3), ("tape-12", 100, None),
           ("roll-54x25", 200, None)]


def pages(shown):
    """The lines within each frame, without what colours them."""
    found, page = [], None
    for line in re.sub("\033\\[[0-9;]*m", "", shown).splitlines():
        if FRAME.match(line):
            page = []
        elif page is not None and line.startswith("\u2502") and line.endswith("\u2502"):
            page.append(line[1:-1])
        elif page is not None:
            found.append(page)
            page = None
    return found


def picture(page, path):
    """What a camera sees, with every letter as a black patch."""
    rows = []
    for line in page:
        for half in (UPPER, LOWER):
            row = b"".join((b"\0" if sign in half or sign not in " \u2580\u2584" else b"\xff") * DOT
                           for sign in line)
            rows.extend([row] * DOT)
    with open(path, "wb") as out:
        out.write(b"P5 %d %d 255\n" % (len(page[0]) * DOT, len(rows)) + b"".join(rows))
    return path


class Preview(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = common.workdir()
        cls.path = common.sample(cls.folder, "dome-shutter", registered=True)
        cls.expected = common.expected_codes(common.tags(cls.path), common.text(cls.path))

    def show(self, name, columns, *options):
        return common.run("stickers", self.path, "--layout", name, "-o", "-", *options,
                          env={"COLUMNS": str(columns)}).stdout

    def test_codes_are_read_off_the_screen(self):
        for name, columns, number in SCREENS:
            only = [] if number is None else ["--only", str(number)]
            wanted = [code for code in self.expected
                      if number is None or re.match(f"{number}[HMX]", code)]
            for colour in ("never", "always"):
                with self.subTest(layout=name, columns=columns, colour=colour):
                    self.read(name, columns, wanted, "--color", colour, *only)

    def read(self, name, columns, wanted, *options):
        self.assertTrue(wanted)
        said = self.show(name, columns, *options)
        self.assertEqual("\033" in said, "always" in options)
        self.assertNotIn("too small", said)
        shown = pages(said)
        self.assertEqual(len(shown), len(wanted))
        self.assertTrue(all(len(line) + 2 <= columns for page in shown for line in page))
        files = [picture(page, os.path.join(self.folder, f"{name}-{number}.pgm"))
                 for number, page in enumerate(shown)]
        codes = [code for payloads in common.decode(files)
                 for code in set(common.scan_codes(payloads))]
        self.assertEqual(sorted(codes), wanted)

    def test_nothing_is_recorded_as_printed(self):
        before = common.data(self.path[:-5] + ".tags")
        self.assertIn(said("lt_sticker_run_words", "preview"), self.show("roll-54x25", 80))
        self.assertEqual(common.data(self.path[:-5] + ".tags"), before)


if __name__ == "__main__":
    unittest.main()
