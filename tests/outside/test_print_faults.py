"""loomtag print when something goes wrong: nothing is lost, nothing is printed twice, and what is
reported is right. The printers are real programs, with faulty lines before them (RFC 8011)."""

import os
import pathlib
import pty
import random
import re
import select
import signal
import struct
import sys
import time
import unittest

import common
import faults
import printers
import printserver
import pwg
from texts import said as words_of

LABEL = "om_label-54x25_54x25mm"
REFUSED = printers.refused()
on_bench = unittest.skipIf(REFUSED, REFUSED)
BENCH = None
SAMPLE, ONLY = "mast-head", "1-4"
# What is printed of it, in this order.
ALL = ["1H", "2H", "2M", "3H", "3M", "4H", "4M"]
CANCELLED = 7
# For what the program would wait up to a minute for.
HASTY = {"LOOMTAG_PATIENCE_MS": "1500"}


def setUpModule():
    global BENCH
    if REFUSED:
        print(f"passed over: {REFUSED}", file=sys.stderr)
        return
    BENCH = printers.Bench(os.path.join(common.workdir(), "bench"))


def tearDownModule():
    if BENCH:
        BENCH.close()


def attribute(tag, name, value):
    return (struct.pack(">BH", tag, len(name)) + name.encode("ascii")
            + struct.pack(">H", len(value)) + value)


def answer(status, *groups):
    """An answer over IPP (RFC 8010, 3.1)."""
    return (struct.pack(">HHI", 0x200, status, 0) + b"\1"
            + attribute(0x47, "attributes-charset", b"utf-8")
            + attribute(0x48, "attributes-natural-language", b"en") + b"".join(groups) + b"\3")


def integer(name, value, tag=0x21):
    return attribute(tag, name, struct.pack(">i", value))


def word(name, value):
    return attribute(0x44, name, value.encode("ascii"))


OK, JOB, PRINTER = 0, b"\2", b"\4"


def screen(field):
    """What is shown while printing."""
    return words_of("lt_print_words", field)


def reason(keyword):
    """What a reason of the printer is called."""
    return words_of("lt_printer_reason_words", keyword)


@on_bench
class Faulty(unittest.TestCase):
    """A description of its own and a printer of its own for each test."""
    count = 0

    def setUp(self):
        Faulty.count += 1
        self.folder = common.workdir()
        self.file = common.sample(self.folder, SAMPLE, registered=True)
        self.record = pathlib.Path(self.file).with_suffix(".print")
        self.register = pathlib.Path(self.file).with_suffix(".tags")
        listing = common.tags(self.file)
        self.tag_of = {code: f"{tag['number']}{side}" for tag in listing["tags"]
                       for side, code in tag["codes"].items()}
        self.code = None
        self.printer = BENCH.printer(f"p{Faulty.count}", "roll-203")

    def line(self, *fault):
        return BENCH.proxy(self.printer, *fault)

    def begin(self, *options, to=None, env=None, program=None, **more):
        return BENCH.start([program or common.PROGRAM, "print", self.file, "--to",
                            (to or self.printer).uri, *options], env=env, **more)

    def end(self, process, expect):
        out, err = process.communicate(timeout=printers.DEADLINE)
        self.assertNotIn("Sanitizer", err)
        self.assertNotIn("runtime error", err)
        self.code = process.returncode
        if expect is not None:
            self.assertEqual(self.code, expect, out + err)
        return out, err

    def print(self, *options, expect=0, **more):
        chosen = () if "--resume" in options else ("--only", ONLY)
        return self.end(self.begin(*chosen, *options, **more), expect)

    def read(self, document, most=None):
        """The tags on the whole pages of a document, decoded, or on the first of them."""
        found = []
        try:
            for number, page in enumerate(pwg.pages(document)):
                if number == most:
                    break
                found.append(page.write_pgm(os.path.join(self.folder, f"page-{number}.pgm")))
        except pwg.Bad:
            pass  # The document was cut; what comes after is none of its labels.
        codes = [common.scan_codes(payloads) for payloads in common.decode(found)]
        self.assertEqual([len(of_page) for of_page in codes], [1] * len(found))
        return [self.tag_of[code] for (code,) in codes]

    def out(self):
        """The labels that are out, of all jobs, as the printer counted them."""
        tags = []
        for document in self.printer.documents():
            job = BENCH.job(self.printer, int(document.name.split("-")[0]))
            tags += self.read(document, job["job-impressions-completed"])
        return tags

    def kept(self):
        """What the record says: stickers counted, and stickers sent."""
        self.assertTrue(self.record.exists())
        text = common.text(self.record)
        return int(re.search(r"^counted: (\d+)$", text, re.M)[1]), re.findall(r"^  - (\S+)$", text,
                                                                            re.M)

    def marked(self):
        """The tags that the register has as printed."""
        found = []
        for line in common.text(self.register).splitlines():
            fields = line.split()
            if fields and fields[0].isdigit() and len(fields) > 2:
                found += [fields[0] + side for side in fields[2] if side in "HMXN"]
        return sorted(found)

    def assert_nothing_sent(self, err):
        self.assertIn("nothing was printed", err)
        self.assertEqual(self.printer.documents(), [])
        self.assertFalse(self.record.exists())
        self.assertEqual(self.marked(), [])

    def assert_all_once(self):
        self.assertEqual(self.out(), ALL)
        self.assertFalse(self.record.exists())

    def resume(self, tag):
        self.printer.manner()
        self.printer.bench.finished(self.printer, len(self.printer.documents()) or 1)
        return self.print("--resume", "--from", tag)

    def wait_for_line(self, process, pattern):
        said = ""
        while not re.search(pattern, said):
            more = process.stdout.readline()
            self.assertTrue(more, f"{pattern}: not in\n{said}")
            said += more
        return said

    def assert_counted(self, err, count, of=7, printed=None, rest=None):
        """The last notes are the printer's count, what is printed by it, and what is not."""
        wanted = [rf"\b{count} of {of}\b"]
        wanted += [rf"^(?!not ).*: {printed}$"] if printed else []
        wanted += [rf"^not .*: {rest}$"] if rest else []
        notes = re.findall(r"note: (.*)", err)[-len(wanted):]
        self.assertEqual(len(notes), len(wanted), err)
        for note, pattern in zip(notes, wanted):
            self.assertRegex(note, pattern)

    def assert_not_known(self, err):
        """The last note says that the printer's count is not known."""
        self.assertRegex(re.findall(r"note: (.*)", err)[-1], "not known")


class Waits(Faulty):
    def test_all_is_well(self):
        said, err = self.print()
        self.assertRegex(said, printers.progress(7, 7, "4M"))
        self.assertRegex(said, printers.done(7))
        self.assertEqual(err, "")
        self.assert_all_once()
        self.assertEqual(self.marked(), sorted(ALL))

    def test_out_of_labels_before(self):
        self.printer.load(LABEL, "labels", 0)
        process = self.begin("--only", ONLY)
        said = self.wait_for_line(process, "waiting: " + reason("media_empty"))
        self.assertNotIn("roll-54x25", said)
        self.printer.load(LABEL, "labels", 50)
        said, _ = self.end(process, 0)
        self.assertIn(screen("printer_continues") + "\n", said)
        self.assertRegex(said, printers.done(7) + r"\Z")
        self.assert_all_once()

    def test_out_of_labels_in_the_middle(self):
        self.printer.manner("impressions 1-3", "STATE: +media-empty", "STATE: +media-needed",
                            "wait loaded", "STATE: -media-empty", "STATE: -media-needed",
                            "impressions 4-7 0.6")
        process = self.begin("--only", ONLY)
        said = self.wait_for_line(process, "waiting: " + reason("media_empty"))
        self.assertRegex(said, printers.progress(3, 7, "2M"))
        self.assertEqual(self.kept(), (3, ALL))
        self.printer.let("loaded")
        said, _ = self.end(process, 0)
        self.assertRegex(said, printers.progress(4, 7, "3H"))
        self.assertRegex(said, printers.done(7))
        # No terminal: lines, and nothing else.
        self.assertNotIn("\r", said)
        self.assertNotIn("\33", said)
        self.assert_all_once()

    def test_a_warning_is_told_and_is_no_wait(self):
        self.printer.manner("STATE: +marker-supply-low", "STATE: +media-jam", "wait seen",
                            "STATE: -media-jam", "all")
        process = self.begin("--only", ONLY)
        said = self.wait_for_line(process, "warns: ")
        self.assertIn(reason("marker_supply_low"), said)
        self.assertIn(reason("media_jam"), said)
        self.printer.let("seen")
        said += self.end(process, 0)[0]
        self.assertNotIn("waits", said)
        self.assertRegex(said, printers.done(7))

    def test_the_printer_stops(self):
        self.printer.manner("wait seen", "all")
        line = self.line("--on", "Get-Printer-Attributes", "--stopped",
                         "media-jam-error,cover-open,offline-error,marker-supply-low-warning")
        process = self.begin("--only", ONLY, to=line)
        said = self.wait_for_line(process, "waiting: ")
        self.assertIn("warns: " + reason("marker_supply_low"), said)
        self.assertIn("waiting: " + "; ".join(map(reason, ("media_jam", "cover_open", "offline"))),
                      said)
        self.printer.let("seen")
        said += self.end(process, 0)[0]
        self.assertEqual(said.count("waiting: "), 1)
        self.assert_all_once()


class Register(Faulty):
    """The register is on disk before the first label, or there is no label."""

    def setUp(self):
        super().setUp()
        self.shim = faults.Shim(self.folder)

    def test_a_register_that_cannot_be_written(self):
        self.register.unlink()
        _, err = self.print(expect=4, env=self.shim.environment(rename=".tags"))
        self.assertIn(".tags: error", err)
        self.assertIn("nothing was printed", err)
        self.assertEqual(self.printer.documents(), [])
        self.assertFalse(self.register.exists())
        self.assertFalse(self.record.exists())

    def test_what_is_sent_cannot_be_kept(self):
        _, err = self.print(expect=4, env=self.shim.environment(rename=".print"))
        self.assertIn(".print: error", err)
        self.assert_nothing_sent(err)

    def replace_a_part(self):
        """The wind speed sensor, whose M sticker is out, is to be replaced."""
        self.print()
        text = common.text(self.file).replace("{id: B1, name: wind speed sensor,",
                                              "{id: B1, fate: replace, name: wind speed sensor,")
        pathlib.Path(self.file).write_text(text, encoding="utf-8")
        return ["1H", "2H", "2M", "3H", "3X", "3M", "4H", "4M"]

    def test_an_x_sticker_counts_when_it_is_out(self):
        wanted = self.replace_a_part()
        self.printer.manner("impressions 1-4", "exit 1")
        self.print(expect=4)
        self.assertEqual(self.kept(), (4, wanted))
        self.assertEqual(self.marked(), sorted([*ALL, "3N"]))
        self.resume("3X")
        self.assertEqual(self.marked(), sorted([*ALL, "3N", "3X"]))

    def test_an_x_sticker_in_hand_counts(self):
        self.replace_a_part()
        self.printer.manner("impressions 1-4", "exit 1")
        self.print(expect=4)
        self.resume("3M")
        self.assertEqual(self.marked(), sorted([*ALL, "3N", "3X"]))

    def test_an_x_sticker_that_was_counted_counts(self):
        self.replace_a_part()
        self.printer.manner("impressions 1-5", "exit 1")
        self.print(expect=4)
        self.assertEqual(self.marked(), sorted([*ALL, "3N", "3X"]))
        # It was spoilt, says whoever has them in hand; and then it does not come again.
        self.printer.manner("exit 1")
        self.print("--resume", "--from", "3X", expect=4)
        self.assertEqual(self.marked(), sorted([*ALL, "3N"]))
        self.resume("3X")
        self.assertEqual(self.marked(), sorted([*ALL, "3N", "3X"]))


class Ends(Faulty):
    def abort(self):
        self.printer.manner("impressions 1-3", "exit 1")
        return self.print(expect=4)[1]

    def test_the_printer_gives_up_in_the_middle(self):
        err = self.abort()
        self.assertRegex(err, "error: .*aborted")
        self.assert_counted(err, 3, 7, "1H to 2M", "3H to 4M")
        self.assertIn("--resume", err)
        self.assertEqual(self.kept(), (3, ALL))
        self.assertEqual(self.marked(), sorted(ALL))
        said, _ = self.resume("3H")
        self.assertRegex(said, printers.done(4))
        self.assert_all_once()
        _, err = self.print("--resume", "--from", "3H", expect=3)
        self.assertRegex(err, r"\.print: error: .*unfinished(.|\n)*--resume")
        self.assert_all_once()

    def test_the_printer_need_not_be_named_again(self):
        self.abort()
        self.printer.manner()
        self.printer.bench.finished(self.printer, 1)
        command = [common.PROGRAM, "print", self.file, "--resume"]
        said, _ = self.end(BENCH.start([*command, "--from", "3H"]), 0)
        self.assertRegex(said, printers.done(4))
        self.assert_all_once()
        _, err = self.end(BENCH.start(command), 3)
        self.assertRegex(err, r"\.print: error: .*unfinished(.|\n)*--resume")

    def test_what_is_left_is_not_finished_either(self):
        self.abort()
        self.printer.manner("impressions 1", "exit 1")
        _, err = self.print("--resume", "--from", "3H", expect=4)
        self.assert_counted(err, 1, 4, "3H", "3M to 4M")
        self.assertEqual(self.kept(), (1, ALL[3:]))
        self.resume("3M")
        self.assert_all_once()

    def test_where_to_go_on_has_to_be_said(self):
        self.abort()
        before = common.text(self.record)
        _, err = self.print("--resume", expect=2)
        self.assertIn("--from", err)
        for wrong, code in (("9H", 3), ("9", 2), ("4N", 2)):
            _, err = self.print("--resume", "--from", wrong, expect=code)
            self.assertIn(wrong, err)
        self.assertEqual(common.text(self.record), before)
        self.assertEqual(len(self.printer.documents()), 1)

    def test_it_asks_what_came_out_last(self):
        self.abort()
        self.printer.manner()
        ours, theirs = pty.openpty()
        process = self.begin("--resume", stdin=theirs, stdout=theirs, stderr=theirs)
        os.close(theirs)
        said = self.until(ours, r": \Z")
        self.assertIn("3 of 7", said)
        os.write(ours, b"9H\n")
        said = self.until(ours, r": \Z")
        self.assertIn(screen("was_not_sent"), said)
        # One more is in hand than the printer has counted.
        os.write(ours, b"3h\n")
        said = self.until(ours, printers.done(3))
        self.assertRegex(said, r"\r[^\r\n]*\b3 of 3\b")
        self.assertEqual(process.wait(printers.DEADLINE), 0)
        os.close(ours)
        self.assertEqual(self.out(), ["1H", "2H", "2M", "3M", "4H", "4M"])
        self.assertFalse(self.record.exists())

    def until(self, terminal, pattern):
        said, end = "", time.monotonic() + printers.DEADLINE
        while not re.search(pattern, said):
            self.assertLess(time.monotonic(), end, said)
            if select.select([terminal], [], [], 0.2)[0]:
                said += os.read(terminal, 4096).decode("utf-8").replace("\r\n", "\n")
        return said

    def test_interrupted(self):
        self.printer.manner("impressions 1-2", "wait over")
        process = self.begin("--only", ONLY)
        self.wait_for_line(process, printers.progress(2, 7, "2H"))
        process.send_signal(signal.SIGINT)
        self.wait_for_line(process, re.escape(screen("cancelling")))
        self.printer.let("over")
        said, err = self.end(process, 4)
        self.assertNotIn(screen("cancelling"), said)
        self.assertRegex(err, "error: .*cancelled\n")
        self.assert_counted(err, 2, 7, "1H to 2H", "2M to 4M")
        self.assertEqual(BENCH.job(self.printer, 1)["job-state"], CANCELLED)
        self.assertEqual(self.kept(), (2, ALL))
        self.resume("2M")
        self.assert_all_once()

    def test_interrupted_twice(self):
        self.printer.manner("impressions 1-2", "wait over")
        process = self.begin("--only", ONLY)
        self.wait_for_line(process, printers.progress(2, 7, "2H"))
        process.send_signal(signal.SIGINT)
        self.wait_for_line(process, re.escape(screen("cancelling")))
        process.send_signal(signal.SIGINT)
        _, err = self.end(process, 4)
        self.assertRegex(err, "error: .*does not finish")
        self.assert_counted(err, 2, 7, "1H to 2H", "2M to 4M")
        self.assertEqual(self.kept(), (2, ALL))
        self.printer.let("over")
        self.assertEqual(BENCH.finished(self.printer, 1)["job-state"], CANCELLED)

    def test_forgotten_when_done(self):
        # A printer may keep no history: it had counted all before.
        self.printer.manner("impressions 1-7", "wait over")
        path = os.path.join(self.folder, "answer")
        pathlib.Path(path).write_bytes(answer(0x0406))
        line = self.line("--on", "Get-Job-Attributes", "--after", "3", "--numbered", "--answer",
                         os.path.abspath(path))
        said, err = self.print(to=line)
        self.assertRegex(said, printers.done(7))
        self.printer.let("over")
        self.assertEqual(err, "")
        BENCH.finished(self.printer, 1)
        self.assert_all_once()

    def test_killed(self):
        self.printer.manner("impressions 1-2", "wait over", "impressions 3-7")
        process = self.begin("--only", ONLY)
        self.wait_for_line(process, printers.progress(2, 7, "2H"))
        process.kill()
        process.communicate()
        self.assertEqual(self.kept(), (2, ALL))
        self.assertEqual(self.marked(), sorted(ALL))
        self.printer.let("over")
        BENCH.finished(self.printer, 1)
        # All came out; the one who looks says so.
        ours, theirs = pty.openpty()
        process = self.begin("--resume", stdin=theirs, stdout=theirs, stderr=theirs)
        os.close(theirs)
        self.until(ours, r": \Z")
        os.write(ours, b"4M\n")
        self.until(ours, re.escape(screen("nothing_left")))
        self.assertEqual(process.wait(printers.DEADLINE), 0)
        os.close(ours)
        self.assert_all_once()

    def test_two_at_once(self):
        self.printer.manner("impressions 1-2", "wait over", "impressions 3-7")
        first = self.begin("--only", ONLY)
        self.wait_for_line(first, printers.progress(2, 7, "2H"))
        _, err = self.end(self.begin("--only", ONLY), 4)
        self.assertIn("is in use by another loomtag", err)
        self.printer.let("over")
        self.end(first, 0)
        self.assert_all_once()

    def test_turned_off_and_on(self):
        self.printer.manner("impressions 1-2", "wait over")
        process = self.begin("--only", ONLY)
        self.wait_for_line(process, printers.progress(2, 7, "2H"))
        self.printer.stop()
        self.wait_for_line(process, "again: ")
        self.printer.start()
        _, err = self.end(process, 4)
        self.assertRegex(err, "error: .*no longer knows")
        self.assert_counted(err, 2, 7, "1H to 2H", "2M to 4M")
        self.assertEqual(self.kept(), (2, ALL))

    def test_turned_off(self):
        self.printer.manner("impressions 1-2", "wait over")
        process = self.begin("--only", ONLY, env=HASTY)
        self.wait_for_line(process, printers.progress(2, 7, "2H"))
        self.printer.stop()
        _, err = self.end(process, 4)
        self.assertRegex(err, "error: .*does not answer")
        self.assert_counted(err, 2, 7, "1H to 2H", "2M to 4M")
        self.assertEqual(self.kept(), (2, ALL))

    def test_goes_away_between_two_labels(self):
        self.printer.manner("impressions 1", "wait over", "impressions 2-7")
        line = self.line("--on", "Get-Job-Attributes", "--after", "2", "--vanish")
        out, err = self.print(to=line, env=HASTY, expect=4)
        self.assertIn("again: ", out)
        self.assertRegex(err, "error: .*does not answer")
        self.assert_counted(err, 1, 7, "1H", "2H to 4M")
        self.assertEqual(self.kept(), (1, ALL))
        self.printer.let("over")
        BENCH.finished(self.printer, 1)
        self.assertEqual(self.out(), ALL)


class Lines(Faulty):
    """The connection breaks, at any byte."""

    def cut(self, *fault, env=None):
        line = self.line(*fault, "--times", "1")
        out, err = self.print(to=line, env=env, expect=None)
        self.assertEqual(len(line.faults()), 1)
        return out, err

    def assert_can_go_on(self):
        """What is not out is still to be had, and the rest is not printed again."""
        so_far = self.out()
        self.assertEqual(so_far, ALL[:len(so_far)])
        if not self.record.exists():
            self.assertEqual(so_far, [])
            self.print()
        elif len(so_far) < len(ALL):
            self.assertEqual(self.kept()[1], ALL)
            self.resume(ALL[len(so_far)])
        self.assertEqual(self.out(), ALL)

    def test_the_document_is_cut(self):
        self.print()
        # The head and the attributes come before it: the cut is in the last of its labels.
        nearly = self.printer.documents()[0].stat().st_size
        # In the head; in the attributes; in the first label, …
        for place in (0, 60, 400, 3000, nearly):
            with self.subTest(place=place):
                self.setUp()
                out, err = self.cut("--on", "Send-Document", "--cut-request", str(place),
                                    env={"LOOMTAG_PATIENCE_MS": "2000"})
                self.assertEqual(self.code, 4, out + err)
                self.assertIn("connection broke", err)
                self.assert_can_go_on()

    def test_the_answer_to_the_document_is_lost(self):
        for place in ("0", "30", "-1"):
            with self.subTest(place=place):
                self.setUp()
                out, err = self.cut("--on", "Send-Document", "--cut-answer", place)
                # The printer has all of it, and says so when it is asked.
                self.assertEqual(self.code, 0, out + err)
                self.assertRegex(out, printers.done(7))
                self.assert_all_once()

    def test_a_new_job_is_cut(self):
        for fault in (("--cut-request", "0"), ("--cut-request", "300"), ("--cut-answer", "0"),
                      ("--cut-answer", "-1")):
            with self.subTest(fault=fault):
                self.setUp()
                out, err = self.cut("--on", "Create-Job", *fault)
                self.assertEqual(self.code, 4, out + err)
                self.assertRegex(err, "error: .*create a job: .*connection broke")
                self.assert_nothing_sent(err)

    def test_questions_are_cut(self):
        for fault in (("--on", "Get-Job-Attributes", "--cut-request", "50"),
                      ("--on", "Get-Job-Attributes", "--cut-answer", "100"),
                      ("--on", "Get-Printer-Attributes", "--cut-answer", "-9")):
            with self.subTest(fault=fault):
                self.setUp()
                out, err = self.cut(*fault)
                self.assertEqual(self.code, 0, out + err)
                self.assert_all_once()

    def test_answers_are_late(self):
        line = self.line("--delay", "0.3")
        self.print(to=line)
        self.assert_all_once()

    def test_answers_do_not_come(self):
        line = self.line("--on", "Create-Job", "--hold")
        _, err = self.print(to=line, env=HASTY, expect=4)
        self.assertIn("within 1.5 seconds", err)
        self.assert_nothing_sent(err)
        line = self.line("--on", "Get-Printer-Attributes", "--hold")
        _, err = self.print(to=line, env=HASTY, expect=4)
        self.assertIn("within 1.5 seconds", err)
        self.assertFalse(self.record.exists())

    def test_the_answer_to_the_document_does_not_come(self):
        line = self.line("--on", "Send-Document", "--hold")
        said, err = self.print(to=line, env=HASTY, expect=None)
        self.assertEqual(self.code, 0, said + err)
        self.assert_all_once()

    def test_the_progress_is_not_told(self):
        line = self.line("--on", "Get-Job-Attributes", "--status", "500")
        said, err = self.print(to=line, env=HASTY, expect=4)
        self.assertIn("HTTP status 500", said)
        self.assert_not_known(err)
        self.assertEqual(self.kept(), (0, ALL))


class AtOnce(Faulty):
    """A printer that takes a job only together with its document (Print-Job)."""

    def setUp(self):
        super().setUp()
        self.way = self.line("--on", "Get-Printer-Attributes", "--lacks", "Create-Job")

    def before(self, *fault):
        """Another fault, on the line to that printer."""
        return BENCH.proxy(self.way, *fault)

    def test_all_is_well(self):
        self.print(to=self.way)
        self.assertEqual(len(self.printer.requests("Print-Job")), 1)
        self.assertEqual(self.printer.requests("Create-Job"), [])
        self.assert_all_once()

    def test_it_is_cut(self):
        for fault in (("--cut-request", "400"), ("--cut-request", "4000"), ("--cut-answer", "0"),
                      ("--cut-answer", "-1")):
            with self.subTest(fault=fault):
                self.setUp()
                line = self.before("--on", "Print-Job", *fault)
                _, err = self.print(to=line, expect=4)
                self.assertEqual(line.faults(), ["Print-Job"])
                self.assertIn("the connection broke", err)
                if not self.record.exists():
                    # It broke before the document began.
                    self.assertEqual(fault, ("--cut-request", "400"))
                    self.assertIn("nothing was printed", err)
                    self.assertEqual(self.marked(), [])
                    self.assertEqual([self.read(name) for name in self.printer.documents()
                                      if name.stat().st_size], [])
                    continue
                self.assert_not_known(err)
                self.assertEqual(self.kept(), (0, ALL))
                self.assertEqual(self.marked(), sorted(ALL))
                self.assertLessEqual(len(self.printer.documents()), 1)

    def test_it_is_refused(self):
        line = self.before("--on", "Validate-Job", "--status", "503")
        _, err = self.print(to=line, expect=4)
        self.assert_nothing_sent(err)
        path = os.path.join(self.folder, "answer")
        pathlib.Path(path).write_bytes(answer(0x040a))
        for operation in ("Validate-Job", "Print-Job"):
            line = self.before("--on", operation, "--numbered", "--answer", os.path.abspath(path))
            _, err = self.print(to=line, expect=4)
            self.assertIn("this format", err)
            self.assert_nothing_sent(err)


class Refusals(Faulty):
    """The printer says no, or says what makes no sense."""

    def through(self, operation, content, expect=4):
        """What is said when each request of that kind is answered so; by the program with the
        sanitizers, where that is built."""
        path = os.path.join(self.folder, "answer")
        pathlib.Path(path).write_bytes(content)
        line = self.line("--on", operation, "--numbered", "--answer", os.path.abspath(path))
        checked = os.environ.get("LOOMTAG_CHECKED", "")
        out, err = self.print(to=line, env=HASTY, expect=expect,
                              program=checked if os.path.exists(checked) else None)
        self.assertTrue(line.faults())
        return out, err

    def test_a_job_is_refused(self):
        # RFC 8011, appendix B.
        for status, words in ((0x0507, "busy"),
                              (0x0506, "accept jobs"),
                              (0x040b, "setting"),
                              (0x0403, "this user")):
            with self.subTest(status=hex(status)):
                _, err = self.through("Create-Job", answer(status))
                self.assertIn("create a job: ", err)
                self.assertIn(words, err)
                self.assert_nothing_sent(err)

    def test_the_format_is_refused(self):
        _, err = self.through("Send-Document", answer(0x040a))
        self.assertIn("this format", err)
        self.assert_nothing_sent(err)
        self.assertEqual(BENCH.job(self.printer, 1)["job-state"], CANCELLED)

    def test_what_was_left_is_still_left(self):
        self.printer.manner("impressions 1-3", "exit 1")
        self.print(expect=4)
        before = common.text(self.record)
        path = os.path.join(self.folder, "busy")
        pathlib.Path(path).write_bytes(answer(0x0507))
        line = self.line("--on", "Create-Job", "--numbered", "--answer", os.path.abspath(path))
        for options in (("--resume", "--from", "3H"), ("--anew",)):
            _, err = self.print(*options, to=line, expect=4)
            self.assertIn("nothing was printed", err)
            self.assertEqual(common.text(self.record), before)
        # Whoever prints something else does not forget it by the way.
        for options in ((), ("--only", "1")):
            _, err = self.print(*options, expect=3)
            self.assertRegex(err, r"\.print: error: .*\b4 stickers\b")
            self.assertIn("--anew", err)
            self.assertEqual(common.text(self.record), before)
        self.resume("3H")
        self.assert_all_once()

    def test_the_job_has_no_number(self):
        for group in (b"", JOB + integer("job-id", 0), JOB + integer("job-id", -7),
                      JOB + word("job-id", "seven"), PRINTER):
            with self.subTest(group=group):
                _, err = self.through("Create-Job", answer(OK, group))
                self.assertRegex(err, "error: .*number")
                self.assert_nothing_sent(err)

    def test_nonsense_of_the_printer(self):
        chance = random.Random(17)
        size = struct.pack(">i", 2 ** 31 - 1)
        good = answer(OK, PRINTER, integer("printer-state", 3, 0x23))
        for name, content in (
                ("noise", chance.randbytes(3000)),
                ("noise after a start", good[:-1] + chance.randbytes(3000)),
                ("nothing", b""),
                ("only a number", b"\2\0\0\0\0\0\0\1"),
                ("a length beyond the end", good[:-1] + b"\x44\x7f\xff"),
                ("lengths that are negative", good[:-1] + b"\x44\xff\xff\xff\xff"),
                ("wrong types", answer(OK, PRINTER, word("printer-state", "idle"),
                                       integer("media-ready", 7), word("operations-supported", "x"),
                                       integer("printer-resolution-supported", 203),
                                       integer("document-format-supported", 1))),
                ("absurd resolutions", answer(OK, PRINTER, integer("printer-state", 99, 0x23),
                                              attribute(0x32, "printer-resolution-supported",
                                                        size + size + b"\3"),
                                              attribute(0x49, "document-format-supported",
                                                        b"image/pwg-raster"))),
                ("endless attributes", answer(OK, PRINTER, *[
                    word(f"media-{number}", "x" * 1000) for number in range(20000)])),
                ("collections without an end", answer(OK, PRINTER, attribute(
                    0x34, "media-col-ready", b"") * 5000))):
            with self.subTest(name=name):
                _, err = self.through("Get-Printer-Attributes", content, expect=None)
                self.assertIn(self.code, (3, 4), err)
                self.assertIn("error: ", err)
                self.assertFalse(self.record.exists())
                self.assertEqual(self.printer.documents(), [])

    def test_nonsense_of_the_job(self):
        for name, content, words in (
                ("noise", random.Random(18).randbytes(500), "note: .*not known"),
                ("wrong types", answer(OK, JOB, word("job-state", "done"),
                                       word("job-impressions-completed", "7")),
                 "note: .*not known"),
                ("aborted, with a count below none", answer(
                    OK, JOB, integer("job-state", 8, 0x23),
                    integer("job-impressions-completed", -9)), "note: .*not known"),
                ("aborted, with an absurd count", answer(
                    OK, JOB, integer("job-state", 8, 0x23),
                    integer("job-impressions-completed", 2 ** 31 - 1)), r"note: .*\b7 of 7\b"),
                ("done, with a count too low", answer(
                    OK, JOB, integer("job-state", 9, 0x23),
                    integer("job-impressions-completed", 6)), r"note: not .*\b4M\n"),
                ("done, with errors", answer(
                    OK, JOB, integer("job-state", 9, 0x23),
                    word("job-state-reasons", "job-completed-with-errors")),
                 "error: .*with errors")):
            with self.subTest(name=name):
                self.setUp()
                _, err = self.through("Get-Job-Attributes", content)
                self.assertRegex(err, words)
                self.assertEqual(self.kept()[1], ALL)
                self.assertEqual(self.marked(), sorted(ALL))
                BENCH.finished(self.printer, 1)
                self.assertEqual(self.out(), ALL)

    def test_nonsense_after_the_document(self):
        # The printer was not given it, and has no job that could end.
        _, err = self.through("Send-Document", random.Random(19).randbytes(99))
        self.assertIn("is not IPP", err)
        self.assert_counted(err, 0, 7, None, "1H to 4M")
        self.assertEqual(self.kept(), (0, ALL))
        self.assertEqual(self.printer.documents(), [])
        self.assertEqual(BENCH.job(self.printer, 1)["job-state"], CANCELLED)


class Queues(Faulty):
    def test_a_queue_that_is_stopped(self):
        server = printserver.PrintServer(BENCH)
        self.addCleanup(setattr, BENCH, "server", None)
        self.addCleanup(server.stop)
        self.printer = server.queue("stopped", "image/pwg-raster")
        BENCH.run(["cupsdisable", "stopped"], expect=0)
        process = self.begin("--only", ONLY, "--layout", "roll-54x25")
        said = self.wait_for_line(process, "waiting: ")
        BENCH.run(["cupsenable", "stopped"], expect=0)
        said += self.end(process, 0)[0]
        self.assertRegex(said, printers.done(7))
        (document,) = self.printer.documents()
        self.assertEqual(self.read(document), ALL)


if __name__ == "__main__":
    unittest.main()
