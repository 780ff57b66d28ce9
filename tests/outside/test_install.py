"""Where the program finds its layouts, as it lies, and what installing and removing it touch."""

import os
import pathlib
import shutil
import subprocess
import unittest

import common


INSTALLED = ["bin/loomtag", "share/man/man1/loomtag.1",
             *(f"share/man/man{path.suffix[1:]}/{path.name}"
               for path in pathlib.Path(common.ROOT, "src/packaging").glob("*.[57]")),
             "share/bash-completion/completions/loomtag", "share/zsh/site-functions/_loomtag",
             "share/fish/vendor_completions.d/loomtag.fish"]


class Place(unittest.TestCase):
    def setUp(self):
        self.root = os.path.abspath(common.workdir())

    def put(self, folder, layouts):
        """A copy of the program in bin/ of a new folder, with one layout where it is told."""
        home = pathlib.Path(self.root, folder)
        os.makedirs(home / "bin")
        os.makedirs(home / layouts)
        shutil.copy(common.PROGRAM, home / "bin/loomtag")
        shutil.copy(os.path.join(common.ROOT, "layouts/a4-3x8.yaml"), home / layouts)
        return home / "bin/loomtag"

    def listed(self, program, expect=0):
        done = subprocess.run([program, "layouts"], capture_output=True, text=True, check=False,
                              env={**os.environ, "XDG_CONFIG_HOME": self.root})
        self.assertEqual(done.returncode, expect, done.stderr)
        return done.stdout + done.stderr

    def test_layouts_lie_beside_the_program(self):
        for folder, layouts in (("checkout", "layouts"), ("prefix", "share/loomtag/layouts")):
            shown = self.listed(self.put(folder, layouts))
            self.assertEqual([line.split()[0] for line in shown.splitlines()[1:]], ["a4-3x8"])

    def test_they_go_where_it_goes(self):
        program = self.put("here", "layouts")
        os.rename(os.path.join(self.root, "here"), os.path.join(self.root, "there"))
        moved = pathlib.Path(str(program).replace("/here/", "/there/"))
        self.assertIn("a4-3x8", self.listed(moved))

    def test_none_is_an_error(self):
        program = self.put("bare", "layouts")
        shutil.rmtree(os.path.join(self.root, "bare/layouts"))
        said = self.listed(program, expect=3)
        for place in ("bare/layouts", "bare/share/loomtag/layouts", "loomtag/layouts"):
            self.assertIn(os.path.join(self.root, place), said)

    def test_the_users_come_first(self):
        program = self.put("mine", "layouts")
        own = os.path.join(self.root, "loomtag/layouts")
        os.makedirs(own)
        written = common.text(os.path.join(common.ROOT, "layouts/a4-3x8.yaml"))
        pathlib.Path(own, "a4-3x8.yaml").write_text(written.replace("70 x 37 mm", "60 x 30 mm"),
                                                    encoding="utf-8")
        self.assertIn("60 x 30 mm", self.listed(program))


class Installing(unittest.TestCase):
    def make(self, target, prefix):
        subprocess.run(["make", "-C", common.ROOT, target, f"PREFIX={prefix}"], check=True,
                       capture_output=True)

    def test_it_leaves_what_others_put_there(self):
        prefix = pathlib.Path(os.path.abspath(common.workdir()), "prefix")
        self.make("install", prefix)
        shared = prefix / "share/loomtag/layouts"
        self.assertEqual(sorted(path.stem for path in shared.iterdir()), common.LAYOUTS)
        for name in INSTALLED:
            self.assertTrue((prefix / name).is_file(), name)
        others = [prefix / "share/man/man1/other.1",
                  prefix / "share/zsh/site-functions/_other"]
        for other in others:
            other.touch()
        (shared / "own.yaml").write_text("layout: own\n")
        self.make("uninstall", prefix)
        self.assertEqual(list(shared.iterdir()), [shared / "own.yaml"])
        self.assertEqual(list((prefix / "bin").iterdir()), [])
        self.assertEqual(sorted(path for path in prefix.rglob("*") if path.is_file()),
                         sorted([*others, shared / "own.yaml"]))
        (shared / "own.yaml").unlink()
        self.make("install", prefix)
        self.make("uninstall", prefix)
        self.assertFalse((prefix / "share/loomtag").exists())


if __name__ == "__main__":
    unittest.main()
