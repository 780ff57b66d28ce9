"""Every console block of the README, run and compared with what stands there; the screen of the
apprentice too. `tests/outside/test_readme.py --write` (with the folder tests/outside as its own)
writes what the program says now into the README."""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import unittest

import common
import printed
import terminal

setUpModule = printed.set_up
tearDownModule = printed.tear_down

README = pathlib.Path(common.ROOT, "README.md")
BLOCK = re.compile(r"^```(console|screen)\n(.*?)^```$", re.M | re.S)
QUICK = re.compile(r"\bQ[0-9A-Z]{5}\b")  # the code that `quick` makes anew each time


class Shop:
    """A folder with copies of the samples, as for a reader who tries the blocks one by one."""

    def __init__(self):
        self.folder = pathlib.Path(common.workdir()).resolve()
        for path in sorted(pathlib.Path(common.ROOT, "samples").iterdir()):
            if path.is_file():
                shutil.copy(path, self.folder)
        programs = self.folder / ".programs"
        programs.mkdir()
        (programs / "loomtag").symlink_to(common.PROGRAM)
        self.environment = {"PATH": f"{programs}:{os.environ['PATH']}", "LANG": "C.UTF-8",
                            "HOME": str(self.folder / ".home"), "LOGNAME": "ada"}

    def command(self, line):
        """What a command prints, on both streams as they come."""
        words = ["sh", "-c", line]
        if "--to " in line:
            path = f"{self.environment['PATH']}:/usr/sbin"
            done = printed.BENCH.run(words, cwd=self.folder, env={"PATH": path},
                                     stdin="", stderr=subprocess.STDOUT)
        else:
            done = subprocess.run(words, cwd=self.folder, env=self.environment, text=True,
                                  stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                  stderr=subprocess.STDOUT, timeout=60, check=False)
        # How often the progress is shown depends on the machine: the last time counts.
        return re.sub(r"(?m)^.*\b\d+ of \d+\b.*\n(?=.*\b\d+ of \d+\b)", "", done.stdout) \
            if "--to " in line else done.stdout

    def console(self, block):
        """The block as the program writes it now."""
        out = []
        for line in block.splitlines():
            if line.startswith("$ "):
                out.append(line + "\n" + self.command(line[2:]))
        return "".join(out)

    def screen(self):
        """The live screen at a wrong mate, after two joints."""
        path = self.folder / "dome-shutter.yaml"
        codes = {}
        for tag in common.tags(path)["tags"]:
            codes.update({f"{tag['number']}{side}": code for side, code in tag["codes"].items()})
        with terminal.Terminal("verify", path, "--stage", "reconnect", cwd=self.folder,
                               env={"HOME": self.environment["HOME"]}) as run:
            run.asked()
            for _ in range(len(re.findall(r"^  - energy:", common.text(path), re.M))):
                run.say("yes")
            for tag in ("13H", "13M", "12H", "12M", "6H", "7M"):
                run.say(codes[tag])
            return run.screen.text() + "\n"


def as_now():
    """The README's text with each block as the program writes it now."""
    shop = Shop()
    text = README.read_text(encoding="utf-8")

    def now(block):
        body = shop.screen() if block.group(1) == "screen" else shop.console(block.group(2))
        codes = QUICK.findall(block.group(2)), QUICK.findall(body)
        if codes[0] and codes[1]:
            body = body.replace(codes[1][0], codes[0][0])
        return f"```{block.group(1)}\n{body}```"

    if printed.BENCH:
        dress = pathlib.Path(common.ROOT, "tests", "outside", "printers", "roll-203.conf")
        printed.BENCH.printer("Bench roll", dress.stem)
    return text, BLOCK.sub(now, text)


@printed.on_bench
class Readme(unittest.TestCase):
    maxDiff = None

    def test_blocks_are_what_the_program_says(self):
        stands, now = as_now()
        self.assertGreaterEqual(len(BLOCK.findall(stands)), 6)
        self.assertEqual(stands.splitlines(), now.splitlines())


class Form(unittest.TestCase):
    """What needs no printer to be seen."""

    def setUp(self):
        self.text = README.read_text(encoding="utf-8")

    def test_it_stays_short(self):
        self.assertLessEqual(len(self.text.splitlines()), 250)

    def test_no_block_is_passed_over(self):
        """A block of commands is one that is run: none in another form."""
        self.assertNotRegex(self.text, r"(?m)^(    )+\$ ")
        self.assertEqual(len(re.findall(r"^```\w+$", self.text, re.M)),
                         len(BLOCK.findall(self.text)) + self.text.count("```yaml"))
        for kind, block in BLOCK.findall(self.text):
            if kind == "console":
                self.assertRegex(block, r"\A\$ ")

    def test_the_description_shown_is_a_part_of_the_sample(self):
        sample = common.text(pathlib.Path(common.ROOT, "samples", "dome-shutter.yaml"))
        (shown,) = re.findall(r"^```yaml\n(.*?)^```$", self.text, re.M | re.S)
        for line in shown.splitlines():
            self.assertIn(line, sample.splitlines())

    def test_links_lead_somewhere(self):
        headings = {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-")
                    for title in re.findall(r"^#+ (.*)$", self.text, re.M)}
        targets = re.findall(r"\]\(([^)]+)\)", self.text)
        self.assertGreater(len(targets), 10)
        for target in targets:
            if target.startswith("#"):
                self.assertIn(target[1:], headings)
            else:
                self.assertTrue(pathlib.Path(common.ROOT, target).exists(), target)


if __name__ == "__main__" and sys.argv[1:] == ["--write"]:
    printed.set_up()
    try:
        README.write_text(as_now()[1], encoding="utf-8")
    finally:
        printed.tear_down()
