"""Scanners as they are, two terminals on one job, and what the live screen does when the database
cannot be used: all through pseudo-terminals."""

import hashlib
import json
import os
import pty
import re
import signal
import sqlite3
import subprocess
import termios
import time
import tty
import unittest

import common
import terminal
import test_live_job
from texts import said

# The keys of a French keyboard (AZERTY, as in common operating systems) where a scanner set to
# another country presses them without shift: what arrives for each digit and letter.
FRENCH = {**dict(zip("1234567890", "&\u00e9\"'(-\u00e8_\u00e7\u00e0")),
          **dict(zip("AQZWM", "QAWZ,")), ";": "M"}
UNSHARED = subprocess.run(["unshare", "--mount", "true"], capture_output=True,
                          check=False).returncode == 0


class Live(unittest.TestCase):
    def setUp(self):
        self.bench = test_live_job.Bench()
        self.bench.stage = "tag"

    def tearDown(self):
        if self.bench.screen:
            self.bench.screen.kill()

    def start(self, *options, **more):
        screen = self.bench.start("--stage", "tag", *options, **more)
        self.bench.hazards()
        return screen

    def scans(self, job=1):
        return [(event["tag"], event["verdict"]) for event in self.bench.events(job)
                if event["kind"] == "scan"]


class Scanners(Live):
    def type(self, screen, typed, pattern):
        """As a scanner, with what it puts before and behind; must be answered without a key."""
        since = len(screen.raw)
        start = time.monotonic()
        screen.send(typed)
        words = screen.asked(2, since)
        self.assertRegex(words, pattern)
        return time.monotonic() - start

    def test_ends_and_beginnings(self):
        screen = self.start()
        h, m = self.bench.codes[3]["H"], self.bench.codes[3]["M"]
        expected = []
        for end in ("\r", "\n", "\r\n", "\t", ""):
            took = self.type(screen, h + end, "HALF .. 3H read")
            self.assertLess(took, 0.6)
            self.type(screen, m + end, "RIGHT PAIR" if not expected else "SCANNED BEFORE")
            expected += [("3H", "half"), ("3M", "repeat" if expected else "mated")]
        self.assertEqual(self.scans(), expected)
        # A symbology identifier before it (ISO/IEC 15424): told once which setting it is.
        self.type(screen, "]Q1" + self.bench.codes[4]["H"] + "\r", "HALF .. 4H read")
        self.type(screen, "]Q1" + self.bench.codes[4]["M"] + "\r", "RIGHT PAIR")
        self.type(screen, self.bench.codes[5]["H"].lower() + "\r", "HALF .. 5H read")
        self.type(screen, self.bench.codes[5]["M"].swapcase() + "\r", "RIGHT PAIR")

    def test_a_person_types_at_leisure(self):
        screen = self.start()
        screen.person("11H")
        self.assertRegex(screen.asked(), "HALF .. 11H read")
        screen.person("11Y\b", end="")
        screen.person("X")
        self.assertRegex(screen.asked(), r"RIGHT PAIR \+\+ 11: right pair")
        # With no end, what is typed waits for one, however long.
        screen.person(self.bench.codes[3]["H"], end="")
        self.assertTrue(screen.quiet(0.4))
        self.assertEqual(len(self.scans()), 2)
        screen.say("", "HALF .. 3H read")

    def test_a_keyboard_of_another_country(self):
        screen = self.start()

        def typed(code):
            return "".join(FRENCH.get(c, c).lower() for c in code)

        screen.say(typed(self.bench.codes[3]["H"]), "HALF .. 3H read.*[Ss]canner.*[Kk]eyboard")
        words = screen.say(typed(self.bench.codes[3]["M"]), "RIGHT PAIR")
        self.assertNotRegex(words, "[Kk]eyboard")
        screen.say(typed("3HDS4U0042Q"), "MISREAD")
        self.assertEqual(self.scans(), [("3H", "half"), ("3M", "mated"), (None, "misread")])

    def test_double_triggers(self):
        screen = self.start()
        h, m = self.bench.codes[3]["H"], self.bench.codes[3]["M"]
        screen.say(h, "HALF")
        screen.send(h + "\r")
        screen.quiet(0.35)
        self.assertEqual(self.scans(), [("3H", "half")])
        # Later, or with another between, it is a scan.
        screen.say(h, "SAME SIDE|HALF")
        screen.say(m, "RIGHT PAIR")
        screen.say(h, "HALF")
        screen.say("undo", "Undone")
        screen.say(h, "HALF")
        self.assertEqual(len(self.scans()), 5)

    def test_a_serial_scanner(self):
        """A pseudo-terminal stands for the line; then its cable is pulled out."""
        ours, theirs = pty.openpty()
        tty.setraw(theirs)
        screen = self.start("--device", os.ttyname(theirs))
        os.close(theirs)
        since = len(screen.raw)
        os.write(ours, (self.bench.codes[3]["H"] + "\r").encode())
        screen.wait("HALF .. 3H read")
        screen.asked()
        os.write(ours, self.bench.codes[3]["M"].encode())
        screen.wait(r"RIGHT PAIR \+\+ 3")
        # Half of a scan, and the cable.
        os.write(ours, self.bench.codes[4]["H"][:4].encode())
        time.sleep(0.05)
        os.close(ours)
        screen.wait(said("lt_live_words", "scanner_lost"))
        screen.asked()
        screen.say(self.bench.codes[4]["H"], "HALF .. 4H read")
        self.assertEqual(self.scans(), [("3H", "half"), ("3M", "mated"), ("4H", "half")])
        screen.kill()
        for device, words in (("/dev/none", "No such file"), (self.bench.path, "device")):
            done = common.run("verify", self.bench.path, "--device", device, stdin="", expect=4)
            self.assertIn(words, done.stderr)
            self.assertIn("hint:", done.stderr)


class Endings(Live):
    def lines_are_edited(self, screen):
        return bool(termios.tcgetattr(screen.fd)[3] & termios.ICANON)

    def test_the_terminal_is_put_back(self):
        """Whoever ends it, the shell gets a terminal that shows what is typed."""
        for ending, code in (("\x03", -signal.SIGINT), ("\x04", 1), ("quit\r", 1)):
            screen = self.start("--new")
            self.assertFalse(self.lines_are_edited(screen))
            self.bench.pair(3)
            screen.send(ending)
            end = time.monotonic() + 10
            while os.waitid(os.P_PID, screen.pid, os.WEXITED | os.WNOWAIT | os.WNOHANG) is None:
                self.assertLess(time.monotonic(), end)
                screen.read(0.05)
            self.assertTrue(self.lines_are_edited(screen), ending)
            screen.reap()
            self.assertEqual(screen.code, code)
        self.assertEqual(self.scans(1), [("3H", "half"), ("3M", "mated")])

    def test_a_scan_is_no_answer_to_a_question(self):
        screen = self.bench.start("--stage", "tag")
        code = self.bench.codes[3]["H"]
        screen.say(code, "Hazard 1 of 3.*" + said("lt_live_words", "scan_not_counted"))
        self.bench.hazards()
        self.bench.pair(3)
        screen.kill()
        screen = self.bench.start("--stage", "tag")
        screen.say(code, said("lt_live_words", "scan_not_counted") + " " +
                   said("lt_live_words", "ask_resume"))
        self.assertEqual(len(self.scans()), 2)


class TwoTerminals(Live):
    def test_each_sees_the_other(self):
        one = self.start("--who", "Ada")
        two = self.bench.start("--who", "Zo\u00eb")
        self.assertIn("Job 1 is open.", two.screen.words())
        two.say("")
        self.bench.hazards()
        codes = self.bench.codes
        try:
            def scan(screen, tag, words):
                """What the other does may be told just before the answer."""
                since = len(screen.screen.shown)
                screen.scan(codes[int(tag[:-1])][tag[-1]])
                screen.wait(words, since=since)
                screen.asked()

            scan(one, "3H", "HALF .. 3H read")
            two.wait(r"1 event at another terminal, by Ada: 3H HALF\.")
            scan(two, "4H", "HALF .. 4H read. Now scan 4M")
            # Each has a half in hand, and sees its own: neither is the mate of the other's.
            one.wait("at another terminal.* by Zo\u00eb: 4H HALF.* NOW 3H [+] 3M")
            scan(one, "3M", r"RIGHT PAIR \+\+ 3")
            two.wait("NOW 4H [+] 4M")
            scan(two, "4M", r"RIGHT PAIR \+\+ 4.* 2 of 13 ")
            one.wait(" 2 of 13 ")
            for first, second in ((5, 6), (7, 9), (10, 12)):
                scan(one, f"{first}H", "HALF")
                scan(two, f"{second}{self.bench.mate(second)}", "HALF")
                scan(one, f"{first}M", "RIGHT PAIR")
                scan(two, f"{second}H", "RIGHT PAIR")
            # What the other did is not taken back from here.
            one.wait("at another terminal.* 12H RIGHT PAIR")
            one.say("undo", said("lt_live_words", "nothing_to_take_back"))
            # A half in hand when a terminal dies is asked for at the other, when nothing else is.
            scan(two, "3H", "HALF")
            two.kill()
            for number in (1, 2, 8, 11, 13):
                mate = self.bench.mate(number)
                for side in ("H", mate) if mate in codes[number] else ("H",):
                    scan(one, f"{number}{side}", r"\+\+|HALF")
            self.assertRegex(one.screen.words(), "13 of 13 .*NEXT 3H was read at another terminal.*"
                                                 "pair of 3")
            scan(one, "3H", "HALF")
            one.scan(codes[3]["M"])
            one.wait("13 of 13 numbered joints checked.*" + said(
                "lt_result_words", "yes", "LT_STAGE_TAG"))
        finally:
            one.kill()
        events = [event for event in self.bench.events() if event["kind"] == "scan"]
        self.assertEqual({event["verdict"] for event in events}, {"half", "mated", "done",
                                                                 "repeat"})
        self.assertEqual({(event["who"], event["station"]) for event in events},
                         {("Ada", 1), ("Zo\u00eb", 2)})
        self.assertIs(self.bench.shown()["job"]["digests_fit"], True)


class Refusals(Live):
    def refused(self, database, words, expect=4):
        """No question about hazards is even asked, and not a byte of the file is another."""
        before = hashlib.sha256(common.data(database)).hexdigest()
        listed = sorted(os.listdir(os.path.dirname(database) or "."))
        screen = terminal.Terminal("verify", self.bench.path, "--db", database)
        self.assertEqual(screen.finish(), expect, screen.screen.text())
        self.assertRegex(screen.screen.words(), words)
        self.assertNotIn("Hazard 1", screen.raw.decode())
        self.assertEqual(hashlib.sha256(common.data(database)).hexdigest(), before)
        self.assertEqual(sorted(os.listdir(os.path.dirname(database) or ".")), listed)

    def test_databases_that_are_not_ours(self):
        screen = self.start()
        self.bench.pair(3)
        screen.kill()
        good = common.data(self.bench.database)
        for name, alter, words in (
                ("newer", "PRAGMA user_version = 99", "newer loomtag.* hint:"),
                ("other", "PRAGMA application_id = 7", "another program.* hint:"),
                ("tables", "DROP TABLE event", "damaged.* hint:")):
            path = os.path.join(self.bench.folder, name + ".db")
            with open(path, "wb") as out:
                out.write(good)
            with sqlite3.connect(path) as db:
                db.execute(alter)
            db.close()
            self.refused(path, words)
        path = os.path.join(self.bench.folder, "cut.db")
        with open(path, "wb") as out:
            out.write(good[:len(good) // 2])
        self.refused(path, "damaged.* hint:")
        self.refused(self.bench.path, "not a database.* hint:")

    @common.without_rights
    def test_a_folder_that_may_not_be_written(self):
        os.chmod(self.bench.folder, 0o500)
        self.addCleanup(os.chmod, self.bench.folder, 0o700)
        screen = terminal.Terminal("verify", self.bench.path)
        self.assertEqual(screen.finish(), 4)
        self.assertRegex(screen.screen.words(), "error: .* hint:")
        self.assertFalse(os.path.exists(self.bench.database))

    @unittest.skipUnless(UNSHARED, "needs to make a mount namespace")
    def test_no_space_left(self):
        """A file system of 128 KiB that fills up while somebody scans: what was answered is kept, and
        what could not be kept is not answered."""
        folder = common.workdir()
        out = os.path.abspath(common.workdir())
        for name in ("dome-shutter.yaml", "dome-shutter.tags"):
            subprocess.run(["cp", os.path.join(self.bench.folder, name), out], check=True)
        pairs = "".join(self.bench.codes[number][side] + "\n" for _ in range(200)
                        for number in (3, 4, 5) for side in "HM")
        with open(os.path.join(out, "lines"), "w", encoding="ascii") as lines:
            lines.write("yes\n" * 3 + pairs)
        script = f"""set -eu
mount -t tmpfs -o size=128k tmpfs '{os.path.abspath(folder)}'
cd '{os.path.abspath(folder)}'
cp '{out}'/dome-shutter.* .
code=0; '{common.PROGRAM}' verify dome-shutter.yaml --stage tag < '{out}/lines' \
  > '{out}/said' 2> '{out}/errors' || code=$?
cp bench.db* '{out}'
echo "code $code"
"""
        done = subprocess.run(["unshare", "--mount", "sh", "-c", script], capture_output=True,
                              text=True, check=False, timeout=60)
        self.assertIn("code 4", done.stdout, done.stderr)
        errors = common.text(os.path.join(out, "errors"))
        self.assertRegex(errors, r"bench\.db: error: .*\n  hint: ")
        printed = common.text(os.path.join(out, "said"))
        answered = re.findall(r"^(?:\+\+|\.\.)  ([345]H?)\b", printed, re.M)
        database = os.path.join(out, "bench.db")
        db = sqlite3.connect(database)
        self.assertEqual(db.execute("PRAGMA integrity_check").fetchall(), [("ok",)])
        kept = [text.decode() for (text,) in db.execute(
            "SELECT text FROM event WHERE kind = 'scan' ORDER BY seq")]
        db.close()
        self.assertGreater(len(kept), 20)
        self.assertEqual(kept, pairs.split()[:len(kept)])
        self.assertEqual(len(answered), len(kept), printed[-600:])
        shown = json.loads(common.run("jobs", "show", 1, "--db", database, "--json").stdout)
        self.assertIs(shown["job"]["digests_fit"], True)


if __name__ == "__main__":
    unittest.main()
