"""What is remembered of a printer: --nudge, --scale and --smallest with --printer."""

import os
import re
import shutil
import unittest

import common


class Alignment(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.env = {"XDG_CONFIG_HOME": os.path.abspath(os.path.join(self.folder, "config"))}
        self.file = os.path.join(self.env["XDG_CONFIG_HOME"], "loomtag", "printers.yaml")

    def tearDown(self):
        shutil.rmtree(self.folder)

    def out(self, name):
        return os.path.join(self.folder, name)

    def ruler(self, name, *options, expect=0):
        return common.run("ruler", "a4-3x8", "-o", self.out(name), *options, env=self.env,
                          expect=expect)

    def test_what_was_said_once_is_used_again(self):
        self.ruler("told.pdf", "--nudge", "0.5,-0.7", "--scale", "1.004,0.998")
        self.assertFalse(os.path.exists(self.file))
        self.ruler("first.pdf", "--nudge", "0.5,-0.7", "--printer", "bench 2")
        # One at a time: the other stays as it was.
        self.ruler("second.pdf", "--scale", "1.004,0.998", "--printer", "bench 2")
        done = self.ruler("third.pdf", "--printer", "bench 2")
        self.assertIn('printer "bench 2": --nudge 0.5,-0.7 --scale 1.004,0.998',
                      done.stderr)
        self.assertEqual(common.data(self.out("second.pdf")), common.data(self.out("told.pdf")))
        self.assertEqual(common.data(self.out("third.pdf")), common.data(self.out("told.pdf")))
        self.assertNotEqual(common.data(self.out("first.pdf")), common.data(self.out("told.pdf")))
        kept = common.text(self.file)
        self.assertRegex(kept, r'name: "bench 2"\n\s+nudge: 0.5 x -0.7 mm\n\s+scale: 1.004 x 0.998')

    def test_stickers_and_rulers_share_it(self):
        sample = common.sample(self.folder, "mast-head")
        for name, options in (("plain.pdf", ("--nudge", "2,1")), ("kept.pdf", ("--printer", "p"))):
            if name == "kept.pdf":
                self.ruler("ruler.pdf", "--nudge", "2,1", "--printer", "p")
            common.run("stickers", sample, "-o", self.out(name), *options, env=self.env)
        self.assertEqual(common.data(self.out("plain.pdf")), common.data(self.out("kept.pdf")))

    def dots(self, sample, *options):
        """The fewest dots a module of any sticker on a label that has room for five."""
        done = common.run("stickers", sample, "--layout", "roll-54x25", "--explain", "--json",
                          *options, env=self.env)
        return min(int(dots) for dots in re.findall(r'"dots": *(\d+)', done.stdout))

    def test_the_smallest_code_that_reads_is_used_again(self):
        sample = common.sample(self.folder, "mast-head")
        self.assertEqual(self.dots(sample), 4)
        self.assertEqual(self.dots(sample, "--smallest", "5"), 5)
        common.run("stickers", sample, "--layout", "roll-54x25", "-o", self.out("a.pdf"),
                   "--smallest", "5", "--printer", "p", env=self.env)
        self.assertRegex(common.text(self.file), r'name: "p"\n(    .*\n)*    smallest: 5\n')
        self.assertEqual(self.dots(sample, "--printer", "p"), 5)
        self.ruler("ruler.pdf", "--nudge", "1,1", "--printer", "p")
        self.assertEqual(self.dots(sample, "--printer", "p"), 5)
        self.assertEqual(self.dots(sample, "--printer", "p", "--smallest", "4"), 4)
        done = common.run("stickers", sample, "--layout", "roll-25x13", "-o", self.out("b.pdf"),
                          "--printer", "p", env=self.env, expect=3)
        self.assertIn("has no room at a readable size", done.stderr)
        for wrong in ("1", "9", "3.5", "-3", ""):
            common.run("stickers", sample, "-o", self.out("c.pdf"), "--smallest=" + wrong,
                       env=self.env, expect=2)

    def test_an_unknown_printer_is_told(self):
        self.ruler("a.pdf", "--nudge", "1,1", "--printer", "bench 2")
        done = self.ruler("b.pdf", "--printer", "bench 3", expect=3)
        self.assertFalse(os.path.exists(self.out("b.pdf")))
        self.assertRegex(done.stderr, 'error: .*remembered.* "bench 3"')
        self.assertIn('"bench 2"', done.stderr)
        self.assertNotIn("bench 3", common.text(self.file))

    def test_nothing_is_remembered_of_what_failed(self):
        self.ruler("missing/a.pdf", "--nudge", "1,1", "--printer", "bench 2", expect=4)
        self.ruler("a.pdf", "--nudge", "1,100", "--printer", "bench 2", expect=2)
        self.ruler("a.pdf", "--scale", "1,2", "--printer", "bench 2", expect=2)
        self.assertFalse(os.path.exists(self.file))

    def test_a_damaged_file_stays_as_it_is(self):
        os.makedirs(os.path.dirname(self.file))
        damaged = "printers:\n  - name: bench\n    nudge: much\n"
        with open(self.file, "w", encoding="utf-8") as out:
            out.write(damaged)
        for options in (("--printer", "bench"), ("--printer", "bench", "--nudge", "1,1")):
            done = self.ruler("a.pdf", *options, expect=3)
            self.assertTrue(re.search(r"printers\.yaml:3:\d+: error", done.stderr), done.stderr)
        self.assertEqual(common.text(self.file), damaged)


if __name__ == "__main__":
    unittest.main()
