"""loomtag print where the printer refuses, or does other than it is asked: nothing is called
unprinted that may be out (RFC 8011; its appendix B has the status codes)."""

import os
import pathlib
import re
import signal
import time
import unittest

import printers
import test_print_faults as faults
from test_print_faults import ALL, CANCELLED, answer, setUpModule, tearDownModule


class Faulty(faults.Faulty):
    """What is not out is never called out, and what may be out is never called unprinted."""

    def assert_may_be_out(self, err):
        self.assertNotIn("nothing was printed", err)
        self.assertEqual(self.kept()[1], ALL)
        self.assertEqual(self.marked(), sorted(ALL))

    def counted(self, err):
        """How many came out, as is told and kept. On a busy machine the job may be cancelled before
        the printer has counted both."""
        count = int(re.search(r"note: .*\b(\d) of 7\b", err)[1])
        self.assertEqual(self.kept()[0], count)
        self.assertLessEqual(count, 2)
        return count


class AfterTheDocument(Faulty):
    """The whole document is with the printer, and an error is what it answers."""

    def refuse(self, status, *manner, expect=4):
        self.printer.manner(*manner)
        return self.print(to=self.line("--on", "Send-Document", "--says", status), expect=expect)

    def test_labels_came_out(self):
        # Timeout, attributes not supported, not authorized, service unavailable, device error,
        # format not supported, too large.
        counts = []
        for status in ("0x0405", "0x040b", "0x0403", "0x0502", "0x0504", "0x040a", "0x0408"):
            with self.subTest(status=status):
                self.setUp()
                _, err = self.refuse(status, "impressions 1-2", "exit 1")
                if "nothing was printed" in err:
                    # On a busy machine the job may be cancelled before the printer begins.
                    job = BENCH().job(self.printer, 1)
                    self.assertEqual(job["job-impressions-completed"], 0)
                    continue
                self.assert_may_be_out(err)
                counts.append(self.counted(err))
                if counts[-1] == 2:
                    self.assert_counted(err, 2, 7, "1H to 2H", "2M to 4M")
        self.assertIn(2, counts)

    def test_all_came_out_before_it_could_be_cancelled(self):
        said, err = self.refuse("0x0405", "impressions 1-7", expect=None)
        self.assertNotIn("nothing was printed", err)
        if self.code == 0:
            self.assertRegex(said, printers.done(7))
            self.assert_all_once()
        else:
            self.assert_may_be_out(err)

    def test_the_answer_is_no_ipp(self):
        for status in ("403", "408", "500"):
            with self.subTest(status=status):
                self.setUp()
                _, err = self.print(to=self.line("--on", "Send-Document", "--status", status),
                                    expect=4)
                self.assert_may_be_out(err)
                self.assert_counted(err, 0, 7, None, "1H to 4M")
                self.assertEqual(BENCH().job(self.printer, 1)["job-state"], CANCELLED)


class NothingBegan(Faulty):
    """The printer's own count shows that nothing is out."""

    def test_it_cannot_take_such_a_document(self):
        for status in (0x040a, 0x0408):
            with self.subTest(status=hex(status)):
                self.setUp()
                path = os.path.join(self.folder, "answer")
                pathlib.Path(path).write_bytes(answer(status))
                line = self.line("--on", "Send-Document", "--numbered", "--answer",
                                 os.path.abspath(path))
                _, err = self.print(to=line, expect=4)
                self.assert_nothing_sent(err)
                self.assertEqual(BENCH().job(self.printer, 1)["job-state"], CANCELLED)

    def test_it_is_too_large_over_http(self):
        _, err = self.print(to=self.line("--on", "Send-Document", "--status", "413"), expect=4)
        self.assertIn("too large for the printer", err)
        self.assert_nothing_sent(err)


class Otherwise(Faulty):
    """The printer takes the job, and says that it would print it in another way
    (successful-ok-ignored-or-substituted-attributes)."""

    def ignoring(self, operation, names, expect):
        return self.print(to=self.line("--on", operation, "--ignores", names), expect=expect)

    def test_what_labels_need(self):
        for name, words in (("media-col", "(media-col: 54 x 25 mm)"), ("media", "(media)"),
                            ("printer-resolution", "(printer-resolution: 203 dots per inch)"),
                            ("print-scaling", "(print-scaling)"),
                            ("job-name,media-col", "medium of the job")):
            with self.subTest(name=name):
                self.setUp()
                _, err = self.ignoring("Create-Job", name, 4)
                self.assertIn(words, err)
                self.assert_nothing_sent(err)
                self.assertEqual(BENCH().job(self.printer, 1)["job-state"], CANCELLED)

    def test_all_are_named(self):
        _, err = self.ignoring("Create-Job", "media-col,printer-resolution", 4)
        self.assertIn("(media-col: 54 x 25 mm)", err)
        self.assertIn("(printer-resolution: 203 dots per inch)", err)

    def test_what_labels_can_do_without(self):
        _, err = self.ignoring("Create-Job", "finishings,print-quality,job-name,x-other", 0)
        self.assertRegex(err, r"warning: .*\(finishings")
        self.assertRegex(err, r"warning: .*\(print-quality")
        self.assertNotIn("job-name", err)
        self.assertNotIn("x-other", err)
        self.assert_all_once()

    def test_before_the_document_of_print_job(self):
        way = self.line("--on", "Get-Printer-Attributes", "--lacks", "Create-Job")
        line = BENCH().proxy(way, "--on", "Validate-Job", "--ignores", "media-col")
        _, err = self.print(to=line, expect=4)
        self.assertIn("(media-col: 54 x 25 mm)", err)
        self.assert_nothing_sent(err)
        self.assertEqual(self.printer.requests("Print-Job"), [])

    def test_after_the_document_of_print_job(self):
        way = self.line("--on", "Get-Printer-Attributes", "--lacks", "Create-Job")
        line = BENCH().proxy(way, "--on", "Print-Job", "--ignores", "media-col")
        self.printer.manner("impressions 1-2", "exit 1")
        _, err = self.print(to=line, expect=4)
        self.assertIn("(media-col: 54 x 25 mm)", err)
        self.assert_may_be_out(err)
        self.counted(err)


class NoCancelling(Faulty):
    """The printer does not cancel the job: labels may go on coming, which is said."""

    def interrupt(self, *fault):
        self.printer.manner("impressions 1-2", "wait over", "impressions 3-7")
        process = self.begin("--only", faults.ONLY, to=self.line(*fault), env=faults.HASTY)
        self.wait_for_line(process, printers.progress(2, 7, "2H"))
        process.send_signal(signal.SIGINT)
        said = self.wait_for_line(process, "cancel the job: .*labels")
        more, err = self.end(process, 4)
        self.assertRegex(err, r"warning: .*job 1\b.*labels")
        self.assert_counted(err, 2, 7, "1H to 2H", "2M to 4M")
        self.assert_may_be_out(err)
        self.printer.let("over")
        return said + more, err

    def test_it_may_not(self):
        said, err = self.interrupt("--on", "Cancel-Job", "--status", "403")
        for words in (said, err):
            self.assertIn("to do this", words)

    def test_it_says_why(self):
        path = os.path.join(self.folder, "answer")
        pathlib.Path(path).write_bytes(answer(0x0403))
        said, err = self.interrupt("--on", "Cancel-Job", "--numbered", "--answer",
                                   os.path.abspath(path))
        for words in (said, err):
            self.assertRegex(words, "cancel (the job|job 1).*: this user")
        self.assertEqual(said.count("this user"), 1)

    def test_it_cannot(self):
        said, err = self.interrupt("--on", "Get-Printer-Attributes", "--lacks", "Cancel-Job")
        for words in (said, err):
            self.assertIn("the printer cannot cancel jobs", words)
        self.assertEqual(self.printer.requests("Cancel-Job"), [])

    def test_a_job_without_a_document(self):
        path = os.path.join(self.folder, "answer")
        pathlib.Path(path).write_bytes(answer(0x0403))
        line = self.line("--on", "Cancel-Job", "--numbered", "--answer", os.path.abspath(path))
        _, err = self.print(to=BENCH().proxy(line, "--on", "Create-Job", "--ignores",
                                             "media-col"), expect=4)
        self.assertRegex(err, r"warning: .*job 1\b.*: this user")
        self.assert_nothing_sent(err)


class Interrupted(Faulty):
    """Ctrl-C before the document is with the printer, and while an answer is waited for."""

    def interrupt(self, line):
        process = self.begin("--only", faults.ONLY, to=line)
        printers.wait_for("the fault", line.faults)
        time.sleep(0.3)
        begun = time.monotonic()
        process.send_signal(signal.SIGINT)
        _, err = self.end(process, 4)
        return err, time.monotonic() - begun

    def test_while_the_job_is_made(self):
        err, took = self.interrupt(self.line("--on", "Create-Job", "--delay", "5"))
        self.assertLess(took, 2.5)
        self.assertIn("create a job: interrupted", err)
        self.assertIn("empty job", err)
        self.assert_nothing_sent(err)

    def test_before_print_job(self):
        way = self.line("--on", "Get-Printer-Attributes", "--lacks", "Create-Job")
        err, took = self.interrupt(BENCH().proxy(way, "--on", "Validate-Job", "--delay", "5"))
        self.assertLess(took, 2.5)
        self.assert_nothing_sent(err)
        self.assertEqual(self.printer.requests("Print-Job"), [])

    def test_while_the_answer_to_the_document_is_waited_for(self):
        self.printer.manner("impressions 1-2", "exit 1")
        err, took = self.interrupt(self.line("--on", "Send-Document", "--hold"))
        self.assertLess(took, 4)
        self.assert_may_be_out(err)
        self.assert_counted(err, 2, 7, "1H to 2H", "2M to 4M")

    def test_while_the_job_is_asked_after(self):
        self.printer.manner("impressions 1-2", "exit 1")
        err, took = self.interrupt(self.line("--on", "Get-Job-Attributes", "--hold", "--times",
                                             "1"))
        self.assertLess(took, 4)
        self.assert_may_be_out(err)
        self.assert_counted(err, 2, 7, "1H to 2H", "2M to 4M")

    def test_twice_while_nothing_is_answered(self):
        line = self.line("--on", "Get-Job-Attributes", "--hold")
        self.printer.manner("impressions 1-2", "wait over", "exit 1")
        process = self.begin("--only", faults.ONLY, to=line)
        printers.wait_for("the fault", line.faults)
        process.send_signal(signal.SIGINT)
        self.wait_for_line(process, re.escape(faults.screen("cancelling")))
        begun = time.monotonic()
        process.send_signal(signal.SIGINT)
        _, err = self.end(process, 4)
        self.printer.let("over")
        self.assertLess(time.monotonic() - begun, 2)
        self.assertRegex(err, r"warning: .*job 1\b.*labels")
        self.assert_may_be_out(err)


def BENCH():
    return faults.BENCH


if __name__ == "__main__":
    unittest.main()
