"""Help: of the program, of each command, and what is answered to a command line that is wrong."""

import re
import unittest

import common

WIDTH = 80


def commands():
    """The commands, as the overview lists them."""
    overview = common.run("--help").stdout
    table = re.search(r"^commands:\n(.*?)\n\n", overview, re.M | re.S)[1]
    return re.findall(r"^  (\w+)", table, re.M)


def options(command):
    """name: (short form or None, name of its value or None, text), of a command's help."""
    table = common.run(command, "--help").stdout.split("\noptions:\n")[1]
    found = {}
    for row in re.split(r"\n(?=  -|      --)", table.rstrip("\n")):
        match = re.fullmatch(r"  (?:-(\w), |    )--([\w-]+)(?:=(\S+))?\s+(.*)", row, re.S)
        found[match[2]] = match[1], match[3], " ".join(match[4].split())
    return found


class Help(unittest.TestCase):
    def test_no_line_is_too_wide(self):
        for command in ([], *([name] for name in commands())):
            for line in common.run(*command, "--help").stdout.splitlines():
                with self.subTest(command=command, line=line):
                    self.assertLessEqual(len(line), WIDTH)
                    self.assertEqual(line, line.rstrip())

    def test_every_command_has_its_forms_and_a_text_for_each_option(self):
        self.assertGreaterEqual(set(commands()), {
            "quick", "check", "tags", "stickers", "map", "checklist", "verify", "jobs", "record",
            "print", "layouts", "printers", "ruler", "help", "version"})
        for command in commands():
            with self.subTest(command=command):
                said = common.run(command, "--help").stdout
                usage, about, _ = said.split("\n\n")[0], *said.split("\n\n", 1)[1].split(
                    "options:\n")
                for form in usage.splitlines():
                    self.assertRegex(form, rf"^(usage:|      ) loomtag {command} \[OPTIONS\]")
                self.assertRegex(about, r"\.\n\n$")
                for name, (_, _, text) in options(command).items():
                    self.assertTrue(text, name)
                self.assertLessEqual({"help", "version"}, set(options(command)))

    def test_hints_name_the_command_that_was_run(self):
        for command, word in (("quick", "4"), ("stickers", "x.yaml"), ("print", "x.yaml")):
            for option in ("--distance", "--payload"):
                done = common.run(command, word, option, "1", expect=2)
                self.assertIn(f"read loomtag {command} --help", done.stderr)

    def test_a_command_takes_the_options_of_its_help_and_no_others(self):
        every = {}
        for command in commands():
            every.update(options(command))
        for command in commands():
            own = options(command)
            for name, (_, value, _) in every.items():
                with self.subTest(command=command, option=name):
                    # Refused for want of a value, or not at all, where it is the command's.
                    said = common.run(command, f"--{name}", "--help", expect=None)
                    if name not in own:
                        self.assertEqual((said.returncode, said.stdout), (2, ""))
                        self.assertIn(f"loomtag {command} has no option --{name}", said.stderr)
                    elif value is None:
                        self.assertEqual(said.returncode, 0)
                    else:
                        said = common.run(command, "--help", f"--{name}", expect=2)
                        self.assertIn(f"--{name} needs a value", said.stderr)
                        said = common.run(command, "--help", f"--{name}=", expect=2)
                        self.assertIn(f"--{name} needs a value", said.stderr)

    def test_no_option_names_one_that_the_command_lacks(self):
        for command in commands():
            own = options(command)
            for name, (_, _, text) in own.items():
                for other in re.findall(r"--[\w-]+", text.replace("loomtag print --ladder", "")):
                    with self.subTest(command=command, option=name):
                        self.assertIn(other[2:], own)

    def test_texts_are_of_their_command(self):
        for command, paper in (("map", "ledger"), ("checklist", "letter"), ("record", "letter"),
                               ("quick", "letter")):
            text = options(command)["paper"][2]
            self.assertIn(paper, text)
            self.assertEqual("ledger" in text, command == "map")
        for command, ending in (("print", ".pwg"), ("map", ".svg"), ("record", ".json"),
                                ("checklist", ".txt"), ("ruler", ".png")):
            for other in commands():
                if other in ("help", "version") or "output" not in options(other):
                    continue
                text = options(other)["output"][2]
                if other == command:
                    self.assertIn(ending, text)
                elif ending in (".pwg", ".svg", ".json"):
                    self.assertNotIn(ending, text, other)


class Forms(unittest.TestCase):
    def test_help_in_each_form(self):
        overview = common.run("--help")
        self.assertEqual(overview.stderr, "")
        for form in (["-h"], ["help"]):
            self.assertEqual(common.run(*form).stdout, overview.stdout)
        for command in commands():
            said = common.run(command, "--help").stdout
            for form in ([command, "-h"], ["help", command], ["--help", command]):
                self.assertEqual(common.run(*form).stdout, said)

    def test_version_in_each_form(self):
        said = common.run("--version").stdout
        self.assertRegex(said, r"^loomtag \d+\.\d+\.\d+\n$")
        for form in (["version"], ["map", "--version"]):
            self.assertEqual(common.run(*form).stdout, said)

    def test_without_a_command_it_is_a_wrong_usage(self):
        """The overview, for a person, and an error, for a script."""
        said = common.run(expect=2)
        self.assertEqual(said.stdout, "")
        self.assertTrue(said.stderr.startswith(common.run("--help").stdout))
        self.assertRegex(said.stderr.splitlines()[-1], "^loomtag: error: .*command")

    def test_a_wrong_word_is_answered_with_the_nearest(self):
        for words, error, meant in (
                (["stikers"], "stikers", "stickers"), (["help", "chek"], "chek", "check"),
                (["map", "--protrait"], "--protrait", "--portrait"),
                (["tags", "--jsn=x"], "--jsn", "--json")):
            with self.subTest(words=words):
                said = common.run(*words, expect=2)
                first, second = said.stderr.splitlines()
                self.assertIn(error, first)
                self.assertEqual(second, f"  hint: did you mean {meant}?")
        for words in (["nonsense"], ["help", "nonsense"], ["check", "--nonsense"], ["check", "-x"]):
            said = common.run(*words, expect=2)
            self.assertNotIn("did you mean", said.stderr)
            self.assertIn(words[-1], said.stderr)
            self.assertIn("--help", said.stderr.splitlines()[-1])

    def test_what_is_wrong_with_an_option_or_an_argument(self):
        for words, said in (
                (["check"], "FILE"), (["quick"], "N"), (["ruler"], "LAYOUT"),
                (["check", "a", "b"], '"b"'), (["version", "x"], '"x"'),
                (["check", "--quiet=yes", "a"], "--quiet"), (["map", "-o"], "-o"),
                (["stickers", "--lay", "x"], "--layout, --layout-h, --layout-m"),
                (["check", "a", "--color", "pink"], "auto, always or never")):
            with self.subTest(words=words):
                first, second = common.run(*words, expect=2).stderr.splitlines()
                self.assertRegex(first, rf"^loomtag: error: .*{re.escape(said)}")
                self.assertEqual(second, f"  hint: read loomtag {words[0]} --help")


if __name__ == "__main__":
    unittest.main()
