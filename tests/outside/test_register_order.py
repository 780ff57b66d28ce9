"""The register and what is printed from it, when something fails between the two: no sticker goes
out whose number the register does not know on disk."""

import errno
import os
import shutil
import unittest

import common
import faults

HARNESS = """harness: RV3
components:
  - {id: M1, name: vent motor, fate: FATE}
connectors:
  - {id: X1, name: motor power, mates: M1, family: tab, ways: 3}
  - {id: X2, name: sensor, family: tab, ways: 2}
"""


class RegisterOrder(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.built = common.workdir()
        cls.shim = faults.Shim(cls.built)

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.built)

    def setUp(self):
        self.folder = common.workdir()
        self.path = os.path.join(self.folder, "rv.yaml")
        self.tags = os.path.join(self.folder, "rv.tags")
        self.describe("keep")

    def tearDown(self):
        shutil.rmtree(self.folder)

    def describe(self, fate):
        with open(self.path, "w", encoding="utf-8") as out:
            out.write(HARNESS.replace("FATE", fate))

    def out(self, name):
        return os.path.join(self.folder, name)

    def files(self):
        return sorted(os.listdir(self.folder))

    def commands(self):
        """Each that writes the register and then something else, with what it writes."""
        return ((["stickers", self.path, "-o", self.out("s.pdf")], ["s.pdf"]),
                (["stickers", self.path, "-o", self.out("s.png"), "--layout", "roll-54x25"],
                 [f"s-0{i}.png" for i in range(1, 5)]),
                (["print", self.path, "--layout", "roll-54x25", "-o", self.out("j.pwg")],
                 ["j.pwg"]))

    def test_a_register_that_cannot_be_renamed_leaves_nothing(self):
        for arguments, _ in (*self.commands(), (["tags", self.path], [])):
            with self.subTest(arguments=arguments):
                done = self.shim.run(*arguments, expect=4, rename=".tags")
                self.assertEqual(self.files(), ["rv.yaml"])
                self.assertIn("rv.tags: error", done.stderr)
                self.assertRegex(done.stderr, "not changed|no stickers were written")
                self.assertEqual(done.stdout, "")

    def test_sides_that_cannot_be_kept_leave_no_stickers(self):
        """The numbers are known, and that an M sticker goes out is not: on a part that leaves later
        it would pass for the new one's."""
        common.run("tags", self.path)
        before = common.data(self.tags)
        for arguments, _ in self.commands():
            with self.subTest(arguments=arguments):
                done = self.shim.run(*arguments, expect=4, rename=".tags")
                self.assertEqual(self.files(), ["rv.tags", "rv.yaml"])
                self.assertEqual(common.data(self.tags), before)
                self.assertIn("no stickers were written", done.stderr)

    def test_a_register_that_the_disk_does_not_confirm_leaves_no_stickers(self):
        for arguments, written in self.commands():
            with self.subTest(arguments=arguments):
                # Nor when it is tried again, and there is nothing to change in the register.
                for _ in range(2):
                    done = self.shim.run(*arguments, expect=4, sync_folder=errno.EIO)
                    self.assertEqual(self.files(), ["rv.tags", "rv.yaml"])
                    self.assertIn("rv.tags: error", done.stderr)
                    self.assertIn("no stickers were written", done.stderr)
                # Not every file system can sync a folder.
                self.shim.run(*arguments, sync_folder=errno.EINVAL)
                self.assertEqual(self.files(), sorted(["rv.tags", "rv.yaml", *written]))
                for name in ("rv.tags", *written):
                    os.unlink(self.out(name))

    def test_output_that_cannot_be_renamed_leaves_the_numbers_and_no_side(self):
        for arguments, written in self.commands():
            with self.subTest(arguments=arguments):
                done = self.shim.run(*arguments, expect=4, rename=os.path.splitext(written[0])[1])
                self.assertEqual(self.files(), ["rv.tags", "rv.yaml"])
                self.assertEqual(common.text(self.tags), "loomtag register 2 RV3 no unit\n1 X1 -\n2 X2 -\n")
                self.assertIn(written[0] + ": error", done.stderr)
                self.assertRegex(done.stderr, "warning: the numbers are in the register.*not written")
                self.assertNotIn("nothing was changed", done.stderr)
                os.unlink(self.tags)

    def test_the_register_is_on_disk_before_any_sticker(self):
        for arguments, written in self.commands():
            with self.subTest(arguments=arguments):
                steps = self.shim.steps(*arguments)
                kept = steps.index("rename rv.tags")
                self.assertRegex(steps[kept - 1], r"^sync rv\.tags\.")
                self.assertEqual(steps[kept + 1], "sync-folder")
                for name in written:
                    self.assertGreater(steps.index("rename " + name), kept + 1)
                    os.unlink(self.out(name))
                self.assertIn("1 X1 HM\n", common.text(self.tags))
                os.unlink(self.tags)

    def printed(self):
        """The sides that the register has as printed, by connector; None where there is none."""
        if not os.path.exists(self.tags):
            return None
        rows = [line.split() for line in common.text(self.tags).splitlines()[1:]]
        return {row[1]: row[2].replace("-", "") for row in rows}

    def test_killed_at_any_step(self):
        """An H or M side that is out is known to be, and an X is known only when it is out: the new
        part's number counts as moved only then."""
        for fate in ("keep", "replace"):
            for arguments, written in self.commands():
                self.describe("keep")
                common.run("stickers", self.path, "-o", self.out("first.pdf"))
                os.unlink(self.out("first.pdf"))
                self.describe(fate)
                if fate == "keep":
                    os.unlink(self.tags)
                elif "s.png" in arguments[3]:
                    written = [f"s-0{i}.png" for i in range(1, 6)]
                before = common.data(self.tags) if fate == "replace" else None
                step, went_on = 1, True
                while went_on:
                    went_on = self.shim.killed_at(step, *arguments)
                    with self.subTest(fate=fate, arguments=arguments, step=step):
                        out = [name for name in written if os.path.exists(self.out(name))]
                        printed = self.printed()
                        if out:
                            self.assertTrue(set("HN" if fate == "replace" else "HM") <=
                                            set(printed["X1"]), printed)
                            self.assertTrue(set("HM") <= set(printed["X2"]), printed)
                        if out != written and printed is not None:
                            self.assertNotIn("X", printed["X1"])
                        if not went_on:
                            self.assertEqual(out, written)
                            self.assertEqual("X" in printed["X1"], fate == "replace")
                    for name in self.files():
                        if name != "rv.yaml":
                            os.unlink(self.out(name))
                    if before is not None:
                        with open(self.tags, "wb") as again:
                            again.write(before)
                    step += 1
                self.assertGreater(step, 5)
                if os.path.exists(self.tags):
                    os.unlink(self.tags)

    def test_quick_leaves_a_whole_folder_or_none(self):
        job = self.out("job")
        for ending in (".tags", "-stickers.pdf", "-worksheet.pdf", ".yaml"):
            with self.subTest(ending=ending):
                done = self.shim.run("quick", "3", "-o", job, expect=4, rename=ending)
                self.assertEqual(self.files(), ["rv.yaml"])
                self.assertIn("nothing was written", done.stderr)
                self.assertNotIn("unplug", done.stdout)
                self.assertNotIn("keeps", done.stderr)
        self.shim.run("quick", "3", "-o", job, expect=4, sync_folder=errno.EIO)
        self.assertEqual(self.files(), ["rv.yaml"])
        steps = [step.split("/")[-1] for step in self.shim.steps("quick", "3", "-o", job)]
        kept = [i for i, step in enumerate(steps) if step.endswith(".tags") and "rename" in step]
        out = [i for i, step in enumerate(steps) if step.endswith("-stickers.pdf") and
               "rename" in step]
        self.assertLess(kept[0] + 1, out[0])


if __name__ == "__main__":
    unittest.main()
