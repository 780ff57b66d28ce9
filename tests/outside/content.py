"""What stands on the pages of a PDF, read from its content streams as qpdf lays them open."""

import re
import subprocess

POINTS = 72 / 25.4

OPERATOR = re.compile(
    rb"q (?P<matrix>[-\d.]+ [-\d.]+ [-\d.]+ [-\d.]+ [-\d.]+ [-\d.]+) cm\n"
    rb"BI /W (?P<wide>\d+) /H (?P<tall>\d+) /IM true /F /AHx ID (?P<hex>[0-9A-F]+)>"
    rb"|(?P<td>[-\d.]+ [-\d.]+) Td\n(?:/\S+ [\d.]+ Tf\n)?"
    rb"(?P<string>\((?:[^()\\]|\\.)*\)|<[0-9A-Fa-f]*>) Tj"
    rb"|(?P<bar>[-\d.]+ [-\d.]+ [-\d.]+ [-\d.]+) re\n")


class Mark:
    """Something that stands on a page: `kind` text, code or bar; x, y from the page's top-left
    corner in mm: of a text's start on its baseline, else of the top-left corner."""

    def __init__(self, kind, x, y, size, what):
        self.kind, self.x, self.y, self.size, self.what = kind, x, y, size, what

    def same(self, other):
        """True when it is the same thing, wherever it stands. Bars are written from the rounded
        places of their two ends."""
        return (self.kind, self.what) == (other.kind, other.what) and all(
            abs(mine - theirs) <= 0.011 for mine, theirs in zip(self.size, other.size))


class Page:
    def __init__(self, width, height, marks):
        self.width, self.height, self.marks = width, height, marks

    def codes(self):
        return [mark for mark in self.marks if mark.kind == "code"]


def mark_of(match, height):
    if match["matrix"]:
        wide, skew, slant, tall, x, y = map(float, match["matrix"].split())
        assert skew == slant == 0, "a code stands upright"
        rows = bit_rows(int(match["wide"]), match["hex"])
        return Mark("code", x / POINTS, (height - y - tall) / POINTS,
                    (wide / POINTS, tall / POINTS), rows)
    if match["td"]:
        x, y = map(float, match["td"].split())
        return Mark("text", x / POINTS, (height - y) / POINTS, (), match["string"])
    x, y, wide, tall = map(float, match["bar"].split())
    return Mark("bar", x / POINTS, (height - y - tall) / POINTS, (wide / POINTS, tall / POINTS), "")


def bit_rows(wide, digits):
    """The modules of an image mask, True for black: a 0 is painted (ISO 32000-1, 8.9.6.2), rows
    begin on a byte."""
    stride = (wide + 7) // 8 * 2
    return tuple(tuple(bit == "0" for bit in f"{int(digits[at:at + stride], 16):0{stride * 4}b}"
                       [:wide]) for at in range(0, len(digits), stride))


def pages(pdf):
    """The pages of a PDF, in order."""
    laid_open = subprocess.run(["qpdf", "--qdf", "--object-streams=disable", pdf, "-"],
                               capture_output=True, check=True).stdout
    sizes = [tuple(map(float, box.split()))[2:]
             for box in re.findall(rb"/MediaBox \[\s*(.*?)\]", laid_open, re.S)]
    streams = re.findall(rb"%% Contents for page \d+\n.*?stream\n(.*?)\nendstream", laid_open, re.S)
    assert len(sizes) == len(streams)
    return [Page(width / POINTS, height / POINTS, marks_of(stream, height))
            for (width, height), stream in zip(sizes, streams)]


def marks_of(stream, height):
    marks = [mark_of(match, height) for match in OPERATOR.finditer(stream)]
    assert len(marks) == len(re.findall(rb" (?:Tj|re|cm)$", stream, re.M)), "all is understood"
    return marks
