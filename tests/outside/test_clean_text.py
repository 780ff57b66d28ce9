"""Text from outside cannot drive a terminal, turn a line round or hide in one, whatever shows it."""

import json
import os
import re
import shutil
import sqlite3
import unittest

import common
import test_job
import texts

# By the Unicode Standard: control codes but the line feed, what turns the direction of a line,
# separators, the byte order mark.
RAW = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff]")
OVERRIDE = "\u202e"
SHOWN = "\ufffd"


class CleanText(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()

    def tearDown(self):
        shutil.rmtree(self.folder)

    def path(self, name):
        return os.path.join(self.folder, name)

    def write(self, name, content):
        with open(self.path(name), "w", encoding="utf-8") as out:
            out.write(content)
        return self.path(name)

    def run_clean(self, *arguments, expect, **more):
        """Runs the program, of which nothing that it shows may be raw; returns what it shows."""
        done = common.run(*arguments, expect=expect, **more)
        for said in (done.stdout, done.stderr):
            self.assertIsNone(RAW.search(said), said)
        return done.stdout + done.stderr

    def test_a_description(self):
        head = "harness: RV3\ncomponents:\n  - {id: M1, name: pump}\nconnectors:\n"
        for line in (f"  - {{id: X1, name: a{OVERRIDE}b, mates: M1}}\n",
                     f"  - {{id: X1, name: 'a{OVERRIDE}b', mates: M1}}\n",
                     '  - {id: X1, name: "a\\u202Eb", mates: M1}\n',
                     '  - {id: X1, name: "a\\u0000b", mates: M1}\n',
                     f"  - {{id: X{OVERRIDE}1, mates: M1}}\n",
                     f"  - {{id: X1, na{OVERRIDE}me: b, mates: M1}}\n",
                     f"  - {{id: X1, kind: pl{OVERRIDE}ug, mates: M1}}\n",
                     f"  - {{id: X1, size: {OVERRIDE}1 mm2, mates: M1}}\n",
                     "  - {id: X1, name: a\u061cb, mates: M1}\n",
                     "  - {id: X1, place: a\u200fb, mates: M1}\n"):
            with self.subTest(line=line):
                path = self.write("a.yaml", head + line)
                self.assertIn("error", self.run_clean("check", path, expect=1))
                self.run_clean("check", path, "--json", expect=1)
                for command in (["tags", path], ["tags", path, "--json"],
                                ["checklist", path, "-o", "-"], ["verify", path, "-"],
                                ["stickers", path, "-o", "-"], ["record", path, "-o", "-"],
                                ["map", path, "-o", self.path("map.svg")],
                                ["map", path, "--pages", self.path("www")]):
                    self.run_clean(*command, expect=3)

    def test_the_caret_stands_below_its_column(self):
        path = self.write("a.yaml", f"harness: RV3\nconnectors:\n  - {{note: {OVERRIDE}\u4e2d, "
                          "id: X1, kind: plgu}\n")
        said = self.run_clean("check", path, expect=1)
        lines = [line for line in said.splitlines() if "{note: " in line or "^" in line]
        # The wide character takes two columns, what stands for the override one.
        self.assertEqual(lines[0].count(SHOWN), 1)
        carets = [len(line) - 3 for line in lines if line.strip() == "^"]
        self.assertIn(lines[0][2:].index("plgu") + 1, carets)

    def test_a_file_name(self):
        shutil.copy(common.sample(self.folder, "mast-head"), self.path(f"a{OVERRIDE}b.yaml"))
        path = self.path(f"a{OVERRIDE}b.yaml")
        self.assertIn(f"a{SHOWN}b.yaml", self.run_clean("check", path, expect=0))
        self.assertIn(f"a{SHOWN}b", self.run_clean("check", path, "--json", expect=0))
        self.assertIn(f"a{SHOWN}b.tags", self.run_clean("tags", path, expect=0))
        for name in ("out.pdf", "out.svg"):
            out = self.path(f"a{OVERRIDE}b{name}")
            self.assertIn(f"a{SHOWN}bout", self.run_clean("map", path, "-o", out, expect=0))
        self.run_clean("checklist", path, "-o", self.path(f"{OVERRIDE}.txt"), expect=0)
        self.run_clean("stickers", path, "-o", self.path(f"{OVERRIDE}.pdf"), expect=0)
        self.run_clean("ruler", "a4-3x8", "-o", self.path(f"{OVERRIDE}r.pdf"), expect=0)
        self.run_clean("quick", "2", "--code", "QAB", "-o", self.path(OVERRIDE), expect=None)
        self.run_clean(f"ch{OVERRIDE}eck", expect=2)
        self.run_clean("check", path, f"--{OVERRIDE}", expect=2)
        self.run_clean("check", self.path(f"none{OVERRIDE}"), expect=3)

    def test_a_register(self):
        path = common.sample(self.folder, "mast-head")
        code = re.search(r"^harness: (\w+)", common.text(path), re.M)[1]
        self.write("mast-head.tags", f"loomtag register 1 {code}\n1 X{OVERRIDE}9 - retired\n")
        self.assertIn(":2:1: error: the line contains an invisible", self.run_clean("tags", path, expect=3))
        self.run_clean("tags", path, "--json", expect=3)

    def test_a_layout(self):
        layout = common.text(os.path.join(common.ROOT, "layouts", "a4-3x8.yaml"))
        path = self.write("a4-3x8.yaml", re.sub(r"^title: .*$", f'title: "a{OVERRIDE}b"', layout,
                                                flags=re.M))
        self.run_clean("layouts", path, expect=None)
        self.run_clean("layouts", path, "--json", expect=None)
        self.run_clean("layouts", "--check", path, expect=None)

    def test_the_live_screen(self):
        """What is typed is shown as it is typed, and again in the answer."""
        path = common.sample(self.folder, "mast-head")
        common.run("tags", path)
        screen = test_job.Terminal("verify", path, "--no-job", "--who", f"a{OVERRIDE}b")
        screen.read_until(texts.said("lt_live_words", "ask_hazard"))
        screen.type("yes")
        screen.read_until(texts.said("lt_live_words", "ask_scan"))
        os.write(screen.fd, f"x{OVERRIDE}y\u009b31m\u200f\r".encode())
        screen.read_until("Received: ")
        screen.read_until(texts.said("lt_live_words", "ask_scan"))
        self.assertIn(f"x{SHOWN}y{SHOWN}31m", screen.seen)
        self.assertIsNone(re.search("[\u0080-\u009f\u200f\u202e]", screen.seen))
        screen.type("quit")
        screen.finish()

    def test_a_job(self):
        """Scans and names, as they come and as they are kept."""
        path = common.sample(self.folder, "mast-head")
        bench = self.path("bench.db")
        common.run("tags", path)
        listing = common.tags(path)
        code = listing["tags"][0]["codes"]["H"]
        scans = f"a{OVERRIDE}b\n{code}\n\x1b[2J{code[:-1]}\nz\u009b31m\n"
        said = self.run_clean("verify", path, "-", "--db", bench, "--who", f"Jo{OVERRIDE}e\x1b[1m",
                              stdin=scans, expect=1)
        self.assertIn(f"a{SHOWN}b", said)
        said = self.run_clean("verify", path, "-", "--no-job", "--json", stdin=scans, expect=1)
        self.assertIn(f"a{SHOWN}b", said)
        # What another program or an earlier version wrote.
        with sqlite3.connect(bench) as db:
            db.executescript("DROP TRIGGER job_stays; DROP TRIGGER event_stays;")
            db.execute("UPDATE job SET title = ?, revision = ?", (f"t{OVERRIDE}u", f"C{OVERRIDE}"))
            db.execute("UPDATE event SET text = ?, who = ? WHERE kind = 'scan'",
                       (f"s{OVERRIDE}c".encode(), f"w{OVERRIDE}o"))
        db.close()
        self.assertIn(f"t{SHOWN}u", self.run_clean("jobs", "--db", bench, expect=3))
        shown = self.run_clean("jobs", "show", "1", "--db", bench, expect=3)
        for word in (f"t{SHOWN}u", f"s{SHOWN}c", f"w{SHOWN}o", f"Jo{SHOWN}e"):
            self.assertIn(word, shown)
        # JSON says what there is, in letters that do nothing.
        said = self.run_clean("jobs", "--db", bench, "--json", expect=3)
        kept, _ = json.JSONDecoder().raw_decode(said)
        self.assertEqual(kept["jobs"][0]["title"], f"t{OVERRIDE}u")
        done = self.run_clean("jobs", "show", "1", "--db", bench, "--json", expect=3)
        self.assertIn("s\\u202Ec", done)
        self.assertIn(f"w{SHOWN}o", self.run_clean("record", path, "--db", bench, "-o", "-",
                                                  expect=None))
        for name in ("record.txt", "record.json"):
            out = self.path(name)
            self.run_clean("record", path, "--db", bench, "-o", out, expect=None)
            self.assertIsNone(RAW.search(common.text(out)))
        out = self.path("record.pdf")
        self.run_clean("record", path, "--db", bench, "-o", out, expect=None)
        words = common.quiet("pdftotext", "-raw", out, "-")
        self.assertIn(f"w{SHOWN}o", words)
        self.assertNotIn(OVERRIDE, words)


if __name__ == "__main__":
    unittest.main()
