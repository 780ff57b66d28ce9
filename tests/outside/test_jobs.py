"""Jobs: the database judged by Python's own sqlite3 and hashlib, what `loomtag jobs` shows of it, and
files that are refused with no byte changed."""

import datetime
import hashlib
import json
import os
import re
import sqlite3
import subprocess
import time
import unittest

import common
from texts import said as text_of

APPLICATION = int.from_bytes(b"LTbn", "big")
# The columns as they are promised to stay; the rules that the program adds to them are its own. Files
# of version 1 are in use, and are brought up to date when they are opened.
TABLES = {1: """
CREATE TABLE job (id INTEGER PRIMARY KEY AUTOINCREMENT, code TEXT NOT NULL, harness TEXT NOT NULL,
  unit TEXT, title TEXT, revision TEXT, opened INTEGER NOT NULL, stations INTEGER NOT NULL,
  closed INTEGER NOT NULL DEFAULT 0, events INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE event (id INTEGER PRIMARY KEY AUTOINCREMENT, job INTEGER NOT NULL, at INTEGER NOT NULL,
  who TEXT NOT NULL, station INTEGER NOT NULL, kind TEXT NOT NULL, stage TEXT NOT NULL, text TEXT,
  tag TEXT, verdict TEXT, number INTEGER NOT NULL, typed INTEGER NOT NULL,
  digest TEXT NOT NULL) STRICT;
""", 2: """
CREATE TABLE job (id INTEGER PRIMARY KEY AUTOINCREMENT, origin INTEGER, code TEXT NOT NULL,
  harness TEXT NOT NULL, unit TEXT, title TEXT, revision TEXT, opened INTEGER NOT NULL,
  stations INTEGER NOT NULL, closed INTEGER NOT NULL DEFAULT 0,
  events INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE event (job INTEGER NOT NULL, seq INTEGER NOT NULL, id INTEGER NOT NULL,
  at INTEGER NOT NULL, who TEXT NOT NULL, station INTEGER NOT NULL, kind TEXT NOT NULL,
  stage TEXT NOT NULL, text BLOB, tag TEXT, verdict TEXT, number INTEGER NOT NULL,
  typed INTEGER NOT NULL, digest TEXT NOT NULL, PRIMARY KEY (job, seq)) STRICT, WITHOUT ROWID;
CREATE TRIGGER event_is_counted AFTER INSERT ON event
  BEGIN UPDATE job SET events = events + 1 WHERE id = NEW.job; END;
"""}
JOB = ("id", "code", "harness", "unit", "title", "revision", "opened")
EVENT = ("id", "at", "who", "station", "kind", "stage", "text", "tag", "verdict", "number", "typed")


def digest(*fields):
    """SHA-256 (FIPS 180-4) over fields, each with its length before it."""
    row = b""
    for field in fields:
        if field is None:
            row += b"-,"
        else:
            data = field if isinstance(field, bytes) else str(field).encode()
            row += b"%d:%s," % (len(data), data)
    return hashlib.sha256(row).hexdigest()


def moment(at):
    """Milliseconds since 1970 as RFC 3339."""
    when = datetime.datetime(1970, 1, 1) + datetime.timedelta(milliseconds=at)
    return when.isoformat(timespec="milliseconds") + "Z"


class Book:
    """A database of jobs, written without the program."""

    def __init__(self, path, version=1):
        self.path, self.version = path, version
        with sqlite3.connect(path) as db:
            db.executescript(TABLES[version] + f"PRAGMA application_id = {APPLICATION};"
                                               f"PRAGMA user_version = {version};")
        db.close()

    def job(self, *values):
        """One job (its fields but the id) and what begins its chain."""
        with sqlite3.connect(self.path) as db:
            row = db.execute("INSERT INTO job (code, harness, unit, title, revision, opened, stations)"
                             " VALUES (?, ?, ?, ?, ?, ?, 1)", values)
            if self.version > 1:
                db.execute("UPDATE job SET origin = id WHERE id = ?", (row.lastrowid,))
        db.close()
        number = row.lastrowid
        before = digest("job", number, *values)
        return number, before

    def event(self, job, before, *values):
        """One event (its fields but the id); gives its digest. In version 1 ids count over all jobs."""
        with sqlite3.connect(self.path) as db:
            if self.version == 1:
                number = db.execute("SELECT 1 + coalesce(max(id), 0) FROM event").fetchone()[0]
                place = (number, job)
            else:
                number = db.execute("SELECT 1 + events FROM job WHERE id = ?", (job,)).fetchone()[0]
                place = (job, number, number)
            own = digest(before, number, *values)
            row = list(values)
            if self.version > 1 and row[5] is not None:
                row[5] = row[5].encode()
            marks = ", ".join("?" * (len(place) + len(row) + 1))
            db.execute(f"INSERT INTO event VALUES ({marks})", (*place, *row, own))
            if values[3] == "closed":
                db.execute("UPDATE job SET closed = 1 WHERE id = ?", (job,))
            if self.version == 1:
                db.execute("UPDATE job SET events = events + 1 WHERE id = ?", (job,))
        db.close()
        return own


def chain(path, job):
    """Every event's digest, worked out anew, and what the database says."""
    db = sqlite3.connect(path)
    fields = list(JOB)
    if db.execute("PRAGMA user_version").fetchone()[0] > 1:
        fields[0] = "origin"
    row = db.execute(f"SELECT {', '.join(fields)} FROM job WHERE id = ?", (job,)).fetchone()
    before = digest("job", *row)
    computed, said = [], []
    for event in db.execute(f"SELECT {', '.join(EVENT)}, digest FROM event WHERE job = ?"
                            " ORDER BY id", (job,)):
        before = digest(before, *event[:-1])
        computed.append(before)
        said.append(event[-1])
    db.close()
    return computed, said


def plan_of(path, *options):
    """The text of the plan that the program makes of a description, from a job that it begins."""
    database = os.path.join(common.workdir(), "plan.db")
    common.run("verify", path, os.devnull, "--db", database, *options, expect=None)
    db = sqlite3.connect(database)
    text, = db.execute("SELECT CAST(text AS TEXT) FROM event WHERE kind = 'plan'").fetchone()
    db.close()
    return text


class Jobs(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.path = os.path.join(self.folder, "bench.db")
        self.book = Book(self.path)
        first, before = self.book.job("DS4U0042", "DS4", "0042", "Dome \x1b[31mdrive\x07", "C",
                                      1700000000123)
        for values in ((1700000000123, "Ada", 1, "opened", "reconnect", "Dome", None, None, 0, 0),
                       (1700000001000, "Ada", 1, "scan", "reconnect", "3HDS4U0042X", "3H", "half",
                        0, 0),
                       (1700000002000, "Zo\u00eb", 2, "skip", "tag", "\x1b[2Jno room", None, None,
                        9, 0)):
            before = self.book.event(first, before, *values)
        second, before = self.book.job("GH7", "GH7", None, None, None, 1700000100000)
        self.book.event(second, before, 1700000100000, "Ada", 1, "opened", "tag", None, None, None,
                        0, 0)
        third, before = self.book.job("DS4U7", "DS4", "7", "Dome", None, 1700000200000)
        self.book.event(third, before, 1700000200000, "Ada", 1, "opened", "tag", "Dome", None,
                        None, 0, 0)

    def jobs(self, *arguments, **more):
        return common.run("jobs", *arguments, **more)

    def listed(self, *arguments, **more):
        return json.loads(self.jobs(*arguments, "--json", **more).stdout)["jobs"]

    def test_lists(self):
        all_jobs = self.listed(cwd=self.folder)
        self.assertEqual([job["id"] for job in all_jobs], [3, 2, 1])
        self.assertEqual(all_jobs[2], {
            "id": 1, "code": "DS4U0042", "harness": "DS4", "unit": "0042",
            "title": "Dome \x1b[31mdrive\x07", "revision": "C", "opened": moment(1700000000123),
            "last": moment(1700000002000), "stage": "tag", "events": 3, "scans": 1,
            "closed": False, "origin": 1, "digests_fit": True})
        self.assertIsNone(all_jobs[1]["unit"])
        self.assertEqual(self.listed("--db", self.path), all_jobs)
        # Of a description: of its unit, or of all units where it says none; beside it, or elsewhere.
        roof = common.sample(self.folder, "dome-shutter")
        self.assertEqual([job["id"] for job in self.listed(roof)], [1])
        self.assertEqual([job["id"] for job in self.listed(roof, "--unit", "7")], [3])
        self.assertEqual([job["id"] for job in self.listed(roof, "--unit", "8")], [])
        plain = common.text(roof).replace('unit: "0042"\n', "")
        with open(roof, "w", encoding="utf-8") as out:
            out.write(plain)
        self.assertEqual([job["id"] for job in self.listed(roof)], [3, 1])
        self.assertIn(text_of("lt_job_words", "no_jobs"), self.jobs(common.sample(self.folder, "mast-head")).stdout)
        elsewhere = common.sample(common.workdir(), "dome-shutter")
        self.assertEqual([job["id"] for job in self.listed(elsewhere, "--db", self.path)], [1])
        # On the screen: a line each, in local time, and nothing that drives a terminal.
        shown = self.jobs("--db", self.path, env={"TZ": "XYZ-5:30"}).stdout
        self.assertEqual(len(shown.splitlines()), 4)
        self.assertRegex(shown.splitlines()[3], r"^ +1  DS4U0042 +2023-11-15 03:43 \+0530 .*"
                                                r" tag +1  open +Dome")
        self.assertNotRegex(shown, "[\x00-\x09\x0b-\x1f\x7f]")

    def test_shows(self):
        shown = json.loads(self.jobs("show", "1", "--db", self.path, "--json").stdout)
        self.assertEqual(shown["job"]["code"], "DS4U0042")
        self.assertIs(shown["job"]["digests_fit"], True)
        computed, said = chain(self.path, 1)
        self.assertEqual(computed, said)
        self.assertEqual([event["digest"] for event in shown["events"]], computed)
        self.assertEqual(shown["events"][1], {
            "id": 2, "at": moment(1700000001000), "who": "Ada", "station": 1, "kind": "scan",
            "stage": "reconnect", "text": "3HDS4U0042X", "tag": "3H", "verdict": "half",
            "number": None, "typed": False, "digest": computed[1]})
        self.assertEqual(shown["events"][2]["number"], 9)
        text = self.jobs("show", "1", "--db", self.path).stdout
        self.assertNotRegex(text, "[\x00-\x09\x0b-\x1f\x7f]")
        for words in ("Zo\u00eb", "no room", "3HDS4U0042X", "half", computed[-1]):
            self.assertIn(words, text)

    def test_closes(self):
        before = common.data(self.path)
        self.assertIn("reason", self.jobs("close", "1", "--db", self.path, expect=2).stderr)
        self.assertIn("reason", self.jobs("close", "1", " ", "--db", self.path, expect=2).stderr)
        self.assertEqual(common.data(self.path), before)
        start = int(time.time() * 1000)
        said = self.jobs("close", "1", "motor is \x1b[1mnot", "to be had", "--db", self.path,
                         "--who", "Foreman").stdout
        end = int(time.time() * 1000)
        self.assertRegex(said, r"^[Jj]ob 1 of DS4U0042 .*closed\.?\n$")
        computed, kept = chain(self.path, 1)
        self.assertEqual(computed, kept)
        self.assertEqual(len(kept), 4)
        db = sqlite3.connect(self.path)
        who, station, kind, text, at = db.execute(
            "SELECT who, station, kind, CAST(text AS TEXT), at FROM event WHERE job = 1"
            " ORDER BY seq DESC").fetchone()
        self.assertEqual((who, station, kind), ("Foreman", 3, "closed"))
        self.assertEqual(text, "motor is \ufffd[1mnot to be had")
        self.assertTrue(start <= at <= end)
        self.assertEqual(db.execute("PRAGMA integrity_check").fetchall(), [("ok",)])
        self.assertEqual(db.execute("PRAGMA user_version").fetchone(), (2,))
        self.assertEqual(db.execute("PRAGMA journal_mode").fetchone(), ("delete",))
        db.close()
        self.assertEqual(os.listdir(self.folder), ["bench.db"])
        self.assertEqual([job["closed"] for job in self.listed("--db", self.path)],
                         [False, False, True])
        self.assertRegex(self.jobs("close", "1", "again", "--db", self.path, expect=3).stderr,
                         r"bench\.db: error: job 1 .*closed")
        # Who it was, where it is not said.
        self.jobs("close", "2", "x", "--db", self.path, env={"LOGNAME": "", "USER": "night"})
        self.assertEqual(json.loads(self.jobs("show", "2", "--db", self.path, "--json").stdout)
                         ["events"][-1]["who"], "night")

    def test_a_later_change_shows(self):
        for change, first in (("UPDATE event SET verdict = 'mated' WHERE id = 2", 2),
                              ("UPDATE event SET at = at - 60000 WHERE id = 3", 3),
                              ("UPDATE event SET text = text || char(0) || 'x' WHERE id = 2", 0),
                              ("DELETE FROM event WHERE id = 2", 3),
                              ("UPDATE job SET title = 'another' WHERE id = 1", 1),
                              ("DELETE FROM event", None)):
            folder = common.workdir()
            path = os.path.join(folder, "changed.db")
            with open(path, "wb") as out:
                out.write(common.data(self.path))
            with sqlite3.connect(path) as db:
                db.execute(change)
            db.close()
            done = self.jobs("show", "1", "--db", path, expect=3)
            self.assertNotIn("digest", done.stdout)
            self.assertIn("hint:", done.stderr)
            if first:
                self.assertIn(f"(id {first})", done.stderr)
                done = self.jobs("show", "1", "--db", path, "--json", expect=3)
                self.assertIs(json.loads(done.stdout)["job"]["digests_fit"], False)

    def test_the_list_names_what_was_changed(self):
        with sqlite3.connect(self.path) as db:
            db.execute("UPDATE event SET verdict = 'mated' WHERE id = 2")
        db.close()
        done = self.jobs("--db", self.path, expect=3)
        damaged, opened = (text_of("lt_job_words", name) for name in ("damaged", "open"))
        self.assertRegex(done.stdout, rf"\n +1 .* {damaged} +Dome")
        self.assertRegex(done.stdout, rf"\n +2 .* {opened}\n")
        self.assertRegex(done.stderr, r"error: job 1 .*event 2 of 3 \(id 2\)")
        listed = json.loads(self.jobs("--db", self.path, "--json", expect=3).stdout)["jobs"]
        self.assertEqual([job["digests_fit"] for job in listed], [True, True, False])

    def test_a_file_of_version_1_is_brought_up_to_date(self):
        before = {job: chain(self.path, job)[1] for job in (1, 2, 3)}
        db = sqlite3.connect(self.path)
        rows = db.execute(f"SELECT job, {', '.join(EVENT)}, digest FROM event ORDER BY job, id"
                          ).fetchall()
        jobs = db.execute(f"SELECT {', '.join(JOB)}, stations, closed, events FROM job").fetchall()
        db.close()
        self.assertEqual(len(self.listed("--db", self.path)), 3)
        db = sqlite3.connect(self.path)
        self.assertEqual(db.execute("PRAGMA user_version").fetchone(), (2,))
        columns = ["CAST(text AS TEXT)" if name == "text" else name for name in EVENT]
        self.assertEqual(db.execute(f"SELECT job, {', '.join(columns)}, digest FROM event"
                                    " ORDER BY job, seq").fetchall(), rows)
        self.assertEqual(db.execute(f"SELECT {', '.join(JOB)}, stations, closed, events FROM job"
                                    ).fetchall(), jobs)
        self.assertEqual(db.execute("SELECT id FROM job WHERE origin IS NOT id").fetchall(), [])
        self.assertEqual(db.execute("SELECT job, seq FROM event").fetchall(),
                         [(1, 1), (1, 2), (1, 3), (2, 1), (3, 1)])
        db.close()
        for job, digests in before.items():
            self.assertEqual(chain(self.path, job), (digests, digests))
        # What is added has the next id of its own job.
        self.jobs("close", "1", "x", "--db", self.path)
        self.assertEqual([event["id"] for event in
                          json.loads(self.jobs("show", "1", "--db", self.path, "--json").stdout)
                          ["events"]], [1, 2, 3, 4])

    def test_what_a_newer_program_wrote_is_shown(self):
        folder = common.workdir()
        path = os.path.join(folder, "bench.db")
        book = Book(path, version=2)
        job, before = book.job("DS4U0042", "DS4", "0042", "Dome", "C", 1700000000000)
        for kind, text in (("opened", "Dome"), ("confirm", "12H \x1b[2J"), ("scan", "x")):
            before = book.event(job, before, 1700000000000, "Ada", 1, kind, "reconnect", text, None,
                                "pondered" if kind == "scan" else None, 0, 0)
        shown = json.loads(self.jobs("show", job, "--db", path, "--json").stdout)
        self.assertIs(shown["job"]["digests_fit"], True)
        self.assertEqual([event["kind"] for event in shown["events"]], ["opened", "confirm", "scan"])
        self.assertEqual(shown["events"][2]["verdict"], "pondered")
        text = self.jobs("show", job, "--db", path).stdout
        self.assertRegex(text, r"reconnect +confirm  12H")
        self.assertNotRegex(text, "[\x00-\x09\x0b-\x1f\x7f]")
        self.assertRegex(text, r"\n.*\b3 events .*digests.*\n$")
        self.assertEqual(self.listed("--db", path)[0]["digests_fit"], True)
        # Nobody goes on with it, and nothing is added.
        dome = common.sample(folder, "dome-shutter")
        kept = chain(path, job)
        for arguments in ((os.devnull,), ()):
            said = common.run("verify", dome, *arguments, "--db", path, expect=None)
            self.assertIn(said.returncode, (3, 4))
            self.assertIn("event 2 of job 1 (confirm) cannot be understood", said.stderr)
            self.assertNotIn("yes", said.stdout)
        self.assertIn("(confirm) cannot be understood",
                      self.jobs("close", job, dome, "--db", path, expect=3).stderr)
        self.assertEqual(chain(path, job), kept)
        record = json.loads(common.run("record", dome, "--db", path, "--json", "-o", "-").stdout)
        self.assertIs(record["ok"], False)
        self.assertIs(record["digest"]["fits"], True)
        self.assertEqual(record["events"][1]["kind"], "confirm")
        self.assertIn("EVENT 2 ", record["summary"][0]["text"])
        self.assertIs(record["summary"][0]["fault"], True)
        words = common.run("record", dome, "--db", path, "-o", "-").stdout
        cannot = text_of("lt_record_words", "not_understood").split()[0]
        self.assertRegex(words, rf"! 2 .*confirm: 12H.*{cannot}")

    def test_only_an_event_closes(self):
        with sqlite3.connect(self.path) as db:
            db.execute("UPDATE job SET closed = 1 WHERE id = 1")
        db.close()
        self.assertEqual([job["closed"] for job in self.listed("--db", self.path)], [False] * 3)
        self.assertRegex(self.jobs("show", "1", "--db", self.path).stdout,
                         rf"\n{text_of('lt_job_words', 'state')} +{text_of('lt_job_words', 'open')}\n")

    def test_another_program_holds_it(self):
        # One that is to be brought up to date is not read meanwhile.
        db = sqlite3.connect(self.path, isolation_level=None)
        db.execute("BEGIN IMMEDIATE")
        self.assertIn("is in use", self.jobs("--db", self.path, expect=3).stderr)
        db.execute("ROLLBACK")
        db.close()
        self.assertEqual(len(self.listed("--db", self.path)), 3)
        db = sqlite3.connect(self.path, isolation_level=None)
        db.execute("BEGIN IMMEDIATE")
        # Reading is free meanwhile; writing waits five seconds and says why it gives up.
        self.assertEqual(len(self.listed("--db", self.path)), 3)
        start = time.monotonic()
        said = self.jobs("close", "1", "x", "--db", self.path, expect=4).stderr
        self.assertGreater(time.monotonic() - start, 4)
        self.assertRegex(said, r"bench\.db: error: is in use.*\n  hint: ")
        db.execute("ROLLBACK")
        db.close()
        self.jobs("close", "1", "x", "--db", self.path)

    def test_what_is_no_database_of_jobs(self):
        folder = common.workdir()
        good = common.data(self.path)

        def variant(name, data):
            path = os.path.join(folder, name)
            with open(path, "wb") as out:
                out.write(data)
            return path

        def altered(name, sql):
            path = variant(name, good)
            with sqlite3.connect(path) as db:
                db.executescript(sql)
            db.close()
            return path

        other = os.path.join(folder, "other.db")
        with sqlite3.connect(other) as db:
            db.execute("CREATE TABLE plants (name)")
        db.close()
        bent = bytearray(good)
        for at in range(4096, len(bent), 4096):
            bent[at] ^= 0xff
        for path, words in (
                (other, "another program"),
                (variant("words.db", b"harness: DS4\n" * 100), "not a database"),
                (variant("cut.db", good[:len(good) // 2]), "damaged"),
                (variant("bent.db", bytes(bent)), "damaged"),
                (variant("empty.db", b""), "empty"),
                (altered("newer.db", "PRAGMA user_version = 3"), "newer loomtag"),
                (altered("claims.db", "PRAGMA user_version = 2"), "damaged"),
                (altered("tables.db", "DROP TABLE event"), "damaged")):
            before = hashlib.sha256(common.data(path)).hexdigest()
            for arguments in ((), ("show", "1"), ("close", "1", "x")):
                said = self.jobs(*arguments, "--db", path, expect=3).stderr
                self.assertRegex(said, rf"{re.escape(path)}: error: .*{words}.*\n  hint: ")
            self.assertEqual(hashlib.sha256(common.data(path)).hexdigest(), before)
        files = len(os.listdir(folder))
        for path in (os.path.join(folder, "none.db"), ":memory:", folder, "/dev/null"):
            self.assertIn("hint:", self.jobs("--db", path, expect=3).stderr)
        self.assertEqual(len(os.listdir(folder)), files)

    def test_usage(self):
        for arguments, words in ((("show",), "number of a job"), (("show", "x"), "number"),
                                 (("show", "1", "2"), "number of a job"), (("close",), "number of a job"),
                                 (("close", "-1", "x"), ""), (("a.yaml", "b.yaml"), "one description"),
                                 ((self.path,), "--db"), (("show", "9" * 30), "number"),
                                 (("--db", ""), "--db needs")):
            self.assertIn(words, self.jobs(*arguments, expect=2).stderr)
        self.assertIn("no job 99", self.jobs("show", "99", "--db", self.path, expect=3).stderr)
        self.assertIn("no job 99", self.jobs("close", "99", "x", "--db", self.path,
                                             expect=3).stderr)
        self.jobs(os.path.join(self.folder, "none.yaml"), expect=3)

    def test_a_full_standard_output_is_told(self):
        with open("/dev/full", "w", encoding="utf-8") as full:
            done = subprocess.run([common.PROGRAM, "jobs", "--db", self.path], stdout=full,
                                  stderr=subprocess.PIPE, text=True, check=False)
        self.assertEqual(done.returncode, 4)


if __name__ == "__main__":
    unittest.main()
