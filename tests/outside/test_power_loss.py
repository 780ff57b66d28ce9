"""The mains fail between any two operations on the files: what was answered before is there after it,
and the database and the register are whole.

test_live_kill.py kills the program, and what the kernel has in its memory survives that. Here it does
not: of what the program did not wait to be on disk, each sector may be there, or not, or be rubbish,
and each new name may be there or not. LONG=1 tries every moment, with more draws."""

import concurrent.futures
import itertools
import json
import os
import random
import re
import shutil
import tempfile
import unittest

import common
import powerloss
import test_live_job

LONG = bool(os.environ.get("LONG"))
DRAWS = 12 if LONG else 3
SEED = 20240301
HEADER = ("bench.db", 0)
KEPT = ("scan", "hazard-confirmed", "tick")
RIGHT, WRONG = (os.path.join(common.ROOT, "samples", f"dome-shutter.{kind}.scans")
                for kind in ("right", "wrong"))


def scans_of(path):
    return [line for line in common.text(path).splitlines() if not line.startswith("#")]


class Recorded:
    """The runs on one folder: what was given, and before which operation it was answered."""

    def __init__(self, library):
        self.folder = common.workdir()
        self.path = common.sample(self.folder, "dome-shutter")
        self.database = os.path.join(self.folder, "bench.db")
        common.run("tags", self.path)
        self.codes = test_live_job.codes(self.path)
        self.log = powerloss.Log(self.folder, library)
        self.lines = []         # given, each of which leaves an event
        self.answered = [0]     # how many of the lines, before each record and behind the last

    def live(self, lines, *options, codes=(0,)):
        """A line given is answered with the first word that is said behind it."""
        begun = len(self.log.records)
        self.log.live("verify", self.path, "--db", self.database, *options, lines=lines,
                      codes=codes)
        done = len(self.lines)
        for record in self.log.records[begun:]:
            if record.what == "given" and record.data.strip():
                self.lines.append(record.data.decode().strip())
            elif record.what == "answer":
                done = len(self.lines)
            self.answered.append(done)

    def file(self, path, *options, codes=(0, 1)):
        """A scan of a file is answered when its code, or that of a later one, is said; all are with
        the exit code."""
        begun, before = len(self.log.records), len(self.lines)
        self.lines += scans_of(path)
        self.log.run("verify", self.path, path, "--db", self.database, *options, codes=codes)
        said, done = "", before
        for record in self.log.records[begun:]:
            if record.what == "answer":
                said += record.data.decode()
                done = max(done, *(number + 1 for number, line in enumerate(self.lines)
                                   if re.search(rf"\b{line}\b", said)))
            elif record.what == "exit":
                done = len(self.lines)
            self.answered.append(done)

    def shown(self):
        return json.loads(common.run("jobs", "show", 1, "--json", "--db", self.database).stdout)


def replayed(log):
    disk = powerloss.Disk(log.before)
    for record in log.records:
        disk.do(record)
    return disk


def kept_lines(events):
    """What was given, as the events have it."""
    return [event["text"] if event["kind"] == "scan" else "yes" for event in events
            if event["kind"] in KEPT]


class Judge:
    """Lets the program take up what the disk held, and holds that against what was answered."""

    def __init__(self, recorded):
        self.lines = recorded.lines
        self.digests = [event["digest"] for event in recorded.shown()["events"]]
        self.known = {}
        self.place = powerloss.scratch()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.place.cleanup()

    def recover(self, files):
        with tempfile.TemporaryDirectory(dir=self.place.name) as folder:
            powerloss.put(folder, files)
            done = common.run("jobs", "show", 1, "--json", "--db", os.path.join(folder, "bench.db"),
                              expect=None)
            return json.loads(done.stdout) if done.returncode == 0 else None, done.stderr

    def __call__(self, state):
        """What is wrong, or None."""
        files, answered, _ = state
        files = {name: data for name, data in files.items() if name.startswith("bench.db")}
        key = powerloss.key(files)
        if key not in self.known:
            self.known[key] = self.recover(files)
        shown, said = self.known[key]
        if shown is None:
            return f"{answered} answered, but refused: {said}" if answered else None
        kept = kept_lines(shown["events"])
        digests = [event["digest"] for event in shown["events"]]
        if not shown["job"]["digests_fit"] or digests != self.digests[:len(digests)]:
            return "the events are not those that happened"
        if kept != self.lines[:len(kept)] or len(kept) < answered:
            return f"{answered} answered, and {len(kept)} kept: {said}"
        return None


class Replay:
    """States that the disk may be in, at `share` of all moments, each with how many lines were
    answered before it, and behind how many records it is. `dropped` are the numbers of records that
    are left out, as if the program had not done it."""

    def __init__(self, log, answered, share=1.0, dropped=(), spared=None):
        self.log, self.answered, self.dropped, self.spared = log, answered, dropped, spared
        self.random = random.Random(SEED)
        self.share = 1.0 if LONG else share
        self.moments = self.states = 0

    def __iter__(self):
        disk = powerloss.Disk(self.log.before)
        yield from self.at(disk, 0)
        for number, record in enumerate(self.log.records):
            if number not in self.dropped:
                disk.do(record)
            if record.what not in ("ask", "given") and self.random.random() < self.share:
                yield from self.at(disk, number + 1)

    def at(self, disk, point):
        self.moments += 1
        seen = set()
        for fate in powerloss.fates(self.random, DRAWS, self.spared):
            files = disk.after(fate)
            key = powerloss.key(files)
            if key not in seen:
                seen.add(key)
                self.states += 1
                yield files, self.answered[point], point

    def judged(self, judge, until=None):
        """What is wrong in any state, with the state; ends early when so many are found."""
        found, states = [], iter(self)
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            while some := list(itertools.islice(states, 64)):
                found += [(wrong, state) for state, wrong in zip(some, pool.map(judge, some))
                          if wrong]
                if until and len(found) >= until:
                    break
        return found


def syncs(records, name, behind=None):
    """The numbers of the records that put a file, or "" the folder, on disk; with `behind` only those
    that are the next after a record that it is true of."""
    found, last = [], None
    for number, record in enumerate(records):
        if behind and behind(record):
            last = number
        if record.what in powerloss.SYNCS and record.name == name and (
                not behind or last is not None):
            found.append(number)
            last = None
    return found


def is_removal(record):
    return (record.what, record.name) == ("unlink", "bench.db-journal")


def is_new_journal(record):
    return (record.what, record.name) == ("open", "bench.db-journal")


class Job(unittest.TestCase):
    """What was answered of a job."""

    @classmethod
    def setUpClass(cls):
        cls.library = powerloss.build(common.workdir())
        cls.live = cls.whole_stage(Recorded(cls.library))
        cls.files = cls.from_files(Recorded(cls.library))

    @staticmethod
    def whole_stage(recorded):
        """Reconnecting, with a wrong mate that is put right, then the ticks, to the end of the job."""
        righted = [recorded.codes[number][side]
                   for number, side in ((8, "H"), (8, "M"), (10, "M"), (10, "H"), (2, "H"))]
        recorded.live(["yes"] * 3 + scans_of(WRONG) + righted)
        recorded.live(["yes"] * 20, "--stage", "finish")
        return recorded

    @staticmethod
    def from_files(recorded):
        """A file, another that goes on with its job, and one at a later stage."""
        some = os.path.join(common.workdir(), "some")
        with open(some, "w", encoding="ascii") as out:
            out.write("".join(scan + "\n" for scan in scans_of(WRONG)[:12]))
        recorded.file(some)
        recorded.file(RIGHT, "--json")
        return recorded

    def tried(self, what, replay, judge):
        """Tries them all; none may be wrong."""
        found = replay.judged(judge)
        print(f"power loss, {what}: {replay.states} states of the disk at {replay.moments} moments",
              flush=True)
        for _, (files, _, point) in found[:3]:
            folder = common.workdir()
            powerloss.put(folder, files)
            print(f"behind record {point}, for looking at: {folder}")
        self.assertEqual([wrong for wrong, _ in found[:3]], [], f"{len(found)} are wrong")

    def test_the_replay_is_what_was_written(self):
        """Where all is kept it is byte for byte what the program left; also when it is killed in the
        middle, with a journal beside the database."""
        for recorded in (self.live, self.files):
            self.assertEqual(kept_lines(recorded.shown()["events"]), recorded.lines)
            self.assertEqual(len(recorded.answered), len(recorded.log.records) + 1)
            self.assertEqual(recorded.answered[-1], len(recorded.lines))
            self.assertEqual(replayed(recorded.log).now(), recorded.log.files())
        journals = 0
        for stop in range(10, 400, 13):
            recorded = Recorded(self.library)
            recorded.log.run("verify", recorded.path, RIGHT, "--db", recorded.database,
                             codes=(-9,), stop=stop)
            self.assertEqual(len(recorded.log.records), stop)
            files = recorded.log.files()
            self.assertEqual(replayed(recorded.log).now(), files, stop)
            journals += len(files.get("bench.db-journal", "")) > 0
            shutil.rmtree(recorded.folder)
        self.assertGreater(journals, 5)

    def test_what_was_answered_live(self):
        self.assertGreater(len(self.live.lines), 40)
        with Judge(self.live) as judge:
            self.tried("live", Replay(self.live.log, self.live.answered, 0.2, spared=HEADER), judge)

    def test_what_was_answered_of_files(self):
        with Judge(self.files) as judge:
            self.tried("files", Replay(self.files.log, self.files.answered, 0.1, spared=HEADER),
                       judge)

    def test_without_waiting_for_the_disk_answers_are_lost(self):
        """The control: were one of these calls not made, the states that are tried would show it."""
        records = self.live.log.records
        left_out = {
            "the database": syncs(records, "bench.db"),
            "the journal": syncs(records, "bench.db-journal"),
            "the folder": syncs(records, ""),
            "the folder, behind the new journal": syncs(records, "", is_new_journal),
            "the folder, behind the journal's removal": syncs(records, "", is_removal),
        }
        with Judge(self.live) as judge:
            for what, dropped in left_out.items():
                with self.subTest(left_out=what):
                    self.assertGreater(len(dropped), 40)
                    replay = Replay(self.live.log, self.live.answered, 0.2, dropped, HEADER)
                    self.assertNotEqual(replay.judged(judge, until=1), [])

    def test_an_answer_before_the_commit_would_be_found(self):
        """The other control: each answer as soon as the line was read."""
        given, early = 0, [0]
        for record in self.live.log.records:
            given += record.what == "given" and bool(record.data.strip())
            early.append(given)
        with Judge(self.live) as judge:
            self.assertNotEqual(Replay(self.live.log, early, 0.2, spared=HEADER).judged(judge, 1),
                                [])


if __name__ == "__main__":
    unittest.main()
