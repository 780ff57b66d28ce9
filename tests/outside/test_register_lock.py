"""Two who write one register: whoever waits for it reads the description when it is his turn, not
before."""

import ctypes
import fcntl
import os
import shutil
import struct
import subprocess
import unittest

import common

OLD = "harness: RV3\nconnectors:\n  - {id: X1, family: a}\n  - {id: X2, family: b}\n"
NEW = OLD + "  - {id: X3, family: c}\n"
WRONG = OLD + "  - {id: X1, family: c}\n"
IN_OPEN = 0x20  # inotify(7)
LIBC = ctypes.CDLL(None, use_errno=True)


class Watch:
    """Tells when a file is opened."""

    def __init__(self, path):
        self.fd = LIBC.inotify_init1(os.O_CLOEXEC)
        LIBC.inotify_add_watch(self.fd, os.fsencode(path), IN_OPEN)

    def wait(self):
        events = os.read(self.fd, 4096)
        assert struct.unpack("iIII", events[:16])[1] & IN_OPEN
        os.close(self.fd)


class RegisterLock(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.path = os.path.join(self.folder, "rv.yaml")
        self.tags = os.path.join(self.folder, "rv.tags")
        self.lock = self.tags + ".lock"
        self.describe(OLD)

    def tearDown(self):
        shutil.rmtree(self.folder)

    def describe(self, text, path=None):
        with open(path or self.path, "w", encoding="utf-8") as out:
            out.write(text)

    def out(self, name):
        return os.path.join(self.folder, name)

    def commands(self):
        return (["tags", self.path],
                ["stickers", self.path, "-o", self.out("s.pdf")],
                ["print", self.path, "--layout", "roll-54x25", "-o", self.out("j.pwg")])

    def start(self, arguments):
        return subprocess.Popen([common.PROGRAM, *arguments], stdout=subprocess.PIPE,
                                stderr=subprocess.PIPE, text=True,
                                env=dict(os.environ, SOURCE_DATE_EPOCH=common.EPOCH))

    def behind_another(self, arguments, meanwhile):
        """Runs a command that has to wait for the lock, and does something before it gets it."""
        with open(self.lock, "w", encoding="ascii") as held:
            fcntl.lockf(held, fcntl.LOCK_EX)
            watch = Watch(self.lock)
            process = self.start(arguments)
            watch.wait()
            meanwhile()
            os.unlink(self.lock)
        out, err = process.communicate(timeout=60)
        return process.returncode, out, err

    def other_adds(self):
        """What another of its kind does with the lock held: it numbers what is new."""
        with common.tempfile.TemporaryDirectory(dir=self.folder) as elsewhere:
            copy = os.path.join(elsewhere, "rv.yaml")
            self.describe(NEW, copy)
            shutil.copy(self.tags, elsewhere)
            common.run("tags", copy)
            shutil.copy(os.path.join(elsewhere, "rv.tags"), self.tags)
        self.describe(NEW)

    def test_the_description_is_that_of_the_register(self):
        for arguments in self.commands():
            with self.subTest(arguments=arguments):
                self.describe(OLD)
                common.run("tags", self.path)
                code, _, err = self.behind_another(arguments, self.other_adds)
                self.assertEqual(code, 0, err)
                self.assertNotIn("retired", err)
                rows = [line.split() for line in common.text(self.tags).splitlines()[1:]]
                self.assertEqual([row[1] for row in rows], ["X1", "X2", "X3"])
                self.assertNotIn("retired", sum(rows, []))
                if arguments[0] != "tags":
                    self.assertEqual([row[2] for row in rows], ["HM"] * 3)
                self.assertFalse(os.path.exists(self.lock))
                os.unlink(self.tags)

    def test_nobody_writes_while_the_description_has_errors(self):
        common.run("tags", self.path)
        before = common.data(self.tags)
        for arguments in self.commands():
            with self.subTest(arguments=arguments):
                self.describe(OLD)
                code, _, err = self.behind_another(arguments, lambda: self.describe(WRONG))
                self.assertEqual(code, 3, err)
                self.assertIn("rv.yaml:5:10: error", err)
                self.assertEqual(common.data(self.tags), before)
                self.assertEqual(sorted(os.listdir(self.folder)), ["rv.tags", "rv.yaml"])

    def test_a_description_that_is_not_there_leaves_no_lock(self):
        os.unlink(self.path)
        for arguments in self.commands():
            with self.subTest(arguments=arguments):
                self.assertIn("rv.yaml: error: cannot be opened",
                              common.run(*arguments, expect=3).stderr)
                self.assertEqual(os.listdir(self.folder), [])
        missing = self.out("no-folder/rv.yaml")
        self.assertIn("no-folder/rv.yaml: error: cannot be opened",
                      common.run("tags", missing, expect=3).stderr)
        # Nor does one that is taken away while its turn has not come.
        self.describe(OLD)
        code, _, err = self.behind_another(["tags", self.path], lambda: os.unlink(self.path))
        self.assertEqual(code, 3)
        self.assertIn("rv.yaml: error: cannot be opened", err)
        self.assertEqual(os.listdir(self.folder), [])

    def test_who_only_reads_waits_for_nobody(self):
        common.run("tags", self.path)
        with open(self.lock, "w", encoding="ascii") as held:
            fcntl.lockf(held, fcntl.LOCK_EX)
            for arguments in (["check", self.path], ["checklist", self.path, "-o", "-"],
                              ["stickers", self.path, "--explain"],
                              ["stickers", self.path, "-o", "-"],
                              ["map", self.path, "-o", self.out("map.pdf")],
                              ["print", self.path, "--layout", "roll-54x25", "-o",
                               self.out("j.pwg"), "--dry-run"]):
                with self.subTest(arguments=arguments):
                    watch = Watch(self.lock)
                    os.set_blocking(watch.fd, False)
                    common.run(*arguments)
                    self.assertRaises(BlockingIOError, watch.wait)
                    os.close(watch.fd)


if __name__ == "__main__":
    unittest.main()
