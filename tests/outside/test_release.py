"""What a release rests on: the list of changes in Debian's format (Debian Policy 4.4), the version that
the program takes from it, and text files as .editorconfig has them."""

import email.utils
import pathlib
import re
import unittest

import common

CHANGES = pathlib.Path(common.ROOT, "src", "packaging", "changelog")
HEADING = re.compile(r"loomtag \((\d+)\.(\d+)\.(\d+)\) (unstable|UNRELEASED); urgency=medium")
TRAILER = re.compile(r" -- [^<>]+ <[^<> @]+@[^<> @]+>  (.+)")
TEXTS = (".c", ".h", ".py", ".sh", ".md", ".yaml", ".1", ".5", ".7", ".in")


class Changes(unittest.TestCase):
    def setUp(self):
        self.lines = common.text(CHANGES).splitlines()
        self.headings = [HEADING.fullmatch(line) for line in self.lines if line[:1].strip()]
        self.trailers = [TRAILER.fullmatch(line) for line in self.lines if line.startswith(" --")]

    def test_entries_are_whole(self):
        self.assertNotIn(None, self.headings)
        self.assertNotIn(None, self.trailers)
        self.assertEqual(len(self.headings), len(self.trailers))
        for line in self.lines:
            if not line.startswith(" --"):
                self.assertLessEqual(len(line), 80, line)
            self.assertRegex(line, r"^(|loomtag .*| -- .*|  \* [A-Za-z-].*|    \S.*)$")

    def test_newest_is_first(self):
        versions = [tuple(map(int, heading.groups()[:3])) for heading in self.headings]
        self.assertEqual(versions, sorted(set(versions), reverse=True))
        dates = [email.utils.parsedate_to_datetime(trailer[1]) for trailer in self.trailers]
        self.assertEqual(dates, sorted(dates, reverse=True))
        for trailer, date in zip(self.trailers, dates):
            self.assertEqual(email.utils.format_datetime(date), trailer[1])

    def test_program_has_the_newest_version(self):
        newest = ".".join(self.headings[0].groups()[:3])
        self.assertEqual(common.run("--version").stdout, f"loomtag {newest}\n")


class Texts(unittest.TestCase):
    def test_files_are_as_the_editor_is_told(self):
        checked = 0
        for top in ("src", "include", "layouts", "samples", "tests"):
            for path in sorted(pathlib.Path(common.ROOT, top).rglob("*")):
                if path.suffix not in TEXTS or not path.is_file():
                    continue
                content = common.data(path)
                checked += 1
                self.assertTrue(content.endswith(b"\n"), path)
                self.assertNotIn(b"\r", content, path)
                self.assertNotRegex(content, rb"[ \t]\n", path)
                if path.suffix in (".c", ".h"):
                    self.assertNotRegex(content, rb"(?m)^ +[^ *]", path)
        self.assertGreater(checked, 400)
