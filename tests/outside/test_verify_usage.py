"""What `verify`, `record` and `jobs` are given that names no job, and scan files that are none: refused, with
nothing added, and never answered as if something else had been asked."""

import contextlib
import json
import os
import sqlite3
import subprocess
import unittest

import common
import promise
import test_answers
from test_answers import FILE, KEPT, PIPE, right

NO_NUMBERS = ["-1", "1x", "+1", "0", "18446744073709551617", "", " ", "1 ", " 1", "1.0", "0x1", "one", "1e0",
              "99999999999999999999999999999999", "-0", "\u0661"]


class JobNumbers(unittest.TestCase):
    """Job 1 is open in the database, and takes nothing from who does not name it."""

    @classmethod
    def setUpClass(cls):
        cls.bench = test_answers.Bench()
        cls.scans = cls.bench.scans(map(promise.line_of, right("reconnect").split()))
        database = cls.bench.new("db")
        cls.bench.verify(cls.bench.scans(map(promise.line_of, right("reconnect", 7).split())), "--db",
                         database)
        cls.before = common.data(database)

    @classmethod
    def tearDownClass(cls):
        cls.bench.remove()

    def copy(self):
        database = self.bench.new("db")
        with open(database, "wb") as out:
            out.write(self.before)
        return database

    def refuse(self, *arguments):
        """A usage error, before the database is so much as opened for writing."""
        database = self.copy()
        done = common.run(*arguments[:1], "--db", database, *arguments[1:], expect=None,
                          stdin="7H\n7M\n")
        self.assertFalse(any(line.lower().startswith("yes") for line in done.stdout.splitlines()))
        self.assertEqual(done.returncode, 2, done.stdout + done.stderr)
        self.assertNotEqual(done.stderr, "")
        self.assertTrue(common.data(database) == self.before, "the database is another now")

    def test_verify(self):
        for number in NO_NUMBERS:
            for scans in ((self.scans,), ()):
                for option in (["--job", number], [f"--job={number}"]):
                    with self.subTest(number=number, scans=len(scans), option=len(option)):
                        self.refuse("verify", self.bench.path, *scans, *option)

    def test_verify_pictures(self):
        for number in NO_NUMBERS:
            with self.subTest(number=number):
                self.refuse("verify", self.bench.path, "--job", number, "--photos", "none.jpg")

    def test_record(self):
        for number in NO_NUMBERS:
            with self.subTest(number=number):
                self.refuse("record", self.bench.path, "-o", "-", "--job", number)

    def test_jobs_show(self):
        for number in NO_NUMBERS:
            with self.subTest(number=number):
                self.refuse("jobs", "show", "--", number)

    def test_jobs_close(self):
        for number in NO_NUMBERS:
            for reason in ("no valve", self.bench.path):
                with self.subTest(number=number, reason=reason[-5:]):
                    self.refuse("jobs", "close", "--", number, reason)

    def test_without_the_end_of_options(self):
        """As people type it."""
        for number in ("-1", "1x", "+1", "0", ""):
            for words in (("show", number), ("close", number, "no valve")):
                with self.subTest(words=words):
                    self.refuse("jobs", *words)

    def test_it_would_be_taken_by_its_number(self):
        """So that it is the number that is refused above."""
        copy = self.copy()
        common.run("jobs", "show", "1", "--db", copy)
        common.run("record", self.bench.path, "-o", "-", "--job", "1", "--db", copy)
        common.run("verify", self.bench.path, self.scans, "--db", copy, "--job", "1")
        common.run("jobs", "close", "1", "no valve", "--db", copy)


class NoSuchJob(unittest.TestCase):
    """Who names a job gets no other one."""

    @classmethod
    def setUpClass(cls):
        cls.bench = test_answers.Bench()
        cls.scans = cls.bench.scans(map(promise.line_of, right("reconnect").split()))
        cls.lines = common.text(cls.scans)

    @classmethod
    def tearDownClass(cls):
        cls.bench.remove()

    def ways(self, database):
        """Each way to name job 7."""
        yield ("verify", self.bench.path, self.scans, "--db", database, "--job", "7")
        yield ("verify", self.bench.path, "-", "--db", database, "--job", "7", "--json")
        yield ("verify", self.bench.path, "--db", database, "--job", "7", "--stage", "reconnect")
        yield ("verify", self.bench.path, "--db", database, "--job", "7", "--photos", "none.jpg")
        yield ("record", self.bench.path, "--db", database, "--job", "7", "-o", "-")
        yield ("jobs", "--db", database, "show", "7")
        yield ("jobs", "--db", database, "close", "7", "no valve")
        yield ("jobs", "--db", database, "close", "7", self.bench.path)

    def refuse(self, way, codes=(3,)):
        done = common.run(*way, expect=None, stdin=self.lines)
        self.assertIn(done.returncode, codes, done.stdout + done.stderr)
        self.assertIn("error: ", done.stderr)
        self.assertFalse(any(line.lower().startswith("yes") for line in done.stdout.splitlines()))

    def test_no_database(self):
        for number, way in enumerate(self.ways("none.db")):
            folder = os.path.join(self.bench.folder, f"empty-{number}")
            os.mkdir(folder)
            database = os.path.join(folder, "none.db")
            with self.subTest(way=way[:1] + way[2:]):
                try:
                    self.refuse([database if word == "none.db" else word for word in way])
                finally:
                    self.assertEqual(os.listdir(folder), [])

    def test_no_database_beside_the_description(self):
        done = common.run("verify", self.bench.path, "--job", "7", "--stage", "reconnect", expect=None,
                          stdin=self.lines)
        try:
            self.assertEqual(done.returncode, 3)
        finally:
            self.assertFalse(os.path.exists(os.path.join(self.bench.folder, "bench.db")))

    def test_not_in_the_database(self):
        """Where no job is open, where another one is, and where the one that is named is closed."""
        for state in ("closed", "open"):
            database = self.bench.new("db")
            self.bench.verify(self.bench.scans(map(promise.line_of, right("reconnect", 7).split())), "--db",
                              database)
            if state == "closed":
                common.run("jobs", "close", "1", "no valve", "--db", database)
            before = common.data(database), self.rows(database)
            ways = list(self.ways(database))
            if state == "closed":
                ways += [["1" if word == "7" else word for word in way] for way in ways
                         if way[0] == "verify"]
            for way in ways:
                with self.subTest(state=state, way=[word for word in way if word != database]):
                    try:
                        # A no is as good as an error, as long as it is of nothing else.
                        self.refuse(way, (1, 3) if way[0] == "verify" else (3,))
                        self.assertEqual(self.rows(database), before[1])
                    finally:
                        with open(database, "wb") as again:
                            again.write(before[0])

    @staticmethod
    def rows(database):
        """How many jobs and events there are."""
        with contextlib.closing(sqlite3.connect(database)) as db:
            return [db.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in ("job", "event")]


class ScanFiles(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.bench = test_answers.Bench()

    @classmethod
    def tearDownClass(cls):
        cls.bench.remove()

    def test_a_line_without_end(self):
        """It ends by itself."""
        database = self.bench.new("db")
        for arguments in (("/dev/zero",), ("/dev/zero", "--db", database), ("-",)):
            with self.subTest(arguments=arguments), open("/dev/zero", "rb") as zero:
                done = subprocess.run(
                    ["timeout", "5", common.PROGRAM, "verify", self.bench.path, *arguments], stdin=zero,
                    capture_output=True, check=False)
                self.assertEqual(done.returncode, 3, done.stderr[:200])
                self.assertIn(b"error: ", done.stderr)
                self.assertFalse(done.stdout.lower().startswith(b"yes") or b"\nyes" in done.stdout.lower())

    def test_a_line_too_long_in_a_file(self):
        """Also behind scans that would be a yes, and before them."""
        good = "".join(promise.line_of(word) + "\n" for word in right("reconnect").split())
        long = "x" * (1 << 20) + "x\n"
        for text in (good + long, long + good, good + long.rstrip("\n"), good + "# " + long):
            name = self.bench.new("scans")
            with open(name, "w", encoding="ascii") as out:
                out.write(text)
            for options in ((), ("--db", self.bench.new("db"))):
                with self.subTest(begins=text[:2], ends=text[-1], options=len(options)):
                    done = common.run("verify", self.bench.path, name, *options, expect=None, timeout=20)
                    self.assertEqual(done.returncode, 3)
                    self.assertIn("error: ", done.stderr)
                    self.assertNotIn("\nyes", done.stdout.lower())

    def test_an_overlong_line_is_one_misread(self):
        """Whatever it begins and ends with; the same where it is kept, and on a pipe."""
        code = promise.code_of("6H")
        for line in ("x" * 5000, code + " " + "x" * (4999 - len(code)), "x" * 4999 + " ", code.ljust(5000),
                     ("http://a.b/" + "c" * 5000)[:4999 - len(code)] + "/" + code, code * 455):
            line = line[:5000]
            self.assertEqual(len(line), 5000)
            lines = [promise.line_of(word) for word in right("reconnect", 3, 6).split()]
            lines += [line, promise.code_of("6M"), line, promise.code_of("6H"), promise.line_of("3H")]
            documents = {}
            for medium in (FILE, KEPT, PIPE):
                with self.subTest(line=line[:12], medium=medium):
                    code_given, said = self.bench.take(medium, lines, "--stage", "reconnect", "--json")
                    document = documents[medium] = json.loads(said)
                    verdicts = [event["verdict"] for event in document["events"]]
                    self.assertEqual(verdicts[-5:], ["misread", "half", "misread", "mated", "done"])
                    self.assertEqual(len(verdicts), len(lines))
                    self.assertEqual((code_given, document["ok"]), (0, True))
            with self.subTest(line=line[:12], media="file and kept"):
                self.assertTrue(documents[KEPT]["events"] == documents[FILE]["events"], [
                    len(event["scan"]) for medium in (KEPT, FILE) for event in documents[medium]["events"]])

    def test_no_such_file(self):
        for name in ("none.scans", self.bench.folder):
            database = self.bench.new("db")
            for options in ((), ("--db", database)):
                done = common.run("verify", self.bench.path, name, *options, expect=3)
                self.assertEqual(done.stdout, "")

    def test_options_that_exclude_each_other(self):
        for arguments in (("a.scans", "--job", "1"), ("a.scans", "--new"), ("--no-job", "--job", "1"),
                          ("--no-job", "--new"), ("--new", "--job", "1"), ("--no-job", "--db", "x.db"),
                          ("a.scans", "--stage", "finish"), ("--stage", "Tag"), ("--stage", ""),
                          ("a.scans", "b.scans"), ("--photos",)):
            with self.subTest(arguments=arguments):
                common.run("verify", self.bench.path, *arguments, expect=2)
        self.assertFalse(os.path.exists("x.db"))


if __name__ == "__main__":
    unittest.main()
