"""Bad input: each has a clear diagnostic with its place, the right exit code, no crash, no partial
file, and nothing lost that was there before."""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
import unittest

import common

HEAD = "harness: RV3\n"
ONE = HEAD + "connectors:\n  - id: X1\n"


def tree(folder):
    """Every file below a folder with its bytes."""
    return {name: common.data(os.path.join(folder, name))
            for name in sorted(os.listdir(folder))}



def setUpModule():
    """What is bad is given to the program that has the sanitizers, where there is one."""
    common.PROGRAM = os.path.abspath(os.environ.get("LOOMTAG_CHECKED", common.PROGRAM))


class BadInput(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()

    def tearDown(self):
        shutil.rmtree(self.folder)

    def write(self, name, content):
        path = os.path.join(self.folder, name)
        with open(path, "wb") as out:
            out.write(content if isinstance(content, bytes) else content.encode())
        return path

    def refuse(self, path, *words, check=1):
        """check says no, every other command refuses, and all leave the folder as it was."""
        before = tree(self.folder)
        out = os.path.join(self.folder, "out.pdf")
        said = common.run("check", path, expect=check).stderr
        for word in words:
            self.assertIn(word, said)
        for command in (["tags", path], ["stickers", path, "-o", out],
                        ["checklist", path, "-o", out], ["verify", path, "-"]):
            self.assertIn(words[0], common.run(*command, expect=3).stderr)
        self.assertEqual(tree(self.folder), before)

    def test_what_is_not_a_description(self):
        for content, *words in (
            (b"harness: RV3\ntitle: caf\xe9\n", ":2:11: error", "UTF-8"),
            ("harness: RV3\n".encode("utf-16"), "error", "UTF-16"),
            (b"", "error", "empty"),
            (b"# nothing\n", "error", "empty"),
            (ONE + "---\n" + ONE, ":4:", "document"),
            (HEAD + "connectors: [&a {id: X1}, *a]\n", ":2:14: error", "anchor"),
            (HEAD + "connectors: " + "[" * 80000, "error", "deep"),
            (HEAD + "harness: RV4\nconnectors:\n  - id: X1\n", ":2:1: error", "harness"),
            (HEAD + "conectors:\n  - id: X1\n", ":2:1: error", 'hint: did you mean "connectors"'),
            (ONE + "  - id: X1\n", ":4:9: error", "X1"),
            (HEAD + "components:\n  - id: M1\nconnectors:\n  - {id: X1, mates: M2}\n",
             ":5:21: error", "not listed", "did you mean M1"),
            (ONE + "    after: X2\n  - id: X2\n    after: X1\n", "error", "X1 -> X2 -> X1"),
            (ONE + "    wires: {1: XX}\n", ":4:16: error", "XX"),
            (ONE + "    size: 3 stone\n", ":4:11: error", "3 stone"),
            (ONE + "    ways: 2\n    wires: {3: BN}\n", ":5:13: error", "way"),
            (HEAD + "connectors: {", "error", ":"),
        ):
            with self.subTest(words=words):
                started = time.monotonic()
                self.refuse(self.write("bad.yaml", content), *words)
                # Bounded work, not a measure of speed: five runs of the program.
                self.assertLess(time.monotonic() - started, 30)

    def test_what_is_too_large(self):
        self.refuse(self.write("big.yaml", b"# " + b"x" * (17 << 20)), "too large: at most ", check=3)
        many = HEAD + "connectors:\n" + "".join(f"  - id: X{n}\n" for n in range(20001))
        self.refuse(self.write("many.yaml", many), "20000")
        os.remove(os.path.join(self.folder, "big.yaml"))

    def test_what_is_not_a_file(self):
        os.mkdir(os.path.join(self.folder, "sub"))
        for path in (os.path.join(self.folder, "sub"), os.path.join(self.folder, "none.yaml")):
            for command in ("check", "tags"):
                self.assertIn("error", common.run(command, path, expect=3).stderr)

    def test_what_would_be_waited_for(self):
        """A named pipe, a device and a socket are refused, and never opened to wait."""
        path = self.write("ok.yaml", ONE + "    photo: x.png\n")
        out = os.path.join(self.folder, "out.pdf")
        pipe = os.path.join(self.folder, "pipe")
        os.mkfifo(pipe)
        listener = socket.socket(socket.AF_UNIX)
        listener.bind(os.path.join(self.folder, "socket"))
        for odd, word in ((pipe, "named pipe"), ("/dev/zero", "device"),
                          (os.path.join(self.folder, "socket"), "socket"),
                          (self.folder, "folder")):
            with self.subTest(odd=odd):
                for command in (["check", odd], ["tags", odd], ["verify", odd, "-"],
                                ["layouts", "--check", odd],
                                ["stickers", path, "-o", out, "--layout", odd],
                                ["verify", path, "--photos", odd]):
                    said = common.run(*command, expect=3, timeout=20).stderr
                    self.assertIn(f"is a {word}, not a file", said)
                    self.assertIn("hint: ", said)
        listener.close()
        os.remove(os.path.join(self.folder, "socket"))
        # A register and a photograph are found beside the description.
        for name, command, code in (("ok.tags", ["tags", path], 3),
                                    ("x.png", ["map", path, "-o", out], None)):
            os.rename(pipe, os.path.join(self.folder, name))
            said = common.run(*command, expect=code, timeout=20).stderr
            self.assertIn("named pipe", said)
            os.rename(os.path.join(self.folder, name), pipe)
        # Pages are written over those that are there, which are read first.
        site = os.path.join(self.folder, "www")
        os.mkdir(site)
        os.rename(pipe, os.path.join(site, "index.html"))
        common.run("map", path, "--pages", site, expect=4, timeout=20)

    def test_scans_from_a_pipe(self):
        """Scans may come as they are made."""
        path = common.sample(self.folder, "mast-head")
        pipe = os.path.join(self.folder, "pipe")
        os.mkfifo(pipe)
        with subprocess.Popen(["sh", "-c", 'echo scan > "$0"', pipe]):
            self.assertIn("misread", common.run("verify", path, pipe, "--no-job", expect=1,
                                                timeout=20).stdout)

    def test_every_fault_in_one_run(self):
        path = self.write("bad.yaml", ONE + "    ways: zero\n    kind: plugg\n    sides: 3\n"
                          "  - name: no id\n  - id: X2\n    wires: {1: QQ, 2: BN, 3: ZZ}\n")
        said = common.run("check", path, expect=1).stderr
        for line in (4, 5, 6, 7, 9):
            self.assertIn(f"bad.yaml:{line}:", said)
        self.assertEqual(said.count(" error: "), 6)

    def test_layouts_that_cannot_be(self):
        good = common.text(os.path.join(common.ROOT, "layouts", "a4-3x8.yaml"))
        path = self.write("ok.yaml", ONE)
        out = os.path.join(self.folder, "out.pdf")
        for change, word in ((("grid: 3 x 8", "grid: 3 x 9"), "page"),
                             (("label: 70 x 37 mm", "label: 10 x 7 mm"), "QR"),
                             (("kind: sheet", "kind: sheat"), "sheet")):
            text = good.replace(*change)
            if word == "QR":
                text = re.sub(r"inset: .*", "inset: 0.5 mm", text)
            layout = self.write("a4-3x8.yaml", text)
            before = tree(self.folder)
            said = common.run("stickers", path, "-o", out, "--layout", layout, expect=3).stderr
            self.assertIn("error", said)
            self.assertIn(word, said)
            self.assertEqual(tree(self.folder), before)
        self.assertIn("hint", common.run("stickers", path, "-o", out, "--layout", "a4-3x9",
                                         expect=3).stderr)

    def test_output_that_must_not_be_written(self):
        path = common.sample(self.folder, "mast-head")
        common.run("tags", path)
        os.link(path, os.path.join(self.folder, "linked.pdf"))
        os.symlink("mast-head.tags", os.path.join(self.folder, "register.pdf"))
        before = tree(self.folder)
        for out in (path, "linked.pdf", "register.pdf", ".", "no/such/folder/out.pdf",
                    "/proc/out.pdf", "out.docx", "out"):
            where = out if out == path or out.startswith("/") else os.path.join(self.folder, out)
            for command in ("stickers", "checklist"):
                done = common.run(command, path, "-o", where, expect=None)
                self.assertIn(done.returncode, (2, 4), f"{command} -o {where}: {done.stderr}")
                self.assertIn("error", done.stderr)
        self.assertEqual(tree(self.folder), before)

    def test_a_set_of_pages_is_written_whole_or_not_at_all(self):
        path = common.sample(self.folder, "mast-head")
        common.run("tags", path)
        os.mkdir(os.path.join(self.folder, "s-03.png"))
        before = sorted(os.listdir(self.folder))
        said = common.run("stickers", path, "-o", os.path.join(self.folder, "s.png"), "--layout",
                          "roll-54x25", expect=4).stderr
        self.assertIn("s-03.png", said)
        self.assertEqual(sorted(os.listdir(self.folder)), before)
        self.assertNotIn("HM", common.text(path.replace(".yaml", ".tags")))

    @unittest.skipUnless(subprocess.run(["unshare", "--mount", "true"], capture_output=True,
                                        check=False).returncode == 0,
                         "needs to make a mount namespace")
    def test_full_disk(self):
        """A file system of 64 KiB, in a mount namespace of its own."""
        script = f"""set -eu
mount -t tmpfs -o size=64k tmpfs '{self.folder}'
cd '{self.folder}'
cp '{os.path.join(common.ROOT, "samples", "seed-gantry.yaml")}' g.yaml
'{common.PROGRAM}' tags g.yaml >/dev/null
printf old > out.pdf
ls -A > before.list; cp g.tags /tmp/loomtag-g.tags.$$
code=0; '{common.PROGRAM}' stickers g.yaml -o out.pdf || code=$?
echo "code $code"
[ "$(cat out.pdf)" = old ] && cut -d' ' -f1,2 g.tags > a.list && \
  cut -d' ' -f1,2 /tmp/loomtag-g.tags.$$ | cmp - a.list && rm a.list
ls -A | cmp - before.list && echo kept
rm -f /tmp/loomtag-g.tags.$$
"""
        done = subprocess.run(["unshare", "--mount", "sh", "-c", script], capture_output=True,
                              text=True, check=False)
        self.assertIn("code 4", done.stdout, done.stderr)
        self.assertIn("kept", done.stdout, done.stderr)
        self.assertIn("No space left on device", done.stderr)

    @unittest.skipUnless(subprocess.run(["unshare", "--mount", "true"], capture_output=True,
                                        check=False).returncode == 0,
                         "needs to make a mount namespace")
    def test_full_disk_is_named_by_every_output(self):
        """Also where the library that writes noticed it long before the file was closed."""
        script = f"""set -eu
mount -t tmpfs -o size=96k tmpfs '{self.folder}'
cd '{self.folder}'
cp '{os.path.join(common.ROOT, "samples", "seed-gantry.yaml")}' g.yaml
'{common.PROGRAM}' tags g.yaml >/dev/null
head -c 40000 /dev/zero > filler
for out in "stickers g.yaml -o s.pdf" "stickers g.yaml -o s.png" "checklist g.yaml -o c.pdf" \
           "checklist g.yaml -o c.txt" "map g.yaml -o m.svg" "map g.yaml -o m.pdf"; do
  code=0; '{common.PROGRAM}' $out 2> said || code=$?
  grep -q 'No space left on device' said && echo "named $code" || {{ echo "$out: $code"; cat said; }}
  rm -f said
done
"""
        done = subprocess.run(["unshare", "--mount", "sh", "-c", script], capture_output=True,
                              text=True, check=False)
        self.assertEqual(done.stdout.split("\n")[:-1], ["named 4"] * 6, done.stderr)

    def test_full_standard_output(self):
        path = common.sample(self.folder, "mast-head")
        with open("/dev/full", "wb") as full:
            for command in (["tags", path, "--json"], ["tags", path], ["check", path],
                            ["checklist", path, "-o", "-"], ["layouts"]):
                done = subprocess.run([common.PROGRAM, *command], stdout=full,
                                      stderr=subprocess.PIPE, text=True, check=False)
                self.assertEqual(done.returncode, 4, command)
                self.assertIn("error", done.stderr)

    def test_closed_standard_streams(self):
        """No message may end up in a file that took the number of a closed stream."""
        path = common.sample(self.folder, "seed-gantry")
        out = os.path.join(self.folder, "out.pdf")
        for closed in ("<&-", ">&-", "2>&-", "<&- >&- 2>&-"):
            done = subprocess.run(["sh", "-c", f'exec "$0" stickers "$1" -o "$2" {closed}',
                                   common.PROGRAM, path, out], capture_output=True, check=False)
            self.assertEqual(done.returncode, 4 if ">&- " in closed + " " and "2>&-" != closed
                             else 0, closed)
            common.quiet("qpdf", "--check", out)
            self.assertTrue(common.text(path.replace(".yaml", ".tags")).startswith("loomtag reg"))
            os.remove(out)

    def test_registers_that_disagree(self):
        path = self.write("ok.yaml", ONE + "  - id: X2\n")
        for register, line, word in (
            ("loomtag register 1 RV4\n1 X1 -\n", 1, "RV4"),
            ("loomtag register 3 RV3\n1 X1 -\n", 1, "version"),
            ("something else\n", 1, "register"),
            ("loomtag register 1 RV3\n1 X1 -\n1 X2 -\n", 3, "1"),
            ("loomtag register 1 RV3\n1 X1 -\n2 X1 -\n", 3, "X1"),
            ("loomtag register 1 RV3\n1 X1 -\n2 X2", 3, "not complete"),
            ("loomtag register 1 RV3\n01 X1 -\n", 2, "number"),
            ("loomtag register 1 RV3\n1 X1 HH\n", 2, "HH"),
        ):
            with self.subTest(register=register):
                tags = self.write("ok.tags", register)
                before = tree(self.folder)
                said = common.run("tags", path, expect=3).stderr
                self.assertIn(f"ok.tags:{line}:", said)
                self.assertIn(word, said)
                self.assertIn("hint", said)
                common.run("check", path, expect=1)
                common.run("stickers", path, "-o", tags + ".pdf", expect=3)
                common.run("verify", path, "-", expect=3)
                self.assertEqual(tree(self.folder), before)

    def test_a_register_that_is_locked(self):
        path = common.sample(self.folder, "mast-head")
        holder = subprocess.Popen([sys.executable, "-c",
                                   "import fcntl, sys, time\n"
                                   "lock = open(sys.argv[1], 'w')\n"
                                   "fcntl.lockf(lock, fcntl.LOCK_EX)\n"
                                   "print('held', flush=True); time.sleep(60)",
                                   path.replace(".yaml", ".tags.lock")],
                                  stdout=subprocess.PIPE, text=True)
        try:
            holder.stdout.readline()
            self.assertIn("in use", common.run("tags", path, expect=4).stderr)
            self.assertFalse(os.path.exists(path.replace(".yaml", ".tags")))
            common.run("check", path)
        finally:
            holder.kill()
            holder.wait()
            holder.stdout.close()

    def test_usage(self):
        path = common.sample(self.folder, "mast-head")
        out = os.path.join(self.folder, "out.pdf")
        for command in ([], ["stikers", path], ["check"], ["check", path, path], ["tags", "--nope"],
                        ["stickers", path], ["stickers", path, "-o", out, "--start", "0"],
                        ["stickers", path, "-o", out, "--start", "99999"],
                        ["stickers", path, "-o", out, "--payload", "poem"],
                        ["stickers", path, "-o", out, "--only", "3-"],
                        ["stickers", path, "-o", out, "--dpi", "12"],
                        ["stickers", path, "-o", out, "--nudge", "1"],
                        ["checklist", path], ["checklist", path, "-o", out, "--paper", "a5"],
                        ["verify", path, "--stage", "now"], ["quick", "0"], ["quick", "many"],
                        ["quick", "1000000"], ["check", path, "--start", "3"],
                        ["check", path, "--color", "pink"]):
            with self.subTest(command=command):
                said = common.run(*command, expect=None)
                self.assertIn(said.returncode, (2, 3) if "99999" in command else (2,))
                self.assertIn("error", said.stderr)
        self.assertFalse(os.path.exists(out))
        self.assertIn("did you mean stickers", common.run("stikers", expect=2).stderr)
        common.run("check", path, "--unit", "4x", expect=2)
        common.run("check", path, "--base", "ftp:x", expect=2)
        for base, wrong in (('http://h/"><script>', 'character 10 must not be " (U+0022)'),
                            ("http://h/a b", "character 11 must not be a space"),
                            ("https://u@h", "character 10 must not be @ (U+0040)")):
            said = common.run("stickers", path, "-o", out, "--base", base, expect=2).stderr
            self.assertIn(wrong, said)
            text = self.write("base.yaml", f"base: '{base}'\n" + ONE)
            said = common.run("check", text, expect=1).stderr
            self.assertIn(":1:7: error", said)
            self.assertIn(wrong, said)
        common.run("check", path, "--base", "HTTPS://[::1]:8080/a", expect=0)
        common.run("check", path, "--unit", "123456789012", expect=1)


if __name__ == "__main__":
    unittest.main()
