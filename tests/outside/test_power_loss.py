"""The mains fail between any two operations on the files: what was answered before is there after
it, and the database and the register are whole.

test_live_kill.py kills the program, and what the kernel has in its memory survives that. Here it
does not: of what the program did not wait to be on disk, each sector may be there, or not, or be
rubbish, and each new name may be there or not. LONG=1 tries every moment, with more draws."""

import concurrent.futures
import copy
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
                done = max([done] + [number + 1 for number, line in enumerate(self.lines)
                                     if re.search(rf"\b{line}\b", said)])
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

    def __init__(self, log, answered, share=1.0, dropped=()):
        self.log, self.answered, self.dropped = log, answered, dropped
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
        for fate in powerloss.fates(self.random, DRAWS):
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
    """The numbers of the records that put a file, or "" the folder, on disk; with `behind` only
    those that are the next after a record that it is true of."""
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
        """Reconnecting, with a wrong mate that is put right, then the ticks: to the job's end."""
        righted = [recorded.codes[number][side]
                   for number, side in ((6, "H"), (6, "M"), (7, "M"), (7, "H"), (11, "H"))]
        recorded.live(["yes"] * 3 + scans_of(WRONG) + righted)
        recorded.live(["yes"] * 20, "--stage", "finish")
        return recorded

    @staticmethod
    def from_files(recorded):
        """A file, and others that go on with its job."""
        some = os.path.join(common.workdir(), "some")
        for part in (slice(0, 6), slice(6, 12)):
            with open(some, "w", encoding="ascii") as out:
                out.write("".join(scan + "\n" for scan in scans_of(WRONG)[part]))
            recorded.file(some)
        recorded.file(RIGHT, "--json")
        return recorded

    def tried(self, what, replay, judge):
        """Tries them all; none may be wrong."""
        found = replay.judged(judge)
        print(f"power loss, {what}: {replay.states} states of the disk at {replay.moments} moments",
              flush=True)
        kept = []
        for wrong, (files, _, point) in found[:3]:
            folder = common.workdir()
            powerloss.put(folder, files)
            kept.append(f"{folder}, as it is behind record {point}: {wrong}")
        self.assertEqual(kept, [], f"{len(found)} are wrong, some for looking at")

    def test_the_replay_is_what_was_written(self):
        """Where all is kept it is byte for byte what the program left; also when it is killed in
        the middle, with a journal beside the database."""
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
            self.tried("live", Replay(self.live.log, self.live.answered, 0.3), judge)

    def test_what_was_answered_of_files(self):
        with Judge(self.files) as judge:
            self.tried("scans of files",
                       Replay(self.files.log, self.files.answered, 0.15), judge)

    def test_after_a_job_was_being_begun(self):
        """Whatever is left of a database that was being made, the next run begins or goes on."""
        begun = next(number for number, record in enumerate(self.live.log.records)
                     if record.what == "given")
        log = copy.copy(self.live.log)
        log.records = log.records[:begun]
        with powerloss.scratch() as place:
            def judge(state):
                with tempfile.TemporaryDirectory(dir=place) as folder:
                    powerloss.put(folder, state[0])
                    done = common.run("verify", os.path.join(folder, "dome-shutter.yaml"),
                                      os.devnull, "--db", os.path.join(folder, "bench.db"),
                                      expect=None)
                    return done.stderr if done.returncode > 1 else None
            self.tried("begun", Replay(log, self.live.answered, 0.3), judge)

    def test_without_waiting_for_the_disk_answers_are_lost(self):
        """The control: were one of these calls not made, the states that are tried show it."""
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
                    replay = Replay(self.live.log, self.live.answered, 0.2, dropped)
                    self.assertNotEqual(replay.judged(judge, until=1), [])

    def test_an_answer_before_the_commit_would_be_found(self):
        """The other control: each answer as soon as the line was read."""
        given, early = 0, [0]
        for record in self.live.log.records:
            given += record.what == "given" and bool(record.data.strip())
            early.append(given)
        with Judge(self.live) as judge:
            self.assertNotEqual(Replay(self.live.log, early, 0.2).judged(judge, 1),
                                [])


ONE_MORE = """  - id: X77
    name: lamp
    family: lamp plug
"""


class Written:
    """One run that writes files whole: its log, and what each file that it renames into place may
    hold."""

    def __init__(self, library, *arguments, before=lambda folder, path: None):
        self.folder = common.workdir()
        self.path = common.sample(self.folder, "dome-shutter")
        before(self.folder, self.path)
        self.log = powerloss.Log(self.folder, library)
        self.log.run(*(word.format(path=self.path, folder=self.folder) for word in arguments))
        self.may_hold = {}
        disk = powerloss.Disk(self.log.before)
        for record in self.log.records:
            disk.do(record)
            if record.what == "rename":
                first = self.log.before.get(record.other)
                self.may_hold.setdefault(record.other, [first]).append(disk.now()[record.other])
        self.at_the_end = disk.now()
        # Whether the run was over, or had said what it did.
        said = 0
        self.said = [0]
        for record in self.log.records:
            said = said or int(record.what in ("answer", "exit"))
            self.said.append(said)

    def judge(self, state):
        """What is wrong with the files, or None."""
        files, said, _ = state
        for name, contents in self.may_hold.items():
            if said and files.get(name) != contents[-1]:
                return f"{name} is not what it was said to be"
            if files.get(name) not in contents:
                return f"{name} is neither the old nor the new one"
        for name, data in self.log.before.items():
            if name not in self.may_hold and files.get(name) != data:
                return f"{name} was changed"
        return None


def numbered(_, path):
    """A register that knows the numbers, and of no sticker."""
    common.run("tags", path)


def one_more(folder, path):
    """Stickers that are printed, and then a joint more in the description."""
    common.run("stickers", path, "-o", os.path.join(folder, "out.pdf"))
    described = common.text(path)
    assert "\nfinish:" in described
    with open(path, "w", encoding="utf-8") as out:
        out.write(described.replace("\nfinish:", "\n" + ONE_MORE + "\nfinish:"))


def done(folder, path):
    """A job whose record can be written."""
    common.run("tags", path)
    common.run("verify", path, RIGHT, "--db", os.path.join(folder, "bench.db"))


def check_renames(log, name):
    """That a file was put into its place for good: written, on disk, renamed, the folder on disk,
    and only then a word or the end of the run. Gives how often."""
    records = log.records
    renames = [number for number, record in enumerate(records)
               if (record.what, record.other) == ("rename", name)]
    for number in renames:
        temporary = records[number].name
        before, behind = records[:number], records[number:]
        what = [record.what for record in before if record.name == temporary]
        written = max(at for at, kind in enumerate(what) if kind == "write")
        assert set(what[written:]) & set(powerloss.SYNCS), f"{temporary} was renamed too early"
        ends = next(at for at, record in enumerate(behind) if record.what in ("answer", "exit"))
        assert syncs(behind[:ends], ""), f"{name} is called done before its folder is on disk"
    assert records[-1].what == "exit" and records[-1].number == 0, records[-1]
    return len(renames)


def check_register_first(log, name):
    """That the register was in its place for good before the stickers were in theirs."""
    register, stickers = (next(number for number, record in enumerate(log.records)
                               if record.other == file) for file in ("dome-shutter.tags", name))
    assert any(register < number < stickers for number in syncs(log.records, "")), \
        "stickers were there before the register with their numbers was on disk"


def check_commits(log):
    """That each transaction was put on disk in the order that it needs: journal and its name,
    database, removal of the journal, and only then a word. Gives how many there were."""
    records = log.records
    begun = count = 0
    written = [number for number, record in enumerate(records)
               if (record.what, record.name) in (("write", "bench.db"), ("truncate", "bench.db"))]
    for removal in (number for number, record in enumerate(records) if is_removal(record)):
        here = [number for number in written if begun <= number < removal]
        begun, part = removal, records[begun:removal]
        if not here:
            continue
        count += 1
        written = written[len(here):]
        first, last = here[0] - removal + len(part), here[-1] - removal + len(part)
        journal = [number for number, record in enumerate(part) if record.what in ("write", "open")
                   and record.name == "bench.db-journal"]
        assert any(number > journal[-1] for number in syncs(part[:first], "bench.db-journal")), \
            "the database was written before its journal was on disk"
        assert any(number > journal[0] for number in syncs(part[:first], "")), \
            "the database was written before the name of its journal was on disk"
        assert any(number > last for number in syncs(part, "bench.db")), \
            "the journal was removed before the database was on disk"
        behind = records[removal:]
        ends = next(at for at, record in enumerate(behind) if at and (
            record.what in ("answer", "exit") or is_new_journal(record)))
        assert syncs(behind[:ends], ""), "answered before the removal of the journal was on disk"
    assert not written, "the database was written with no journal"
    return count


class Order(unittest.TestCase):
    """In which order files are put on disk, checked at the log itself."""

    @classmethod
    def setUpClass(cls):
        cls.library = powerloss.build(common.workdir())

    def without(self, log, dropped):
        """The same log with some records left out."""
        less = copy.copy(log)
        less.records = [record for number, record in enumerate(log.records)
                        if number not in dropped]
        return less

    def refused(self, check, log, dropped, *arguments):
        """The control: without these records the check does not hold."""
        self.assertTrue(dropped)
        with self.assertRaises(AssertionError):
            check(self.without(log, dropped), *arguments)

    def files(self):
        """Each kind of file that is written whole, with how often that happens in the run."""
        yield "dome-shutter.tags", 1, Written(self.library, "tags", "{path}")
        yield "dome-shutter.tags", 1, Written(self.library, "tags", "{path}", before=one_more)
        stickers = Written(self.library, "stickers", "{path}", "-o", "{folder}/out.pdf",
                           before=one_more)
        yield "dome-shutter.tags", 1, stickers
        # X stickers that were not out before are marked when they are.
        yield "dome-shutter.tags", 2, Written(self.library, "stickers", "{path}", "-o",
                                              "{folder}/out.pdf", before=numbered)
        yield "out.pdf", 1, stickers
        yield "x.json", 1, Written(self.library, "record", "{path}", "-o", "{folder}/x.json",
                                   before=done)

    def test_files_written_whole(self):
        for name, times, written in self.files():
            with self.subTest(name=name):
                log = written.log
                self.assertEqual(check_renames(log, name), times)
                temporary = {record.name for record in log.records if record.other == name}
                for file in temporary:
                    self.refused(check_renames, log, syncs(log.records, file), name)
                self.refused(check_renames, log, syncs(log.records, ""), name)

    def test_what_is_printed_is_in_the_register_first(self):
        """Or a number could be on a sticker, and be given away a second time."""
        written = Written(self.library, "stickers", "{path}", "-o", "{folder}/out.pdf",
                          before=one_more)
        check_register_first(written.log, "out.pdf")
        self.refused(check_register_first, written.log, syncs(written.log.records, ""), "out.pdf")
        self.assertIn(b"X77", written.may_hold["dome-shutter.tags"][1])

    def test_jobs(self):
        job = Job.whole_stage(Recorded(self.library))
        records = job.log.records
        # Each line has one of its own.
        self.assertGreaterEqual(check_commits(job.log), len(job.lines))
        self.refused(check_commits, job.log, syncs(records, "bench.db-journal"))
        self.refused(check_commits, job.log, syncs(records, "bench.db"))
        self.refused(check_commits, job.log, syncs(records, "", is_new_journal))
        self.refused(check_commits, job.log, syncs(records, "", is_removal))
        # One that was made without a journal.
        self.refused(check_commits, job.log,
                     [number for number, record in enumerate(records) if is_removal(record)][-1:])
        # And an answer right behind the removal, with the folder still to be synced.
        removal = max(number for number, record in enumerate(records) if is_removal(record))
        early = copy.copy(job.log)
        early.records = list(records)
        early.records.insert(removal + 1, next(record for record in records
                                               if record.what == "answer"))
        with self.assertRaises(AssertionError):
            check_commits(early)

    def test_files_after_a_power_cut(self):
        """Each is the old one or the new one, and the new one once the program has said so; numbers
        are given by the register that is left as they would have been."""
        moments = states = 0
        with powerloss.scratch() as place:
            for name, _, written in self.files():
                with self.subTest(name=name):
                    replay = Replay(written.log, written.said)
                    found = replay.judged(written.judge)
                    self.assertEqual([wrong for wrong, _ in found[:3]], [])
                    moments, states = moments + replay.moments, states + replay.states
                    for dropped in self.syncs_of(written.log):
                        control = Replay(written.log, written.said, dropped=dropped)
                        self.assertNotEqual(control.judged(written.judge, 1), [])
                    self.numbers(place, written)
        print(f"power loss, files written whole: {states} states of the disk at {moments} moments",
              flush=True)

    def syncs_of(self, log):
        """What is to be left out of the log, one file after the other, and the folder."""
        names = {record.name for record in log.records if record.what in powerloss.SYNCS}
        self.assertIn("", names)
        return [syncs(log.records, name) for name in names]

    def numbers(self, place, written):
        """The program gives the same numbers from whatever register is left."""
        expected = common.tags(written.path)
        for content in written.may_hold.get("dome-shutter.tags", []):
            with tempfile.TemporaryDirectory(dir=place) as folder:
                files = dict(written.log.before)
                files.pop("dome-shutter.tags", None)
                if content is not None:
                    files["dome-shutter.tags"] = content
                powerloss.put(folder, files)
                self.assertEqual(common.tags(os.path.join(folder, "dome-shutter.yaml")), expected)


if __name__ == "__main__":
    unittest.main()
