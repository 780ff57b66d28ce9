"""What keeps a job from a wrong yes: old work, work at another terminal, what is still open when energy
is restored, events that were changed."""

import json
import os
import re
import shutil
import sqlite3
import time
import unittest

import common
import terminal
import test_jobs
import test_live_job
from texts import said

HOUR = 60 * 60 * 1000
RECONNECT = said("lt_live_words", "stage_begins", "LT_STAGE_RECONNECT")


class Guards(unittest.TestCase):
    def setUp(self):
        self.bench = test_live_job.Bench()
        self.path, self.codes = self.bench.path, self.bench.codes
        self.screens = []

    def tearDown(self):
        for screen in self.screens:
            screen.kill()

    def start(self, *options):
        self.screens.append(self.bench.start(*options))
        return self.screens[-1]

    def pairs(self, *numbers, mate="M"):
        """Lines of a scan file."""
        path = os.path.join(self.bench.folder, "scans-" + "-".join(map(str, numbers)))
        with open(path, "w", encoding="ascii") as lines:
            for number in numbers:
                lines.write(f"{self.codes[number]['H']}\n{self.codes[number][mate]}\n")
        return path

    def old_job(self, at, version=2):
        """A database, written without the program, with a job at reconnect in which 3 was made."""
        path = os.path.join(self.bench.folder, f"old-{version}-{at}.db")
        book = test_jobs.Book(path, version)
        job, before = book.job("DS4U0042", "DS4", "0042", None, "C", at)
        plan = [("plan", test_jobs.plan_of(self.path), None, None)] if version > 1 else []
        for kind, text, tag, verdict in (("opened", None, None, None), *plan,
                                         ("stage", None, None, None),
                                         ("scan", self.codes[3]["H"], "3H", "half"),
                                         ("scan", self.codes[3]["M"], "3M", "mated")):
            before = book.event(job, before, at, "Ada", 1, kind, "reconnect", text, tag, verdict, 0, 0)
        return path

    def test_a_job_of_another_day_is_not_gone_on_with_unasked(self):
        now = int(time.time() * 1000)
        scans = self.pairs(4)
        for hours in (13, 240, -13):
            with self.subTest(hours=hours):
                database = self.old_job(now - hours * HOUR)
                before = test_jobs.chain(database, 1)
                for arguments in ((scans,), ()):
                    done = common.run("verify", self.path, *arguments, "--db", database, expect=1)
                    self.assertRegex(done.stderr, "error: job 1, .* --job")
                    self.assertNotIn("made", done.stdout)
                self.assertEqual(test_jobs.chain(database, 1), before)
                done = common.run("verify", self.path, scans, "--db", database, "--job", "1", expect=1)
                self.assertIn("2 of 13 numbered joints made", done.stdout)
        database = self.old_job(now - HOUR)
        done = common.run("verify", self.path, scans, "--db", database, expect=1)
        self.assertRegex(done.stderr, "warning: .*job 1, opened")
        self.assertIn("2 of 13 numbered joints made", done.stdout)
        done = common.run("verify", self.path, scans, "--db", database, "--new", expect=1)
        self.assertIn("warning: job 1 of DS4U0042 was open", done.stderr)
        self.assertIn("1 of 13 numbered joints made", done.stdout)

    def test_a_job_that_was_changed_is_not_gone_on_with(self):
        database = self.old_job(int(time.time() * 1000))
        with sqlite3.connect(database) as db:
            db.execute("UPDATE event SET verdict = 'half' WHERE id = 5")
        db.close()
        done = common.run("verify", self.path, self.pairs(4), "--db", database, expect=4)
        self.assertIn("event 5", done.stderr)
        self.assertIn("--new", done.stderr)
        self.assertEqual(done.stdout, "")
        # Which is so.
        done = common.run("verify", self.path, self.pairs(4), "--db", database, "--new", expect=1)
        self.assertIn("warning: job 1 of DS4U0042 was open", done.stderr)
        self.assertIn("1 of 13 numbered joints made", done.stdout)
        computed, kept = test_jobs.chain(database, 2)
        self.assertEqual(computed, kept)

    def test_a_job_that_does_not_say_what_it_was_checked_against(self):
        """One of version 1, without the mark of its description."""
        database = self.old_job(int(time.time() * 1000), version=1)
        before = test_jobs.chain(database, 1)
        done = common.run("verify", self.path, self.pairs(4), "--db", database, expect=3)
        self.assertRegex(done.stderr, "warning: job 1 .*every joint is asked for again")
        self.assertRegex(done.stderr, "error: job 1 .*--changed\n  hint: .*--changed.*--new")
        self.assertEqual(done.stdout, "")
        self.assertEqual(test_jobs.chain(database, 1), before)
        done = common.run("verify", self.path, self.pairs(4), "--db", database, "--changed", expect=1)
        self.assertIn("1 of 13 numbered joints made", done.stdout)
        self.assertRegex(done.stdout, "missing +3 ")
        record = json.loads(common.run("record", self.path, "--db", database, "--json", "-o", "-").stdout)
        self.assertIs(record["plans"][0]["voids_all"], True)
        self.assertIn("EVENTS BEFORE EVENT 5 DO NOT COUNT",
                      " ".join(line["text"] for line in record["summary"] if line["fault"]))

    def test_a_first_job_begins_with_the_stickers_and_a_second_is_asked_for(self):
        screen = self.start("--who", "Ada")
        self.bench.hazards()
        self.assertEqual([event["stage"] for event in self.bench.events()
                          if event["kind"] == "stage"], ["tag"])
        screen.kill()
        common.run("jobs", "close", "1", "motor is not to be had", "--db", self.bench.database)
        before = test_jobs.chain(self.bench.database, 1)
        screen = self.start("--who", "Ben")
        self.assertIn("Job 1 of DS4U0042 is closed", screen.screen.words())
        # Enter, or a scan, begins nothing.
        screen.say("", re.escape(said("lt_live_words", "ask_new_job") + " >") + "$")
        screen.say(self.codes[3]["H"], said("lt_live_words", "scan_not_counted"))
        screen.send("quit\r")
        self.assertEqual(screen.finish(), 1)
        self.assertEqual(test_jobs.chain(self.bench.database, 1), before)
        screen = self.start("--who", "Ben")
        screen.say("new", "Hazard 1 of 3")
        self.assertEqual([event["kind"] for event in self.bench.events(2)],
                         ["opened", "plan", "stage"])

    def test_a_store_that_was_put_back_stops_the_job(self):
        """Whether it was copied over, or replaced by another file of the same name."""
        for way in (lambda older: shutil.copyfile(older, self.bench.database),
                    lambda older: os.replace(older, self.bench.database)):
            self.bench = test_live_job.Bench()
            self.codes = self.bench.codes
            screen = self.start("--stage", "reconnect")
            self.bench.hazards()
            screen.say(self.codes[13]["H"], "HALF")
            older = os.path.join(self.bench.folder, "older.db")
            shutil.copyfile(self.bench.database, older)
            screen.say(self.codes[13]["M"], "RIGHT PAIR")
            way(older)
            before = common.data(self.bench.database)
            screen.send(self.codes[12]["H"] + "\r")
            try:
                screen.wait("while it was in use", 5)
            except terminal.Ended:
                pass
            self.assertNotEqual(screen.finish(), 0)
            self.assertRegex(screen.screen.words(), "while it was in use")
            self.assertNotRegex(screen.screen.words(), "HALF .. 12H")
            self.assertEqual(common.data(self.bench.database), before)
            self.assertEqual(*test_jobs.chain(self.bench.database, 1))

    def test_no_scan_counts_in_a_stage_that_was_not_seen(self):
        one = self.start("--stage", "unplug", "--who", "Ada")
        self.bench.hazards()
        two = self.start("--who", "Ben")
        two.say("")
        self.bench.hazards()
        two.say("stage reconnect", "Next stage: reconnect")
        two.say("next", RECONNECT)
        one.wait("STAGE CHANGED to reconnect at another terminal, by Ben", 5)
        one.scan(self.codes[13]["H"])
        one.scan(self.codes[13]["M"])
        one.quiet(0.5)
        self.assertNotIn("RIGHT PAIR", one.screen.words())
        self.assertEqual([event for event in self.bench.events() if event["kind"] == "scan"], [])
        one.say("", "Stage reconnect.* 0 of 13")
        one.say(self.codes[13]["H"], "HALF")
        one.say(self.codes[13]["M"], "RIGHT PAIR")
        # And a job that is closed under somebody's hands takes nothing more.
        two.kill()
        common.run("jobs", "close", "1", "motor is not to be had", "--db", self.bench.database)
        one.wait("JOB CLOSED at another terminal by .*: motor is not to be had\\.", 5)
        self.assertEqual(one.finish(), 1)

    def test_undo_after_a_scan_that_changed_nothing(self):
        screen = self.start("--stage", "unplug")
        self.bench.hazards()
        screen.say(self.codes[3]["H"], "APART")
        screen.say(self.codes[3]["M"], "SCANNED BEFORE")
        screen.say("undo", said("lt_live_words", "undo_idle") + ".* 1 of 13")
        screen.say("undo", r"Undone: the scan of 3H \(APART\)\. 0 of 13")

    def test_finish_says_what_is_open_before_energy_is_restored(self):
        screen = self.start("--stage", "reconnect")
        self.bench.hazards()
        screen.say(self.codes[13]["H"], "HALF")
        screen.say(self.codes[13]["M"], "RIGHT PAIR")
        screen.say("stage finish", "1 of 13 numbered joints made.*" + said(
            "lt_result_words", "no", "LT_STAGE_RECONNECT"))
        screen.say("next", said("lt_live_words", "energy_while_open") +
                   r".*NOT MADE: 1, 2, 3, .*, 12\. .* stage reconnect\.")
        # Lines that restore energy are ticked with a warning.
        for _ in range(4):
            screen.say("yes", said("lt_live_words", "ticked"))
        for _ in range(2):
            rings = screen.screen.rings
            screen.say("yes", said("lt_live_words", "ticked_while_open"))
            self.assertGreater(screen.screen.rings, rings)
        screen.say("undo", said("lt_live_words", "tick_taken_back"))
        screen.say("yes", said("lt_live_words", "ticked_while_open"))
        screen.send("yes\r")
        self.assertEqual(screen.finish(), 1)
        words = screen.screen.words()
        self.assertIn("Job 1 is NOT CLOSED. Stage reconnect is not done.", words)
        self.assertNotIn(said("lt_result_words", "yes", "LT_STAGE_FINISH"), words)
        self.assertIs(self.bench.shown()["job"]["closed"], False)
        record = json.loads(common.run("record", self.path, "--json", "-o", "-").stdout)
        self.assertIs(record["ok"], False)

    def test_a_new_part_is_to_be_plugged_in_again(self):
        database = os.path.join(self.bench.folder, "swap.db")
        common.run("verify", self.path, self.bench.right_scans(), "--db", database)
        swap = os.path.join(self.bench.folder, "swap")
        with open(swap, "w", encoding="ascii") as lines:
            for number in (6, 8, 11):
                lines.write(f"{self.codes[number]['X']}\n{self.codes[number]['M']}\n")
        common.run("verify", self.path, swap, "--db", database, "--stage", "swap")
        done = common.run("verify", self.path, self.pairs(6), "--db", database, expect=1)
        for number, name in ((8, "motor power"), (11, "motor thermal contact")):
            self.assertRegex(done.stdout, rf"missing +{number}  {name}")
        done = common.run("verify", self.path, "--db", database, "--stage", "finish",
                          stdin="yes\n" * 20, expect=1)
        self.assertIn("Job 1 is NOT CLOSED", done.stdout)


if __name__ == "__main__":
    unittest.main()
