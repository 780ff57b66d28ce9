"""The answer of `verify --photos`, held from outside as in test_answers.py: what each picture shows, what
is fed of it, and the whole answer. The pictures are clean; how well bad ones are read is judged in
test_photos.py."""

import concurrent.futures
import json
import os
import threading
import unittest

import numpy
from PIL import Image

import common
import promise
import test_answers
import test_photos

RIGHT = {"reconnect": "4H+4M 1H+1M 2H+2M 3H 5H+5M 6H+6M 7H+7M",
         "tag": "4H+4M 1H+1M 2H+2M 3H 5H+5X 6H+6X 7H+7M",
         "unplug": "3H 2H+2M 1M 4H 6X 5H+5X 7H",
         "swap": "5X+5M 6M+6X"}


def right(stage, *without):
    return " ".join(words for words in RIGHT[stage].split() if int(words[0]) not in without)


def row(stage, name, pictures, missing="", wrong="", shows="", odd=""):
    """`shows`: what the pictures show that do not show a whole; `odd`: as in test_answers.row."""
    return (stage, name, [words.split("+") for words in pictures.split()],
            [int(number) for number in missing.split()], [pair.split("-") for pair in wrong.split()],
            shows.split(), odd.split())


ROWS = [
    row("reconnect", "yes", right("reconnect")),
    row("reconnect", "the mate first", right("reconnect", 6) + " 6M+6H"),
    row("reconnect", "one missing", right("reconnect", 6), "6"),
    row("reconnect", "the one-sided missing", right("reconnect", 3), "3"),
    row("reconnect", "one half only", right("reconnect", 6) + " 6H", "6", shows="half"),
    row("reconnect", "one mate only", right("reconnect", 6) + " 6M", "6", shows="half"),
    row("reconnect", "halves in two pictures", right("reconnect", 6) + " 6H 6M", "6", shows="half half"),
    row("reconnect", "a half of a picture pairs with none of the next", right("reconnect", 5, 6) +
        " 5H+6H 6M+5M", "5 6", odd="same-side same-side"),
    row("reconnect", "nor with a foreign one between", right("reconnect", 6) +
        " 6H+foreign:6M 6M+foreign:6H", "6", odd="foreign foreign"),
    row("reconnect", "wrong mate", right("reconnect", 5, 6) + " 5H+6M", "5 6", "5H-6M", odd="wrong-mate"),
    row("reconnect", "wrong mate, mate first", right("reconnect", 5, 6) + " 5M+6H", "5 6", "6H-5M",
        odd="wrong-mate"),
    row("reconnect", "wrong mate, resolved", right("reconnect", 5, 6) + " 5M+6H 5H+5M 6H+6M",
        odd="wrong-mate"),
    row("reconnect", "wrong mate, one made since", right("reconnect", 5, 6) + " 5M+6H 5H+5M", "6",
        "6H-5M", odd="wrong-mate"),
    row("reconnect", "opened again with what comes after", right("reconnect") + " 4H+7M 4H+4M 7H+7M",
        "1 2 3", odd="wrong-mate"),
    row("reconnect", "out of order", "1H+1M 3H " + right("reconnect", 1, 2, 3), "1 2 3",
        odd="out-of-order out-of-order"),
    row("reconnect", "out of order, and again", "2H+2M " + right("reconnect"), odd="out-of-order"),
    row("reconnect", "X for M", right("reconnect", 5, 6) + " 5H+5X 6H+6M", "5 6",
        odd="old-part out-of-order"),
    row("reconnect", "X, then right", right("reconnect", 5, 6) + " 5H+5X 5H+5M 6H+6M", odd="old-part"),
    row("reconnect", "foreign alone", right("reconnect", 3) + " foreign:3H", "3", odd="foreign"),
    row("reconnect", "foreign for both", right("reconnect", 6) + " foreign:6H+foreign:6M", "6",
        odd="foreign foreign"),
    row("reconnect", "misread is passed over", right("reconnect", 6) + " 6H+bad:6M", "6", shows="half"),
    row("reconnect", "misread beside a pair", right("reconnect", 6) + " 6H+6M+bad:5M"),
    row("reconnect", "a bare tag is no code", right("reconnect", 6) + " 6H+~6M ~7H+~7M", "6",
        shows="half none"),
    row("reconnect", "two joints in one", right("reconnect", 3, 6) + " 3H+6H 6H+6M+5H", "3 6",
        shows="apart more"),
    row("reconnect", "nothing in it", right("reconnect", 6) + " bad:6H", "6", shows="none"),
    row("reconnect", "no such number", right("reconnect", 6) + " 6H+9M 9H", "6", odd="unknown unknown"),
    row("reconnect", "a pair twice", right("reconnect") + " 6H+6M 3H", odd="repeat repeat"),
    row("tag", "yes", right("tag")),
    row("tag", "no order", "3H " + right("tag", 3)),
    row("tag", "one missing", right("tag", 5), "5"),
    row("tag", "half", right("tag", 5) + " 5X", "5", shows="half"),
    row("tag", "wrong mate", right("tag", 5, 6) + " 5H+6X", "5 6", "5H-6X", odd="wrong-mate"),
    row("tag", "wrong mate, resolved", right("tag") + " 5H+6X 6X+6H 5H+5X", odd="wrong-mate"),
    row("tag", "M of a part that is not in yet", right("tag", 5) + " 5H+5M", "5", odd="unknown"),
    row("tag", "foreign", right("tag", 5) + " 5H+foreign:5X", "5", odd="foreign"),
    row("swap", "yes", right("swap")),
    row("swap", "one missing", right("swap", 5), "5"),
    row("swap", "half", right("swap", 5) + " 5X 5M", "5", shows="half half"),
    row("swap", "X with the M of another", "5X+6M", "5 6", "5X-6M", odd="wrong-mate"),
    row("swap", "X with the M of another, resolved", "5X+6M " + right("swap"), odd="wrong-mate"),
    row("swap", "an H sticker", right("swap", 5) + " 5H+5M", "5", odd="unknown"),
    row("unplug", "yes", right("unplug")),
    row("unplug", "one left out", right("unplug", 4), "4"),
    row("unplug", "two joints in one", right("unplug", 4, 7) + " 4H+7H", "4 7", shows="apart"),
    row("unplug", "too early", "4H " + right("unplug", 4), odd="out-of-order"),
    row("unplug", "foreign", right("unplug", 4) + " foreign:4H", "4", odd="foreign"),
    row("unplug", "again", right("unplug") + " 4H 2H+2M", odd="repeat repeat"),
]


def kind_of(model, scans):
    """What a picture with these scan codes shows."""
    def own(scan):
        return model.joints.get(scan[1]) if scan[3] == model.code else None

    def only_one(scan):
        return own(scan) is not None and own(scan).sides == 1

    if len(scans) in (0, 1):
        if not scans:
            return "none"
        whole = model.stage == "unplug" or own(scans[0]) is None or only_one(scans[0])
        return "whole" if whole else "half"
    if len(scans) > 2:
        return "more"
    if model.stage == "unplug":
        return "whole" if own(scans[0]) and own(scans[0]) == own(scans[1]) else "apart"
    return "apart" if any(map(only_one, scans)) else "whole"


def look(model, words):
    """What a picture shows, and the scans of it with what they are answered."""
    lines = [promise.line_of(word) for word in words]
    scans = [(promise.read_scan(line), line) for line in lines]
    scans = [(scan, line) for scan, line in scans if scan and scan[0] == "code"]
    # H, then the mate, then what is not of here, so that the last answer is that of the pair.
    scans.sort(key=lambda one: "HMX".index(one[0][2]) if one[0][3] == model.code
               and one[0][1] in model.joints else 3)
    kind = kind_of(model, [scan for scan, _ in scans])
    if kind != "whole":
        scans = []
    if model.stage == "unplug":
        scans = scans[:1]
    model.pending = None
    events = [(line, model.feed(line)) for _, line in scans]
    model.pending = None        # halves of two pictures are no pair
    return kind, events


def by_picture(events):
    """By picture: the scans, and in their order the verdicts. In which order two of one side, or two
    foreign ones, were found is no promise."""
    found = {}
    for event in events:
        scans, verdicts = found.setdefault((event["line"], event["photo"]), ([], []))
        scans.append((event["scan"], event["tag"]))
        verdicts.append(event["verdict"])
    return {key: (sorted(scans), verdicts) for key, (scans, verdicts) in found.items()}


class Pictures(test_answers.Bench):
    """A bench with pictures of codes, each drawn once."""

    def __init__(self):
        super().__init__()
        self.drawn = {}

    def picture(self, words, number):
        """Codes side by side. A name for each time, so that each picture is told from the others."""
        key = tuple(words)
        if key not in self.drawn:
            codes = [test_photos.encoded(promise.line_of(word)) for word in words]
            tall = max(code.shape[0] for code in codes)
            codes = [numpy.pad(code, ((0, tall - code.shape[0]), (12, 12)), constant_values=255)
                     for code in codes]
            name = os.path.join(self.folder, f"drawn-{len(self.drawn)}.png")
            Image.fromarray(numpy.pad(numpy.hstack(codes), 12, constant_values=255)).save(name)
            self.drawn[key] = name
        name = f"{self.drawn[key][:-4]}-{number}.png"
        if not os.path.exists(name):
            os.symlink(os.path.basename(self.drawn[key]), name)
        return name


class Photos(unittest.TestCase):
    maxDiff = None

    @classmethod
    def setUpClass(cls):
        cls.bench = Pictures()
        cls.drawing = threading.Lock()

    @classmethod
    def tearDownClass(cls):
        cls.bench.remove()

    def check(self, one, *options):
        stage, _, pictures, missing, wrong, shows, odd = one
        model, rows, events = promise.Promise(stage), [], []
        with self.drawing:
            names = [self.bench.picture(words, number) for number, words in enumerate(pictures, 1)]
        for number, (name, words) in enumerate(zip(names, pictures), 1):
            kind, scans = look(model, words)
            # Where the first was refused, the second waits for a half that does not come.
            said = [verdict for _, verdict in scans[::-1] if verdict != "half"] or [None]
            rows.append((name, kind, said[0]))
            events += [dict(promise.event(number, line, verdict), photo=name)
                       for line, verdict in scans]
        document = model.document()
        # The row by hand.
        self.assertEqual((document["missing"], document["wrong"]), (missing, wrong))
        self.assertEqual(model.ok(), not missing and not wrong)
        self.assertEqual([kind for _, kind, _ in rows if kind != "whole"], shows)
        self.assertEqual([event["verdict"] for event in events
                          if event["verdict"] not in ("half", "mated", "done")], odd)
        # The program.
        code, said, _ = self.bench.verify("--stage", stage, "--json", *options, "--photos", *names)
        answer = json.loads(said)
        self.assertEqual(code, 0 if model.ok() else 1)
        for key, value in document.items():
            self.assertEqual(answer[key], value, key)
        self.assertEqual(by_picture(answer["events"]), by_picture(events))
        self.assertEqual([(row["photo"], row["shows"], row["verdict"]) for row in answer["photos"]], rows)

    def run_rows(self, rows, kept):
        def attempt(one):
            try:
                self.check(one, *(("--db", self.bench.new("db")) if kept else ()))
            except AssertionError as error:
                return error
            return None

        with concurrent.futures.ThreadPoolExecutor(3) as pool:
            for one, error in zip(rows, pool.map(attempt, rows), strict=True):
                with self.subTest(stage=one[0], row=one[1]):
                    if error is not None:
                        raise error

    def test_pictures(self):
        self.run_rows(ROWS, False)

    def test_kept(self):
        """Those in which something is left over that a job could take for more than it is."""
        rows = [one for one in ROWS if one[1] == "yes" or (one[4] or one[5] or one[6]) and one[3]]
        self.assertGreater(len(rows), 25)
        self.run_rows(rows, True)

    def test_a_job_keeps_which_picture_it_was(self):
        database = self.bench.new("db")
        names = [self.bench.picture(words, at) for at, words in enumerate((["4H", "4M"], ["1H"], ["3H"]), 1)]
        self.bench.verify("--db", database, "--photos", *names)
        events = json.loads(common.run("jobs", "show", "1", "--db", database, "--json").stdout)["events"]
        events = [(event["kind"], event["text"]) for event in events]
        for name, scan in zip(names, ("4H", None, "3H"), strict=True):
            at = events.index(("picture", name))
            if scan:
                self.assertEqual(events[at + 1], ("scan", promise.code_of(scan)))

    def test_a_half_of_the_last_picture(self):
        """Whatever is answered where the last picture shows two of one side or a foreign one besides
        what was made before: it is the same where it is kept."""
        for last in ("5H+6H", "5M+6M", "5M+foreign:5H"):
            with self.subTest(last=last):
                pictures = (right("reconnect") + " " + last).split()
                names = [self.bench.picture(words.split("+"), at) for at, words in enumerate(pictures, 1)]
                documents = [json.loads(self.bench.verify("--json", *options, "--photos", *names)[1])
                             for options in ((), ("--db", self.bench.new("db")))]
                documents[1].pop("left")
                documents[1].pop("unsettled")
                for document in documents:
                    document["events"] = by_picture(document["events"])
                self.assertEqual(documents[0], documents[1])
                self.assertEqual(documents[0]["missing"], [])

    def test_last_line(self):
        for one in ROWS:
            if one[1] not in ("yes", "one missing", "one left out", "wrong mate", "half",
                              "X with the M of another"):
                continue
            with self.subTest(stage=one[0], row=one[1]):
                model = promise.Promise(one[0])
                for words in one[2]:
                    look(model, words)
                names = [self.bench.picture(words, at) for at, words in enumerate(one[2], 1)]
                said = self.bench.verify("--stage", one[0], "--photos", *names)[1].splitlines()
                self.assertEqual(said[-1], test_answers.last_words(model))
                self.assertEqual(said[-1].lower().startswith("yes"), model.ok())


if __name__ == "__main__":
    unittest.main()
