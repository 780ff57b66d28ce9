"""Stickers of other harnesses and units, as near to the own one as can be, with right check characters:
never anything else than foreign, at no stage and in no medium."""

import json
import os
import unittest

import numpy
from PIL import Image

import common
import test_answers
import test_photos
from test_answers import FILE, KEPT, PIPE

# 1 has two halves, 2 one sticker, 3 is on a part that is replaced.
DESCRIPTION = """\
harness: AB7
unit: "0042"
components:
  - {id: B1, name: pump}
  - {id: R3, name: motor, fate: replace}
connectors:
  - {id: X1, mates: B1, family: 11 mm}
  - {id: X2, kind: clip, sides: 1}
  - {id: X3, mates: R3, family: 33 mm}
"""
# Scans of a yes, by stage; the first is left to a foreign one.
RIGHT = {"tag": ["1H", "1M", "2H", "3H", "3X"], "unplug": ["1H", "2H", "3X"], "swap": ["3X", "3M"],
         "reconnect": ["1H", "1M", "2H", "3H", "3M"]}
UNITS = ["0042", "42", "042", "00042", "420", "0420", "00420", "4200", "0", "00", "4", "2", "004", "0043",
         "0041", "0024", "1042", "10042", "00421", "004200", "0042004", "00420042"]
HARNESSES = ["AB7", "AB", "AB70", "AB77", "AB07", "AB71", "A7", "B7", "AAB7", "AB7A", "BB7", "AC7", "AB8",
             "BA7", "AB7U", "AB7V", "AB7X0042", "AB7V0042", "AB7U0042A", "AB7U0042U", "AB7H", "HAB7", "MAB7",
             "XAB7"]


def harness_codes():
    """All that there are, with and without units: 2 to 12 characters, a letter first."""
    found = [f"{harness}U{unit}" for harness in HARNESSES for unit in UNITS if
             harness in ("AB7", "AAB7", "AB70", "AB", "A7", "AB7U")]
    return sorted({code for code in found + HARNESSES if 2 <= len(code) <= 12})


def sticker(tag, harness):
    return tag + harness + common.check_character(tag + harness)


class Foreign(unittest.TestCase):
    maxDiff = None

    @classmethod
    def setUpClass(cls):
        cls.bench = test_answers.Bench(DESCRIPTION)
        cls.plain = test_answers.Bench(DESCRIPTION.replace('unit: "0042"\n', ""))
        # The own code, the folder and the options that say so.
        cls.own = [("AB7U0042", cls.bench, []), ("AB7", cls.plain, [])]
        cls.own += [(f"AB7U{unit}", bench, ["--unit", unit]) for unit, bench in
                    (("42", cls.bench), ("00042", cls.bench), ("420", cls.plain), ("0042", cls.plain),
                     ("0", cls.plain))]
        cls.codes = harness_codes()

    @classmethod
    def tearDownClass(cls):
        cls.bench.remove()
        cls.plain.remove()

    def test_check_character(self):
        """The example of ISO/IEC 7064 MOD 37,36 as the Global Release Identifier uses it:
        A1-2425G-ABC1234002-M."""
        self.assertEqual(common.check_character("A12425GABC1234002"), "M")
        self.assertGreater(len(self.codes), 80)
        for own, _, _ in self.own:
            self.assertIn(own, self.codes)

    def answer(self, bench, medium, lines, *options):
        code, said = bench.take(medium, lines, *options, "--json")
        document = json.loads(said)
        self.assertEqual(code, 0 if document["ok"] else 1)
        return document

    def check(self, own, bench, medium, stage, *options):
        """Foreign stickers in the place of each one that is right, alone and beside the right one."""
        lines, expected = [], []
        for number in range(len(RIGHT[stage])):
            for other in self.codes:
                if other == own:
                    continue
                lines.append(sticker(RIGHT[stage][number], other))
                expected.append("foreign")
        half = RIGHT[stage][0] if stage != "unplug" else None
        for other in self.codes:
            if other != own and half:
                # Nor does it go with a right half, before or after it.
                lines += [sticker(half, own), sticker(RIGHT[stage][1], other),
                          sticker(RIGHT[stage][1], own), sticker(half, other)]
                expected += ["half", "foreign"] * 2
        document = self.answer(bench, medium, lines, "--stage", stage, *options)
        self.assertEqual([(event["scan"], event["verdict"]) for event in document["events"]],
                         list(zip(lines, expected, strict=True)))
        self.assertEqual((document["ok"], document["mated"], document["wrong"]), (False, [], []))
        self.assertEqual(document["missing"], [3] if stage == "swap" else [1, 2, 3])
        self.assertEqual(document["code"], own)

    def test_batch(self):
        for own, bench, options in self.own:
            for stage in RIGHT:
                with self.subTest(own=own, stage=stage):
                    self.check(own, bench, FILE, stage, *options)

    def test_pipe(self):
        """Nothing is kept, so that it is quick; where it is kept, see test_kept_on_a_pipe."""
        class Unkept:
            """A pipe with --no-job."""

            @staticmethod
            def take(_, lines, *options):
                return bench.verify(*options, "--no-job", stdin="".join(f"{line}\n" for line in lines))[:2]

        for own, bench, options in self.own:
            for stage in RIGHT:
                with self.subTest(own=own, stage=stage):
                    self.check(own, Unkept, PIPE, stage, *options)

    def all_but(self, own, which, other):
        """A yes at reconnect but for stickers that are another harness's."""
        return [sticker(tag, other if tag in which else own) for tag in RIGHT["reconnect"]]

    def ends(self, medium, own, bench, options, codes):
        """With one foreign sticker in it the answer is no, and with none it is yes."""
        right = self.all_but(own, (), own)
        self.assertIs(self.answer(bench, medium, right, "--stage", "reconnect", *options)["ok"], True)
        for other in codes:
            for which, missing in ((("1M",), [1]), (("1H",), [1]), (("1H", "1M"), [1]), (("2H",), [2])):
                document = self.answer(bench, medium, self.all_but(own, which, other), "--stage",
                                       "reconnect", *options)
                self.assertEqual((document["ok"], document["missing"]), (False, missing), (own, other))

    def near(self, own):
        """Those that begin or end as the own one does, or differ in noughts alone."""
        plain = own.replace("0", "")
        return [code for code in self.codes if code != own and
                (code.replace("0", "") == plain or code == "AB7" or own == "AB7" and code[:3] == "AB7"
                 or code in (own + "0", own[:-1], own + "A"))]

    def test_batch_ends_in_no(self):
        for own, bench, options in self.own:
            with self.subTest(own=own):
                self.ends(FILE, own, bench, options, self.near(own)[:12])

    def test_kept(self):
        for own, bench, options in self.own[:3]:
            with self.subTest(own=own):
                self.ends(KEPT, own, bench, options, self.near(own)[:4])

    def test_kept_on_a_pipe(self):
        for own, bench, options in self.own[:3]:
            with self.subTest(own=own):
                self.ends(PIPE, own, bench, options, self.near(own)[:4])

    def test_payloads(self):
        """In a link, with facts behind it, in small letters."""
        for write in ("HTTP://BENCH.LOCAL:8080/{}", "{} X1 to B1 pump", "]Q1{}", "http://a.b/AB7U0042/{}"):
            lines = [write.format(sticker(tag, other)) for tag in ("1H", "1M", "2H")
                     for other in self.near("AB7U0042")]
            lines += [line.lower() for line in lines]
            for medium in (FILE, PIPE):
                document = self.answer(self.bench, medium, lines, "--stage", "reconnect")
                # What a prefix grows together with is no code at all.
                self.assertEqual({event["verdict"] for event in document["events"]},
                                 {"misread"} if write[0] == "]" else {"foreign"})
                self.assertEqual(document["mated"], [])

    def picture(self, name, *codes):
        drawn = numpy.hstack([numpy.pad(test_photos.encoded(code), 12, constant_values=255)[:150]
                              for code in codes])
        path = os.path.join(self.bench.folder, name + ".png")
        Image.fromarray(drawn).save(path)
        return path

    def test_photos(self):
        own = "AB7U0042"
        for stage, half, mate in (("reconnect", "1H", "1M"), ("tag", "3H", "3X"), ("swap", "3X", "3M")):
            names, verdicts = [], []
            for number, other in enumerate(self.near(own)[::2]):
                for kind, codes, said in (
                        ("both", (sticker(half, other), sticker(mate, other)), ["foreign", "foreign"]),
                        ("mate", (sticker(half, own), sticker(mate, other)), ["half", "foreign"]),
                        ("half", (sticker(half, other), sticker(mate, own)), ["half", "foreign"]),
                        ("one", (sticker("2H", other),), ["foreign"])):
                    names.append(self.picture(f"{stage}-{number}-{kind}", *codes))
                    verdicts.append(said)
            for options in ((), ("--db", self.bench.new("db"))):
                code, said, _ = self.bench.verify("--stage", stage, "--json", *options, "--photos", *names)
                document = json.loads(said)
                self.assertEqual((code, document["ok"], document["mated"]), (1, False, []))
                self.assertEqual([row["verdict"] for row in document["photos"]], ["foreign"] * len(names))
                found = [[] for _ in names]
                for event in document["events"]:
                    found[event["line"] - 1].append(event["verdict"])
                self.assertEqual(found, verdicts)


if __name__ == "__main__":
    unittest.main()
