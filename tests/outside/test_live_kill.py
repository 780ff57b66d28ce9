"""The live job killed with SIGKILL at 200 moments, seeded and so the same each time as far as the
clock allows: nothing that was answered on the screen may be lost, and what is kept is whole.

This tests the program and what it asks of SQLite. It does not test the disk: what the kernel has in
its memory survives the death of a process, so whether a commit is on disk when the mains fail is
for the disk and its synchronous writes."""

import os
import random
import re
import shutil
import sqlite3
import threading
import time
import unittest

import common
import terminal
import test_jobs
import test_live_job

# What stands on the screen for each verdict that is kept, at stage tag.
WORDS = {"HALF": "half", "RIGHT PAIR": "mated", "RIGHT STICKER": "done", "SCANNED BEFORE": "repeat",
         "SAME SIDE": "same-side", "WRONG MATE": "wrong-mate", "MISREAD": "misread"}
ANSWER = re.compile(r"^ {6}(" + "|".join(WORDS) + r")  \r*$", re.M)
AGAIN, NEW = 170, 30       # kills of one long job; and of a job that is being begun
SCANS = 20                 # that a run of the long job answers at most, about


def answers(raw):
    """The verdicts that were shown, in order; a screen that was cut off counts from its word on."""
    screens = re.sub(r"\x1b\[[0-9;]*m", "", raw.decode("utf-8", "replace")).split("\x1b[H\x1b[2J")
    return [WORDS[found[1]] for found in map(ANSWER.search, screens) if found]


class Killed(unittest.TestCase):
    def setUp(self):
        self.random = random.Random(20240229)
        self.bench = test_live_job.Bench()
        self.journals = 0
        self.kept = []

    def stream(self):
        """Scans without end, never twice the same in a row, and never those of joint 13: the stage
        does not end. Right pairs, pairs that are wrong, what was made before, and misreads."""
        before = ""
        while True:
            one, other = self.random.choices([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12], k=2)
            if self.random.random() < 0.8:
                other = one
            mate = self.bench.codes[other].get(self.bench.mate(other))
            for code in (self.bench.codes[one]["H"], mate or self.bench.codes[3]["M"]):
                if self.random.random() < 0.1:
                    code = code[:-1] + ("0" if code[-1] != "0" else "1")
                if code != before:
                    yield code
                before = code

    def play(self, screen, stream, sent):
        """Goes on with the job and scans, one by one or in a burst, until it is killed."""
        screen.asked()
        if "Job 1 is open." in screen.screen.words():
            screen.say("")
        for yes in test_live_job.YES:
            screen.say(yes)
        while True:
            burst = [next(stream) for _ in range(self.random.choice([1, 1, 1, 4]))]
            since = len(screen.raw)
            sent += burst
            screen.send("".join(code + "\r" for code in burst))
            while len(answers(screen.raw)) < len(sent):
                screen.go_on_reading(10, f"{len(sent)} scans are not all answered")
            screen.asked(since=since)

    def killed(self, path, delay, stream):
        """One run; gives what was scanned and what was answered on the screen."""
        screen = terminal.Terminal("verify", path, "--stage", "tag")
        timer = threading.Timer(delay, os.kill, (screen.pid, 9))
        timer.start()
        sent = []
        try:
            self.play(screen, stream, sent)
        except terminal.Ended:
            pass
        finally:
            timer.cancel()
            screen.kill()
        self.assertEqual(screen.code, -9, screen.screen.text())
        return sent, answers(screen.raw)

    def lasts(self, scans):
        """How long a run takes here and now, in a new folder: until it asks, or answers so many
        scans. What is killed is killed within that time, so that it does not matter how fast the
        machine is, or what else it does."""
        folder = self.fresh()
        stream, sent, start = self.stream(), [], time.monotonic()
        with terminal.Terminal("verify", folder, "--stage", "tag") as screen:
            screen.asked()
            for yes in test_live_job.YES if scans else ():
                screen.say(yes)
            while len(sent) < scans:
                sent.append(next(stream))
                screen.send(sent[-1] + "\r")
                while len(answers(screen.raw)) < len(sent):
                    screen.go_on_reading(10, f"{len(sent)} scans are not all answered")
            return time.monotonic() - start

    def fresh(self):
        """A description in a folder of its own, with its register."""
        folder = common.workdir()
        for name in ("dome-shutter.yaml", "dome-shutter.tags"):
            shutil.copy(os.path.join(self.bench.folder, name), folder)
        return os.path.join(folder, "dome-shutter.yaml")

    def check(self, folder):
        """Judges a copy, so that the program itself finds what was left half done. Gives the scans
        with their verdicts."""
        copy = common.workdir()
        names = [name for name in os.listdir(folder) if name.startswith("bench.db")]
        for name in names:
            shutil.copy(os.path.join(folder, name), copy)
        self.journals += "bench.db-journal" in names
        path = os.path.join(copy, "bench.db")
        if not os.path.exists(path) or not os.path.getsize(path):
            return None
        db = sqlite3.connect(path)
        self.assertEqual(db.execute("PRAGMA integrity_check").fetchall(), [("ok",)])
        if db.execute("PRAGMA user_version").fetchone() == (0,):
            self.assertEqual(db.execute("SELECT count(*) FROM sqlite_master").fetchone(), (0,))
            db.close()
            return None
        jobs = db.execute("SELECT count(*) FROM job").fetchone()[0]
        scans = [(text.decode(), verdict) for text, verdict in db.execute(
            "SELECT text, verdict FROM event WHERE kind = 'scan' ORDER BY seq")]
        db.close()
        if jobs:
            computed, said = test_jobs.chain(path, 1)
            self.assertEqual(computed, said)
        self.assertLessEqual(jobs, 1)
        shutil.rmtree(copy)
        return scans

    def test_200_moments(self):
        stream = self.stream()
        answered = unanswered = 0
        for number in range(AGAIN):
            if number % 17 == 0:
                span = self.lasts(SCANS)
            # From before anything is opened to many scans later.
            sent, shown = self.killed(self.bench.path, self.random.uniform(0, span), stream)
            scans = self.check(self.bench.folder) or []
            fresh = scans[len(self.kept):]
            self.assertEqual(scans[:len(self.kept)], self.kept, number)
            self.assertEqual([text for text, _ in fresh], sent[:len(fresh)], number)
            self.assertGreaterEqual(len(fresh), len(shown), number)
            self.assertEqual([verdict for _, verdict in fresh][:len(shown)], shown, number)
            answered += len(shown)
            unanswered += len(fresh) - len(shown)
            self.kept = scans
        if os.environ.get("LOOMTAG_FIGURES"):
            print(f"{AGAIN} kills, {answered} scans answered, {unanswered} kept and not answered any"
                  f" more, {self.journals} transactions broken off")
        # Or the kills were not where they are meant to be.
        self.assertGreater(answered, 2 * AGAIN)
        self.assertGreater(self.journals, 3)
        shown = self.bench.shown()
        self.assertIs(shown["job"]["digests_fit"], True)
        self.assertEqual(shown["job"]["scans"], len(self.kept))

    def test_at_the_very_beginning(self):
        """The job that is being begun, its database that is being made."""
        begun = 0
        for _ in range(NEW):
            path = self.fresh()
            folder = os.path.dirname(path)
            span = 1.5 * self.lasts(0)
            sent, shown = self.killed(path, self.random.uniform(0, span), self.stream())
            scans = self.check(folder)
            begun += scans is not None
            self.assertEqual([text for text, _ in scans or []], sent[:len(scans or [])])
            self.assertGreaterEqual(len(scans or []), len(shown))
            # Whatever was left there, the next run begins or goes on.
            with terminal.Terminal("verify", path, "--stage", "tag") as screen:
                self.assertRegex(screen.asked(), r"Hazard 1 of 3|Job 1 is open\.")
            self.assertEqual(len(self.check(folder)), len(scans or []))
        self.assertTrue(0 < begun < NEW, begun)


if __name__ == "__main__":
    unittest.main()
