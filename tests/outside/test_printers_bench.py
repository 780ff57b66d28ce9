"""The bench of printers itself: that its printers are what they are dressed as, that its faults are
faults, that its reader of PWG Raster reads what the standard says, and that nothing is left."""

import os
import pathlib
import signal
import struct
import subprocess
import sys
import time
import unittest

import common
import printers
import printserver
import pwg

RASTER, PDF = "image/pwg-raster", "application/pdf"
SIZE = ("{ MEMBER collection media-size { MEMBER integer x-dimension 5400 "
        "MEMBER integer y-dimension 2500 } }")
LABEL = "om_label-54x25_54x25mm"
COMPLETED, ABORTED, CANCELLED, PROCESSING = 9, 8, 7, 5
STOPPED = 5
BENCH = None
REFUSED = printers.refused()
on_bench = unittest.skipIf(REFUSED, REFUSED)


def setUpModule():
    global BENCH
    if REFUSED:
        print(f"passed over: {REFUSED}", file=sys.stderr)
        return
    BENCH = printers.Bench(os.path.join(common.workdir(), "bench"))


def tearDownModule():
    if BENCH:
        BENCH.close()


def page(lines, width, height, total, bits=1, space=3, **fields):
    """A page of PWG Raster at 203 dpi, whose lines are given as they are sent."""
    header = bytearray(pwg.HEADER)
    header[:9] = b"PwgRaster"
    values = {276: 203, 280: 203, 352: width * 72 // 203, 356: height * 72 // 203, 372: width,
              376: height, 384: bits, 388: bits, 392: (width * bits + 7) // 8, 400: space, 420: 1,
              452: total, 456: 1, 460: 1}
    values.update({int(at[1:]): value for at, value in fields.items()})
    for at, value in values.items():
        struct.pack_into(">I", header, at, value)
    return bytes(header) + lines


def labels(folder, count, name="labels.pwg"):
    """A file of labels of 54 x 25 mm, each with one line of dots more than the one before."""
    path = os.path.join(folder, name)
    with open(path, "wb") as out:
        out.write(b"RaS2")
        for number in range(1, count + 1):
            dots = bytes([number - 1, 53, 0x55]) + bytes([199 - number, 53, 0])
            out.write(page(dots, 432, 200, count))
    return path


class Raster(unittest.TestCase):
    """PWG 5102.4-2012, clauses 4.3 and 4.4."""

    def read(self, stream):
        path = os.path.join(common.workdir(), "page.pwg")
        pathlib.Path(path).write_bytes(stream)
        return pwg.read(path)

    def test_lines_and_runs_are_unpacked(self):
        # Two equal lines of a run of three bytes and a run of one; then one of three bytes as they
        # are and a run of one; then a blank line.
        lines = b"\1\2\xf0\0\x0f" + b"\0\xfe\1\2\3\0\xff" + b"\0\3\0"
        (only,) = self.read(b"RaS2" + page(lines, 30, 4, 1))
        self.assertEqual(only.rows, [b"\xf0\xf0\xf0\x0f"] * 2 + [b"\1\2\3\xff", bytes(4)])
        row = b"\0\0\0\0\xff\xff\xff\xff"
        pixels = only.pixels()
        self.assertEqual(len(pixels), 120)
        self.assertEqual(pixels[:30], row * 3 + b"\xff\xff\xff\xff\0\0")
        self.assertEqual(pixels[90:], b"\xff" * 30)

    def test_grey_is_not_black(self):
        (only,) = self.read(b"RaS2" + page(b"\0\xfd\0\x40\x80\xff" + b"\0\3\xff", 4, 2, 0, 8, 18))
        self.assertEqual(only.pixels(), b"\0\x40\x80\xff" + b"\xff" * 4)
        name = only.write_pgm(os.path.join(common.workdir(), "page.pgm"))
        self.assertEqual(common.read_pgm(name), (4, 2, only.pixels()))

    def test_pages_follow_each_other(self):
        found = pwg.read(labels(common.workdir(), 3))
        self.assertEqual([sum(row != bytes(54) for row in one.rows) for one in found], [1, 2, 3])
        self.assertEqual([one.resolution for one in found], [(203, 203)] * 3)

    def test_what_the_standard_forbids_is_told(self):
        blank = b"\1\0\0"
        good = b"RaS2" + page(blank, 8, 2, 1)
        self.assertEqual(len(self.read(good)), 1)
        bad = {"begins": b"RaS3" + good[4:], "no page": b"RaS2", "in line 0": good[:-3],
               "within line 0": good[:-1], "after the last": good + b"\0",
               "in line 2": b"RaS2" + page(blank, 8, 3, 1),
               "more than 2": good[:-3] + b"\2\0\0", "has 2 bytes": good[:-3] + b"\1\1\0",
               "no known kind": good[:-3] + b"\0\x80\0",
               "header begins": good[:4] + b"PwgRastes" + good[13:],
               "not ended": good[:68] + b"x" * 64 + good[132:],
               "after its end": good[:68] + b"x\0y" + good[71:]}
        for field, complaint in ((256, "reserved"), (1604, "reserved"), (392, "bytes a line"),
                                 (400, "colour space"), (420, "colours"), (396, "order"),
                                 (276, "points"), (352, "points"), (452, "total of"),
                                 (456, "CrossFeed")):
            stream = bytearray(good)
            struct.pack_into(">I", stream, 4 + field, {276: 999}.get(field, 9))
            bad[f"{complaint}|{field}"] = bytes(stream)
        for complaint, stream in bad.items():
            with self.subTest(complaint=complaint):
                with self.assertRaisesRegex(pwg.Bad, complaint.split("|")[0]):
                    self.read(stream)


@on_bench
class Printers(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = common.workdir()
        cls.roll = BENCH.printer("roll", "roll-203")
        cls.tape = BENCH.printer("tape", "tape-300")
        cls.sheet = BENCH.printer("sheet", "sheet-600")

    def attempt(self, printer, path, form=RASTER, **attributes):
        return BENCH.submit(printer.uri, path, form, **attributes)

    def test_they_are_found(self):
        BENCH.advertised("roll", "tape", "sheet")

    def test_the_roll_printer_is_dressed(self):
        told = self.roll.attributes()
        self.assertEqual(told["media-ready"], LABEL)
        self.assertEqual(told["media-col-ready"]["media-size"],
                         {"x-dimension": 5400, "y-dimension": 2500})
        self.assertEqual(told["printer-resolution-supported"],
                         {"xres": 203, "yres": 203, "units": "dpi"})
        self.assertEqual(told["pwg-raster-document-type-supported"], "black_1")
        self.assertIn(RASTER, told["document-format-supported"])
        self.assertNotIn(PDF, told["document-format-supported"])
        self.assertEqual((told["finishings-supported"], told["printer-state"]), (3, 3))

    def test_a_printer_is_dressed_otherwise(self):
        other = printers.dressed(os.path.join(self.folder, "other.conf"), "roll-203", {
            "printer-resolution-supported": "resolution 300dpi", "media-col-ready": None,
            "media-default": "integer -7"})
        told = BENCH.printer("other", other).attributes()
        self.assertEqual(told["printer-resolution-supported"]["xres"], 300)
        self.assertEqual(told["media-default"], -7)
        self.assertNotIn("media-col-ready", told)
        self.assertEqual(told["media-ready"], LABEL)

    def test_the_tape_printer_is_dressed(self):
        told = self.tape.attributes()
        self.assertEqual(told["media-col-database"][0]["media-size"],
                         {"x-dimension": 1200, "y-dimension": {"lower": 2000, "upper": 10000}})
        self.assertLessEqual({"custom_min_12x20mm", "custom_max_12x100mm"},
                             set(told["media-supported"]))
        self.assertEqual(told["finishings-supported"], [3, 60, 61, 63])
        self.assertEqual(told["pwg-raster-document-type-supported"], ["sgray_8", "black_1"])

    def test_a_printer_speaks_tls(self):
        BENCH.run(["ipptool", "-q", self.roll.secure_uri, "get-printer-attributes.test"], expect=0)
        self.assertTrue(list((self.roll.folder / "keys").glob("*.crt")))
        # The client has not got them from the printer by the back door.
        self.assertEqual([path for place in ("home", "no-config")
                          for path in (BENCH.folder / place).rglob("*.crt")], [])

    def test_what_is_sent_arrives(self):
        path = labels(self.folder, 3)
        before = len(self.roll.documents())
        number, status = self.attempt(self.roll, path, copies=("integer", 2),
                                      media_col=("collection", SIZE))
        self.assertEqual(status, "successful-ok")
        job = BENCH.finished(self.roll, number)
        self.assertEqual((job["job-state"], job["job-impressions-completed"]), (COMPLETED, 6))
        kept = self.roll.documents()[before:]
        self.assertEqual([common.data(name) for name in kept], [common.data(path)])
        _, told = self.roll.requests("Print-Job")[-1]
        self.assertEqual((told["document-format"], told["copies"]), (RASTER, "2"))
        self.assertEqual(told["media-col"],
                         "{media-size={x-dimension=5400 y-dimension=2500}}")

    def test_the_sheet_printer_takes_only_pdf(self):
        path = os.path.join(self.folder, "sheet.pdf")
        pathlib.Path(path).write_bytes(b"%PDF-1.4\n%%EOF\n")
        self.assertEqual(self.attempt(self.sheet, labels(self.folder, 1, "one.pwg"))[0], None)
        self.assertEqual(self.sheet.documents(), [])
        number, _ = self.attempt(self.sheet, path, PDF)
        BENCH.finished(self.sheet, number)
        self.assertEqual([common.data(name) for name in self.sheet.documents()],
                         [common.data(path)])

    def test_a_printer_prints_as_it_is_told(self):
        slow = BENCH.printer("slow", "roll-203", manner=(
            "impressions 1", "STATE: +media-jam", "INFO: pull the label out", "wait cleared",
            "STATE: -media-jam", "impressions 2-3"))
        number, _ = self.attempt(slow, labels(self.folder, 3, "slow.pwg"))
        printers.wait_for("the jam", lambda: "media-jam-warning" in slow.attributes(
            "printer-state-reasons")["printer-state-reasons"])
        job = BENCH.job(slow, number)
        self.assertEqual((job["job-state"], job["job-impressions-completed"]), (PROCESSING, 1))
        slow.let("cleared")
        job = BENCH.finished(slow, number)
        self.assertEqual((job["job-state"], job["job-impressions-completed"]), (COMPLETED, 3))
        slow.manner("impressions 1", "exit 1")
        number, _ = self.attempt(slow, labels(self.folder, 3, "broken.pwg"))
        job = BENCH.finished(slow, number)
        self.assertEqual((job["job-state"], job["job-impressions-completed"]), (ABORTED, 1))

    def test_a_printer_without_labels_waits_for_them(self):
        empty = BENCH.printer("empty", "roll-203")
        empty.load(LABEL, "labels", 0)
        self.assertEqual(empty.attributes()["printer-state-reasons"], "media-empty-report")
        number, _ = self.attempt(empty, labels(self.folder, 2, "empty.pwg"))
        printers.wait_for("the lack", lambda: "media-needed-warning" in empty.attributes(
            "printer-state-reasons")["printer-state-reasons"])
        self.assertEqual(BENCH.job(empty, number)["job-state"], PROCESSING)
        self.assertFalse((empty.folder / "began-1").exists())
        empty.load(LABEL, "labels", 50)
        self.assertEqual(BENCH.finished(empty, number)["job-impressions-completed"], 2)
        empty.load("om_label-38x19_38x19mm", "labels", 50)
        self.assertEqual(empty.attributes("media-ready")["media-ready"], "om_label-38x19_38x19mm")


    def test_a_job_is_cancelled(self):
        printer = BENCH.printer("cancelled", "roll-203", manner=("impressions 1", "wait over"))
        number, _ = self.attempt(printer, labels(self.folder, 3, "cancelled.pwg"))
        printer.begun()
        BENCH.cancel(printer, number)
        printers.wait_for("the cancelling", lambda: BENCH.job(printer, number)[
            "job-state-reasons"] == "processing-to-stop-point")
        printer.let("over")
        job = BENCH.finished(printer, number)
        self.assertEqual((job["job-state"], job["job-impressions-completed"]), (CANCELLED, 1))

    def test_a_printer_is_turned_off_and_on(self):
        printer = BENCH.printer("switched", "roll-203", manner=("impressions 1", "wait nothing"))
        self.attempt(printer, labels(self.folder, 2, "switched.pwg"))
        printer.begun()
        printer.stop()
        done = BENCH.run(["ipptool", "-q", printer.uri, "get-printer-attributes.test"])
        self.assertNotEqual(done.returncode, 0)
        printer.start()
        self.assertEqual(printer.attributes()["queued-job-count"], 0)


@on_bench
class Faults(unittest.TestCase):
    # A client that tries once, unlike libcups; it tells the HTTP status and the answer's bytes.
    CLIENT = """if True:
        import http.client, struct, sys
        port, path = int(sys.argv[1]), sys.argv[2]
        def attribute(tag, name, value):
            return struct.pack(">BH", tag, len(name)) + name + struct.pack(">H", len(value)) + value
        body = struct.pack(">HHIB", 0x200, 2, 1, 1)
        body += attribute(0x47, b"attributes-charset", b"utf-8")
        body += attribute(0x48, b"attributes-natural-language", b"en")
        body += attribute(0x45, b"printer-uri", b"ipp://localhost:%d/ipp/print" % port)
        body += attribute(0x49, b"document-format", b"image/pwg-raster") + bytes([3])
        line = http.client.HTTPConnection("localhost", port, timeout=30)
        try:
            line.request("POST", "/ipp/print", body + open(path, "rb").read(),
                         {"Content-Type": "application/ipp"})
            answer = line.getresponse()
            print(answer.status, answer.read().hex())
        except (OSError, http.client.HTTPException) as error:
            print("broken", getattr(error, "partial", b"").hex())
        """

    @classmethod
    def setUpClass(cls):
        cls.folder = common.workdir()
        cls.printer = BENCH.printer("behind", "roll-203")
        cls.path = labels(cls.folder, 2)

    def through(self, *fault):
        """Sends labels once through a faulty line to Print-Job: what came back, new documents."""
        line = BENCH.proxy(self.printer, "--on", "Print-Job", *fault)
        before = len(self.printer.documents())
        done = BENCH.run([sys.executable, "-c", self.CLIENT, line.port, self.path], expect=0)
        self.assertEqual(line.faults(), ["Print-Job"])
        printers.wait_for("the printer to be idle", lambda: self.printer.attributes(
            "printer-state")["printer-state"] == 3)
        status, _, body = done.stdout.strip().partition(" ")
        return status, bytes.fromhex(body), self.printer.documents()[before:]

    def assert_arrived(self, kept):
        self.assertEqual([common.data(name) for name in kept], [common.data(self.path)])

    def test_a_good_line_passes_everything(self):
        line = BENCH.proxy(self.printer, "--on", "Cancel-Job", "--cut-answer", "0")
        before = len(self.printer.documents())
        number, status = BENCH.submit(line.uri, self.path, RASTER)
        self.assertEqual(status, "successful-ok")
        BENCH.finished(line, number)
        self.assert_arrived(self.printer.documents()[before:])
        self.assertEqual(line.faults(), [])
        told = BENCH.attributes(line.uri, "printer-uri-supported")["printer-uri-supported"]
        self.assertIn(line.uri, told)

    def test_an_answer_is_cut_though_all_arrived(self):
        status, body, kept = self.through("--cut-answer", "0")
        self.assertEqual((status, body), ("broken", b""))
        self.assert_arrived(kept)
        status, body, kept = self.through("--cut-answer", "-5")
        self.assertEqual((status, body[:2]), ("broken", b"\2\0"))
        self.assert_arrived(kept)

    def test_a_request_is_cut(self):
        for count in (10, 400, 2500):
            with self.subTest(count=count):
                status, _, kept = self.through("--cut-request", count)
                self.assertEqual(status, "broken")
                for name in kept:
                    self.assertLess(len(common.data(name)), count)
        # The printer program takes what has come for the whole; its first label is, the other not.
        size = os.path.getsize(self.path)
        whole = size // 2 + pwg.HEADER
        self.through("--cut-request", whole)
        job = BENCH.finished(self.printer, max(
            int(name.name.split("-")[0]) for name in self.printer.documents()))
        self.assertEqual((job["job-impressions"], job["job-impressions-completed"]), (2, 1))

    def test_an_answer_comes_late(self):
        began = time.monotonic()
        status, _, kept = self.through("--delay", "1.5")
        self.assertGreaterEqual(time.monotonic() - began, 1.5)
        self.assertEqual(status, "200")
        self.assert_arrived(kept)

    def test_nonsense_comes_back(self):
        given = os.path.join(self.folder, "nonsense")
        pathlib.Path(given).write_bytes(b"\2\0\0\0\0\0\0\1\1\x47")
        status, body, kept = self.through("--answer", os.path.abspath(given))
        self.assertEqual((status, body, kept), ("200", common.data(given), []))

    def test_an_http_error_comes_back(self):
        status, body, kept = self.through("--status", "503")
        self.assertEqual((status, body, kept), ("503", b"", []))

    def test_a_password_is_asked_for(self):
        line = BENCH.proxy(self.printer, "--password", "ann:secret")
        asked = ["ipptool", "-q", "-T", "10"]
        for who, expected in (("ann:secret@", 0), ("ann:wrong@", 1), ("", 1)):
            uri = f"ipp://{who}localhost:{line.port}/ipp/print"
            with self.subTest(who=who):
                done = BENCH.run([*asked, uri, "get-printer-attributes.test"], stdin="")
                self.assertEqual(done.returncode, expected)

    def test_a_printer_goes_away(self):
        line = BENCH.proxy(self.printer, "--on", "Print-Job", "--vanish")
        before = len(self.printer.documents())
        self.assertIsNotNone(BENCH.submit(line.uri, self.path, RASTER)[0])
        self.assert_arrived(self.printer.documents()[before:])
        done = BENCH.run(["ipptool", "-q", line.uri, "get-printer-attributes.test"])
        self.assertNotEqual(done.returncode, 0)

    def test_a_printer_is_stopped(self):
        line = BENCH.proxy(self.printer, "--on", "Get-Printer-Attributes", "--times", "1",
                           "--stopped", "media-empty-error,cover-open-error")
        told = BENCH.attributes(line.uri)
        self.assertEqual(told["printer-state"], STOPPED)
        self.assertEqual(told["printer-state-reasons"], ["media-empty-error", "cover-open-error"])
        behind = self.printer.attributes()
        self.assertEqual(told["media-col-database"], behind["media-col-database"])
        self.assertEqual(set(told), set(behind))
        self.assertEqual(BENCH.attributes(line.uri)["printer-state-reasons"], "none")

    def test_an_answer_does_not_come(self):
        line = BENCH.proxy(self.printer, "--hold")
        done = BENCH.run(["ipptool", "-q", "-T", "1", line.uri, "get-printer-attributes.test"])
        self.assertNotEqual(done.returncode, 0)
        self.assertEqual(line.faults()[:1], ["Get-Printer-Attributes"])


@on_bench
class Queues(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = common.workdir()
        cls.server = printserver.PrintServer(BENCH)
        cls.raster = cls.server.queue("raster-queue", RASTER)
        cls.pdf = cls.server.queue("pdf-queue", PDF)

    def test_queues_keep_what_they_are_sent(self):
        page_file = os.path.join(self.folder, "page.pdf")
        pathlib.Path(page_file).write_bytes(b"%PDF-1.4\n%%EOF\n")
        for queue, path, form in ((self.raster, labels(self.folder, 3), RASTER),
                                  (self.pdf, page_file, PDF)):
            with self.subTest(queue=queue.name):
                number, _ = BENCH.submit(queue.uri, path, form, copies=("integer", 2))
                job = BENCH.finished(queue, number)
                self.assertEqual((job["job-state"], job["job-impressions-completed"]),
                                 (COMPLETED, 6 if queue is self.raster else 2))
                (kept,) = queue.documents()
                self.assertEqual(common.data(kept), common.data(path))
                self.assertEqual(queue.arguments(kept)[:2], [str(number), "bench"])
                self.assertEqual(queue.arguments(kept)[3], "2")

    def test_a_queue_refuses_the_other_format(self):
        path = labels(self.folder, 1, "other.pwg")
        self.assertEqual(BENCH.submit(self.pdf.uri, path, RASTER)[1],
                         "client-error-document-format-not-supported")

    def test_queues_are_found_by_the_clients_of_the_print_server(self):
        listed = BENCH.run(["lpstat", "-e"], expect=0).stdout.split()
        self.assertLessEqual({"raster-queue", "pdf-queue"}, set(listed))


@on_bench
class Leavings(unittest.TestCase):
    CHILD = ("import os, signal, sys\n"
             "import printers\n"
             "bench = printers.Bench(sys.argv[1])\n"
             "bench.printer('left', 'roll-203')\n"
             "bench.start(['sleep', '1000'])\n"
             "print(bench.pid, os.readlink(f'/proc/{bench.pid}/ns/pid'), "
             "os.readlink(f'/proc/{bench.pid}/ns/net'), flush=True)\n"
             "sys.stdin.read()\n")

    @staticmethod
    def within(*namespaces):
        """The processes that are in any of the namespaces."""
        found = []
        for process in pathlib.Path("/proc").glob("[0-9]*"):
            try:
                if {os.readlink(process / "ns" / kind) for kind in ("pid", "net")} & {*namespaces}:
                    found.append(process.name)
            except OSError:
                pass  # It ended meanwhile.
        return found

    def leave(self, end):
        folder = os.path.join(common.workdir(), "bench")
        child = subprocess.Popen([sys.executable, "-c", self.CHILD, folder], text=True,
                                 stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                 env=dict(os.environ, PYTHONPATH=os.path.dirname(__file__)))
        with child:
            pid, *namespaces = child.stdout.readline().split()
            running = self.within(*namespaces)
            # The first process, the bus, DNS-SD, the printer and the program that was started.
            self.assertGreaterEqual(len(running), 5)
            self.assertIn(pid, running)
            end(child)
            child.wait(printers.DEADLINE)
        printers.wait_for("the end of all", lambda: not self.within(*namespaces))

    def test_nothing_is_left_when_the_test_is_killed(self):
        self.leave(lambda child: child.send_signal(signal.SIGKILL))

    def test_nothing_is_left_when_the_test_ends_without_closing(self):
        self.leave(lambda child: child.stdin.close())

    def test_a_program_inside_takes_signals(self):
        process = BENCH.start(["sh", "-c", "trap 'echo told; exit 3' INT; echo ready; "
                                           "while :; do sleep 0.05; done"])
        self.assertEqual(process.stdout.readline(), "ready\n")
        process.send_signal(signal.SIGINT)
        self.assertEqual(process.communicate(timeout=printers.DEADLINE)[0], "told\n")
        self.assertEqual(process.returncode, 3)

    def test_files_are_the_same_inside(self):
        folder = common.workdir()
        with open(os.path.join(folder, "within"), "w", encoding="utf-8") as out:
            out.write("seen\n")
        done = BENCH.run(["cat", "within"], cwd=folder, expect=0)
        self.assertEqual(done.stdout, "seen\n")
        # The machine's own buses and servers are out of reach.
        names = BENCH.run(["ls", "/run"], expect=0).stdout.split()
        self.assertLessEqual(set(names), {"dbus", "avahi-daemon", "mount", "print-server"})


if __name__ == "__main__":
    unittest.main()
