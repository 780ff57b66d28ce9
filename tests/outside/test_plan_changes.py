"""A description, or a register, that changes while a job is open: what was recorded of a joint that
changed counts no more, in every medium, and nothing goes on before somebody has seen it."""

import json
import os
import re
import shutil
import sqlite3
import time
import unittest

import common
import terminal
from texts import said

NAMES = {"X1": "aa 1", "X2": "bb 2", "X3": "cc 3"}


def describe(folder, name, *ids, more=""):
    path = os.path.join(folder, name)
    with open(path, "w", encoding="ascii") as out:
        out.write('harness: RV3\nunit: "42"\nnumbers: order\nconnectors:\n')
        for connector in ids:
            out.write(f"  - {{id: {connector}, family: {NAMES.get(connector, 'dd 4')}{more}}}\n")
    return path


class Changes(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.database = os.path.join(self.folder, "bench.db")
        self.screens = []

    def tearDown(self):
        for screen in self.screens:
            screen.kill()

    def numbered(self, name, *ids, **more):
        path = describe(self.folder, name, *ids, **more)
        common.run("tags", path)
        return path

    def scans(self, path, words):
        """A file with the scans of tags such as 1H, by the numbers of a description."""
        codes = {tag["number"]: tag["codes"] for tag in common.tags(path)["tags"]}
        name = os.path.join(self.folder, words.replace(" ", "-") + ".scans")
        with open(name, "w", encoding="ascii") as out:
            for word in words.split():
                out.write(codes[int(word[:-1])][word[-1]] + "\n")
        return name

    def verify(self, path, words, *options, expect, scans_of=None):
        return common.run("verify", path, self.scans(scans_of or path, words), "--db",
                          self.database, *options, expect=expect)

    def answer(self, path, words, *options, expect, scans_of=None):
        done = self.verify(path, words, "--json", *options, expect=expect, scans_of=scans_of)
        return json.loads(done.stdout)

    def start(self, path, *options, **more):
        screen = terminal.Terminal("verify", path, "--db", self.database, *options, **more)
        self.screens.append(screen)
        return screen

    def events(self, job=1):
        return json.loads(common.run("jobs", "show", job, "--db", self.database,
                                     "--json").stdout)["events"]


class Files(Changes):
    """Scans from files, where nobody can be asked."""

    def test_the_id_of_a_joint_that_is_gone(self):
        """The lamp, X2, is taken out, and the motor, X1, is called X2 from now on."""
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        self.verify(path, "2H 2M", expect=1)
        os.remove(path.replace(".yaml", ".tags"))
        with open(path, "w", encoding="ascii") as out:
            out.write('harness: RV3\nunit: "42"\nnumbers: order\nconnectors:\n  - {id: X3, family: cc 3}\n'
                      '  - {id: X2, was: X1, family: aa 1}\n')
        common.run("tags", path)
        answer = self.answer(path, "1H 1M", "--changed", expect=1)
        self.assertEqual(answer["missing"], [2])
        self.answer(path, "2H 2M", expect=0)

    def test_nothing_is_no_list_of_scans(self):
        path = self.numbered("a.yaml", "X1", "X2")
        self.verify(path, "1H 2H", "--stage", "unplug", expect=0)
        done = self.verify(path, "", "--stage", "unplug", expect=1)
        self.assertIn("is done already", done.stderr)
        done = self.verify(path, "", "--stage", "swap", "--new", expect=1)
        self.assertIn(said("lt_result_words", "no_scan"), done.stdout)

    def test_a_number_of_another_connector(self):
        """Number 1 was scanned as X1, and is X3 by the other description."""
        one = self.numbered("a.yaml", "X1", "X2", "X3")
        other = self.numbered("b.yaml", "X3", "X2", "X1")
        self.verify(one, "1H 1M", expect=1)
        before = len(self.events())
        done = self.verify(other, "2H 2M 3H 3M", expect=3)
        self.assertIn("1 X3: the number was 3 and is now 1. What was recorded of this joint no longer "
                      "counts.", done.stderr)
        self.assertIn("--changed", done.stderr)
        # Their stickers are wrong now.
        self.assertRegex(done.stderr, r"3 and is now 1.*\n  hint: print the stickers of 1 again")
        self.assertEqual(done.stdout, "")
        self.assertEqual(len(self.events()), before)
        answer = self.answer(other, "2H 2M 3H 3M", "--changed", expect=1)
        self.assertEqual((answer["ok"], answer["mated"], answer["missing"]), (False, [2, 3], [1]))
        done = common.run("jobs", "close", 1, other, "--db", self.database, expect=3)
        self.assertIn("job 1 is not finished", done.stderr)
        # Nor by the description that it was begun with.
        done = common.run("jobs", "close", 1, one, "--db", self.database, expect=3)
        self.assertIn("this is not the description that job 1 was checked against", done.stderr)
        self.assertIs(self.answer(other, "1H 1M", expect=0)["ok"], True)
        common.run("jobs", "close", 1, other, "--db", self.database)

    def test_a_register_that_was_lost(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        self.verify(path, "1H 1M 2H 2M", expect=1)
        os.remove(path.replace(".yaml", ".tags"))
        describe(self.folder, "a.yaml", "X3", "X1", "X2")
        common.run("tags", path)
        answer = self.answer(path, "3H 3M", "--changed", expect=1)
        self.assertEqual((answer["mated"], answer["missing"]), ([3], [1, 2]))

    def test_two_lines_of_a_register_exchanged(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        self.verify(path, "1H 1M", expect=1)
        register = path.replace(".yaml", ".tags")
        with open(register, "w", encoding="ascii") as out:
            out.write("loomtag register 1 RV3\n1 X2 -\n2 X1 -\n3 X3 -\n")
        self.verify(path, "2H 2M 3H 3M", expect=3)
        answer = self.answer(path, "2H 2M 3H 3M", "--changed", expect=1)
        self.assertEqual((answer["mated"], answer["missing"]), ([2, 3], [1]))

    def test_a_wrong_mate_with_a_joint_that_is_gone(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        self.verify(path, "1H 2M", expect=1)
        describe(self.folder, "a.yaml", "X1", "X3")
        common.run("tags", path)
        done = self.verify(path, "1H 1M 3H 3M", "--changed", expect=1)
        self.assertIn("2 of 2 numbered joints made", done.stdout)
        self.assertRegex(done.stdout, r"WRONG MATE, NOT RESOLVED: 1H 2M \(X1, X2\)\. .*apart 1H 2M\n")
        self.assertRegex(done.stdout, r"\nNO: [^\n]+\n$")
        common.run("jobs", "close", 1, path, "--db", self.database, expect=3)
        record = json.loads(common.run("record", path, "--db", self.database, "-o", "-",
                                       "--json").stdout)
        self.assertIs(record["ok"], False)
        self.assertIsNone(record["wrong_mates"][0]["righted"])
        gone = [joint for joint in record["joints"] if not joint["described"]]
        self.assertEqual([(joint["number"], joint["connector"]) for joint in gone], [(2, "X2")])

    def test_what_is_no_change(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        self.verify(path, "1H 1M", expect=1)
        # Names, places and what nobody had said.
        describe(self.folder, "a.yaml", "X1", "X2", "X3", more=", name: lamp, place: left")
        self.verify(path, "2H 2M", expect=1)
        # The order alone.
        describe(self.folder, "a.yaml", "X3", "X2", "X1")
        self.assertEqual(self.answer(path, "3H 3M", expect=0)["mated"], [1, 2, 3])
        self.assertEqual([event["kind"] for event in self.events()].count("plan"), 1)

    def test_what_is_described_for_the_first_time(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        self.verify(path, "1H 1M", expect=1)
        describe(self.folder, "a.yaml", "X1", "X2", "X3", more=", port: PWR")
        self.verify(path, "2H 2M", expect=3)
        self.assertEqual(self.answer(path, "2H 2M 3H 3M", "--changed", expect=0)["mated"],
                         [1, 2, 3])
        plans = json.loads(common.run("record", path, "--db", self.database, "-o", "-",
                                      "--json").stdout)["plans"]
        self.assertEqual([len(plan["changes"]) for plan in plans], [0, 3])
        self.assertEqual(plans[1]["changes"][0],
                         "1 X1: the port was not described and is now PWR.")

    def test_no_answer_of_old_scans(self):
        """A change that opens nothing makes no old scan a new answer."""
        path = self.numbered("a.yaml", "X1", "X2")
        common.run("verify", path, self.scans(path, "1H 1M 2H 2M"), "--db", self.database)
        empty = os.path.join(self.folder, "empty")
        open(empty, "w", encoding="ascii").close()
        with open(path, "a", encoding="ascii") as out:
            out.write("finish: [covers closed]\n")
        for _ in range(2):
            done = common.run("verify", path, empty, "--db", self.database, "--changed", expect=1)
            self.assertIn("is done already", done.stderr)
            self.assertNotIn("yes", done.stdout)

    def test_without_a_job(self):
        done = common.run("verify", self.numbered("a.yaml", "X1"), "-", "--changed", expect=2)
        self.assertRegex(done.stderr, "--changed .*--db")


class Live(Changes):
    """At a terminal, where somebody is asked."""

    def made(self, screen, path, words):
        for scan in common.text(self.scans(path, words)).split():
            screen.say(scan)
        return screen.screen.words()

    def test_the_change_is_shown_and_asked_about(self):
        one = self.numbered("a.yaml", "X1", "X2", "X3")
        screen = self.start(one, "--stage", "reconnect")
        screen.asked()
        self.made(screen, one, "1H 1M")
        screen.kill()
        other = self.numbered("b.yaml", "X3", "X2", "X1")
        screen = self.start(other, "--stage", "reconnect")
        screen.asked()
        shown = screen.say("", "THE DESCRIPTION HAS CHANGED")
        self.assertIn("1 X3: the number was 3 and is now 1. What was recorded of this joint no longer "
                      "counts.", shown)
        self.assertRegex(shown, r"2 numbers have changed\. Print their stickers again\.")
        # Nothing but yes goes on, and a scan is no yes.
        code = common.text(self.scans(other, "2H")).strip()
        for words in (code, "next", "ok", ""):
            screen.say(words, "THE DESCRIPTION HAS CHANGED")
        scans = [event for event in self.events() if event["kind"] == "scan"]
        self.assertEqual(len(scans), 2)
        screen.say("yes", "0 of 3")
        self.assertIn("2 of 3", self.made(screen, other, "2H 2M 3H 3M"))
        screen.send("quit\r")
        self.assertEqual(screen.finish(), 1)

    def test_quit_changes_nothing(self):
        one = self.numbered("a.yaml", "X1", "X2", "X3")
        self.verify(one, "1H 1M", expect=1)
        before = self.events()
        screen = self.start(self.numbered("b.yaml", "X3", "X2", "X1"), "--stage", "reconnect")
        screen.asked()
        screen.say("", "THE DESCRIPTION HAS CHANGED")
        screen.send("quit\r")
        self.assertEqual(screen.finish(), 1)
        self.assertEqual(self.events(), before)

    def test_on_a_pipe_nobody_can_be_asked(self):
        one = self.numbered("a.yaml", "X1", "X2", "X3")
        self.verify(one, "1H 1M", expect=1)
        other = self.numbered("b.yaml", "X3", "X2", "X1")
        lines = common.text(self.scans(other, "2H 2M 3H 3M"))
        done = common.run("verify", other, "--db", self.database, stdin=lines, expect=3)
        self.assertIn("the number was 3 and is now 1", done.stdout)
        self.assertNotIn("right pair", done.stdout)
        done = common.run("verify", other, "--db", self.database, "--changed", stdin=lines, expect=1)
        self.assertIn("the number was 3 and is now 1", done.stdout)
        self.assertIn("2 of 3 numbered joints made.", done.stdout)
        self.assertIn(said("lt_result_words", "no", "LT_STAGE_RECONNECT"), done.stdout)

    def test_another_terminal_sees_it_before_its_next_scan(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        one = self.start(path, "--stage", "reconnect")
        one.asked()
        self.made(one, path, "1H 1M 2H")
        # The file changes, and a second terminal goes on by it.
        describe(self.folder, "a.yaml", "X1", "X3")
        common.run("tags", path)
        two = self.start(path, "--stage", "reconnect", who="Ben")
        two.asked()
        two.say("", "2 X2: this joint was removed")
        two.say("yes", "1 of 2")
        one.wait("THE DESCRIPTION HAS CHANGED at another terminal, by Ben.*2 X2: this joint was removed",
                 5)
        one.asked()
        code = common.text(self.scans(path, "3H")).strip()
        one.say(code, said("lt_live_words", "scan_not_counted"))
        self.assertEqual(self.events()[-1]["kind"], "plan")
        # Its own file says the same by now, so that it can go on; what was in hand is let go.
        one.say("", "1 of 2")
        self.made(one, path, "3H")
        one.send(common.text(self.scans(path, "3M")).strip() + "\r")
        one.wait("2 of 2 numbered joints made.*yes: every right pair.*Job 1 is closed")

    def test_another_terminal_with_a_description_that_differs(self):
        one = self.numbered("a.yaml", "X1", "X2", "X3")
        other = self.numbered("b.yaml", "X3", "X2", "X1")
        screen = self.start(one, "--stage", "reconnect")
        screen.asked()
        self.verify(other, "2H 2M", "--changed", expect=1)
        screen.wait("THE DESCRIPTION HAS CHANGED at another terminal", 5)
        screen.asked()
        screen.say("", said("lt_live_words", "changed_since") + ".*"
                       "1 X1: the number was 3 and is now 1")
        screen.say("again", "THE DESCRIPTION HAS CHANGED since")
        screen.say("yes", "1 of 3")
        self.assertEqual([event["kind"] for event in self.events()].count("plan"), 3)

    def at_a_question(self):
        """A terminal that has checked all stickers and asks whether to unplug."""
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        screen = self.start(path, "--stage", "tag")
        screen.asked()
        self.assertIn("Next stage: unplug.", self.made(screen, path, "1H 1M 2H 2M 3H 3M"))
        return path, screen

    def test_no_question_is_answered_from_elsewhere(self):
        path, one = self.at_a_question()
        describe(self.folder, "a.yaml", "X1", "X2", "X3", "X4")
        common.run("tags", path)
        two = self.start(path, "--stage", "tag", who="Ben")
        two.asked()
        two.say("")
        two.say("yes", "3 of 4")
        shown = one.wait("THE DESCRIPTION HAS CHANGED at another terminal, by Ben.*"
                         "4 X4: this joint is new", 5)
        self.assertTrue(shown)
        one.asked()
        time.sleep(1.5)
        self.assertEqual([event["stage"] for event in self.events() if event["kind"] == "stage"],
                         ["tag"])
        one.say("", said("lt_live_words", "stage_begins", "LT_STAGE_TAG") + ".*3 of 4")

    def test_quit_where_the_description_has_none_of_the_joints(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        screen = self.start(path, "--stage", "reconnect")
        screen.asked()
        other = self.numbered("b.yaml", "X1", "X7", "X8", "X9")
        self.verify(other, "3H", "--changed", expect=1)
        screen.wait("THE DESCRIPTION HAS CHANGED at another terminal", 5)
        screen.asked()
        screen.say("", re.escape(said("lt_live_words", "ask_changed")))
        screen.send("quit\r")
        self.assertEqual(screen.finish(), 1)

    def test_a_joint_that_is_gone_and_was_apart(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        screen = self.start(path, "--stage", "unplug")
        screen.asked()
        self.made(screen, path, "1H 2H")
        screen.kill()
        describe(self.folder, "a.yaml", "X1", "X3")
        common.run("tags", path)
        done = self.verify(path, "1H 1M", "--stage", "reconnect", "--changed", expect=1)
        self.assertRegex(done.stdout, r"NOT RESOLVED: 2H \(X2\) was recorded as apart.* gone 2H\n")
        answer = self.answer(path, "1H 1M", "--stage", "reconnect", expect=1)
        self.assertEqual((answer["missing"], answer["unsettled"]), ([], ["2H"]))
        common.run("jobs", "close", 1, path, "--db", self.database, expect=3)
        screen = self.start(path, "--stage", "reconnect")
        screen.asked()
        screen.say("", "NOT RESOLVED: 2H .X2. was recorded as apart")
        screen.say("gone 1H", said("lt_live_words", "gone_how"))
        screen.send("gone 2h\r")
        screen.wait("RV3U42, stage reconnect: 1 of 1 .*yes: every right pair")

    def test_its_own_file_cannot_be_read_any_more(self):
        path = self.numbered("a.yaml", "X1", "X2")
        screen = self.start(path, "--stage", "reconnect")
        screen.asked()
        self.made(screen, path, "1H 1M 2H")
        code = common.text(self.scans(path, "2M")).strip()
        right = common.text(path)
        with open(path, "a", encoding="ascii") as out:
            out.write("hazards: [\n")
        shown = screen.say(code, "a.yaml:.*error.*" + said("lt_live_words", "file_unreadable") +
                           " " + said("lt_live_words", "ask_corrected"))
        self.assertNotIn("yes: every", shown)
        with open(path, "w", encoding="ascii") as out:
            out.write(right)
        screen.send("\r")
        screen.wait("RV3U42, .* 2 of 2 .*yes: every.*Job 1 is closed", 5)

    def test_a_hazard_that_comes_into_the_description(self):
        path = self.numbered("a.yaml", "X1", "X2")
        screen = self.start(path, "--stage", "reconnect")
        screen.asked()
        self.made(screen, path, "1H 1M 2H")
        code = common.text(self.scans(path, "2M")).strip()
        with open(path, "a", encoding="ascii") as out:
            out.write("hazards:\n  - energy: mains 230 V\n")
        screen.say(code, "New line to tick: mains 230 V: restored")
        screen.say("yes", "Hazard 1 of 1: mains 230 V")
        screen.say("", said("lt_live_words", "only_yes_confirms"))
        self.assertFalse([event for event in self.events() if event["kind"] == "closed"])
        screen.send("yes\r")
        screen.wait("RV3U42, .* 2 of 2 .*yes: every", 5)

    def test_a_scan_is_no_name(self):
        path = self.numbered("a.yaml", "X1", "X2")
        screen = terminal.Terminal("verify", path, "--db", self.database, who=None)
        self.screens.append(screen)
        screen.asked()
        self.assertIn(said("lt_live_words", "who_works"), screen.screen.words())
        screen.say(common.text(self.scans(path, "1H")).strip(), said("lt_live_words", "scan_not_counted"))
        screen.say("Ann", "0 of 2")
        self.assertEqual({event["who"] for event in self.events()}, {"Ann"})

    def test_its_own_file_is_edited_while_it_scans(self):
        path = self.numbered("a.yaml", "X1", "X2")
        screen = self.start(path, "--stage", "reconnect")
        screen.asked()
        self.made(screen, path, "1H 1M 2H")
        code = common.text(self.scans(path, "2M")).strip()
        describe(self.folder, "a.yaml", "X1", "X2", "X3")
        common.run("tags", path)
        screen.say(code, said("lt_live_words", "changed_since") + ".*"
                         "3 X3: this joint is new")
        screen.say("yes", said("lt_live_words", "new_description") + ".*2 of 3")
        self.assertFalse([event for event in self.events() if event["kind"] == "closed"])
        self.made(screen, path, "3H")
        screen.send(common.text(self.scans(path, "3M")).strip() + "\r")
        screen.wait("RV3U42, .* 3 of 3 .*yes: every.*Job 1 is closed")

    def test_a_job_that_is_closed_while_something_is_asked(self):
        _, one = self.at_a_question()
        common.run("jobs", "close", 1, "motor gone", "--db", self.database)
        self.assertEqual(one.finish(), 1)
        self.assertRegex(one.screen.words(), r"JOB CLOSED at another terminal by .*: motor gone\.")

    def test_a_description_of_another_unit(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        screen = self.start(path, "--stage", "reconnect")
        screen.asked()
        self.made(screen, path, "1H 1M")
        other = self.numbered("b.yaml", "X3", "X2", "X1")
        self.verify(other, "2H 2M", "--changed", expect=1)
        with open(path, encoding="ascii") as described:
            text = described.read()
        with open(path, "w", encoding="ascii") as out:
            out.write(text.replace('"42"', '"43"'))
        screen.wait("THE DESCRIPTION HAS CHANGED at another terminal", 5)
        screen.asked()
        screen.say("", "1 X1: the number was 3 and is now 1")
        shown = screen.say("again", "RV3U42")
        self.assertNotIn("RV3U43 ", shown.replace("description of RV3U43, ", ""))
        self.assertIn("THE DESCRIPTION HAS CHANGED since", shown)

    def test_a_wrong_mate_with_a_joint_that_is_gone(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        screen = self.start(path, "--stage", "reconnect")
        screen.asked()
        self.made(screen, path, "1H 2M")
        screen.kill()
        describe(self.folder, "a.yaml", "X1", "X3")
        common.run("tags", path)
        screen = self.start(path, "--stage", "reconnect")
        screen.asked()
        screen.say("")
        screen.say("yes", r"WRONG MATE, NOT RESOLVED: 1H 2M \(X1, X2\)")
        shown = self.made(screen, path, "1H 1M 3H 3M")
        self.assertIn("2 of 2", shown)
        self.assertNotIn("yes: every", shown)
        screen.say("apart 1H 3M", said("lt_live_words", "apart_how"))
        screen.send("apart 1h 2m\r")
        screen.wait("RV3U42, .* 2 of 2 .*yes: every right pair.*Job 1 is closed")
        event = [event for event in self.events() if event["kind"] == "settled"][0]
        self.assertEqual((event["text"], event["who"]), ("1H 2M", "Ada"))


class Stores(Changes):
    """A store that is exchanged under a live session."""

    def begun(self):
        path = self.numbered("a.yaml", "X1", "X2", "X3")
        screen = self.start(path, "--stage", "reconnect")
        screen.asked()
        codes = common.text(self.scans(path, "1H 1M 2H 2M 3H 3M")).split()
        screen.say(codes[0])
        screen.say(codes[1], "1 of 3")
        return screen, codes

    def refused(self, screen, code, words):
        screen.send(code + "\r")
        self.assertEqual(screen.finish(), 4)
        self.assertRegex(screen.screen.words(), words)
        self.assertNotIn("right pair", screen.screen.words().split("error:")[-1])

    def test_put_back_in_place(self):
        screen, codes = self.begun()
        kept = os.path.join(self.folder, "kept.db")
        shutil.copy(self.database, kept)
        screen.say(codes[2])
        screen.say(codes[3], "2 of 3")
        with open(kept, "rb") as old, open(self.database, "r+b") as now:
            now.write(old.read())
            now.truncate()
        # Noticed at once, or at the latest by the next scan.
        time.sleep(1)
        self.refused(screen, codes[4], "was replaced while it was in use.* hint: ")
        self.assertEqual([event["tag"] for event in self.events()][-2:], ["1H", "1M"])

    def test_put_back_by_another_file(self):
        screen, codes = self.begun()
        kept = os.path.join(self.folder, "kept.db")
        shutil.copy(self.database, kept)
        screen.say(codes[2])
        screen.say(codes[3], "2 of 3")
        os.replace(kept, self.database)
        self.refused(screen, codes[4], "was moved or deleted while it was in use.* hint: ")

    def test_removed(self):
        screen, codes = self.begun()
        os.remove(self.database)
        self.refused(screen, codes[2], "was moved or deleted while it was in use.* hint: ")

    def test_the_last_yes(self):
        """Everything was answered, then the store was put back: no yes is said any more."""
        screen, codes = self.begun()
        kept = os.path.join(self.folder, "kept.db")
        shutil.copy(self.database, kept)
        for code in codes[2:5]:
            screen.say(code)
        with sqlite3.connect(self.database) as db:
            db.execute("BEGIN IMMEDIATE")
            screen.send(codes[5] + "\r")
            time.sleep(0.5)
        db.close()
        with open(kept, "rb") as old, open(self.database, "r+b") as now:
            now.write(old.read())
            now.truncate()
        screen.finish()
        self.assertEqual(len([event for event in self.events() if event["kind"] == "scan"]), 2)


class Who(Changes):
    """Whose name the record has."""

    def setUp(self):
        super().setUp()
        self.path = self.numbered("a.yaml", "X1", "X2", "X3")
        self.home = {"XDG_STATE_HOME": os.path.abspath(os.path.join(self.folder, "state"))}

    def test_asked_once_a_job_and_remembered(self):
        screen = self.start(self.path, who=None, env=self.home)
        screen.asked()
        self.assertIn(said("lt_live_words", "who_works"), screen.screen.words())
        screen.say("Ada L\u00f6w", said("lt_live_words", "stage_begins", "LT_STAGE_TAG"))
        self.assertEqual({event["who"] for event in self.events()}, {"Ada L\u00f6w"})
        screen.kill()
        # The same terminal and job: not asked again. A terminal of that name is made by now.
        name = os.path.join(self.home["XDG_STATE_HOME"], "loomtag", "terminals")
        fields = common.text(name).rstrip("\n").split("\t")
        self.assertEqual(fields[1:], [os.path.realpath(self.database), "1", "Ada L\u00f6w"])
        for kept, asked in ((fields[2], False), ("7", True)):
            with self.subTest(job=kept):
                with open(name, "w", encoding="utf-8") as out:
                    for number in range(200):
                        out.write(f"/dev/pts/{number}\t{fields[1]}\t{kept}\tZo\u00eb\n")
                screen = self.start(self.path, who=None, env=self.home)
                screen.asked()
                shown = screen.say("")
                self.assertEqual(said("lt_live_words", "who_works") in shown, asked)
                if asked:
                    self.assertRegex(shown, "Enter .*: Zo\u00eb ")
                    screen.say("")
                screen.say(common.text(self.scans(self.path, "1H")).strip())
                self.assertEqual(self.events()[-1]["who"], "Zo\u00eb")
                screen.kill()

    def test_quit_begins_nothing(self):
        screen = self.start(self.path, who=None, env=self.home)
        screen.asked()
        screen.send("quit\r")
        self.assertEqual(screen.finish(), 1)
        listed = json.loads(common.run("jobs", "--db", self.database, "--json").stdout)
        self.assertEqual(listed["jobs"], [])

    def test_given(self):
        screen = self.start(self.path, "--who", "Ben", env=self.home)
        screen.asked()
        self.assertNotIn(said("lt_live_words", "who_works"), screen.screen.words())
        self.assertEqual({event["who"] for event in self.events()}, {"Ben"})
        self.assertFalse(os.path.exists(self.home["XDG_STATE_HOME"]))


if __name__ == "__main__":
    unittest.main()
