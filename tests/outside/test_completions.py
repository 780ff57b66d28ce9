"""Completions, tried in bash, zsh and fish: commands, the options of a command and no others, what a
value can be, files with the right endings, layouts."""

import os
import pathlib
import pty
import re
import select
import signal
import subprocess
import time
import unittest

import common
from test_help import commands, options

COMPLETIONS = pathlib.Path(os.path.abspath(common.ROOT), "build/completions")

BASH = """
. "$1"; shift
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1))
_loomtag
printf '%s\\n' "${COMPREPLY[@]}"
"""

# A Tab writes what would be offered into a file, a match a line, in place of showing it. compadd with
# -O, -A or -D adds nothing: functions of zsh ask with it what would fit.
ZSH = r"""
unset zle_bracketed_paste
PS1= PS2=
fpath=($1 $fpath)
autoload -Uz compinit
compinit -u -D
compadd() {
	local -a hits
	if [[ -n ${argv[(r)-[a-zA-Z]#[OAD]]} ]]; then
		builtin compadd "$@"
		return
	fi
	builtin compadd -O hits "$@"
	offered+=($hits)
	builtin compadd "$@"
}
save() {
	local -a offered
	_main_complete
	print -rl -- $offered >|offered.new
	mv offered.new offered
	compstate[insert]= compstate[list]=
}
zle -C save list-choices save
bindkey '^I' save
print ready >|offered
"""


class Completions:
    """What the same line is completed with, in each shell."""

    @classmethod
    def setUpClass(cls):
        cls.folder = os.path.abspath(common.workdir())
        bin_folder = os.path.join(cls.folder, "bin")
        os.makedirs(bin_folder)
        os.symlink(common.PROGRAM, os.path.join(bin_folder, "loomtag"))
        cls.work = os.path.join(cls.folder, "work")
        for name in ("a.yaml", "b.YML", "c.pdf", "d.txt", "jobs.db", "with space.yaml", "e.png"):
            path = pathlib.Path(cls.work, name)
            os.makedirs(path.parent, exist_ok=True)
            path.touch()
        os.makedirs(os.path.join(cls.work, "sub"))
        cls.environment = {"PATH": bin_folder + ":" + os.environ["PATH"], "HOME": cls.folder,
                           "TERM": "dumb", "LC_ALL": "C.UTF-8"}

    def ask(self, *command):
        """The lines that a shell prints, which has nothing to complain of."""
        done = subprocess.run(command, cwd=self.work, env=self.environment, capture_output=True,
                              text=True, check=True, timeout=60)
        self.assertEqual(done.stderr, "")
        return [line for line in done.stdout.splitlines() if line]

    def check(self, words, expected, exactly=True):
        with self.subTest(words=words):
            found = set(self.complete(*words))
            if exactly:
                self.assertEqual(found, set(expected))
            else:
                self.assertLessEqual(set(expected), found)

    def test_commands(self):
        self.check([""], commands(), exactly=False)
        self.check(["ch"], ["check", "checklist"])
        self.check(["help", "ch"], ["check", "checklist"])

    def test_options_of_the_command_and_no_others(self):
        for command in commands():
            if command != "help":
                self.check([command, "--"], {f"--{name}" for name in options(command)})

    def test_values(self):
        for words, values in (
                (["verify", "--stage"], ["tag", "unplug", "swap", "reconnect", "finish"]),
                (["stickers", "--payload"], ["auto", "link", "facts", "code"]),
                (["map", "--paper"], ["a4", "a3", "letter", "ledger"]),
                (["record", "--paper"], ["a4", "letter"]),
                (["tags", "--color"], ["auto", "always", "never"]),
                (["print", "--nudge"], [])):
            self.check([*words, ""], values)
        self.check(["map", "a.yaml", "--paper", "le"], ["letter", "ledger"])

    def test_files(self):
        descriptions = ["a.yaml", "b.YML", "with space.yaml", "sub"]
        self.check(["check", ""], descriptions)
        self.check(["verify", "a.yaml", "d"], ["d.txt"])
        self.check(["map", "a.yaml", "-o", ""], ["c.pdf", "e.png", "sub"])
        self.check(["checklist", "-o", ""], ["c.pdf", "d.txt", "-", "sub"])
        self.check(["map", "--pages", ""], ["sub"])
        self.check(["jobs", "--db", ""], ["jobs.db", "sub"])
        self.check(["check", "a.yaml", ""], [])
        self.check(["stickers", "-o", "c.pdf", ""], descriptions)

    def test_layouts(self):
        self.check(["ruler", "a4-"], [name for name in common.LAYOUTS if name.startswith("a4-")])
        self.check(["stickers", "--layout-h", "au"], ["auto"])
        self.check(["layouts", "roll"], [name for name in common.LAYOUTS if name[:4] == "roll"])
        found = {word.split(",")[-1] for word in self.complete("stickers", "--stock", "a4-3x8,ro")}
        self.assertEqual(found, {name for name in common.LAYOUTS if name[:2] == "ro"})

    def test_jobs(self):
        self.check(["jobs", "s"], ["show", "sub"])
        self.check(["jobs", "close", "3", "a"], ["a.yaml"])


class Bash(Completions, unittest.TestCase):
    def complete(self, *words):
        return self.ask("bash", "--norc", "-c", BASH, "bash", COMPLETIONS / "loomtag.bash",
                        "loomtag", *words)

    def test_a_value_behind_an_equals_sign(self):
        self.check(["map", "--paper", "=", "le"], ["letter", "ledger"])
        self.check(["map", "--paper", "="], ["a4", "a3", "letter", "ledger"])
        self.check(["map", "--paper", "=", "a4", "a"], ["a.yaml"])

    def test_the_values_are_those_that_the_program_names(self):
        path = common.sample(self.folder, "mast-head")
        out = os.path.join(self.folder, "out.pdf")
        for words in (["verify", path, "--stage"], ["stickers", path, "-o", out, "--payload"],
                      ["map", path, "-o", out, "--paper"], ["record", path, "-o", out, "--paper"],
                      ["checklist", path, "-o", out, "--paper"], ["quick", "3", "--paper"],
                      ["check", path, "--color"]):
            said = common.run(*words, "no-such-value", expect=2).stderr
            listed = re.search(r"((?:\w+, )*\w+ or \w+), not", said)[1]
            self.check([words[0], words[-1], ""], re.split(", | or ", listed))

    def test_it_is_registered(self):
        said = subprocess.run(["bash", "--norc", "-c", f". {COMPLETIONS}/loomtag.bash; complete -p"],
                              capture_output=True, text=True, check=True)
        self.assertIn("-F _loomtag loomtag", said.stdout)


class Fish(Completions, unittest.TestCase):
    def complete(self, *words):
        line = " ".join(["loomtag", *words])
        said = self.ask("fish", "--no-config", "-c",
                        f"source {COMPLETIONS}/loomtag.fish; complete -C '{line}'")
        return [row.split("\t")[0].rstrip("/") for row in said]

    def test_a_value_behind_an_equals_sign(self):
        self.check(["map", "--paper=le"], ["--paper=letter", "--paper=ledger"])


class Zsh(Completions, unittest.TestCase):
    """At a terminal, as zsh completes nowhere else."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        functions = os.path.join(cls.folder, "functions")
        os.makedirs(functions)
        os.symlink(COMPLETIONS / "loomtag.zsh", os.path.join(functions, "_loomtag"))
        setup = pathlib.Path(cls.folder, "setup.zsh")
        setup.write_text(ZSH, encoding="ascii")
        cls.process, cls.terminal = pty.fork()
        if cls.process == 0:
            os.chdir(cls.work)
            os.execvpe("zsh", ["zsh", "-f", "-i"], cls.environment)
        cls.offered = pathlib.Path(cls.folder, "work/offered")
        cls.send(f". {setup} {functions}\n")

    @classmethod
    def tearDownClass(cls):
        os.kill(cls.process, signal.SIGKILL)
        os.waitpid(cls.process, 0)
        os.close(cls.terminal)

    @classmethod
    def send(cls, keys):
        """Types something; the lines of the file that is written then."""
        screen = b""
        os.write(cls.terminal, keys.encode())
        end = time.monotonic() + 30
        while not cls.offered.exists():
            if time.monotonic() > end:
                raise AssertionError(f"zsh writes nothing: {screen.decode()}")
            if select.select([cls.terminal], [], [], 0.02)[0]:
                screen += os.read(cls.terminal, 4096)
        lines = cls.offered.read_text(encoding="utf-8").splitlines()
        cls.offered.unlink()
        return lines

    def complete(self, *words):
        # Ctrl-U takes back what was typed before.
        found = self.send("\x15" + " ".join(["loomtag", *words]) + "\t")
        # Where nothing else fits it offers options.
        other = "-[a-zA-Z]" if words[-1] else "-[-a-zA-Z]"
        return [word.rstrip("=").replace("\\", "") for word in found
                if word and not re.match(other, word)]

    def test_a_value_behind_an_equals_sign(self):
        self.check(["map", "--paper=le"], ["letter", "ledger"])


if __name__ == "__main__":
    unittest.main()
