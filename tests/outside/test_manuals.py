"""The manual pages: what mandoc says of them, and whether the page of the program has all of it."""

import os
import pathlib
import re
import subprocess
import unittest

import common
from test_help import commands, options

ROOT = pathlib.Path(os.path.abspath(common.ROOT))
PAGE = ROOT / "build/man/loomtag.1"
PAGES = sorted([PAGE, *ROOT.glob("src/packaging/*.[1-9]")])
WIDTH = 78


def shown(page):
    """A page as it stands on a terminal: one line a line, without bold and underlined."""
    text = common.quiet("mandoc", "-Tutf8", "-O", f"width={WIDTH}", page)
    return re.sub(r".\x08", "", text)


def section(text, heading):
    return re.search(rf"^{heading}\n(.*?)^(?=\S)", text, re.M | re.S)[1]


class Pages(unittest.TestCase):
    def test_mandoc_has_nothing_to_say(self):
        self.assertIn(PAGE, PAGES)
        for page in PAGES:
            with self.subTest(page=page.name):
                said = subprocess.run(["mandoc", "-Tlint", "-Wwarning", page], check=False,
                                      capture_output=True, text=True)
                self.assertEqual((said.stdout, said.stderr, said.returncode), ("", "", 0))

    def test_no_line_is_too_wide(self):
        for page in PAGES:
            for line in shown(page).splitlines():
                with self.subTest(page=page.name, line=line):
                    self.assertLessEqual(len(line), WIDTH)

    def test_none_is_left_of_a_template(self):
        for page in PAGES:
            self.assertNotRegex(common.text(page), "@[a-z-]+@")


class Program(unittest.TestCase):
    """loomtag(1), by what --help says."""

    @classmethod
    def setUpClass(cls):
        cls.text = shown(PAGE)

    def test_every_form_of_every_command(self):
        part = section(self.text, "COMMANDS")
        for command in commands():
            self.assertRegex(part, rf"(?m)^   {command}$")
            usage = common.run(command, "--help").stdout.split("\n\n")[0]
            for form in re.findall(r"loomtag .*", usage):
                form = form.replace(" [OPTIONS]", "").replace("...", " ...")
                with self.subTest(form=form):
                    self.assertRegex(part, rf"(?m)^ +{re.escape(form)}$")

    def test_every_option_and_every_text_of_it(self):
        part = section(self.text, "OPTIONS")
        rows = {}
        for row in re.split(r"\n(?=     (?:-\w, )?--)", part):
            rows[re.match(r"\s+(?:-\w, )?--([\w-]+)", row)[1] if "--" in row else ""] = (
                " ".join(row.split()))
        for command in commands():
            for name, (letter, value, text) in options(command).items():
                with self.subTest(command=command, option=name):
                    self.assertIn(text, rows[name])
                    self.assertTrue(rows[name].startswith(
                        (f"-{letter}, " if letter else "") + f"--{name}" +
                        (f"={value}" if value else "")))
                    if name not in ("help", "version", "color"):
                        self.assertRegex(rows[name], rf"\b{command}\b")

    def test_exit_codes_and_safety(self):
        codes = re.findall(r"^     (\d)    ", section(self.text, "EXIT STATUS"), re.M)
        self.assertEqual(codes, ["0", "1", "2", "3", "4"])
        self.assertIn("proves only", " ".join(section(self.text, "DESCRIPTION").split()))
        self.assertIn("proves only", " ".join(section(self.text, "CAVEATS").split()))

    def test_every_variable_that_is_read(self):
        part = section(self.text, "ENVIRONMENT")
        named = {name for path in ROOT.glob("src/*/*.c")
                 for name in re.findall(r'(?:getenv|own_folder)\((?:\w+, )?"(\w+)"',
                                        common.text(path))}
        self.assertGreater(len(named), 8)
        for name in named:
            self.assertRegex(part, rf"\b{name}\b")

    def test_keys_of_printers(self):
        made = re.search(r"asked_json.*?\n}", common.text(ROOT / "src/cli/cmd_printers.c"), re.S)[0]
        keys = set(re.findall(r'"([a-z]+)",', made)) | {"name", "uri", "formats"}
        for key in keys:
            self.assertRegex(section(self.text, "JSON"), rf"(?m)^     {key}\b")


if __name__ == "__main__":
    unittest.main()
