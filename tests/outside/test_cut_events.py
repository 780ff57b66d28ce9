"""A database of jobs of which one event was removed or changed: whoever asks for that job is told, and
nothing is added to it. Whatever the tables are called by a later version, an event is a row of `event`."""

import contextlib
import json
import os
import re
import shutil
import sqlite3
import subprocess
import time
import unittest

import common
import promise
import terminal
import test_answers
from test_answers import right

# How a person may be told; the words may change.
TOLD = re.compile(r"(?i)\b(fit|fits|changed|gone|missing|removed|damaged|incomplete)\b")


class Store:
    """The events of a database, found by what the tables say of themselves."""

    def __init__(self, path):
        self.db = sqlite3.connect(path, isolation_level=None)
        self.columns = [row[1] for row in self.db.execute("PRAGMA table_info(event)")]
        self.order = next(name for name in ("seq", "id", "rowid") if name in [*self.columns, "rowid"])

    def close(self):
        self.db.close()

    def events(self, job=1):
        """The places of a job's events in the table, in their order."""
        return [row[0] for row in self.db.execute(
            f"SELECT {self.order} FROM event WHERE job = ? ORDER BY {self.order}", (job,))]

    def without_triggers(self, sql, values):
        """Does what the triggers refuse, and puts them back, so that nothing else is different."""
        triggers = self.db.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            self.db.execute(f'DROP TRIGGER "{name}"')
        changed = self.db.execute(sql, values).rowcount
        for _, written in triggers:
            self.db.execute(written)
        assert changed == 1, f"{changed} rows: {sql}"

    def remove(self, place, job=1):
        self.without_triggers(f"DELETE FROM event WHERE job = ? AND {self.order} = ?", (job, place))

    def change(self, place, column, job=1):
        old = self.db.execute(f"SELECT {column} FROM event WHERE job = ? AND {self.order} = ?",
                              (job, place)).fetchone()[0]
        new = {"verdict": "repeat", "stage": "tag", "digest": "0" * 64, "typed": 1}.get(
            column, old + 1 if isinstance(old, int) else old + (b"0" if isinstance(old, bytes) else "0"))
        assert new != old
        self.without_triggers(f"UPDATE event SET {column} = ? WHERE job = ? AND {self.order} = ?",
                              (new, job, place))


def first(store):
    store.remove(store.events()[0])


def middle(store):
    store.remove(store.events()[len(store.events()) // 2])


def last(store):
    store.remove(store.events()[-1])


def changed(column):
    def change(store):
        scans = [row[0] for row in store.db.execute(
            f"SELECT {store.order} FROM event WHERE job = 1 AND kind = 'scan' ORDER BY {store.order}")]
        store.change(scans[len(scans) // 2], column)
    change.__name__ = f"changed {column}"
    return change


DAMAGES = [first, middle, last] + [changed(column) for column in
                                   ("verdict", "text", "who", "at", "stage", "typed", "digest")]


class CutEvents(unittest.TestCase):
    """Each test asks in one way, first of jobs that are whole, then of each that is not."""

    @classmethod
    def setUpClass(cls):
        # With no line to tick, a job is all done when all is made.
        cls.bench = test_answers.Bench(re.sub(".*id: C8.*\n", "", promise.DESCRIPTION))
        cls.whole = {"open": cls.job(right("reconnect", 3, 7)), "made": cls.job(right("reconnect")),
                     "closed": cls.job(right("reconnect"))}
        common.run("jobs", "close", "1", "the valve is not to be had", "--db", cls.whole["closed"])
        cls.rest = cls.bench.scans([promise.line_of(word) for word in ("3H", "~7H", "~7M")])

    @classmethod
    def tearDownClass(cls):
        cls.bench.remove()

    @classmethod
    def job(cls, scans):
        database = cls.bench.new("db")
        cls.bench.verify(cls.bench.scans(map(promise.line_of, scans.split())), "--db", database)
        return database

    def copy(self, state):
        """A copy of the database with the whole job."""
        path = self.bench.new("db")
        shutil.copy(self.whole[state], path)
        return path

    def each(self, states, check):
        """Calls check(path, count) for copies of these jobs, each with one damage; count is how many
        events are left."""
        for state in states.split():
            for damage in DAMAGES:
                path = self.copy(state)
                store = Store(path)
                damage(store)
                count = len(store.events())
                store.close()
                with self.subTest(job=state, damage=damage.__name__):
                    check(path, count)

    def events(self, path):
        store = Store(path)
        count = store.db.execute("SELECT count(*) FROM event").fetchone()[0]
        jobs = store.db.execute("SELECT count(*) FROM job").fetchone()[0]
        store.close()
        return count, jobs

    def run_any(self, *arguments, stdin=""):
        return common.run(*arguments, expect=None, stdin=stdin)

    def test_the_cuts_cut(self):
        """What the helpers of these tests do, by Python's sqlite3 alone."""
        for damage in DAMAGES:
            path = self.copy("open")
            store = Store(path)
            before = store.db.execute("SELECT * FROM event").fetchall()
            triggers = store.db.execute("SELECT sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
            damage(store)
            after = store.db.execute("SELECT * FROM event").fetchall()
            self.assertEqual(len(set(before) - set(after)), 1)
            self.assertLessEqual(len(set(after) - set(before)), 1)
            self.assertEqual(triggers, store.db.execute(
                "SELECT sql FROM sqlite_schema WHERE type = 'trigger'").fetchall())
            store.close()

    def test_show(self):
        for state in self.whole:
            done = common.run("jobs", "show", "1", "--db", self.copy(state))
            self.assertEqual(done.stderr, "")

        def check(path, _):
            done = self.run_any("jobs", "show", "1", "--db", path)
            self.assertEqual(done.returncode, 3)
            self.assertRegex(done.stderr, TOLD)
            done = self.run_any("jobs", "show", "1", "--db", path, "--json")
            self.assertEqual(done.returncode, 3)
            self.assertIs(json.loads(done.stdout)["job"]["digests_fit"], False)

        self.each("open made closed", check)

    def test_record(self):
        for state in self.whole:
            common.run("record", self.bench.path, "--db", self.copy(state), "-o", "-")

        def check(path, _):
            for options in ((), ("--json",), ("--job", "1")):
                done = self.run_any("record", self.bench.path, "--db", path, "-o", "-", *options)
                self.assertRegex(done.stderr, TOLD)
                if options == ("--json",) and done.stdout:
                    self.assertIs(json.loads(done.stdout)["ok"], False)
                self.assertEqual(done.returncode, 3, options)

        self.each("open made closed", check)

    def test_a_record_in_a_file(self):
        for ending in ("txt", "pdf", "json"):
            def check(path, _, ending=ending):
                out = self.bench.new(ending)
                done = self.run_any("record", self.bench.path, "--db", path, "-o", out)
                if os.path.exists(out) and ending == "txt":
                    self.assertRegex(common.text(out), TOLD)
                self.assertEqual(done.returncode, 3)

            self.each("closed", check)

    def listed(self, path):
        """How often the list says that something is wrong: in words, and as JSON."""
        done = self.run_any("jobs", "--db", path)
        self.assertIn("AB7U0042", done.stdout)
        words = len(TOLD.findall(done.stdout + done.stderr))
        done = self.run_any("jobs", self.bench.path, "--db", path, "--json")
        job, = json.loads(done.stdout)["jobs"]
        return words, len(TOLD.findall(done.stderr)) + (job.get("digests_fit") is False)

    def test_list(self):
        whole = self.listed(self.copy("open"))
        for state in self.whole:
            self.assertEqual(self.listed(self.copy(state)), whole)

        def check(path, _):
            for said, before in zip(self.listed(path), whole, strict=True):
                self.assertGreater(said, before)

        self.each("open made closed", check)

    def test_close_by_the_description(self):
        done = common.run("jobs", "close", "1", self.bench.path, "--db", self.copy("made"))
        self.assertIn("Job 1 of AB7U0042 is closed", done.stdout)

        def check(path, count):
            done = self.run_any("jobs", "close", "1", self.bench.path, "--db", path)
            self.assertIn(done.returncode, (3, 4))
            self.assertNotIn("is closed", done.stdout)
            self.assertRegex(done.stderr, TOLD)
            self.assertEqual(self.events(path), (count, 1))

        self.each("open made", check)

    def test_close_with_a_reason(self):
        common.run("jobs", "close", "1", "no", "valve", "--db", self.copy("open"))

        def check(path, count):
            done = self.run_any("jobs", "close", "1", "no", "valve", "--db", path)
            self.assertRegex(done.stdout + done.stderr, TOLD)
            if done.returncode != 0:
                self.assertIn(done.returncode, (3, 4))
                self.assertEqual(self.events(path), (count, 1))

        self.each("open made", check)

    def test_a_closed_job_takes_nothing_more(self):
        """Nor does one whose closing was cut off and that is nothing but open by its events."""
        def check(path, count):
            for words in ((self.bench.path,), ("no", "valve")):
                done = self.run_any("jobs", "close", "1", *words, "--db", path)
                self.assertIn(done.returncode, (3, 4))
                self.assertEqual(self.events(path), (count, 1))

        self.each("closed", check)

    def refused(self, path, count, *arguments, stdin=""):
        """Neither a yes nor one event more."""
        done = self.run_any("verify", self.bench.path, *arguments, "--db", path, stdin=stdin)
        self.assertIn(done.returncode, (3, 4), done.stdout)
        self.assertRegex(done.stderr, TOLD)
        self.assertEqual(self.events(path), (count, 1))
        self.assertFalse(any(line.lower().startswith("yes") for line in done.stdout.splitlines()))

    def test_verify_a_file(self):
        done = common.run("verify", self.bench.path, self.rest, "--db", self.copy("open"))
        self.assertTrue(done.stdout.splitlines()[-1].startswith("yes"))

        def check(path, count):
            for options in ((), ("--job", "1"), ("--json",), ("--stage", "tag"), ("--stage", "unplug")):
                self.refused(path, count, self.rest, *options)

        self.each("open", check)

    def test_verify_goes_on_on_a_pipe(self):
        lines = common.text(self.rest)
        common.run("verify", self.bench.path, "--db", self.copy("open"), stdin=lines)

        def check(path, count):
            for options in ((), ("--job", "1"), ("--json",), ("--stage", "tag"), ("--stage", "finish")):
                self.refused(path, count, *options, stdin=lines)

        self.each("open made", check)

    def test_verify_at_a_terminal(self):
        def check(path, count):
            with terminal.Terminal("verify", self.bench.path, "--db", path) as screen:
                self.assertIn(screen.finish(), (3, 4))
                self.assertRegex(screen.screen.words(), TOLD)
            self.assertEqual(self.events(path), (count, 1))

        self.each("open", check)

    def test_verify_pictures(self):
        self.each("open", lambda path, count: self.refused(path, count, self.rest, "--photos"))

    def test_a_store_that_is_put_back_stops_who_is_scanning(self):
        """What was seen is not there any more: by a copy of before, or by one event that was cut."""
        for how in ("cut", "copied"):
            with self.subTest(how=how):
                path = self.copy("open")
                before = common.data(path)
                words = [promise.line_of(word) for word in ("3H", "~7H", "~7M")]
                started = subprocess.Popen(
                    [common.PROGRAM, "verify", self.bench.path, "--db", path], stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
                self.write_and_wait(started, words[0], path)
                self.write_and_wait(started, words[1], path)
                if how == "cut":
                    store = Store(path)
                    store.remove(store.events()[-1])
                    store.close()
                else:
                    with open(path, "wb") as out:
                        out.write(before)
                count = self.events(path)
                said = started.communicate(words[2] + "\n", timeout=30)
                self.assertIn(started.returncode, (3, 4), said)
                self.assertEqual(self.events(path), count)
                self.assertNotIn(test_answers.LIVE_YES["reconnect"], " ".join(said[0].split()))

    def write_and_wait(self, started, line, path):
        """Sends a scan, and waits until it is kept."""
        started.stdin.write(line + "\n")
        started.stdin.flush()
        end = time.monotonic() + 20
        while self.scanned(path, line) == 0:
            self.assertLess(time.monotonic(), end, f"{line} is not kept")
            time.sleep(0.02)

    @staticmethod
    def scanned(path, line):
        """How often a scan is in a database."""
        with contextlib.closing(sqlite3.connect(path)) as db:
            return db.execute("SELECT count(*) FROM event WHERE CAST(text AS TEXT) = ?",
                              (line,)).fetchone()[0]

    def test_another_job_is_whole(self):
        """What is wrong with one job says nothing of the others in the database."""
        path = self.copy("closed")
        common.run("verify", self.bench.path, self.rest, "--db", path, expect=1)
        store = Store(path)
        store.remove(store.events()[3])
        store.close()
        self.run_any("jobs", "show", "1", "--db", path)
        common.run("jobs", "show", "2", "--db", path)
        common.run("record", self.bench.path, "--db", path, "-o", "-")
        common.run("verify", self.bench.path, self.rest, "--db", path, expect=1)


if __name__ == "__main__":
    unittest.main()
