"""Made joints by photographs: what share of the stickers is read at which size, tilt and blur, that
none is ever read wrong, and what the program makes of each picture. Two stickers of the samples, as
printed for a head of 300 dpi or less, lie in front of a busy ground (see photos.py)."""

import ctypes
import ctypes.util
import glob
import json
import os
import shutil
import unittest
import zlib

import numpy
from PIL import Image

import common
import photos

# A grade: pixels a module, most degrees of tilt, blur in modules, noise, least light, and the share
# of its stickers that must be read (0: whatever is read must be right). All angles in the plane; JPEG quality 60 to 90.
EASY = [(3, 10, 0.25, 3, 0.7, 1), (4, 15, 0.25, 4, 0.6, 1), (6, 15, 0.3, 4, 0.6, 1),
        (8, 15, 0.3, 6, 0.5, 1)]
HARD = [(2, 10, 0.2, 3, 0.7, 0.5), (2.5, 15, 0.3, 4, 0.6, 0.5), (4, 30, 0.3, 6, 0.5, 0.5),
        (6, 45, 0.3, 4, 0.5, 0.3), (4, 15, 0.4, 6, 0.4, 0)]
SIZE = (1280, 960)
PICTURES = 3  # of a grade
CRASH = r"""
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <zbar.h>
int zbar_scan_image(zbar_image_scanner_t *scanner, zbar_image_t *image)
{
	int (*real)(zbar_image_scanner_t *, zbar_image_t *) =
		(int (*)(zbar_image_scanner_t *, zbar_image_t *))dlsym(RTLD_NEXT, "zbar_scan_image");
	if (zbar_image_get_width(image) == zbar_image_get_height(image))
		abort();
	return real(scanner, image);
}
"""


class Code(ctypes.Structure):
    """A symbol of libqrencode: the lowest bit of each byte is 1 for a dark module."""

    _fields_ = [("version", ctypes.c_int), ("width", ctypes.c_int),
                ("data", ctypes.POINTER(ctypes.c_ubyte))]


def encoded(text):
    """A code that the program does not print, with its quiet zone, 4 pixels a module."""
    library = ctypes.CDLL(ctypes.util.find_library("qrencode"))
    library.QRcode_encodeString8bit.restype = ctypes.POINTER(Code)
    code = library.QRcode_encodeString8bit(text.encode(), 0, 1).contents
    cells = numpy.ctypeslib.as_array(code.data, (code.width, code.width)) & 1
    return numpy.kron(255 * (1 - numpy.pad(cells, 4)), numpy.ones((4, 4))).astype(numpy.uint8)


class Photos(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = common.workdir()
        cls.description = common.sample(cls.folder, "dome-shutter", registered=True)
        cls.random = numpy.random.default_rng(1)
        cls.sets = [cls.printed("roll-38x19", "auto"), cls.printed("roll-25x13", "code"),
                    cls.printed("roll-54x25", "facts")]

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    @classmethod
    def printed(cls, layout, payload):
        """By tag: a sticker's grey pixels and how many of them a module has."""
        stem = os.path.join(cls.folder, f"{layout}-{payload}")
        options = ("--layout", layout, "--payload", payload)
        common.run("stickers", cls.description, "-o", stem + ".png", "-q", *options)
        figures = json.loads(common.run("stickers", cls.description, "--json",
                                        *options).stdout)["stickers"]
        pictures = sorted(glob.glob(stem + "-*.png"))
        return {figure["tag"]: (numpy.asarray(Image.open(picture).convert("L")), figure["dots"])
                for figure, picture in zip(figures, pictures, strict=True)}

    @staticmethod
    def pairs(stickers):
        """H and what it is plugged into before anything is changed."""
        for tag in stickers:
            mate = next((tag[:-1] + side for side in "XM" if tag[:-1] + side in stickers), None)
            if tag[-1] == "H" and mate:
                yield tag, mate

    def photograph(self, name, tags, stickers, grade, size=SIZE, **how):
        """Takes a picture of some stickers side by side; returns its path."""
        module, tilt, blur, noise, least = grade[:5]
        width, height = size
        shade = photos.ground(self.random, width, height)
        for number, tag in enumerate(tags):
            sticker, dots = stickers[tag]
            reach = 0.62 * max(sticker.shape) * module / dots
            room = width / len(tags)
            if 2 * reach > min(room, height) - 2:
                raise ValueError("the picture is too small for that sticker")
            middle = (number * room + self.random.uniform(reach, room - reach),
                      self.random.uniform(reach, height - reach))
            photos.place(shade, sticker, dots, module, middle, self.random.uniform(0, 360),
                         self.random.uniform(tilt / 2, tilt), self.random.uniform(0, 180))
        shade = photos.blurred(photos.lit(self.random, shade, least), blur * module)
        path = os.path.join(self.folder, name)
        photos.save(photos.finish(self.random, shade, noise), path,
                    **{"quality": int(self.random.integers(60, 91)), **how})
        return path

    def verify(self, *pictures, expect=1, stage="tag"):
        """The rows of pictures, and the whole answer."""
        done = common.run("verify", self.description, "--stage", stage, "--json", "--photos",
                          *pictures, expect=expect)
        answer = json.loads(done.stdout)
        self.assertEqual([row["photo"] for row in answer["photos"]], list(pictures))
        return answer["photos"], answer

    def read_grade(self, number, grade):
        """How many stickers of a grade were read, of how many."""
        taken = {}
        for copy in range(PICTURES):
            stickers = self.sets[(number + copy) % 3]
            # Large modules have room for the small stickers only.
            if grade[0] > 4:
                stickers = self.sets[1]
            pairs = list(self.pairs(stickers))
            tags = pairs[int(self.random.integers(0, len(pairs)))]
            size = SIZE if grade[0] <= 6 else (1800, 1350)
            taken[self.photograph(f"{number}-{copy}.jpg", tags, stickers, grade, size)] = tags
        rows, answer = self.verify(*taken)
        for row, tags in zip(rows, taken.values()):
            self.assertLessEqual(set(row["tags"]), set(tags))  # never a wrong one
            self.assertEqual(row["others"], [])
            self.assertEqual(row["shows"], ("none", "half", "whole")[len(row["tags"])])
            if row["shows"] == "whole":
                self.assertIn(row["verdict"], ("mated", "repeat"))
        whole = {int(tags[0][:-1]) for row, tags in zip(rows, taken.values())
                 if row["shows"] == "whole"}
        self.assertEqual(set(answer["mated"]), whole)
        return sum(len(row["tags"]) for row in rows), 2 * len(rows)

    def test_share_read(self):
        for number, grade in enumerate(EASY + HARD):
            read, of = self.read_grade(number, grade)
            if os.environ.get("LOOMTAG_FIGURES"):
                print(f"\nphotographs, {grade[0]} pixels a module, tilt to {grade[1]} degrees, "
                      f"blur {grade[2]} module: {read} of {of} are read")
            with self.subTest(grade=grade):
                self.assertGreaterEqual(read, grade[5] * of)

    def test_large_pictures(self):
        stickers = self.sets[0]
        grade = (6, 10, 0.3, 4, 0.6)
        picture = self.photograph("large.jpg", ("12H", "12M"), stickers, grade, (4000, 3000))
        rows, _ = self.verify(picture)
        self.assertEqual([row["verdict"] for row in rows], ["mated"])

    def test_every_orientation_and_png(self):
        grade = (4, 5, 0.2, 2, 0.8)
        taken = [self.photograph(f"turned-{way}.jpg", ("3H", "3M"), self.sets[1], grade,
                                 (800, 600), orientation=way) for way in (2, 5, 6, 8)]
        taken.append(self.photograph("plain.png", ("3H", "3M"), self.sets[1], grade, (800, 600)))
        rows, _ = self.verify(*taken)
        self.assertEqual([row["verdict"] for row in rows], ["mated"] + ["repeat"] * 4)

    def test_what_each_picture_shows(self):
        grade = (4, 5, 0.2, 2, 0.8)
        stickers = self.sets[1]

        def take(name, *tags):
            return self.photograph(name, tags, stickers, grade, (1200, 600))

        taken = [take("half.jpg", "3H"), take("other-half.jpg", "3M"), take("three.jpg", "3H", "3M",
                 "12H"), take("wrong.jpg", "3H", "12M"), take("none.jpg"), take("one-sided.jpg",
                 "1H"), take("right.jpg", "12M", "12H")]
        rows, answer = self.verify(*taken)
        self.assertEqual([(row["shows"], row["verdict"]) for row in rows],
                         [("half", None), ("half", None), ("more", None), ("whole", "wrong-mate"),
                          ("none", None), ("whole", "done"), ("whole", "mated")])
        self.assertEqual(answer["mated"], [1, 12])
        self.assertEqual(answer["wrong"], [["3H", "12M"]])
        self.assertEqual([os.path.basename(event["photo"]) for event in answer["events"]],
                         ["wrong.jpg", "wrong.jpg", "one-sided.jpg", "right.jpg", "right.jpg"])
        said = common.run("verify", self.description, "--photos", "--stage", "tag", *taken,
                          expect=1).stdout
        for line in ("half.jpg  Only 3H ",
                     "none.jpg  No code", "three.jpg  3 stickers found: ",
                     "wrong.jpg  wrong-mate  WRONG MATE: 12M is not the other half of 3H.",
                     "right.jpg  mated  12H, 12M: seal air.\n", "\nNO: "):
            self.assertIn(line, said)

    def test_other_codes_are_passed_over(self):
        """A map in view, whose code holds a link, and another harness's sticker."""
        link = "HTTP://BENCH.LOCAL:8080/12HDS4U0042P/#map"
        stickers = dict(self.sets[1], map=(encoded(link), 4), foreign=self.foreign())
        grade = (4, 5, 0.2, 2, 0.8)
        taken = [self.photograph(f"{tags[0]}.jpg", tags, stickers, grade, (1200, 600))
                 for tags in (("map", "3H", "3M"), ("foreign", "5H"))]
        rows, _ = self.verify(*taken)
        self.assertEqual([row["verdict"] for row in rows], ["mated", "foreign"])
        self.assertEqual([row["others"] for row in rows], [[link], []])
        said = common.run("verify", self.description, "--stage", "tag", "--photos", *taken,
                          expect=1).stdout
        self.assertIn(f"rain sensor. 1 other code was ignored: {link[:40]}…\n", said)

    def foreign(self):
        stem = os.path.join(self.folder, "foreign")
        options = (common.sample(self.folder, "seed-gantry"), "--layout", "roll-25x13",
                   "--payload", "code", "--only", "14M")
        common.run("stickers", *options, "-o", stem + ".png", "-q")
        figures = json.loads(common.run("stickers", *options, "--json").stdout)["stickers"]
        picture = sorted(glob.glob(stem + "*.png"))[0]
        return numpy.asarray(Image.open(picture).convert("L")), figures[0]["dots"]

    def test_bad_files_are_told_and_the_others_go_on(self):
        grade = (4, 5, 0.2, 2, 0.8)
        good = self.photograph("good.jpg", ("3H", "3M"), self.sets[1], grade, (800, 600))
        short = os.path.join(self.folder, "short.jpg")
        with open(short, "wb") as out:
            out.write(common.data(good)[:5000])
        # A head that promises 60,000 pixels square, and nothing behind it.
        huge = os.path.join(self.folder, "huge.png")
        Image.new("1", (8, 8)).save(huge)
        png = bytearray(common.data(huge))
        png[16:24] = (60000).to_bytes(4, "big") * 2
        png[29:33] = zlib.crc32(png[12:29]).to_bytes(4, "big")
        with open(huge, "wb") as out:
            out.write(png)
        done = common.run("verify", self.description, "--stage", "tag", "--json", "--photos",
                          short, huge, "no-such.jpg", self.description, good, expect=3)
        rows = json.loads(done.stdout)["photos"]
        self.assertEqual([row["shows"] for row in rows], ["unreadable"] * 4 + ["whole"])
        for name in (short, huge, "no-such.jpg", self.description):
            self.assertIn(f"{name}: error: ", done.stderr)

    def draw_apart(self):
        """Leaves the pictures of the other checks as they are."""
        self.random = numpy.random.default_rng(2)

    def finders(self, side):
        """Nothing but finder patterns (ISO/IEC 18004) of a pixel a module, as close as they can be:
        a few kB that keep a search for codes busy for most of a minute."""
        pattern = numpy.pad(numpy.pad(numpy.zeros((3, 3)), 1, constant_values=1), 1)
        tile = numpy.pad(pattern, (0, 1), constant_values=1)
        path = os.path.join(self.folder, "finders.png")
        times = side // len(tile)
        Image.fromarray(numpy.tile(255 * tile, (times, times)).astype(numpy.uint8)).convert(
            "1").save(path, optimize=True)
        return path

    def test_a_picture_that_takes_too_long_is_told_and_the_others_go_on(self):
        self.draw_apart()
        grade = (4, 5, 0.2, 2, 0.8)
        good = self.photograph("quick.jpg", ("3H", "3M"), self.sets[1], grade, (800, 600))
        slow = self.finders(3000)
        self.assertLess(os.path.getsize(slow), 20000)
        done = common.run("verify", self.description, "--stage", "tag", "--json", "--photos", slow,
                          good, expect=3)
        self.assertEqual([row["shows"] for row in json.loads(done.stdout)["photos"]],
                         ["unreadable", "whole"])
        self.assertIn(f"{slow}: error: cannot be read: the search for QR codes takes too long\n",
                      done.stderr)

    def test_a_crash_in_a_library_is_told_and_the_others_go_on(self):
        """A library that crashes at square pictures stands for it."""
        self.draw_apart()
        square = os.path.join(self.folder, "square.png")
        Image.new("L", (300, 300)).save(square)
        grade = (4, 5, 0.2, 2, 0.8)
        good = self.photograph("sound.jpg", ("3H", "3M"), self.sets[1], grade, (800, 600))
        done = common.run("verify", self.description, "--stage", "tag", "--json", "--photos",
                          square, good, expect=3, env=common.preload(self.folder, CRASH))
        self.assertEqual([row["shows"] for row in json.loads(done.stdout)["photos"]],
                         ["unreadable", "whole"])
        self.assertIn(f"{square}: error: cannot be read: the search for QR codes failed\n",
                      done.stderr)

    def test_damaged_pictures_do_no_harm(self):
        self.draw_apart()
        grade = (4, 5, 0.2, 2, 0.8)
        names = []
        for ending in ("png", "jpg"):
            good = self.photograph(f"whole.{ending}", ("3H", "3M"), self.sets[1], grade,
                                   (800, 600))
            for copy in range(12):
                damaged = bytearray(common.data(good))
                for _ in range(copy + 1):
                    damaged[int(self.random.integers(8, len(damaged)))] ^= 1 << int(
                        self.random.integers(0, 8))
                names.append(os.path.join(self.folder, f"damaged-{copy}.{ending}"))
                with open(names[-1], "wb") as out:
                    out.write(damaged)
        done = common.run("verify", self.description, "--stage", "tag", "--json", "--photos",
                          *names, expect=3)
        rows = json.loads(done.stdout)["photos"]
        self.assertEqual(len(rows), len(names))
        for row in rows:
            self.assertLessEqual(set(row["tags"]), {"3H", "3M"})
            self.assertEqual(f"{row['photo']}: error: " in done.stderr,
                             row["shows"] == "unreadable")

    def test_usage(self):
        common.run("verify", self.description, "--photos", expect=2)
        common.run("verify", self.description, "a.scans", "b.scans", expect=2)


if __name__ == "__main__":
    unittest.main()
