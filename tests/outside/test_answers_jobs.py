"""The answer of `verify` where it hangs on more than one scan file: on what was scanned at other stages
of the job or at another terminal, on what was taken back, on how a line is written, and on a harness
with nothing to number or no unit. See test_answers.py."""

import itertools
import json
import unittest

import promise
import test_answers
from test_answers import FILE, KEPT, PIPE, RIGHT, right
import texts

NO_UNIT = texts.said("lt_result_words", "no_unit")

# 2 comes after three, some listed later; 4 after 2 and 3; 3 holds up two.
SEVERAL = """\
harness: SV3
unit: "1"
connectors:
  - {id: X1, family: 11 mm}
  - {id: X2, family: 22 mm, after: [X1, X5, X3]}
  - {id: X3, family: 33 mm}
  - {id: X4, kind: clip, sides: 1, after: [X3, X2]}
  - {id: X5, family: 55 mm}
"""
SEVERAL_JOINTS = [promise.Joint(1, 2, False, False, []), promise.Joint(2, 2, False, False, [1, 5, 3]),
                  promise.Joint(3, 2, False, False, []), promise.Joint(4, 1, False, False, [3, 2]),
                  promise.Joint(5, 2, False, False, [])]
NOTHING_NUMBERED = """\
harness: NN2
unit: "1"
connectors:
  - {id: C1, name: left cover, kind: clip, tag: none}
  - {id: C2, name: right cover, kind: clip, tag: none}
"""


class Jobs(unittest.TestCase):
    maxDiff = None

    @classmethod
    def setUpClass(cls):
        cls.bench = test_answers.Bench()

    @classmethod
    def tearDownClass(cls):
        cls.bench.remove()

    def setUp(self):
        self.database = self.bench.new("db")

    def go(self, stage, scans, ok, missing="", wrong="", left=""):
        """One run in the job; its answer must be this."""
        lines = [promise.line_of(word) for word in scans.split()]
        code, said, _ = self.bench.verify(self.bench.scans(lines), "--stage", stage, "--db",
                                          self.database, "--json")
        document = json.loads(said)
        self.assertEqual((document["ok"], code), (ok, 0 if ok else 1))
        self.assertEqual(document["stage"], stage)
        self.assertEqual(document["missing"], [int(number) for number in missing.split()])
        self.assertEqual(document["wrong"], [pair.split("-") for pair in wrong.split()])
        self.assertEqual(document["left"], [int(number) for number in left.split()])
        self.assertEqual(len(document["events"]), len(lines))
        self.assertFalse(set(document["mated"]) & set(document["missing"] + document["left"]))

    def test_wrong_stickers_keep_reconnection_from_a_yes(self):
        self.go("tag", "4H 1M " + right("tag", 1, 4), False, "1 4", "4H-1M")
        self.go("reconnect", right("reconnect"), False)
        self.go("reconnect", "4H 4M", False)
        self.go("tag", "4H 4M", False, "1", "4H-1M")
        self.go("reconnect", "4H 4M", False)
        self.go("tag", "1H 1M", True)

    def test_the_last_line_says_so(self):
        self.go("tag", "4H 1M", False, "1 2 3 4 5 6 7", "4H-1M")
        lines = [promise.line_of(word) for word in RIGHT["reconnect"].split()]
        code, said, _ = self.bench.verify(self.bench.scans(lines), "--db", self.database)
        self.assertEqual((code, said.splitlines()[-1]), (1, test_answers.NO_WRONG_MATE))
        self.assertIn("4H with 1M", said)

    def test_wrong_stickers_put_right_in_time(self):
        self.go("tag", "4H 1M " + right("tag", 1), False, "1", "4H-1M")
        self.go("tag", "1H 1M", True)
        self.go("reconnect", right("reconnect"), True)

    def test_wrong_stickers_of_a_new_part(self):
        self.go("swap", "5X 6M", False, "5 6", "5X-6M")
        self.go("reconnect", right("reconnect"), False)
        # Put right, the part was replaced only now: nothing shows that it was plugged in since.
        self.go("swap", "5X 5M 6X 6M", True)
        self.go("reconnect", "5H 5M", False, "6")
        self.go("reconnect", "6H 6M", True)

    def test_a_wrong_sticker_found_late(self):
        self.go("reconnect", right("reconnect", 7), False, "7")
        self.go("tag", "4H 2M", False, "1 2 3 4 5 6 7", "4H-2M")
        # Both are open at reconnect, and what comes after them.
        self.go("reconnect", "~7H ~7M", False, "1 2 3 4")
        self.go("reconnect", "4H 4M 1H 1M 2H 2M 3H", False)
        self.go("tag", right("tag"), True)

    def test_what_stayed_in_is_not_asked_for(self):
        self.go("unplug", "3H 2H", False, "1 4 5 6 7")
        self.go("reconnect", "2H 2M", False, "3 5 6", left="1 4 7")
        self.go("reconnect", "3H 5H 5M", False, "6", left="1 4 7")
        self.go("reconnect", "6H 6M", True, left="1 4 7")

    def test_where_nothing_was_noted_as_apart_all_are_asked_for(self):
        self.go("unplug", "foreign:3H", False, "1 2 3 4 5 6 7")
        self.go("reconnect", right("reconnect", 7), False, "7")
        self.go("reconnect", "~7H ~7M", True)

    def test_a_wrong_mate_on_one_that_stayed_in(self):
        self.go("unplug", "3H 2H", False, "1 4 5 6 7")
        self.go("reconnect", "2H 7M " + right("reconnect", 1, 4, 7), False, "7", "2H-7M", "1 4")
        self.go("reconnect", "~7H ~7M", True, left="1 4")

    def test_apart_again_after_it_was_made(self):
        self.go("reconnect", right("reconnect"), True)
        self.go("unplug", "3H 2H 1H 4H 6H 5H", False, "7")
        self.go("reconnect", right("reconnect", 3, 7), False, "3")
        self.go("reconnect", "3H", True)

    def test_one_apart_again_opens_what_comes_after_it(self):
        self.go("reconnect", right("reconnect"), True)
        self.go("unplug", "4H", False, "1 2 3 5 6 7")
        self.go("reconnect", "4H 4M", False, "1 2 3")
        self.go("reconnect", "1H 1M 2H 2M 3H", True)

    def test_a_new_part_after_its_joints_were_made(self):
        self.go("reconnect", right("reconnect"), True)
        self.go("swap", "6X 6M 5X 5M", True)
        self.go("reconnect", "5H 5M", False, "6")
        self.go("reconnect", "6H 6M", True)

    def test_a_half_at_another_terminal(self):
        """Each run is a terminal of its own: a half of one neither pairs with the other's nor is lost."""
        self.go("reconnect", "5H 5M 5H", False, "1 2 3 4 6 7")
        self.go("reconnect", "6M 6H " + right("reconnect", 5, 6), False)
        self.go("reconnect", "4H 4M", False)
        self.go("reconnect", "5M 5H", True)

    def test_a_half_at_another_terminal_of_an_open_joint(self):
        self.go("reconnect", right("reconnect", 6) + " 6H", False, "6")
        self.go("reconnect", "6M", False, "6")
        self.go("reconnect", "6M 6H", True)

    def test_undo(self):
        """On a pipe; a wrong mate is never taken back."""
        for scans, missing, wrong in (
                ("4H 4M undo", "1 2 3 4", ""), ("4H 4M undo 4M", "1 2 3", ""),
                ("4H undo 4M", "1 2 3 4", ""), ("4H undo 4M 4H", "1 2 3", ""),
                ("4H 1M undo", "1 2 3 4", "4H-1M"), ("4H 1M undo undo 4H 4M", "1 2 3", "4H-1M"),
                ("4H 4M 4H 1M undo", "1 2 3 4", "4H-1M")):
            with self.subTest(scans=scans):
                lines = [word if word == "undo" else promise.line_of(word)
                         for word in (right("reconnect", 1, 2, 3, 4) + " " + scans).split()]
                code, said = self.bench.take(PIPE, lines, "--stage", "reconnect", "--json")
                document = json.loads(said)
                self.assertEqual((code, document["ok"]), (1, False))
                self.assertEqual(document["missing"], [int(number) for number in missing.split()])
                self.assertEqual(document["wrong"], [pair.split("-") for pair in wrong.split()])

    def test_how_a_line_is_written(self):
        """What a scanner or a payload puts around the code, and what makes two scans of a line."""
        good, other = promise.code_of("4H"), promise.code_of("4M")
        for line, verdict in (
                (good.lower(), "half"), (f"  {good}\t", "half"),
                (f"HTTP://BENCH.LOCAL:8080/{good}", "half"), (f"{good} X4 sensor to B4 sensor", "half"),
                (f"http://bench.local/a/{good.lower()} and words", "half"), (f"]Q1;{good}", "half"),
                (f"HTTP://BENCH.LOCAL:8080/{good}/#map", "misread"), (f"{good} {other}", "misread"),
                (f"{good} {good}", "misread"), (f"{good} words {other}", "misread"),
                (good[:-1], "misread"), (good + "0", "misread"), (good[1:], "misread"),
                ("0" + good, "misread"), (good[:4], "misread"), ("4", "misread"), ("H", "misread"),
                # A right check character makes no tag out of what is none.
                (promise.code_of("04H"), "misread"), (promise.code_of("100004H"), "misread"),
                (promise.code_of("0H"), "misread"), (promise.code_of("4B"), "misread"),
                (promise.code_of("4H", "ABCDEFGHIJKLM"), "misread"), (promise.code_of("4H", "A"), "misread"),
                (promise.code_of("4H", "7AB"), "misread"), (promise.code_of("4H", "ABCDEFGHIJKL"), "foreign"),
                # A bare tag stands alone.
                ("7H", "half"), ("7h", "half"), ("7H is here", "half"), ("(7H)", "half"),
                ("7H 7M", "misread"), ("7H 7H", "misread"), (f"7H {good}", "misread"),
                ("07H", "misread"), ("x/7H", "misread"), ("7 H", "misread"), ("7H-7M", "misread"),
                ("7HM", "misread"), ("77H", "misread")):
            model = promise.Promise("reconnect")
            self.assertEqual(model.feed(line), verdict, line)
            for medium in (FILE, KEPT, PIPE):
                with self.subTest(line=line, medium=medium):
                    said = self.bench.take(medium, [line], "--stage", "reconnect", "--json")[1]
                    event, = json.loads(said)["events"]
                    self.assertEqual((event["verdict"], event["scan"]), (verdict, line.strip()))

    def test_exit_code_and_document_agree_when_nothing_is_scanned(self):
        """A pipe that ends at once in a job in which the stage was done, or was not."""
        for scans, hazards in itertools.product((right("unplug"), right("unplug", 4)), (False, True)):
            bench = self.bench
            if hazards:
                bench = test_answers.Bench(promise.DESCRIPTION.replace(
                    "components:", "hazards:\n  - {energy: mains}\ncomponents:"))
                self.addCleanup(bench.remove)
            database = bench.new("db")
            lines = bench.scans(map(promise.line_of, scans.split()))
            bench.verify(lines, "--stage", "unplug", "--db", database)
            for said in ("", "quit\n", "yes\n", "yes\nquit\n", "yes\nstatus\n"):
                with self.subTest(scans=scans, hazards=hazards, said=said):
                    options = ("--stage", "unplug", "--db", database)
                    code, document, _ = bench.verify(*options, "--json", stdin=said)
                    self.assertEqual(json.loads(document)["ok"], code == 0)
                    if scans != right("unplug") or hazards and not said.startswith("yes"):
                        self.assertEqual(code, 1)

    def test_hazards_that_nobody_confirmed(self):
        """Nothing is scanned before they are, and the answer is no."""
        bench = test_answers.Bench(promise.DESCRIPTION.replace(
            "components:", "hazards:\n  - {energy: mains}\n  - {energy: air}\ncomponents:"))
        self.addCleanup(bench.remove)
        lines = "".join(promise.line_of(word) + "\n" for word in right("reconnect").split())
        for confirmed, expected in (("", 1), ("yes\n", 1), ("yes\nno\n", 1), ("yes\nyes\n", 0)):
            code, document, _ = bench.verify("--stage", "reconnect", "--db", bench.new("db"), "--json",
                                             stdin=confirmed + lines)
            document = json.loads(document)
            self.assertEqual((code, document["ok"]), (expected, expected == 0))
            self.assertEqual(document["mated"], [] if expected else [1, 2, 3, 4, 5, 6, 7])

    def test_lines_that_are_no_scans(self):
        """Comments, blank lines and times; lines are counted as they stand in the file."""
        lines = ["# a comment 4HAB7U0042D", "", "   ", f"2026-03-01T07:15:02Z\t{promise.code_of('4H')}",
                 f"2026-03-01 08:15:02.250+01:00\t{promise.code_of('4M')}", "\t# and another"]
        lines += [promise.line_of(word) for word in right("reconnect", 4).split()]
        for medium in (FILE, KEPT):
            code, said = self.bench.take(medium, lines, "--json")
            document = json.loads(said)
            self.assertEqual((code, document["ok"]), (0, True))
            self.assertEqual([(event["line"], event["scan"]) for event in document["events"][:3]],
                             [(4, promise.code_of("4H")), (5, promise.code_of("4M")),
                              (7, promise.code_of("1H"))])

    def test_standard_input_is_a_file(self):
        lines = "".join(promise.line_of(word) + "\n" for word in right("reconnect", 3).split())
        code, said, _ = self.bench.verify("-", "--json", stdin=lines)
        self.assertEqual((code, json.loads(said)["missing"]), (1, [3]))
        code, said, _ = self.bench.verify("-", "--json", stdin=lines + promise.line_of("3H"))
        self.assertEqual((code, json.loads(said)["ok"]), (0, True))
        # Reconnect is what is asked where no stage is said.
        self.assertEqual(json.loads(said)["stage"], "reconnect")

    def test_quiet_answers_by_its_exit_code(self):
        for scans, expected in ((right("reconnect"), 0), (right("reconnect", 7), 1)):
            for medium in (FILE, KEPT):
                code, said = self.bench.take(medium, map(promise.line_of, scans.split()), "--quiet")
                self.assertEqual((code, said), (expected, ""))


class SeveralBefore(unittest.TestCase):
    """Each joint that must be made first counts, not only one of them; in every order of scanning."""

    def test_every_order(self):
        bench = test_answers.Bench(SEVERAL)
        self.addCleanup(bench.remove)
        wrongs = [["5H 3M"], ["1M 2H"], ["3H 2M", "1H 5M"], ["2H 2M 2H 1M"], []]
        for stage, order in itertools.product(("reconnect", "unplug", "tag"),
                                              itertools.permutations((1, 2, 3, 4, 5))):
            pairs = [f"{number}H" if number == 4 else f"{number}H {number}M" for number in order]
            # A wrong mate somewhere in it, and some of the joints once more.
            pairs[3:3] = wrongs[(order[0] + order[3]) % 5] + pairs[1:3]
            lines = [promise.code_of(tag, "SV3U1") for tag in " ".join(pairs).split()]
            model = promise.Promise(stage, joints=SEVERAL_JOINTS, harness="SV3U1", unnumbered=[])
            events = [promise.event(number, line, model.feed(line)) for number, line in enumerate(lines, 1)]
            with self.subTest(stage=stage, pairs=pairs):
                code, said = bench.take(FILE, lines, "--stage", stage, "--json")
                document = json.loads(said)
                for key, value in dict(model.document(), events=events).items():
                    self.assertEqual(document[key], value, key)
                self.assertEqual(code, 0 if model.ok() else 1)


class NothingNumbered(unittest.TestCase):
    """No scan could prove anything, so the answer is no whatever is scanned."""

    def test_every_stage_and_medium(self):
        bench = test_answers.Bench(NOTHING_NUMBERED)
        self.addCleanup(bench.remove)
        for stage, medium, scans in itertools.product(
                ("tag", "unplug", "swap", "reconnect"), (FILE, KEPT, PIPE), ("", "1H", "1H 1M")):
            with self.subTest(stage=stage, medium=medium, scans=scans):
                lines = [promise.code_of(tag, "NN2U1") for tag in scans.split()]
                model = promise.Promise(stage, joints=[], harness="NN2U1", unnumbered=["C1", "C2"])
                code, said = bench.take(medium, lines, "--stage", stage, "--json")
                self.assertEqual(code, 1)
                document = json.loads(said)
                for key, value in model.document().items():
                    self.assertEqual(document[key], value)
                code, said = bench.take(medium, lines, "--stage", stage)
                self.assertEqual(code, 1)
                self.assertFalse(any(line.lower().startswith("yes") for line in said.splitlines()))
                if medium != PIPE:
                    self.assertEqual(said.splitlines()[-1], test_answers.NO_NUMBER)


class NoUnit(unittest.TestCase):
    """Stickers of two like modules could not be told apart, and whoever is answered yes is told."""

    def test_it_is_said(self):
        bench = test_answers.Bench(promise.DESCRIPTION.replace('unit: "0042"\n', ""))
        self.addCleanup(bench.remove)
        for without in ((), (6,)):
            lines = [promise.code_of(word, "AB7") if word[0] != "~" else word[1:]
                     for word in right("reconnect", *without).split()]
            expected = 1 if without else 0
            for medium in (FILE, KEPT, PIPE):
                with self.subTest(medium=medium, without=without):
                    code, said = bench.take(medium, lines, "--stage", "reconnect")
                    self.assertEqual(code, expected)
                    self.assertIn(NO_UNIT, " ".join(said.split()))
            done = bench.verify(bench.scans(lines), "--json")
            self.assertEqual((done[0], json.loads(done[1])["code"]), (expected, "AB7"))
            self.assertIn(NO_UNIT, done[2])
        # With one it is not.
        self.assertNotIn(NO_UNIT, bench.take(FILE, [], "--unit", "7")[1])


if __name__ == "__main__":
    unittest.main()
