"""How the code is laid out: which room may use which, as DEVELOPERS.md draws the house, read off the
object files; what is promised to other rooms; how long functions are."""

import collections
import glob
import os
import pathlib
import re
import subprocess
import tempfile
import unittest

import common

ROOT = pathlib.Path(os.path.abspath(common.ROOT))
MOST_LINES, MOST_PARAMETERS = 60, 7


def rooms():
    """The rooms in the order in which DEVELOPERS.md draws them: each may use those before it."""
    return re.findall(r"^    src/(\w+)/", common.text(ROOT / "DEVELOPERS.md"), re.M)


def objects():
    """room/file: (symbols that it defines, symbols that it wants), of what is there to be built."""
    found = {}
    for path in sorted((ROOT / "build/release/src").glob("*/*.o")):
        name = f"{path.parent.name}/{path.stem}"
        if not (ROOT / f"src/{name}.c").exists():
            continue
        defined, wanted = set(), set()
        for line in common.quiet("nm", "--extern-only", path).splitlines():
            kind, symbol = line.split()[-2:]
            (wanted if kind == "U" else defined).add(symbol)
        found[name] = defined, wanted
    return found


def tested(symbol):
    """Whether a unit test or a fuzzer calls what else its own file alone does: a parser, say."""
    return any(re.search(rf"\b{symbol}\(", common.text(path))
               for folder in ("unit", "fuzz") for path in ROOT.glob(f"tests/{folder}/*.[ch]"))


class Calls(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.rooms, cls.objects = rooms(), objects()
        cls.home = {symbol: name for name, (defined, _) in cls.objects.items()
                    for symbol in defined}
        cls.calls = {name: {(cls.home[symbol], symbol) for symbol in wanted if symbol in cls.home}
                     for name, (_, wanted) in cls.objects.items()}

    def test_every_room_stands_in_the_house(self):
        self.assertEqual(len(self.objects), len(list(ROOT.glob("src/*/*.c"))))
        self.assertEqual(sorted({name.split("/")[0] for name in self.objects}), sorted(self.rooms))

    def test_no_room_calls_one_below_it(self):
        up = {f"{name} calls {symbol} of {home}" for name, calls in self.calls.items()
              for home, symbol in calls
              if self.rooms.index(home.split("/")[0]) > self.rooms.index(name.split("/")[0])}
        self.assertEqual(up, set())

    def test_no_two_files_call_each_other(self):
        pairs = {(name, home) for name, calls in self.calls.items() for home, _ in calls}
        self.assertEqual({pair for pair in pairs if pair[::-1] in pairs and pair[0] < pair[1]},
                         set())

    def test_names_begin_with_lt(self):
        self.assertEqual({symbol for symbol in self.home
                          if not symbol.startswith("lt_") and symbol != "main"}, set())

    def test_headers_promise_what_others_call(self):
        called = collections.defaultdict(set)
        for name, calls in self.calls.items():
            for home, symbol in calls:
                called[symbol].add((name.split("/")[0], name != home))
        for symbol, home in self.home.items():
            room = home.split("/")[0]
            header = ROOT / f"include/loomtag/{room}.h"
            promised = header.exists() and re.search(rf"\b{symbol}\b(?=[(\[,;])",
                                                     common.text(header))
            others = {caller for caller, _ in called[symbol] if caller != room}
            with self.subTest(symbol=symbol, file=home):
                self.assertTrue(symbol == "main" or called[symbol] or tested(symbol),
                                "nobody calls it: static?")
                self.assertEqual(bool(promised), bool(others))


class Headers(unittest.TestCase):
    def compile(self, lines):
        packages = re.search(r"^PKGS := ((?:.*\\\n)*.*)", common.text(ROOT / "Makefile"), re.M)[1]
        flags = common.quiet("pkg-config", "--cflags", *packages.replace("\\", "").split()).split()
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder, "all.c")
            path.write_text(lines + "\nint unused;\n", encoding="utf-8")
            done = subprocess.run(["cc", "-std=c17", "-Wall", "-Wextra", "-Wpedantic", "-Werror",
                                   "-D_XOPEN_SOURCE=700", f"-I{ROOT}/include", *flags,
                                   "-fsyntax-only", path], capture_output=True, text=True,
                                  check=False)
        self.assertEqual((done.returncode, done.stderr), (0, ""))

    def test_each_stands_alone_and_all_together(self):
        headers = sorted(os.path.basename(path) for path in glob.glob(f"{ROOT}/include/loomtag/*.h"))
        self.assertEqual({header[:-2] for header in headers} - set(rooms()), set())
        lines = [f'#include "loomtag/{header}"' for header in headers]
        for line in lines:
            with self.subTest(line):
                self.compile(line)
        self.compile("\n".join(lines))
        self.compile("\n".join(reversed(lines)))


def functions(path):
    """(line, lines, parameters) of each function: clang-format puts its braces at the margin."""
    lines = common.text(path).split("\n")
    for start, line in enumerate(lines):
        if line != "{":
            continue
        head = start - 1
        while re.match(r"\s", lines[head]):
            head -= 1
        taken = " ".join(lines[head:start])
        taken = taken[taken.index("(") + 1:]
        while re.search(r"\([^()]*\)", taken):
            taken = re.sub(r"\([^()]*\)", "", taken)
        yield head + 1, lines.index("}", start) - start + 1, taken.count(",") + 1


class Files(unittest.TestCase):
    def test_each_says_first_what_it_is_for(self):
        for path in sorted(ROOT.glob("src/*/*.c")) + sorted(ROOT.glob("include/loomtag/*.h")):
            with self.subTest(path=path.relative_to(ROOT)):
                self.assertRegex(common.text(path), r"^/\* \S")


class Functions(unittest.TestCase):
    def test_they_are_short_and_take_little(self):
        count = 0
        for path in sorted(ROOT.glob("src/*/*.[ch]")):
            for line, length, parameters in functions(path):
                count += 1
                with self.subTest(place=f"{path.relative_to(ROOT)}:{line}"):
                    self.assertLessEqual(length, MOST_LINES)
                    self.assertLessEqual(parameters, MOST_PARAMETERS)
        self.assertGreater(count, 1000)


if __name__ == "__main__":
    unittest.main()
