"""A job played through a pseudo-terminal, as a person at the bench would: what the screen says, what is
kept in the database of jobs, and what the record says of it in the end."""

import json
import os
import re
import sqlite3
import subprocess
import unittest

import common
import terminal
import test_jobs
from texts import said

HAZARDS = ["mains 230 V", "shutter leaf under its own weight", "compressed air 6 bar to the seal"]
YES = ["yes"] * len(HAZARDS)
ORDER = [2, 1, 12, 3, 5, 4, 7, 6, 10, 9, 8, 11, 13]     # as it comes apart
# What must be made before what, from the description by hand: covers and clips last, earth first.
AFTER = {1: [6, 12], 2: [8, 10], 8: [13], 10: [13]}


def begins(stage):
    """What the head of the screen says of a stage."""
    return said("lt_live_words", "stage_begins", "LT_STAGE_" + stage.upper())


def codes(path):
    """By number: what is scanned of each side. Tags on paper are typed."""
    listing = common.tags(path)
    sides = {tag["number"]: dict(tag["codes"]) for tag in listing["tags"]}
    paper = next(tag["number"] for tag in listing["tags"] if tag["connector"] == "X9")
    sides[paper] = {side: f"{paper}{side}" for side in sides[paper]}
    return sides


def reconnection(order, after):
    """Topological, ties by the reverse of the unplugging: each time the first that may be made."""
    left, made = list(reversed(order)), []
    while left:
        number = next(n for n in left if all(m in made for m in after.get(n, [])))
        left.remove(number)
        made.append(number)
    return made


class Bench:
    """The dome-shutter sample in a folder of its own, and what must be in its job in the end."""

    def __init__(self):
        self.folder = common.workdir()
        self.path = common.sample(self.folder, "dome-shutter", registered=True)
        common.run("tags", self.path)
        self.codes = codes(self.path)
        self.database = os.path.join(self.folder, "bench.db")
        self.expected = []     # (stage, kind, what, verdict)
        self.stage = None
        self.screen = None

    def start(self, *options, **more):
        self.screen = terminal.Terminal("verify", self.path, *options, **more)
        self.screen.asked()
        return self.screen

    def hazards(self):
        """Confirms each; who did is kept."""
        for yes in YES:
            self.screen.say(yes)
        self.expected += [(self.stage, "hazard-confirmed", energy, None) for energy in HAZARDS]
        assert said("lt_live_words", "hazards_confirmed") in self.screen.screen.words()

    def began(self, stage, *skipped):
        self.expected += [(left, "stage-skipped", None, None) for left in skipped]
        self.stage = stage
        self.expected.append((stage, "stage", None, None))

    def scan(self, tag, verdict, word):
        """One scan, the verdict that must be kept and the word that must be shown."""
        code = self.codes[int(tag[:-1])][tag[-1]]
        self.expected.append((self.stage, "scan", code, verdict))
        return self.screen.say(code, word)

    def pair(self, number, first="H", second="M", word=r"RIGHT PAIR|\+\+ "):
        if second not in self.codes[number]:
            return self.scan(f"{number}{first}", "done", r"RIGHT STICKER|\+\+ ")
        how = "type" if number == 11 else "scan"    # 11 is on paper
        self.scan(f"{number}{first}", "half",
                  rf"HALF .. {number}{first} read\. Now {how} {number}{second}\b")
        return self.scan(f"{number}{second}", "mated", word)

    def right_scans(self):
        """A file of what is scanned when every joint is made in its turn."""
        path = os.path.join(self.folder, "right.scans")
        with open(path, "w", encoding="ascii") as lines:
            for number in reconnection(ORDER, AFTER):
                lines.write("".join(self.codes[number][side] + "\n" for side in "HM"
                                    if side in self.codes[number]))
        return path

    def mate(self, number):
        """The side that is on the machine now: X where the part is replaced."""
        return "X" if "X" in self.codes[number] else "M"

    def shown(self, job=1):
        return json.loads(common.run("jobs", "show", job, "--db", self.database, "--json").stdout)

    def jobs(self):
        return json.loads(common.run("jobs", "--db", self.database, "--json").stdout)["jobs"]

    def events(self, job=1):
        return self.shown(job)["events"]


def brief(event):
    """An event as Bench.expected has it: of a scan the code, of a skip the number and reason."""
    what = {"scan": event["text"], "skip": (event["number"], event["text"]),
            "tick": event["text"], "hazard-confirmed": event["text"]}.get(event["kind"])
    return event["stage"], event["kind"], what, event["verdict"]


class WholeJob(unittest.TestCase):
    maxDiff = None

    def setUp(self):
        self.bench = Bench()

    def tearDown(self):
        if self.bench.screen:
            self.bench.screen.kill()

    def tag(self):
        """The M stickers of 4 and 5, which are look-alikes, are on each other's halves."""
        bench = self.bench
        bench.began("tag")
        bench.hazards()
        bench.pair(3)
        bench.scan("4H", "half", "Now scan 4M")
        bench.scan("5M", "wrong-mate", r"WRONG MATE !! WRONG MATE: 5M is not the other half of 4H\."
                                       r".* Leave everything plugged in\..* WRONG MATE, NOT RESOLVED: "
                                       r"4H with 5M\. .*pairs of 4 and 5\.")
        self.assertEqual(bench.screen.screen.rings, 1)
        for number in (1, 2, 4, 5, 6, 7, 8, 9, 10, 12, 13):
            bench.pair(number, "H", bench.mate(number))
            self.assertEqual("NOT RESOLVED" in bench.screen.screen.words(), number in (1, 2, 4))
        screen = bench.pair(11, "H", "X")
        for words in ("DS4U0042, stage tag: 13 of 13 numbered joints checked.",
                      said("lt_result_words", "yes", "LT_STAGE_TAG"),
                      said("lt_live_words", "unplug_in_order"), "tags of 1 joint were typed by hand",
                      "[ ] left cover (C1)", "Next stage: unplug."):
            self.assertIn(words, screen)

    def unplug(self):
        bench = self.bench
        bench.screen.say("", begins("unplug") + ".*NEXT 1H drum cover catch")
        bench.began("unplug")
        for count, number in enumerate(ORDER):
            bench.scan(f"{number}H", "done", rf"APART \+\+ {number}: recorded as apart\. .*"
                                             rf" {count + 1} of 13 ")
        self.assertIn(said("lt_live_words", "all_apart"), bench.screen.screen.words())
        bench.screen.say("next", begins("swap") + r".*0 of 3.*NEXT 6X \+ 6M position encoder")

    def swap(self):
        bench = self.bench
        bench.began("swap")
        bench.pair(6, "X", "M")
        bench.pair(8, "M", "X")
        screen = bench.pair(11, "X", "M")
        self.assertIn(said("lt_result_words", "yes", "LT_STAGE_SWAP"), screen)
        self.assertIn("Next stage: reconnect.", screen)
        screen = bench.screen.say("", begins("reconnect"))
        self.assertNotRegex(screen, "[Nn]ot checked|wrong halves")
        bench.began("reconnect")

    def made(self, number, count):
        """What the screen offers is scanned, as the apprentice would."""
        bench = self.bench
        self.assertRegex(bench.screen.screen.words(), rf"(NEXT|NOW) +{number}H ")
        self.bench.pair(number)
        self.assertRegex(bench.screen.screen.words(), rf" {count} of 13 ")

    def reconnect(self):
        bench = self.bench
        order = reconnection(ORDER, AFTER)
        self.assertEqual(order, [13, 11, 8, 9, 10, 6, 7, 4, 5, 3, 12, 1, 2])
        self.made(13, 1)
        self.made(11, 2)
        bench.scan("8H", "half", "Now scan 8M.*NEW PART: it carries 8M.*Would also fit 10")
        bench.scan("10M", "wrong-mate", r"WRONG MATE: 10M is not the other half of 8H\. .*Take "
                                        r"both joints apart now\..*NOT RESOLVED: 8H with 10M")
        self.made(8, 3)
        # The trigger was held too long: one scan. The screen does not change for the second.
        code = bench.codes[9]["H"]
        bench.expected.append(("reconnect", "scan", code, "half"))
        drawn = len(bench.screen.screen.shown)
        bench.screen.send(f"{code}\r{code}\r")
        bench.screen.wait(r"HALF \.\. 9H read.* >$", since=drawn)
        bench.screen.quiet(0.3)
        self.assertEqual(len(bench.screen.screen.shown), drawn + 1)
        # The battery is flat.
        bench.screen.kill()
        self.assertEqual(bench.screen.code, -9)
        bench.start()
        self.assertRegex(bench.screen.screen.words(), r"Job 1 is open\. Opened: \d{4}-\d\d-\d\d "
                         r"\d\d:\d\d [-+]\d{4}\. Stage: reconnect, 3 of 13\. Last .*\.")
        bench.screen.say("", "Hazard 1 of 3: DANGER: mains 230 V.*harm.*isolate")
        bench.hazards()
        self.made(9, 4)
        for count, number in enumerate(order[4:-1], 5):
            self.made(number, count)
        screen = bench.pair(order[-1])
        self.assertIn("DS4U0042, stage reconnect: 13 of 13 numbered joints made.", screen)
        self.assertIn(said("lt_result_words", "yes", "LT_STAGE_RECONNECT"), screen)
        self.assertIn("A scan does not show that a joint is seated", screen)
        self.assertIn("Next stage: finish.", screen)

    def finish(self):
        bench = self.bench
        # Energy is restored last (29 CFR 1910.147 (e)), in the opposite order (common practice).
        lines = ["C1, left cover: looked at; it has no number",
                 "No wire or hose pinched behind the covers",
                 "Earth continuity from the strap E1 to the frame",
                 "Each limit switch clicks when it is pressed by hand",
                 "compressed air 6 bar to the seal: restored: V3, then V2, slowly",
                 "shutter leaf under its own weight: restored: leaf held by the hand winch, then pins out",
                 "mains 230 V: restored: last, covers closed, people clear"]
        bench.screen.say("", "0 of 7 ticked")
        bench.began("finish")
        bench.screen.say("yess", said("lt_live_words", "only_yes_ticks") + ".*0 of 7 ticked")
        seen = []
        for count in range(7):
            screen = bench.screen.screen.words()
            self.assertIn(f"{count} of 7 ticked.", screen)
            seen.append(re.search(r"\[ \] (.*?) " + re.escape(said("lt_live_words", "ask_tick")), screen)[1])
            if count < 6:
                bench.screen.say("yes", "Ticked")
        bench.screen.send("yes\r")
        self.assertEqual(bench.screen.finish(), 0, bench.screen.screen.text())
        self.assertEqual(seen, lines)
        bench.expected += [("finish", "tick", line, None) for line in seen]
        bench.expected.append(("finish", "closed", None, None))
        self.assertIn("Job 1 is closed", bench.screen.screen.words())

    def test_from_stickers_to_record(self):
        bench = self.bench
        bench.start("--stage", "tag", "--who", "Ada")
        bench.expected += [("reconnect", "opened", None, None), ("reconnect", "plan", None, None)]
        self.tag()
        self.unplug()
        self.swap()
        self.reconnect()
        self.finish()
        shown = bench.shown()
        self.assertIs(shown["job"]["closed"], True)
        self.assertIs(shown["job"]["digests_fit"], True)
        self.assertEqual([brief(event) for event in shown["events"]], bench.expected)
        self.assertEqual({event["who"] for event in shown["events"]}, {"Ada"})
        self.assertEqual({event["station"] for event in shown["events"]}, {1, 2})
        self.assertEqual(shown["events"][-1]["text"], None)
        computed, kept = test_jobs.chain(bench.database, 1)
        self.assertEqual(computed, kept)
        self.record(kept[-1])
        # The next run begins no other job unasked; in another one hazards are asked for again.
        bench.start()
        self.assertRegex(bench.screen.screen.words(), "Job 1 of DS4U0042 is closed")
        bench.screen.say("yes", said("lt_live_words", "ask_new_job"))
        self.assertEqual(len(bench.jobs()), 1)
        bench.screen.say("new", begins("tag") + ".*Hazard 1 of 3")
        self.assertEqual(len(bench.jobs()), 2)

    def record(self, last):
        bench = self.bench
        record = json.loads(common.run("record", bench.path, "--json", "-o", "-").stdout)
        self.assertIs(record["ok"], True)
        self.assertEqual([entry for entry in record["summary"] if entry["fault"]], [])
        self.assertIs(record["digest"]["fits"], True)
        self.assertEqual(record["digest"]["last"], last)
        self.assertIs(record["job"]["closed"], True)
        self.assertIs(record["unplugging_recorded"], True)
        self.assertEqual([(stage["stage"], stage["standing"]) for stage in record["stages"]],
                         [(stage, "done") for stage in
                          ("tag", "unplug", "swap", "reconnect", "finish")])
        self.assertEqual([(wrong["stage"], wrong["first"], wrong["second"])
                          for wrong in record["wrong_mates"]],
                         [("tag", "4H", "5M"), ("reconnect", "8H", "10M")])
        self.assertTrue(all(wrong["righted"] for wrong in record["wrong_mates"]))
        self.assertEqual({part["component"]: (part["joints"], part["swapped"] is not None)
                          for part in record["parts"]}, {"M1": ([8, 11], True), "B5": ([6], True)})
        joints = {joint["number"]: joint for joint in record["joints"]}
        self.assertEqual(sorted(joints), list(range(1, 14)))
        for number, joint in joints.items():
            self.assertEqual((joint["standing"], joint["skipped"]), ("made", None))
            self.assertTrue(joint["proven"] < joint["unplugged"] < joint["made"], number)
            self.assertIs(joint["proven_before"], True)
            self.assertEqual(joint["rank"], ORDER.index(number) + 1)
            self.assertEqual(joint["swapped"] is not None, number in (6, 8, 11))
            self.assertEqual(joint["made_typed"], number == 11)
        self.assertTrue(all(line["ticked"] and line["who"] == "Ada" for line in record["lines"]))
        self.assertEqual(len(record["lines"]), 7)
        counts = record["verdicts"]
        self.assertEqual((counts["wrong-mate"], counts["misread"], counts["repeat"]), (2, 0, 0))
        text = common.run("record", bench.path, "-o", "-").stdout
        for words in ("DS4U0042", "Ada", "4H", "5M", "10M", "shutter motor", "position encoder"):
            self.assertIn(words, text)
        self.assertIn(last, "".join(text.split()))


class Stages(unittest.TestCase):
    maxDiff = None

    def setUp(self):
        self.bench = Bench()

    def tearDown(self):
        if self.bench.screen:
            self.bench.screen.kill()

    def test_stages_left_out_are_recorded_and_unproven_joints_are_warned_of(self):
        bench = self.bench
        bench.start("--stage", "reconnect")
        bench.hazards()
        self.assertIn(said("lt_live_words", "stickers_unchecked"), bench.screen.screen.words())
        bench.screen.send("quit\r")
        self.assertEqual(bench.screen.finish(), 1)
        self.assertEqual([brief(event)[:2] for event in bench.events()],
                         [("reconnect", "opened"), ("reconnect", "plan"), ("tag", "stage-skipped"),
                          ("unplug", "stage-skipped"), ("swap", "stage-skipped"),
                          ("reconnect", "stage")] + [("reconnect", "hazard-confirmed")] * 3)
        self.assertTrue(all(event["text"] for event in bench.events()[2:5]))

    def test_only_what_came_apart_is_asked_for(self):
        """A skip, an undo, joints that stay plugged in, and one that nobody proved."""
        bench = self.bench
        bench.start("--stage", "tag")
        bench.hazards()
        bench.stage = "tag"
        bench.pair(9)
        bench.pair(13)
        screen = bench.screen.say("next")
        # What is missing stays on the screen until it was read.
        for words in ("2 of 13 numbered joints checked.", "[ ] 12 seal air (H1)",
                      said("lt_result_words", "no", "LT_STAGE_TAG"), "Next stage: unplug."):
            self.assertIn(words, screen)
        bench.screen.say("back", r"Back at stage tag\. 2 of 13")
        bench.screen.say("next", "Next stage: unplug")
        bench.screen.say("next", begins("unplug"))
        bench.stage = "unplug"
        bench.scan("9H", "done", "APART")
        bench.scan("3H", "done", "APART")
        bench.scan("4H", "done", "APART")
        bench.screen.say("undo", r"Undone: the scan of 4H \(APART\)\. 2 of 13")
        bench.screen.say("skip 8 stays, it is not in the way", r"8 is skipped\. It stays plugged in")
        screen = bench.screen.say("next")
        self.assertIn("2 of 13 numbered joints apart.", screen)
        self.assertRegex(screen, r"NOT SCANNED: 1, 2, 4, 5, 6, 7, 10, 11, 12, 13\. ")
        # An Enter alone, as a scanner sends it, does not leave a stage that is not done.
        bench.screen.say("", said("lt_live_words", "ask_next_stage_or_back"))
        bench.screen.say("next", begins("swap"))
        bench.screen.say("stage reconnect", r"0 of 3 .*NO: .*Next stage: reconnect")
        screen = bench.screen.say("next", begins("reconnect"))
        bench.stage = "reconnect"
        # Those of the replaced parts cannot have stayed together.
        self.assertIn("Not checked while plugged in: 3, 6, 8, 11.", screen)
        self.assertIn(" 0 of 5 [", screen)
        # One that stayed is made; it is not asked for, and its scan does no harm.
        bench.screen.say("status", r"13 frame earth \(E1\): not recorded as apart")
        bench.screen.say("skip 3", "3 is not skipped yet")
        bench.screen.say("skip 3 latch broken", r"3 is skipped\. It counts as missing")
        bench.screen.say("undo", said("lt_live_words", "skip_taken_back"))
        bench.screen.say("skip 3 latch broken", r"Skipped: 3 \(latch broken\)")
        bench.pair(9)
        bench.screen.send("quit\r")
        self.assertEqual(bench.screen.finish(), 1)
        self.assertRegex(bench.screen.screen.words(),
                         r" 1 of 5 numbered joints made\. NO: .* Missing: .*\[ \] 3 .*: skipped: "
                         "latch broken")
        events = [brief(event) for event in bench.events()]
        self.assertIn(("unplug", "skip", (8, "stays, it is not in the way"), None), events)
        self.assertEqual(events.count(("reconnect", "skip", (3, "latch broken"), None)), 2)
        self.assertEqual([event[:2] for event in events if event[1] == "undo"],
                         [("unplug", "undo"), ("reconnect", "undo")])
        record = json.loads(common.run("record", bench.path, "--json", "-o", "-").stdout)
        self.assertIs(record["ok"], False)
        joints = {joint["number"]: joint for joint in record["joints"]}
        self.assertEqual(joints[3]["skipped"]["reason"], "latch broken")
        self.assertEqual({number for number, joint in joints.items()
                          if joint["standing"] == "left-in"}, set(range(1, 14)) - {3, 6, 8, 9, 11})
        # It goes on where it stands: the other joint, with what was left plugged in named.
        bench.start()
        bench.screen.say("")
        bench.hazards()
        for number in (6, 8, 11):
            bench.pair(number)
        screen = bench.pair(3)
        self.assertIn("DS4U0042, stage reconnect: 5 of 5 numbered joints made.", screen)
        self.assertIn(said("lt_result_words", "yes", "LT_STAGE_RECONNECT"), screen)
        self.assertRegex(screen, r"NOT ASKED FOR.*: 1, 2, 4, 5, 7, 10, 12, 13\.")

    def test_another_job(self):
        bench = self.bench
        bench.start("--stage", "tag")
        bench.hazards()
        bench.stage = "tag"
        bench.pair(3)
        bench.screen.kill()
        bench.start("--stage", "tag")
        bench.screen.say("what", said("lt_live_words", "ask_resume"))
        bench.screen.say("new", "Hazard 1 of 3")
        bench.hazards()
        self.assertIn("0 of 13", bench.screen.screen.words())
        bench.screen.kill()
        self.assertRegex(bench.events(1)[-1]["text"], "^not finished: another job")
        self.assertEqual(bench.events(1)[-1]["kind"], "closed")
        self.assertEqual(bench.events(1)[-1]["stage"], "tag")
        bench.start("--new", "--stage", "tag")
        self.assertIn("Hazard 1 of 3", bench.screen.screen.words())
        bench.screen.kill()
        self.assertIs(bench.shown(2)["job"]["closed"], True)
        # At the stage that the job was at, though its events are not read for --new.
        self.assertEqual(bench.shown(2)["job"]["stage"], "tag")
        self.assertIs(bench.shown(3)["job"]["closed"], False)
        bench.start("--no-job", "--stage", "tag")
        bench.hazards()
        bench.pair(3)
        bench.screen.kill()
        self.assertEqual(len(bench.events(3)), 3)
        elsewhere = os.path.join(bench.folder, "other.db")
        bench.start("--db", elsewhere)
        bench.screen.kill()
        self.assertTrue(os.path.exists(elsewhere))

    def test_old_work_is_not_taken_for_todays(self):
        """Where nobody can be asked: a file, and the same file again."""
        bench = self.bench
        right = bench.right_scans()
        empty = os.path.join(bench.folder, "empty")
        open(empty, "w", encoding="ascii").close()
        database = os.path.join(bench.folder, "kept.db")
        common.run("verify", bench.path, right, "--db", database)
        for path in (empty, right):
            done = common.run("verify", bench.path, path, "--db", database, expect=1)
            self.assertIn("is done already", done.stderr)
            self.assertNotIn("yes", done.stdout)
        # What is half done is gone on with, and that is said.
        half = os.path.join(bench.folder, "half")
        with open(half, "w", encoding="ascii") as lines:
            lines.write(bench.codes[3]["H"] + "\n" + bench.codes[3]["M"] + "\n")
        late = os.path.join(bench.folder, "late.db")
        common.run("verify", bench.path, half, "--db", late, expect=1)
        done = common.run("verify", bench.path, right, "--db", late)
        self.assertRegex(done.stderr, "warning: .*job 1, opened")
        done = common.run("verify", bench.path, half, "--db", late, "--job", "7", expect=3)
        self.assertIn("has no job 7", done.stderr)

    def test_large_tags(self):
        """What is read at arm's length, from the ink alone: each character five by five."""
        bench = self.bench
        bench.start("--stage", "tag")
        bench.hazards()
        bench.stage = "tag"
        bench.scan("7H", "half", "HALF")
        rows = bench.screen.screen.ink_rows()
        self.assertEqual(len(rows), 11)
        # The verdict stands in a bar between the two.
        self.assertEqual(rows.pop(5).strip(), "#" * len("  HALF  "))
        self.assertEqual([row.strip() for row in rows[:5]],
                         ["##### #   #", "# #   #", "#  #####", "#   #   #", "#   #   #"])
        self.assertEqual([row.strip() for row in rows[5:]],
                         ["##### #   #       ##### #   #", "# #   #   #       # ## ##",
                          "#  #####  ###     #  # # #", "#   #   #   #     #   #   #",
                          "#   #   #         #   #   #"])


if __name__ == "__main__":
    unittest.main()
