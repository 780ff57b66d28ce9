"""What the outside checks share: running the program, reading its layouts, cutting labels out of
rasterised pages and decoding them with zbar. Nothing here uses the program's own code."""

import base64
import json
import os
import pathlib
import re
import shutil
import struct
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree
import zlib

PROGRAM = os.path.abspath(os.environ.get("LOOMTAG", "build/loomtag"))
ROOT = os.environ.get("LOOMTAG_ROOT", ".")
SAMPLES = ["mast-head", "dome-shutter", "seed-gantry"]
LAYOUTS = sorted(path.stem for path in pathlib.Path(ROOT, "layouts").glob("*.yaml"))
EPOCH = "1700000000"


def data(path):
    return pathlib.Path(path).read_bytes()


def text(path):
    return pathlib.Path(path).read_text(encoding="utf-8")


def without_rights(check):
    """For a check of what one who may not write is told: root may write everywhere. tests/run.py
    makes it as nobody."""
    check.without_rights = True
    return unittest.skipIf(os.geteuid() == 0, "for a user without rights")(check)


def workdir():
    """A new folder that is kept for looking at, under the current one."""
    return tempfile.mkdtemp(prefix="work-", dir=".")


def sample(folder, name, registered=False):
    """Copies a sample where its register may be written; returns the path of the copy. With
    `registered` also a register that gave its numbers in the order of unplugging: they stay."""
    if registered:
        shutil.copy(os.path.join(ROOT, "tests", "outside", "registers", name + ".tags"), folder)
    return shutil.copy(os.path.join(ROOT, "samples", name + ".yaml"), folder)


def run(*arguments, stdin="", expect=0, cwd=None, env=None, timeout=120):
    """Runs the program. A crash or a sanitizer report is never what is expected."""
    environment = dict(os.environ, **{"SOURCE_DATE_EPOCH": EPOCH, **(env or {})})
    done = subprocess.run([PROGRAM, *map(str, arguments)], input=stdin, capture_output=True,
                          text=True, cwd=cwd, env=environment, timeout=timeout)
    if expect is not None and done.returncode != expect:
        raise AssertionError(f"loomtag {' '.join(map(str, arguments))}: exit code "
                             f"{done.returncode}, not {expect}\n{done.stdout}{done.stderr}")
    if done.returncode < 0 or "Sanitizer" in done.stderr:
        raise AssertionError(f"crash: {done.stderr}")
    return done


def preload(folder, source):
    """An environment in which functions of libraries are those of a C source instead."""
    path = os.path.join(folder, "preloaded.c")
    library = os.path.abspath(os.path.join(folder, "preloaded.so"))
    pathlib.Path(path).write_text(source, encoding="ascii")
    subprocess.run(["cc", "-shared", "-fPIC", "-o", library, path, "-ldl"], check=True)
    return {"LD_PRELOAD": library}


def tags(path, *options):
    return json.loads(run("tags", path, "--json", *options).stdout)


def expected_codes(listing, description):
    """The scan codes that have a sticker: of every live tag but those on paper."""
    paper = set(re.findall(r"- id: (\S+)(?:(?!- id:).)*?tag: paper", description, re.S))
    return sorted(code for tag in listing["tags"]
                  if tag["state"] == "live" and tag["connector"] not in paper
                  for code in tag["codes"].values())


def layout(name):
    """A layout file read by a few lines of our own: flat `key: value` pairs."""
    written = text(os.path.join(ROOT, "layouts", name + ".yaml"))
    return {key: value.split("#")[0].strip()
            for key, value in re.findall(r"^(\w+):\s*(.*)$", written, re.M)}


def numbers(words):
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", words)]


def label_places(name):
    """The labels' rectangles on a page in mm: (x, y, width, height), by grid arithmetic."""
    fields = layout(name)
    width, height = numbers(fields["label"])
    if fields["kind"] != "sheet":
        return [(0, 0, width, height)]
    columns, rows = map(int, numbers(fields["grid"]))
    first_x, first_y = numbers(fields["first"])
    pitch_x, pitch_y = numbers(fields["pitch"])
    return [(first_x + column * pitch_x, first_y + row * pitch_y, width, height)
            for row in range(rows) for column in range(columns)]


def quiet(*command):
    """Runs a judge that must have nothing to complain of; returns its output."""
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0 or done.stderr.strip():
        raise AssertionError(f"{command[0]} complains ({done.returncode}): {done.stderr}")
    return done.stdout


def rasterise(pdf, dpi, folder):
    """The pages of a PDF as grey PGM files at a resolution."""
    stem = os.path.join(folder, f"page-{dpi}")
    quiet("pdftoppm", "-r", str(dpi), "-gray", pdf, stem)
    return sorted(os.path.join(folder, name) for name in os.listdir(folder)
                  if name.startswith(f"page-{dpi}-") and name.endswith(".pgm"))


def read_pgm(path):
    page = data(path)
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", page)
    return int(head[1]), int(head[2]), page[head.end():]


def read_png(path):
    """Width, height and rows of packed bits of a 1-bit grey PNG, by zlib alone."""
    png = data(path)
    wide, tall = struct.unpack(">II", png[16:24])
    at, packed = 8, b""
    while at < len(png):
        size, kind = struct.unpack(">I4s", png[at:at + 8])
        if kind == b"IDAT":
            packed += png[at + 8:at + 8 + size]
        at += 12 + size
    raw = zlib.decompress(packed)
    stride = (wide + 7) // 8
    before = bytearray(stride)
    rows = []
    for row in range(tall):
        kind = raw[row * (stride + 1)]
        line = bytearray(raw[row * (stride + 1) + 1:(row + 1) * (stride + 1)])
        # The PNG filters for one byte a pixel group.
        for i in range(stride if kind else 0):
            left = line[i - 1] if i else 0
            up = before[i]
            corner = before[i - 1] if i else 0
            if kind == 1:
                line[i] = (line[i] + left) & 255
            elif kind == 2:
                line[i] = (line[i] + up) & 255
            elif kind == 3:
                line[i] = (line[i] + (left + up) // 2) & 255
            elif kind == 4:
                guess = left + up - corner
                nearest = min((left, up, corner), key=lambda v: abs(guess - v))
                line[i] = (line[i] + nearest) & 255
        before = line
        rows.append(bytes(line))
    return wide, tall, rows


def png_pixels(path):
    """The same with a byte a pixel, as read_pgm() gives them."""
    wide, tall, rows = read_png(path)
    bits = [bytes(255 if byte >> (7 - bit) & 1 else 0 for bit in range(8)) for byte in range(256)]
    return wide, tall, b"".join([b"".join([bits[byte] for byte in row])[:wide] for row in rows])


def write_pgm(path, width, height, pixels):
    with open(path, "wb") as out:
        out.write(b"P5 %d %d 255\n" % (width, height) + pixels)


def cut(pgm, dpi, places, folder):
    """Cuts each place out of a page; blank ones are left out. Returns the files."""
    width, height, pixels = read_pgm(pgm)
    files = []
    for number, place in enumerate(places):
        x, y, wide, tall = (round(value / 25.4 * dpi) for value in place)
        wide, tall = min(wide, width - x), min(tall, height - y)
        rows = [pixels[(y + row) * width + x:(y + row) * width + x + wide] for row in range(tall)]
        if all(row.count(255) == len(row) for row in rows):
            continue
        name = os.path.join(folder, f"{os.path.basename(pgm)[:-4]}-label-{number}.pgm")
        with open(name, "wb") as out:
            out.write(b"P5 %d %d 255\n" % (wide, tall) + b"".join(rows))
        files.append(name)
    return files


def payload_of(node):
    """The text of a symbol. zbar writes what is not ASCII in base64, and spoils some of its bytes
    there (not so with --raw); a scan code is ASCII, and not spoilt."""
    if node.get("format") == "base64":
        return base64.b64decode(node.text).decode("utf-8", "replace")
    return node.text


def decode(files):
    """What zbar reads in each file: a list of payloads a file, in order."""
    found = {name: [] for name in files}
    for start in range(0, len(files), 100):
        batch = files[start:start + 100]
        done = subprocess.run(["zbarimg", "-q", "--xml", "-Sdisable", "-Sqrcode.enable", *batch],
                              capture_output=True, check=False)
        if not done.stdout.strip():
            continue
        tree = ElementTree.fromstring(done.stdout)
        for source in tree.iter():
            if source.tag.endswith("source"):
                found[source.get("href")] += [payload_of(node) for node in source.iter()
                                              if node.tag.endswith("data")]
    return [found[name] for name in files]


def decode_text(file):
    """The text of the one symbol in a file, byte for byte, as UTF-8."""
    done = subprocess.run(["zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", file],
                          capture_output=True, check=True)
    text_read = done.stdout.decode("utf-8")
    return text_read[:-1] if text_read.endswith("\n") else text_read


def scan_codes(payloads):
    """The scan code in each payload, read by the rule: first token, last run of letters and digits."""
    return [re.findall(r"[A-Za-z0-9]+", payload.split(" ")[0])[-1].upper() for payload in payloads]


ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def check_character(characters):
    """ISO/IEC 7064, MOD 37,36, from the standard's pure recursive description."""
    product = 36
    for character in characters:
        product = (product + ALPHABET.index(character)) % 36 or 36
        product = product * 2 % 37
    return ALPHABET[(37 - product) % 36]
