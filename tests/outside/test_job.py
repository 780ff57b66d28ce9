"""Whole jobs as people do them: the shop with a description, the technician with none, the
apprentice with a scanner."""

import itertools
import json
import os
import pty
import re
import select
import shutil
import subprocess
import time
import unittest

import common
import texts


def scans(name, kind):
    return os.path.join(common.ROOT, "samples", f"{name}.{kind}.scans")


def confusable(a, b):
    """Whether two numbers of equal length are taken for each other, by the rule in words: turned
    upside down, two neighbours swapped, or one digit of a pair that is misread (common practice)."""
    a, b = str(a), str(b)
    if len(a) != len(b) or a == b:
        return False
    turn = dict(zip("01689", "01986"))
    if all(digit in turn for digit in a) and "".join(turn[digit] for digit in reversed(a)) == b:
        return True
    different = [i for i in range(len(a)) if a[i] != b[i]]
    if len(different) == 1:
        i = different[0]
        return frozenset((a[i], b[i])) in map(frozenset, ("17", "38", "56", "68", "08", "89"))
    return (len(different) == 2 and different[1] == different[0] + 1
            and a[different[0]] == b[different[1]] and a[different[1]] == b[different[0]])


class Terminal:
    """The program on a pseudo-terminal of 80 x 24."""

    def __init__(self, *arguments):
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm", COLUMNS="80", LINES="24")
            os.execv(common.PROGRAM, [common.PROGRAM, *arguments])
        self.seen = ""
        self.waiting = ""

    def read_until(self, words, seconds=20):
        """Everything shown up to and with `words`, which must come."""
        end = time.monotonic() + seconds
        while words not in self.waiting:
            ready, _, _ = select.select([self.fd], [], [], max(0, end - time.monotonic()))
            if not ready:
                raise AssertionError(f"no {words!r} in:\n{self.waiting}")
            try:
                self.waiting += os.read(self.fd, 65536).decode("utf-8", "replace")
            except OSError:
                raise AssertionError(f"ended without {words!r}:\n{self.waiting}") from None
        upto = self.waiting.index(words) + len(words)
        got, self.waiting = self.waiting[:upto], self.waiting[upto:]
        self.seen += got
        return got

    def type(self, line):
        os.write(self.fd, (line + "\r").encode())

    def finish(self):
        """Reads to the end; returns the exit code and what came last."""
        last = self.waiting
        while True:
            if not select.select([self.fd], [], [], 20)[0]:
                raise AssertionError(f"does not end:\n{last}")
            try:
                data = os.read(self.fd, 65536)
            except OSError:
                break
            if not data:
                break
            last += data.decode("utf-8", "replace")
        _, status = os.waitpid(self.pid, 0)
        os.close(self.fd)
        return os.waitstatus_to_exitcode(status), last


class Job(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()

    def tearDown(self):
        shutil.rmtree(self.folder)

    def test_documents_have_the_promised_keys(self):
        path = common.sample(self.folder, "dome-shutter")
        tags = common.tags(path)
        self.assertEqual(list(tags), ["harness", "unit", "code", "tags", "unnumbered"])
        self.assertEqual((tags["harness"], tags["unit"], tags["unnumbered"]),
                         ("DS4", "0042", ["C1"]))
        for tag in tags["tags"]:
            self.assertEqual(list(tag), ["number", "connector", "component", "sides", "codes",
                                         "look_alikes", "fit", "state"])
            self.assertEqual(tag["sides"], sorted(tag["codes"]))
        motor = [tag for tag in tags["tags"] if tag["connector"] == "X6"][0]
        self.assertEqual((motor["component"], motor["sides"], motor["look_alikes"], motor["fit"],
                          motor["state"]), ("M1", ["H", "M", "X"], [7], "known", "live"))
        check = json.loads(common.run("check", path, "--json").stdout)
        self.assertEqual(list(check), ["ok", "diagnostics", "look_alikes", "lacking"])
        self.assertEqual(check["look_alikes"], [["X2", "X3", "X4"], ["X6", "X7"]])
        for diagnostic in check["diagnostics"]:
            self.assertEqual(list(diagnostic), ["file", "line", "column", "severity", "message",
                                                "hint"])
            self.assertEqual(diagnostic["severity"], "warning")
        skipped = common.run("verify", path, "--json", stdin="yes\nyes\nyes\nskip 9 no access\n"
                             "13H\nquit\n", expect=1)
        result = json.loads(skipped.stdout)
        self.assertEqual(list(result), ["code", "stage", "ok", "mated", "missing", "wrong",
                                        "skipped", "unnumbered", "typed", "events", "left",
                                        "unsettled"])
        self.assertEqual(result["skipped"], [{"number": 9, "reason": "no access"}])
        self.assertEqual(result["unnumbered"], ["C1"])
        self.assertEqual({key: result["events"][0][key] for key in ("scan", "tag", "verdict")},
                         {"scan": "13H", "tag": "13H", "verdict": "misread"})
        blank = os.path.join(self.folder, "blank.yaml")
        with open(blank, "w", encoding="utf-8") as out:
            out.write("harness: BL2\nconnectors:\n  - id: X1\n")
        self.assertEqual((common.tags(blank)["unit"], common.tags(blank)["tags"][0]["fit"]),
                         (None, "unknown"))

    def test_stickers_of_the_part_that_leaves_prove_nothing(self):
        """M went out, then the part was to be replaced: that M is on the old part."""
        path = os.path.join(self.folder, "part.yaml")
        text = ("harness: PP3\nunit: \"1\"\ncomponents:\n  - {id: M1, name: motor}\n"
                "connectors:\n  - {id: A, mates: M1, family: f}\n")
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        common.run("stickers", path, "-o", os.path.join(self.folder, "one.pdf"))
        codes = common.tags(path)["tags"][0]["codes"]
        pair = codes["H"] + "\n" + codes["M"] + "\n"
        common.run("verify", path, "-", stdin=pair)
        with open(path, "w", encoding="utf-8") as out:
            out.write(text.replace("motor}", "motor, fate: replace}"))
        done = common.run("verify", path, "-", "--json", stdin=pair, expect=1)
        self.assertEqual(json.loads(done.stdout)["events"][1]["verdict"], "old-part")
        self.assertRegex(done.stderr, r"warning: .*\b1M\b")
        common.run("stickers", path, "-o", os.path.join(self.folder, "two.pdf"))
        common.run("verify", path, "-", stdin=pair)
        # Kept again, and replaced once more: the M that is about is on the part that leaves now.
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        common.run("tags", path)
        with open(path, "w", encoding="utf-8") as out:
            out.write(text.replace("motor}", "motor, fate: replace}"))
        common.run("verify", path, "-", stdin=pair, expect=1)
        self.assertIn("over", common.run(
            "stickers", path, "-o", os.path.join(self.folder, "three.pdf")).stderr)

    def test_a_register_that_is_away_is_not_begun_afresh(self):
        path = common.sample(self.folder, "mast-head")
        link = path.replace(".yaml", ".tags")
        os.symlink("away/mast-head.tags", link)
        for command in (["tags", path], ["verify", path, "-"],
                        ["stickers", path, "-o", os.path.join(self.folder, "out.pdf")]):
            self.assertIn("link", common.run(*command, expect=3).stderr)
        self.assertTrue(os.path.islink(link))
        os.remove(link)
        os.mkfifo(link)
        self.assertIn("named pipe", common.run("tags", path, expect=3, timeout=20).stderr)

    def test_two_scans_on_a_line_are_neither(self):
        path = common.sample(self.folder, "mast-head")
        codes = {tag["connector"]: tag["codes"] for tag in common.tags(path)["tags"]}
        text = f"{codes['X1']['H']} {codes['X2']['M']}\r{codes['X1']['H']}\r{codes['X1']['M']}\r"
        events = json.loads(common.run("verify", path, "-", "--json", stdin=text,
                                       expect=1).stdout)["events"]
        self.assertEqual([event["verdict"] for event in events], ["misread", "half", "mated"])

    def test_sample_scans(self):
        for name in common.SAMPLES:
            with self.subTest(sample=name):
                path = common.sample(self.folder, name)
                listing = common.tags(path)
                right = json.loads(common.run("verify", path, scans(name, "right"),
                                              "--json").stdout)
                self.assertTrue(right["ok"])
                self.assertEqual(right["missing"], [])
                self.assertEqual(right["code"], listing["code"])
                self.assertEqual(sorted(right["mated"]),
                                 sorted(tag["number"] for tag in listing["tags"]))
                done = common.run("verify", path, scans(name, "wrong"), "--json", expect=1)
                wrong = json.loads(done.stdout)
                self.assertFalse(wrong["ok"])
                self.assertTrue(wrong["wrong"])
                for h, m in wrong["wrong"]:
                    self.assertIn(int(h[:-1]), wrong["missing"])
                    self.assertIn(int(m[:-1]), wrong["missing"])

    def test_look_alikes_never_carry_confusable_numbers(self):
        for name in common.SAMPLES:
            tags = common.tags(common.sample(self.folder, name))["tags"]
            for tag in tags:
                for other in tag["look_alikes"]:
                    self.assertFalse(confusable(tag["number"], other), (name, tag, other))
        # And by brute force over groups of one moulding, and of unknown fit.
        for family in ("    family: round\n", ""):
            path = os.path.join(self.folder, "group.yaml")
            with open(path, "w", encoding="utf-8") as out:
                out.write("harness: GR2\nconnectors:\n" +
                          "".join(f"  - id: P{n}\n{family}" for n in range(200)))
            numbers = [tag["number"] for tag in common.tags(path)["tags"]]
            self.assertEqual(len(set(numbers)), 200)
            for a, b in itertools.combinations(numbers, 2):
                self.assertFalse(confusable(a, b), (a, b))
            for left_out in set(range(1, max(numbers))) - set(numbers):
                self.assertTrue(any(confusable(left_out, n) for n in numbers), left_out)
            os.remove(path[:-5] + ".tags")

    def test_every_swap_of_look_alikes_is_caught(self):
        """Swapping the mates of any two joints must never end with a yes."""
        path = common.sample(self.folder, "dome-shutter")
        tags = [tag for tag in common.tags(path)["tags"] if len(tag["codes"]) > 1]
        lines = common.text(scans("dome-shutter", "right")).splitlines()
        for a, b in itertools.combinations(tags, 2):
            swap = {a["codes"]["M"]: b["codes"]["M"], b["codes"]["M"]: a["codes"]["M"]}
            if a["number"] == b["number"]:
                continue
            text = "".join(swap.get(line.strip(), line.strip()) + "\n" for line in lines)
            if text.splitlines() == [line.strip() for line in lines]:
                continue
            common.run("verify", path, "-", stdin=text, expect=1)

    def test_what_a_hazard_does_voids_nothing(self):
        """signal and harm are written into the description in the middle of a job: it is no other
        plan, and all that was noted counts."""
        path = common.sample(self.folder, "dome-shutter")
        full = common.text(path)
        plain = re.sub(r"    (signal|harm): .*\n", "", full)
        self.assertNotEqual(plain, full)
        common.tags(path)
        lines = common.text(scans("dome-shutter", "right")).splitlines(keepends=True)
        for text, some, code in ((plain, lines[:6], 1), (full, lines[6:], 0)):
            with open(path, "w", encoding="utf-8") as out:
                out.write(text)
            common.run("verify", path, "-", "--db", os.path.join(self.folder, "b.db"),
                       stdin="".join(some), expect=code)
        kept = json.loads(common.run("record", path, "--db", os.path.join(self.folder, "b.db"),
                                     "--json", "-o", "-").stdout)
        self.assertEqual([event["kind"] for event in kept["events"]].count("plan"), 1)

    def test_a_register_keeps_numbers_when_the_description_changes(self):
        path = common.sample(self.folder, "mast-head")
        before = {tag["connector"]: tag["number"] for tag in common.tags(path)["tags"]}
        text = common.text(path)
        # X2 goes, X3 gets another id, a new one comes first.
        text = re.sub(r"  - id: X2\n.*?(?=  - id: X3)", "", text, flags=re.S)
        text = text.replace("  - id: X3\n", "  - id: X33\n    was: X3\n").replace("X2, X3", "X33")
        text = text.replace("connectors:\n", "connectors:\n  - id: NEW\n")
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        said = common.run("tags", path).stderr
        self.assertIn("X2", said)
        self.assertIn("was:", said)
        after = {tag["connector"]: tag for tag in common.tags(path)["tags"]}
        self.assertEqual(after["X33"]["number"], before["X3"])
        self.assertEqual(after["X2"]["state"], "retired")
        self.assertNotIn(after["NEW"]["number"], before.values())
        for name, number in before.items():
            if name not in ("X2", "X3"):
                self.assertEqual(after[name]["number"], number)
        codes = after["X33"]["codes"]
        gone = common.check_character(f"{before['X2']}HWMH")
        events = json.loads(common.run("verify", path, "-", "--json", expect=1, stdin="\n".join(
            [codes["H"], codes["M"], f"{before['X2']}HWMH{gone}"])).stdout)["events"]
        self.assertEqual([event["verdict"] for event in events], ["half", "mated", "unknown"])

    def test_a_part_that_becomes_replaced_gets_its_x_sticker_over_m(self):
        path = common.sample(self.folder, "mast-head")
        pdf = os.path.join(self.folder, "out.pdf")
        common.run("stickers", path, "-o", pdf)
        text = common.text(path).replace(
            "name: rain gauge, place: lower arm", "name: rain gauge, place: lower arm, fate: replace")
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        said = common.run("stickers", path, "-o", pdf).stderr
        self.assertIn("warning", said)
        words = common.quiet("pdftotext", "-raw", pdf, "-").upper()
        self.assertIn("NEW PART", words)
        self.assertIn("OVER", words)

    def test_quick_serves_somebody_with_no_description(self):
        where = os.path.join(self.folder, "job")
        said = common.run("quick", "6", "-o", where).stdout
        files = sorted(os.listdir(where))
        code = files[0].split("-")[0].split(".")[0]
        self.assertEqual(files, [f"{code}-stickers.pdf", f"{code}-worksheet.pdf", f"{code}.tags",
                                 f"{code}.yaml"])
        path = os.path.join(where, code + ".yaml")
        listing = common.tags(path)
        numbers = [tag["number"] for tag in listing["tags"]]
        self.assertEqual(numbers, [1, 2, 3, 4, 5, 9])
        self.assertEqual(len(re.findall(r"(?m)^[^:\n]*: 6, 7, 8$", said)), 1)
        self.assertIn(texts.said("lt_quick_words", "actual_size"), said)
        self.assertIn("--layout a4-cut", said)
        worksheet = common.quiet("pdftotext", "-raw", os.path.join(where, files[1]), "-")
        for left_out, other in ((6, 5), (7, 1), (8, 3)):
            self.assertRegex(worksheet, rf"\b{left_out} \([^()]*\b{other}\b[^()]*\)")
        for paper in files[:2]:
            common.quiet("qpdf", "--check", os.path.join(where, paper))
            text = common.quiet("pdftotext", "-layout", os.path.join(where, paper), "-")
            for number in numbers:
                self.assertRegex(text, rf"(?<!\d){number}(?!\d)")
        labels = []
        for page in common.rasterise(os.path.join(where, files[0]), 203, self.folder):
            labels += common.cut(page, 203, common.label_places("a4-3x8"), self.folder)
        wanted = sorted(c for tag in listing["tags"] for c in tag["codes"].values())
        self.assertEqual(len(wanted), 12)
        self.assertEqual(sorted(common.scan_codes(sum(common.decode(labels), []))), wanted)
        # A second job has another code: last week's stickers are foreign.
        again = os.path.join(self.folder, "again")
        common.run("quick", "6", "-o", again)
        other = [name[:-5] for name in os.listdir(again) if name.endswith(".yaml")][0]
        self.assertNotEqual(other, code)
        result = json.loads(common.run("verify", os.path.join(again, other + ".yaml"), "-",
                                       "--json", stdin=wanted[0] + "\n", expect=1).stdout)
        self.assertEqual(result["events"][0]["verdict"], "foreign")
        common.run("quick", "6", "-o", where, expect=4)
        # Filled in from the worksheet, with better ids for some, it keeps every number.
        text = common.text(path)
        text = text.replace("  - id: T3\n    # name:\n",
                            "  - id: X7\n    was: T3\n    name: lamp\n    family: round\n")
        text = text.replace("  - id: T9\n    # name:\n", "  - id: T9\n    name: pump\n")
        self.assertIn("name: lamp", text)
        self.assertIn("name: pump", text)
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        filled = {tag["connector"]: tag["number"] for tag in common.tags(path)["tags"]}
        self.assertEqual(filled, {"T1": 1, "T2": 2, "X7": 3, "T4": 4, "T5": 5, "T9": 9})

    def test_quick_says_little(self):
        where = os.path.join(self.folder, "many")
        said = common.run("quick", "60", "--paper", "letter", "-o", where).stdout
        listing = common.tags(next(os.path.join(where, name) for name in os.listdir(where)
                                   if name.endswith(".yaml")))
        used = {tag["number"] for tag in listing["tags"]}
        unused = sorted(set(range(1, max(used))) - used)
        self.assertGreater(len(unused), 6)
        self.assertEqual(len(re.findall(rf": 6, 7, 8.* {len(unused) - 6} \w+$", said, re.M)), 1)
        self.assertIn("--layout letter-cut", said)
        self.assertLessEqual(len(said.splitlines()), 7)
        own = common.run("quick", "2", "--layout", "a4-cut", "-o", os.path.join(self.folder, "c"))
        self.assertNotIn("--layout", own.stdout)

    def test_quick_can_be_seen_before(self):
        inside = os.path.join(self.folder, "inside")
        os.mkdir(inside)
        done = common.run("quick", "2", "-o", "-", cwd=inside, env={"TMPDIR": inside})
        self.assertEqual(os.listdir(inside), [])
        # Tags are drawn as blocks; what stands below them is text.
        self.assertEqual(done.stdout.count("\u250c"), 4)
        for name in ("T1", "T2"):
            self.assertEqual(len(re.findall(rf"\b{name}\b", done.stdout)), 2)
        self.assertIn(texts.said("lt_quick_words", "nothing_written"), done.stdout)
        self.assertEqual(done.stderr, "")
        common.run("quick", "2", "-o", "-", "--layout", "none-such", cwd=inside, expect=3)
        self.assertEqual(os.listdir(inside), [])

    def test_checklist_says_it_all(self):
        for name in common.SAMPLES:
            path = common.sample(self.folder, name)
            tags = common.tags(path)["tags"]
            text = common.text(path)
            ids = re.findall(r"^  - id: (\S+)", text, re.M)
            shown = common.run("checklist", path, "-o", "-").stdout
            self.assertLessEqual(max(map(len, shown.splitlines())), 80)
            pdf = os.path.join(self.folder, name + ".pdf")
            common.run("checklist", path, "-o", pdf)
            common.quiet("qpdf", "--check", pdf)
            common.rasterise(pdf, 50, self.folder)
            printed = common.quiet("pdftotext", "-layout", pdf, "-")
            pages = int(re.search(r"Pages:\s+(\d+)", common.quiet("pdfinfo", pdf))[1])
            for page in range(1, pages + 1):
                self.assertRegex(printed, rf"page {page} of {pages}")
            for words in (shown, printed):
                for tag in tags:
                    for side in tag["sides"]:
                        self.assertRegex(words, rf"(?<![0-9A-Z]){tag['number']}{side}\b")
                flat = " ".join(words.split())
                for hazard in re.findall(r"isolate: (.*)", text):
                    self.assertIn(hazard.split(",")[0].split(";")[0][:20], flat)
                self.assertIn("local", flat)
                self.assertIn("licensed", flat)
            # Reconnection order: what must come first comes first.
            part = shown[shown.upper().index("RECONNECT"):]
            for connector, after in re.findall(
                    r"- id: (\S+)(?:(?!- id:).)*?after: \[(.*?)\]", text, re.S):
                number = {tag["connector"]: tag["number"] for tag in tags}
                for first in after.split(", "):
                    if connector in number and first in number:
                        self.assertLess(re.search(rf"\b{number[first]}H\b", part).start(),
                                        re.search(rf"\b{number[connector]}H\b", part).start())
            self.assertTrue(ids)

    def test_scan_files(self):
        path = common.sample(self.folder, "mast-head")
        codes = {tag["connector"]: tag["codes"] for tag in common.tags(path)["tags"]}
        text = "\n".join((
            "# a comment", "", "   ",
            "2026-03-01T08:15:00Z\t" + codes["X1"]["H"],
            "2026-03-01T08:15:02.250+01:00\t" + codes["X1"]["M"].lower(),
            "http://bench.local/" + codes["X3"]["H"], codes["X3"]["M"] + " wind direction, words",
            codes["X4"]["H"][:-1] + "?", "4H", "99999H", "x" * 100000, "\x1b[2J\x07",
        )) + "\r\n"
        result = json.loads(common.run("verify", path, "-", "--json", stdin=text, expect=1).stdout)
        self.assertEqual([event["verdict"] for event in result["events"]],
                         ["half", "mated", "half", "mated"] + ["misread"] * 5)
        self.assertEqual([event["line"] for event in result["events"]][:3], [4, 5, 6])
        self.assertEqual(result["typed"], 0)
        self.assertNotIn("\x1b", common.run("verify", path, "-", stdin=text, expect=1).stdout)
        typed = "\n".join(f"{tag['number']}{side}" for tag in common.tags(path)["tags"]
                          for side in tag["sides"])
        common.run("verify", path, "-", stdin=typed, expect=1)
        result = json.loads(common.run("verify", path, "-", "--json", "--typed", "--stage", "tag",
                                       stdin=typed).stdout)
        self.assertEqual(result["typed"], 8)
        common.run("verify", path, os.path.join(self.folder, "none.scans"), expect=3)

    def test_units_are_kept_apart(self):
        path = common.sample(self.folder, "dome-shutter")
        one = common.tags(path, "--unit", "1")
        two = common.tags(path, "--unit", "2")
        self.assertEqual(one["code"], "DS4U1")
        text = common.text(scans("dome-shutter", "right"))
        first = two["tags"][0]["codes"]["H"]
        result = json.loads(common.run("verify", path, "-", "--json", "--unit", "1",
                                       stdin=first + "\n" + text, expect=1).stdout)
        # All but the tags typed by hand, which name no unit.
        self.assertEqual({event["verdict"] for event in result["events"]
                          if len(event["scan"]) > 6}, {"foreign"})
        self.assertIn(texts.said("lt_result_words", "no_unit"), common.run(
            "verify", common.sample(self.folder, "mast-head"), "-", expect=1).stdout)

    def test_live_on_a_terminal(self):
        path = common.sample(self.folder, "dome-shutter")
        listing = common.tags(path)
        codes = {tag["connector"]: tag["codes"] for tag in listing["tags"]}
        numbers = {tag["connector"]: tag["number"] for tag in listing["tags"]}
        screen = Terminal("verify", path, "--stage", "reconnect", "--who", "Ada")
        for hazard in ("mains 230 V", "own weight", "compressed air"):
            screen.read_until(hazard)
            screen.read_until("yes")
            screen.type("yes")
        screen.read_until("NEXT")
        # A wrong mate stays on the screen until the right pairs are scanned.
        screen.type(codes["X2"]["H"])
        screen.read_until("Now scan")
        screen.type(codes["X3"]["M"])
        screen.read_until("WRONG MATE")
        screen.read_until("\a")
        pair = f"{numbers['X2']}H"
        screen.type(codes["X1"]["H"])
        screen.read_until("Now scan")
        self.assertIn(pair, screen.read_until(texts.said("lt_live_words", "ask_scan")))
        screen.type(codes["X1"]["M"])
        screen.read_until("pull gently")
        screen.type("undo")
        screen.read_until("Undone")
        screen.type(codes["X1"]["M"])
        screen.read_until("right pair")
        screen.type(f"skip {numbers['K1']}")
        screen.read_until("reason")
        for connector in ("X2", "X3"):
            screen.type(codes[connector]["H"])
            screen.read_until("Now scan")
            screen.type(codes[connector]["M"])
            screen.read_until("right pair")
        screen.type("status")
        screen.read_until(str(numbers["K1"]))
        screen.type("quit")
        code, last = screen.finish()
        self.assertEqual(code, 1)
        self.assertIn("motor power", last)

    def test_live_ends_well(self):
        path = common.sample(self.folder, "mast-head")
        common.run("tags", path)
        lines = [line for line in common.text(scans("mast-head", "right")).splitlines()
                 if line and not line.startswith("#")]
        screen = Terminal("verify", path, "--stage", "reconnect", "--who", "Ada")
        screen.read_until("yes")
        screen.type("no")
        screen.type("yes")
        screen.read_until("NEXT")
        for line in lines:
            screen.type(line)
        screen.read_until("Next stage: finish")
        screen.read_until(texts.said("lt_live_words", "ask_next_stage"))
        screen.type("quit")
        code, last = screen.finish()
        self.assertEqual(code, 0, screen.seen + last)

    def test_nothing_unconfirmed_is_scanned(self):
        path = common.sample(self.folder, "mast-head")
        common.run("tags", path)
        text = common.text(scans("mast-head", "right"))
        done = common.run("verify", path, stdin=text, expect=1)
        self.assertNotIn("right pair", done.stdout)
        common.run("verify", path, stdin="yes\n" + text, expect=0)


class Program(unittest.TestCase):
    def test_demo_catches_the_swapped_pair(self):
        folder = common.workdir()
        done = subprocess.run(["sh", os.path.join(common.ROOT, "samples", "demo.sh"),
                               common.PROGRAM, os.path.join(folder, "demo")],
                              capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        self.assertIn("The swapped pair was caught", done.stdout)
        self.assertIn("dome-shutter-stickers.pdf", done.stdout)
        shutil.rmtree(folder)

    def test_every_character_of_a_quick_code_is_new(self):
        folder = common.workdir()
        codes = []
        for job in range(16):
            where = os.path.join(folder, str(job))
            common.run("quick", "1", "-o", where)
            codes += [name[:-5] for name in os.listdir(where) if name.endswith(".yaml")]
        self.assertEqual(len(set(codes)), 16)
        for place in range(1, 6):
            # Sixteen draws of 26 letters give the same one each time once in 26^15.
            self.assertGreater(len({code[place] for code in codes}), 1)
        shutil.rmtree(folder)

    def test_layouts_of_ones_own_come_first(self):
        folder = common.workdir()
        own = os.path.join(folder, "loomtag", "layouts")
        os.makedirs(own)
        good = common.text(os.path.join(common.ROOT, "layouts", "a4-3x8.yaml"))
        with open(os.path.join(own, "a4-3x8.yaml"), "w", encoding="utf-8") as out:
            out.write(re.sub(r"title: .*", "title: ours", good))
        environment = {"XDG_CONFIG_HOME": os.path.abspath(folder)}
        self.assertIn("ours", common.run("layouts", "a4-3x8", env=environment).stdout)
        self.assertNotIn("ours", common.run("layouts", "a4-3x8").stdout)
        shutil.rmtree(folder)

    def test_what_finds_no_room_is_told_once(self):
        folder = common.workdir()
        path = common.sample(folder, "dome-shutter")
        out = os.path.join(folder, "out.pdf")
        said = common.run("stickers", path, "-o", out, "--layout", "roll-25x13").stderr
        self.assertEqual(said.count("left out"), 1)
        self.assertIn("harness code", said)
        self.assertNotIn("left out", common.run("stickers", path, "-o", out).stderr)
        shutil.rmtree(folder)

    def test_colour_is_asked_for_and_refused(self):
        path = os.path.join(common.ROOT, "samples", "dome-shutter.yaml")
        self.assertIn("\x1b[", common.run("check", path, "--color", "always").stderr)
        self.assertNotIn("\x1b[", common.run("check", path, "--color", "auto").stderr)
        for no_color, seen in ((None, True), ("1", False)):
            if no_color:
                os.environ["NO_COLOR"] = no_color
            try:
                code, shown = Terminal("check", path).finish()
            finally:
                os.environ.pop("NO_COLOR", None)
            self.assertEqual((code, "\x1b[" in shown), (0, seen))

    def test_layouts_are_listed(self):
        text = common.run("layouts").stdout
        for name in common.LAYOUTS:
            self.assertIn(name, text)


if __name__ == "__main__":
    unittest.main()
