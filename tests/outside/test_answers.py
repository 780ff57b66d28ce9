"""The answer of `verify`, held from outside: every stage, every medium, each single reason for a no.
Each row says by hand what the answer is, what is missing, which wrong mates are unresolved and which
scans are answered otherwise than half, mated and done; all else is worked out by promise.py."""

import collections
import concurrent.futures
import itertools
import json
import os
import shutil
import subprocess
import tempfile
import unittest

import common
import promise
import texts


def by_stage(field):
    """A text of the result, by the name of the stage."""
    return {stage: texts.said("lt_result_words", field, "LT_STAGE_" + stage.upper())
            for stage in ("tag", "unplug", "swap", "reconnect")}


# The last line that is said, by stage; at the end of a conversation it is said too.
YES, NO = by_stage("yes"), by_stage("no")
NO_WRONG_MATE = texts.said("lt_result_words", "no_wrong_mate_open")
NO_HALF = texts.said("lt_result_words", "no_half_waits")
NO_NUMBER = texts.said("lt_result_words", "no_number")
# On a pipe there is a conversation; what is said at its end of a yes, and of a no. At stage unplug it
# is no fault that a joint stays plugged in.
LIVE_YES = {**YES, "unplug": "joints apart."}
LIVE_NO = {**NO, "unplug": "NOT SCANNED: "}


def last_words(model):
    if not model.joints:
        return NO_NUMBER
    if model.ok():
        return YES[model.stage]
    all_made = all(number in model.made for number in model.asked())
    if not all_made:
        return NO[model.stage]
    return NO_WRONG_MATE if model.wrong else NO_HALF


# Scans that end in a yes, by stage.
RIGHT = {"reconnect": "4H 4M 1H 1M 2H 2M 3H 5H 5M 6H 6M ~7H ~7M",
         "tag": "3H 2H 2M 1H 1M 4H 4M 6H 6X 5H 5X ~7H ~7M",
         "unplug": "3H 2H 1H 4H 6H 5H ~7H",
         "swap": "5X 5M 6X 6M"}


def right(stage, *without):
    """The scans of a yes, but for those of some joints."""
    return " ".join(word for word in RIGHT[stage].split()
                    if int(word.strip("~")[:-1]) not in without)


Row = collections.namedtuple("Row", "stage name scans missing wrong odd options media")
FILE, KEPT, TWICE, PIPE = "file", "kept", "kept in two goes", "pipe"
LINES = (FILE, KEPT, TWICE, PIPE)
ASLEEP = (FILE, KEPT)       # the pipe would have ended with the yes before


def row(stage, name, scans, missing="", wrong="", odd="", options=(), media=LINES):
    """`missing`: numbers; `wrong`: pairs as 5H-6M; `odd`: verdicts but half, mated and done. The answer
    is yes where nothing is missing or wrong, unless `missing` says "nothing": all is made, and yet no."""
    return Row(stage, name, scans.split(), missing.split(), [pair.split("-") for pair in wrong.split()],
               odd.split(), list(options), media)


ROWS = [
    row("reconnect", "yes", right("reconnect")),
    row("reconnect", "the mates first", "4M 4H 1M 1H 2M 2H 3H 5M 5H 6M 6H ~7M ~7H"),
    row("reconnect", "in another order", "~7M ~7H 5H 5M 4H 4M 6H 6M 1H 1M 2H 2M 3H"),
    row("reconnect", "nothing scanned", "", "1 2 3 4 5 6 7", media=ASLEEP),
    row("reconnect", "one missing, two-sided", right("reconnect", 6), "6"),
    row("reconnect", "one missing, one-sided", right("reconnect", 3), "3"),
    row("reconnect", "one missing, on paper", right("reconnect", 7), "7"),
    row("reconnect", "one missing, the last but one in the order", right("reconnect", 2, 3), "2 3"),
    row("reconnect", "the first in the order missing", right("reconnect", 4), "1 2 3 4",
        odd="out-of-order out-of-order out-of-order"),
    row("reconnect", "only H", right("reconnect", 6) + " 6H", "6"),
    row("reconnect", "only M", right("reconnect", 6) + " 6M", "6"),
    row("reconnect", "half of a made joint at the end", right("reconnect") + " 6H", "nothing",
        media=ASLEEP),
    row("reconnect", "the mate of a made joint at the end", right("reconnect") + " 1M", "nothing",
        media=ASLEEP),
    row("reconnect", "half of a made joint, then misread", right("reconnect") + " 6H bad:6M", "nothing",
        odd="misread", media=ASLEEP),
    row("reconnect", "half of a made joint, then its other", right("reconnect") + " 6H 6M",
        odd="repeat", media=ASLEEP),
    row("reconnect", "two halves of one side at the end", right("reconnect") + " 6H 5H", "nothing",
        odd="same-side", media=ASLEEP),

    row("reconnect", "wrong mate", right("reconnect", 5, 6) + " 5H 6M", "5 6", "5H-6M", "wrong-mate"),
    row("reconnect", "wrong mate, mate first", right("reconnect", 5, 6) + " 6M 5H", "5 6", "5H-6M",
        "wrong-mate"),
    row("reconnect", "wrong mates crosswise", right("reconnect", 5, 6) + " 6H 5M 5H 6M", "5 6",
        "6H-5M 5H-6M", "wrong-mate wrong-mate"),
    row("reconnect", "a wrong mate twice", right("reconnect", 5, 6) + " 6H 5M 5M 6H", "5 6", "6H-5M",
        "wrong-mate wrong-mate"),
    row("reconnect", "on two wrong mates", right("reconnect", 5, 6, 7) + " 5H 6M 5H 7M", "5 6 7",
        "5H-6M 5H-7M", "wrong-mate wrong-mate"),
    row("reconnect", "on two wrong mates, one resolved",
        right("reconnect", 5, 6, 7) + " 5H 6M 7M 5H 6H 7M 5H 5M ~7H ~7M", "6", "5H-6M 6H-7M",
        "wrong-mate wrong-mate wrong-mate"),
    row("reconnect", "two on one wrong mate", right("reconnect", 5, 6, 7) + " 5H 6M 7H 6M", "5 6 7",
        "5H-6M 7H-6M", "wrong-mate wrong-mate"),
    row("reconnect", "wrong mate, one joint made since", right("reconnect", 5, 6) + " 5H 6M 5H 5M", "6",
        "5H-6M", "wrong-mate"),
    row("reconnect", "wrong mate, the other made too early", right("reconnect", 5, 6) + " 6H 5M 6H 6M",
        "5 6", "6H-5M", "wrong-mate out-of-order"),
    row("reconnect", "wrong mate, resolved", right("reconnect", 5, 6) + " 6H 5M 5H 5M 6H 6M",
        odd="wrong-mate"),
    row("reconnect", "two wrong mates, one resolved",
        "4H 4M 1H 1M ~7H 5M 5H 2M 5H 5M 2H 2M 3H 6H 6M", "7", "7H-5M", "wrong-mate wrong-mate"),
    row("reconnect", "two wrong mates, both resolved",
        "4H 4M 1H 1M ~7H 5M 5H 2M 5H 5M 2H 2M 3H ~7H ~7M 6H 6M", odd="wrong-mate wrong-mate"),
    row("reconnect", "a wrong mate after all was made", right("reconnect") + " 7H 6M", "6 7", "7H-6M",
        "wrong-mate", media=ASLEEP),
    row("reconnect", "a wrong mate after all was made, resolved",
        right("reconnect") + " 7H 6M 6H 6M ~7H ~7M", odd="wrong-mate", media=ASLEEP),
    row("reconnect", "a wrong mate opens what comes after, to the one-sided",
        "4H 4M 1H 1M 2H 2M 3H ~7H ~7M 4H 5M 4H 4M 5H 5M 6H 6M", "1 2 3", odd="wrong-mate"),
    row("reconnect", "opened ones made again",
        "4H 4M 1H 1M 2H 2M 3H ~7H ~7M 4H 5M 4H 4M 5H 5M 6H 6M 1H 1M 2H 2M 3H", odd="wrong-mate"),
    row("reconnect", "a wrong mate in the midst of the order leaves what comes before",
        "4H 4M 1H 1M 2H 2M 3H ~7H ~7M 5H 2M 5H 5M 6H 6M", "2 3", "5H-2M", "wrong-mate"),
    row("reconnect", "a wrong mate opens by its mate as well",
        "4H 4M 1H 1M 2H 2M 3H 5H 5M 6H 6M 5H 7M ~7H ~7M 5H 5M", "6", odd="wrong-mate"),
    row("reconnect", "opened joints are out of order again",
        "4H 4M 1H 1M 2H 2M 3H ~7H ~7M 5H 4M 1H 1M 3H 5H 5M 6H 6M", "1 2 3 4", "5H-4M",
        "wrong-mate out-of-order out-of-order"),

    row("reconnect", "before a later-listed one", "1H 1M " + right("reconnect", 1, 2, 3), "1 2 3",
        odd="out-of-order"),
    row("reconnect", "before a later-listed one, and again", "1H 1M " + right("reconnect"),
        odd="out-of-order"),
    row("reconnect", "before an earlier-listed one", "4H 4M 2H 2M 1H 1M " + right("reconnect", 4, 1, 2, 3),
        "2 3", odd="out-of-order"),
    row("reconnect", "before an earlier-listed one, and again", "6M 6H " + right("reconnect"),
        odd="out-of-order"),
    row("reconnect", "one-sided, before an earlier-listed one",
        "4H 4M 1H 1M 3H 2H 2M " + right("reconnect", 1, 2, 3, 4), "3", odd="out-of-order"),
    row("reconnect", "one-sided, and again", "3H " + right("reconnect"), odd="out-of-order"),
    row("reconnect", "an out-of-order pair leaves nothing pending",
        "6H 6M 5M 5H 6H 6M " + right("reconnect", 5, 6), odd="out-of-order"),
    row("reconnect", "wrong mate of an open joint, and halves after it",
        "4H 4M 6H 1M 1H 2H " + right("reconnect", 1, 2, 3, 4, 6), "1 2 3 6", "6H-1M",
        "wrong-mate same-side same-side"),

    row("reconnect", "skipped", right("reconnect", 6) + " skip:6", "6", media=(PIPE,)),
    row("reconnect", "skipped, and made after it", "skip:6 " + right("reconnect"), media=(PIPE,)),
    row("reconnect", "skipped before what comes after it", "skip:4 1H 1M " + right("reconnect", 1, 2, 3, 4),
        "1 2 3 4", odd="out-of-order", media=(PIPE,)),
    row("reconnect", "skipped when made, which does nothing", "5H 5M skip:5 " + right("reconnect", 5),
        media=(PIPE,)),

    row("reconnect", "X for M", right("reconnect", 5, 6) + " 5H 5X 6H 6M", "5 6",
        odd="old-part out-of-order"),
    row("reconnect", "X drops what is pending", right("reconnect", 5, 6) + " 5H 5X 5M", "5 6",
        odd="old-part"),
    row("reconnect", "X, then right", right("reconnect", 5, 6) + " 5H 5X 5H 5M 6X 6H 6M",
        odd="old-part old-part"),
    row("reconnect", "foreign for M", right("reconnect", 6) + " 6H foreign:6M", "6", odd="foreign"),
    row("reconnect", "foreign for both", right("reconnect", 6) + " foreign:6H foreign:6M", "6",
        odd="foreign foreign"),
    row("reconnect", "foreign for the one-sided", right("reconnect", 3) + " foreign:3H", "3",
        odd="foreign"),
    row("reconnect", "foreign drops what is pending", right("reconnect", 6) + " 6H foreign:6M 6M", "6",
        odd="foreign"),
    row("reconnect", "misread for M", right("reconnect", 6) + " 6H bad:6M", "6", odd="misread"),
    row("reconnect", "misread for the one-sided", right("reconnect", 3) + " bad:3H", "3", odd="misread"),
    row("reconnect", "misread leaves what is pending", right("reconnect", 6) + " 6H bad:6M 6M",
        odd="misread"),
    row("reconnect", "no such number", right("reconnect", 6) + " 6H 9M 6M", "6", odd="unknown"),
    row("reconnect", "a side it never had", right("reconnect", 3) + " 3M", "3", odd="unknown"),
    row("reconnect", "two of one side", right("reconnect", 5, 6) + " 6H 5H 5M", "6", odd="same-side"),
    row("reconnect", "two mates", right("reconnect", 5, 6) + " 6M 5M 5H", "6", odd="same-side"),
    row("reconnect", "the same half twice", right("reconnect", 6) + " 6H 6H 6M", odd="same-side"),
    row("reconnect", "a one-sided one drops what is pending",
        right("reconnect", 3, 6) + " 6H 3H 6M", "6"),
    row("reconnect", "a pair twice", "4H 4M 4M 4H " + right("reconnect", 4), odd="repeat"),
    row("reconnect", "the one-sided twice",
        "4H 4M 1H 1M 2H 2M 3H 3H " + right("reconnect", 1, 2, 3, 4), odd="repeat"),
    row("reconnect", "all twice", right("reconnect") + " " + right("reconnect"),
        odd="repeat " * 7, media=ASLEEP),

    row("reconnect", "typed and not allowed", right("reconnect", 6) + " ~6H ~6M", "6",
        odd="misread misread"),
    row("reconnect", "half typed and not allowed", right("reconnect", 6) + " 6H ~6M", "6", odd="misread"),
    row("reconnect", "the one-sided typed and not allowed", right("reconnect", 3) + " ~3H", "3",
        odd="misread"),
    row("reconnect", "typed and allowed", right("reconnect", 6) + " ~6H ~6M", options=["--typed"]),
    row("reconnect", "half typed and allowed", right("reconnect", 5, 6) + " ~5H 5M 6H ~6M",
        options=["--typed"]),
    row("reconnect", "the one-sided typed and allowed", right("reconnect", 3) + " ~3H",
        options=["--typed"]),
    row("reconnect", "typed when allowed is no better than a scan", right("reconnect", 6) + " ~6H ~5M",
        "5 6", "6H-5M", "wrong-mate", options=["--typed"], media=ASLEEP),
    row("reconnect", "typed, opened and scanned", "~4H ~4M 4H 5M 4H 4M " + right("reconnect", 4),
        odd="wrong-mate", options=["--typed"]),
    row("reconnect", "on paper, half scanned", right("reconnect", 7) + " 7H ~7M"),
    row("reconnect", "on paper, scanned", right("reconnect", 7) + " 7H 7M"),
    row("reconnect", "on paper, X is of no use", right("reconnect", 7) + " ~7H ~7X ~7M", "7",
        odd="unknown"),

    row("tag", "yes", right("tag")),
    row("tag", "no order", "3H 2M 2H 1H 1M 6X 6H 5H 5X 4H 4M ~7M ~7H"),
    row("tag", "nothing scanned", "", "1 2 3 4 5 6 7", media=ASLEEP),
    row("tag", "one missing", right("tag", 1), "1"),
    row("tag", "a replaced one missing", right("tag", 5), "5"),
    row("tag", "the one-sided missing", right("tag", 3), "3"),
    row("tag", "only H", right("tag", 5) + " 5H", "5"),
    row("tag", "only X", right("tag", 5) + " 5X", "5"),
    row("tag", "only M", right("tag", 1) + " 1M", "1"),
    row("tag", "half of a checked joint at the end", right("tag") + " 5X", "nothing", media=ASLEEP),
    row("tag", "M of a part that is not in yet", right("tag", 5) + " 5H 5M", "5", odd="unknown"),
    row("tag", "M of a part that is not in yet drops what is pending", right("tag", 5) + " 5H 5M 5X",
        "5", odd="unknown"),
    row("tag", "wrong mate", right("tag", 5, 6) + " 5H 6X", "5 6", "5H-6X", "wrong-mate"),
    row("tag", "wrong mate, X first", right("tag", 4, 5) + " 5X 4H", "4 5", "4H-5X", "wrong-mate"),
    row("tag", "wrong mate, one checked since", right("tag", 5, 6) + " 5H 6X 6H 6X", "5", "5H-6X",
        "wrong-mate"),
    row("tag", "wrong mate, resolved", right("tag", 5, 6) + " 5H 6X 6H 6X 5H 5X", odd="wrong-mate"),
    row("tag", "a wrong mate opens its two and no more",
        right("tag", 7) + " 4H 1M ~7H ~7M", "1 4", "4H-1M", "wrong-mate"),
    row("tag", "foreign", right("tag", 6) + " 6H foreign:6X", "6", odd="foreign"),
    row("tag", "misread", right("tag", 6) + " 6H bad:6X", "6", odd="misread"),
    row("tag", "misread leaves what is pending", right("tag", 6) + " 6H bad:6X 6X", odd="misread"),
    row("tag", "typed and not allowed", right("tag", 6) + " ~6H ~6X", "6", odd="misread misread"),
    row("tag", "typed and allowed", right("tag", 6) + " ~6H 6X", options=["--typed"]),
    row("tag", "skipped", right("tag", 2) + " skip:2", "2", media=(PIPE,)),
    row("tag", "two of one side", right("tag", 5, 6) + " 6X 5X 5H", "6", odd="same-side"),
    row("tag", "a pair twice", "5H 5X 5H 5X " + right("tag", 5), odd="repeat"),

    row("swap", "yes", right("swap")),
    row("swap", "the new part first, the later joint first", "6M 6X 5M 5X"),
    row("swap", "nothing scanned", "", "5 6", media=ASLEEP),
    row("swap", "one missing", "6X 6M", "5"),
    row("swap", "the other missing", "5X 5M", "6"),
    row("swap", "only X", "5X 5M 6X", "6"),
    row("swap", "only M", "5X 5M 6M", "6"),
    row("swap", "half of a proven one at the end", right("swap") + " 5X", "nothing", media=ASLEEP),
    row("swap", "X with the M of another", "5X 6M", "5 6", "5X-6M", "wrong-mate"),
    row("swap", "M with the X of another", "6M 5X", "5 6", "5X-6M", "wrong-mate"),
    row("swap", "crosswise", "5X 6M 6X 5M", "5 6", "5X-6M 6X-5M", "wrong-mate wrong-mate"),
    row("swap", "X with the M of another, one proven since", "5X 6M 5X 5M", "6", "5X-6M", "wrong-mate"),
    row("swap", "X with the M of another, resolved", "5X 6M 5X 5M 6X 6M", odd="wrong-mate"),
    row("swap", "X with the M of another, of one that was proven", "5X 5M 6X 5M 6X 6M", "5", "6X-5M",
        "wrong-mate"),
    row("swap", "an H sticker", "5X 5H 5M 6X 6M", "5 6", "6X-5M", "unknown wrong-mate"),
    row("swap", "a part that stays", "5X 4M 5X 5M 6X 6M", odd="unknown"),
    row("swap", "foreign", "6X 6M 5X foreign:5M", "5", odd="foreign"),
    row("swap", "misread", "6X 6M 5X bad:5M", "5", odd="misread"),
    row("swap", "misread leaves what is pending", "6X 6M 5X bad:5M 5M", odd="misread"),
    row("swap", "typed and not allowed", "6X 6M 5X ~5M", "5", odd="misread"),
    row("swap", "typed and allowed", "6X 6M 5X ~5M", options=["--typed"]),
    row("swap", "two X", "5X 6X 6M", "5", odd="same-side"),
    row("swap", "skipped", "5X 5M skip:6", "6", media=(PIPE,)),
    row("swap", "a pair twice", "5X 5M 5X 5M 6X 6M", odd="repeat"),

    row("unplug", "yes", right("unplug")),
    row("unplug", "by either half", "3H 2M 1M 4H 6X 5X ~7M"),
    row("unplug", "nothing scanned", "", "1 2 3 4 5 6 7", media=ASLEEP),
    row("unplug", "one left out", right("unplug", 4), "4"),
    row("unplug", "the one-sided left out", right("unplug", 3), "3", odd="out-of-order"),
    row("unplug", "with a skip", right("unplug", 4) + " skip:4", "4", media=(PIPE,)),
    row("unplug", "with a skip of what holds others up", "skip:3 " + right("unplug", 3), "3",
        media=(PIPE,)),
    row("unplug", "with a skip and one left out", right("unplug", 4, 5) + " skip:4", "4 5",
        media=(PIPE,)),
    row("unplug", "a skip of what comes apart later", "skip:4 " + right("unplug"), media=(PIPE,)),
    row("unplug", "too early", "4H 3H 2H 1H 6H 5H ~7H", odd="out-of-order"),
    row("unplug", "too early, and one left out", "4H 1H 2H 6H 5H ~7H", "3",
        odd="out-of-order out-of-order out-of-order"),
    row("unplug", "M of the new part", right("unplug", 6) + " 6M", "6", odd="out-of-order unknown"),
    row("unplug", "twice", "3H 3H " + right("unplug", 3), odd="repeat"),
    row("unplug", "by both halves", "3H 2H 2M 1H 1M 4H 4M 6H 5H ~7H", odd="repeat repeat repeat"),
    row("unplug", "foreign", right("unplug", 4) + " foreign:4H", "4", odd="foreign"),
    row("unplug", "misread", right("unplug", 4) + " bad:4H", "4", odd="misread"),
    row("unplug", "typed and not allowed", right("unplug", 4) + " ~4H", "4", odd="misread"),
    row("unplug", "typed and allowed", right("unplug", 4) + " ~4H", options=["--typed"]),
]


class Bench:
    """The harness of promise.py in a folder of its own."""

    def __init__(self, description=promise.DESCRIPTION):
        self.folder = common.workdir()
        self.path = os.path.join(self.folder, "bench.yaml")
        with open(self.path, "w", encoding="utf-8") as out:
            out.write(description)
        common.run("tags", self.path)
        self.count = itertools.count(1)
        # Databases by the hundred: in memory where that can be, since each scan waits for the disk.
        memory = "/dev/shm"
        self.memory = tempfile.mkdtemp(prefix="loomtag-", dir=memory if os.access(memory, os.W_OK)
                                       else self.folder)

    def remove(self):
        shutil.rmtree(self.memory)
        shutil.rmtree(self.folder)

    def new(self, ending):
        """The name of a file that is not there yet."""
        return os.path.join(self.memory if ending == "db" else self.folder,
                            f"{next(self.count)}.{ending}")

    def verify(self, *arguments, stdin=None):
        """Runs it, and gives the exit code, what it said, and what it said beside that."""
        done = subprocess.run([common.PROGRAM, "verify", self.path, *arguments], input=stdin,
                              capture_output=True, text=True, timeout=60, check=False)
        if done.returncode not in (0, 1) or "Sanitizer" in done.stderr:
            raise AssertionError(f"verify {arguments}: exit code {done.returncode}\n{done.stderr}")
        return done.returncode, done.stdout, done.stderr

    def scans(self, lines):
        name = self.new("scans")
        with open(name, "w", encoding="utf-8") as out:
            out.write("".join(line + "\n" for line in lines))
        return name

    def take(self, medium, lines, *options):
        """One verification of lines in a medium: exit code and standard output."""
        if medium == PIPE:
            return self.verify(*options, "--db", self.new("db"),
                               stdin="".join(line + "\n" for line in lines))[:2]
        if medium == FILE:
            return self.verify(self.scans(lines), *options)[:2]
        return self.verify(self.scans(lines), *options, "--db", self.new("db"))[:2]


def split(one):
    """Where a row's scans may be cut in two, so that nothing is pending and the answer is no: about the
    middle. None where it cannot be."""
    model = promise.Promise(one.stage, "--typed" in one.options)
    places = []
    for at, word in enumerate(one.scans, 1):
        model.take(word)
        if model.pending is None and not model.ok() and at < len(one.scans):
            places.append(at)
    return min(places, key=lambda at: abs(2 * at - len(one.scans)), default=None)


class Answers(unittest.TestCase):
    maxDiff = None

    @classmethod
    def setUpClass(cls):
        cls.bench = Bench()

    @classmethod
    def tearDownClass(cls):
        cls.bench.remove()

    def answered(self, one):
        """The model after a row, and its events. What the row says by hand must agree."""
        model, events = promise.Promise(one.stage, "--typed" in one.options), []
        for number, word in enumerate(one.scans, 1):
            if PIPE in one.media and one.stage != "unplug":
                self.assertFalse(model.ok(), f"the pipe ends before {word}")
            verdict = model.take(word)
            if verdict is not None:
                events.append(promise.event(number, promise.line_of(word), verdict))
        document = model.document()
        missing = [] if one.missing == ["nothing"] else [int(number) for number in one.missing]
        skipped = [row["number"] for row in document["skipped"]]
        left_in = one.stage == "unplug" and set(missing) <= set(skipped)
        self.assertEqual((document["missing"], document["wrong"]), (missing, one.wrong), one)
        self.assertEqual(model.ok(), not one.wrong and (left_in or not one.missing), one)
        self.assertEqual([event["verdict"] for event in events
                          if event["verdict"] not in ("half", "mated", "done")], one.odd, one)
        return model, events

    def check_document(self, said, model, events):
        document = json.loads(said)
        for key, value in dict(model.document(), events=events).items():
            self.assertEqual(document[key], value, key)
        self.assertEqual(document.get("left", []), [])

    def check_words(self, said, model, medium):
        """The last line; on a pipe what is said at the end."""
        lines = said.splitlines()
        if medium != PIPE:
            self.assertEqual(lines[-1], last_words(model))
            self.assertEqual(lines[-1].lower().startswith("yes"), model.ok(), lines[-1])
            return
        words = " ".join(said.split())
        end = LIVE_YES if model.ok() else LIVE_NO
        self.assertIn(end[model.stage], words)
        self.assertFalse(model.ok() and LIVE_NO[model.stage] in words, words)
        self.assertFalse(not model.ok() and model.stage != "unplug" and LIVE_YES[model.stage] in words)
        self.assertFalse(not model.ok() and any(line.lower().startswith("yes") for line in lines))

    def run_row(self, one, medium):
        model, events = self.answered(one)
        code = 0 if model.ok() else 1
        options = ["--stage", one.stage, *one.options]
        lines = [promise.line_of(word) for word in one.scans]
        if medium == TWICE:
            return self.run_twice(one, model, events)
        done = self.bench.take(medium, lines, *options, "--json")
        self.assertEqual(done[0], code)
        self.check_document(done[1], model, events)
        done = self.bench.take(medium, lines, *options)
        self.assertEqual(done[0], code)
        self.check_words(done[1], model, medium)
        return True

    def run_twice(self, one, model, events):
        at = split(one)
        if at is None:
            return False
        database = self.bench.new("db")
        lines = [promise.line_of(word) for word in one.scans]
        options = ["--stage", one.stage, *one.options, "--db", database]
        done = self.bench.verify(self.bench.scans(lines[:at]), *options)
        self.assertEqual(done[0], 1)
        self.assertFalse(done[1].splitlines()[-1].lower().startswith("yes"))
        done = self.bench.verify(self.bench.scans(lines[at:]), *options, "--json")
        self.assertEqual(done[0], 0 if model.ok() else 1)
        self.check_document(done[1], model, [dict(event, line=event["line"] - at)
                                             for event in events if event["line"] > at])
        return True

    def run_rows(self, medium):
        """All rows in a medium, a few at a time."""
        def attempt(one):
            try:
                self.run_row(one, medium)
            except AssertionError as error:
                return error
            return None

        rows = [one for one in ROWS if medium in one.media]
        self.assertGreater(len(rows), 80)
        with concurrent.futures.ThreadPoolExecutor(4) as pool:
            for one, error in zip(rows, pool.map(attempt, rows), strict=True):
                with self.subTest(stage=one.stage, row=one.name, medium=medium):
                    if error is not None:
                        raise error

    def test_file(self):
        self.run_rows(FILE)

    def test_kept(self):
        self.run_rows(KEPT)

    def test_kept_in_two_goes(self):
        self.run_rows(TWICE)

    def test_pipe(self):
        self.run_rows(PIPE)

    def test_every_joint_left_out_and_every_half(self):
        """Not only of one joint: each is asked for, and each of its halves, in every stage."""
        for stage, words in RIGHT.items():
            words = words.split()
            numbers = sorted({int(word.strip("~")[:-1]) for word in words})
            rows = [row(stage, f"without {number}", right(stage, number), media=(FILE,))
                    for number in numbers]
            rows += [row(stage, f"without scan {at}", " ".join(words[:at] + words[at + 1:]), media=(FILE,))
                     for at in range(len(words))]
            for one in rows:
                model = promise.Promise(stage)
                for word in one.scans:
                    model.take(word)
                self.assertFalse(model.ok())
                with self.subTest(stage=stage, row=one.name):
                    code, said = self.bench.take(FILE, map(promise.line_of, one.scans), "--stage", stage)
                    self.assertEqual((code, said.splitlines()[-1]), (1, last_words(model)))


if __name__ == "__main__":
    unittest.main()
