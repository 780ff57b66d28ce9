"""The record of a job: databases written by Python alone, records read back with poppler and judged
by qpdf, by the digests worked out anew, and by what was done in the job."""

import json
import os
import re
import shutil
import sqlite3
import subprocess
import unittest

import common
import test_jobs
from texts import said

BEGUN = 1700000000000  # 2023-11-14T22:13:20Z
# The order of unplugging is the description's; that of reconnecting obeys its `after`.
UNPLUG = [1, 2, 3, 4, 5, 7, 6, 8, 10, 9, 11, 12, 13]
RECONNECT = [13, 12, 11, 9, 10, 8, 6, 7, 5, 4, 3, 2, 1]
ONE_SIDED = {1, 2}
REPLACED = {6, 8, 11}
TYPED = {11}
LINES = ["C1, left cover: looked at; it has no number",
         "No wire or hose pinched behind the covers",
         "Earth continuity from the strap E1 to the frame",
         "Each limit switch clicks when it is pressed by hand",
         "compressed air 6 bar to the seal: restored: V3, then V2, slowly",
         "shutter leaf under its own weight: restored: leaf held by the hand winch, then pins out",
         "mains 230 V: restored: last, covers closed, people clear"]


class Work:
    """One job on the dome shutter, as its events."""

    def __init__(self, book, codes, plan, unit="0042"):
        self.book, self.codes = book, codes
        code = "DS4" + (f"U{unit}" if unit else "")
        self.id, self.last = book.job(code, "DS4", unit,
                                      "Observatory dome, shutter drive module", "C", BEGUN)
        self.at, self.who, self.count = BEGUN, "Ada Brandt", 0
        self.add("opened", "tag", "Observatory dome, shutter drive module")
        if plan:
            self.plan(plan)

    def add(self, kind, stage, text=None, tag=None, verdict=None, number=0):
        self.last = self.book.event(self.id, self.last, self.at, self.who, 1, kind, stage, text,
                                    tag, verdict, number, 0)
        self.at += 7500
        self.count += 1

    def plan(self, text):
        """At the time of the event before it."""
        self.at -= 7500
        self.add("plan", "reconnect", text)

    def scan(self, stage, tag, verdict):
        typed = int(tag[:-1]) in TYPED
        self.add("scan", stage, tag if typed else self.codes[tag], tag, verdict)

    def pair(self, stage, number, first="H", second="M", answer="mated"):
        if number in ONE_SIDED:
            self.scan(stage, f"{number}H", "done")
            return
        self.scan(stage, f"{number}{first}", "half")
        self.scan(stage, f"{number}{second}", answer)

    def tag(self, numbers=range(1, 14)):
        self.add("stage", "tag")
        for number in numbers:
            self.pair("tag", number, second="X" if number in REPLACED else "M")

    def unplug(self, numbers=tuple(UNPLUG)):
        self.add("stage", "unplug")
        for number in numbers:
            self.scan("unplug", f"{number}H", "done")

    def swap(self, numbers=(6, 8, 11)):
        self.add("stage", "swap")
        for number in numbers:
            self.pair("swap", number, "X", "M")

    def reconnect(self, numbers=tuple(RECONNECT)):
        self.add("stage", "reconnect")
        for number in numbers:
            self.pair("reconnect", number)

    def finish(self, lines=tuple(LINES)):
        self.add("stage", "finish")
        for line in lines:
            self.add("tick", "finish", line)

    def make_safe(self):
        for energy in ("mains 230 V", "shutter leaf under its own weight",
                       "compressed air 6 bar to the seal"):
            self.add("hazard-confirmed", "tag", energy)

    def whole(self):
        self.make_safe()
        self.tag()
        self.unplug()
        self.swap()
        self.who = "Bo Lindt"
        self.reconnect()
        self.finish()
        self.add("closed", "finish")


class Records(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()
        self.path = common.sample(self.folder, "dome-shutter", registered=True)
        self.database = os.path.join(self.folder, "bench.db")
        self.codes = {}
        for tag in common.tags(self.path)["tags"]:
            for side, code in tag["codes"].items():
                self.codes[f"{tag['number']}{side}"] = code
        self.book = test_jobs.Book(self.database, version=2)
        self.plan = test_jobs.plan_of(self.path)

    def tearDown(self):
        shutil.rmtree(self.folder)

    def work(self, **more):
        return Work(self.book, self.codes, more.pop("plan", self.plan), **more)

    def out(self, name):
        return os.path.join(self.folder, name)

    def record(self, *options, **more):
        done = common.run("record", self.path, "-o", "-", "--json", *options, **more)
        self.assertTrue(done.stdout.isascii())
        return json.loads(done.stdout)

    def faults(self, record):
        return [line["text"] for line in record["summary"] if line["fault"]]

    def found(self, record, fault, *values):
        """The one finding that has all these values in it."""
        found = [line["text"] for line in record["summary"] if line["fault"] == fault
                 and all(value in line["text"] for value in values)]
        self.assertEqual(len(found), 1, (values, record["summary"]))
        return found[0]

    def shown(self, pdf):
        """Its words, a line a row, with runs of blanks as one."""
        common.quiet("qpdf", "--check", pdf)
        return re.sub(r"[ \n]+", " ", common.quiet("pdftotext", "-layout", pdf, "-"))

    def test_a_whole_job_has_no_fault(self):
        work = self.work()
        work.whole()
        record = self.record()
        self.assertEqual(self.faults(record), [])
        self.assertIs(record["ok"], True)
        self.found(record, False, "13 of 13 joints")
        self.assertEqual(record["digest"], {"fits": True, "misfit": None, "last": work.last,
                                            "events": work.count, "gone": 0})
        self.assertEqual([joint["number"] for joint in record["joints"]], list(range(1, 14)))
        self.assertEqual({joint["standing"] for joint in record["joints"]}, {"made"})
        self.assertEqual({joint["number"]: joint["rank"] for joint in record["joints"]},
                         {number: rank for rank, number in enumerate(UNPLUG, 1)})
        self.assertEqual([line["line"] for line in record["lines"]], LINES)
        self.assertEqual({line["who"] for line in record["lines"]}, {"Bo Lindt"})
        # Made safe before, by whoever began, and restored last, in the opposite order.
        hazards = [line for line in record["lines"] if line["hazard"]]
        self.assertEqual(hazards, record["lines"][4:])
        self.assertEqual([line["confirmed"] for line in hazards],
                         [test_jobs.moment(BEGUN + 7500 * n) for n in (3, 2, 1)])
        self.assertEqual({line["confirmed_by"] for line in hazards}, {"Ada Brandt"})
        self.assertEqual({line["confirmed"] for line in record["lines"][:4]}, {None})
        self.assertEqual([part["component"] for part in record["parts"]], ["M1", "B5"])
        self.assertEqual(record["job"]["who"], ["Ada Brandt", "Bo Lindt"])
        self.assertEqual(record["job"]["opened"], "2023-11-14T22:13:20.000Z")
        self.assertEqual([joint["number"] for joint in record["joints"] if joint["made_typed"]],
                         [11])

    def test_the_events_can_be_checked_from_the_json_alone(self):
        work = self.work()
        work.whole()
        record = self.record()
        job = record["job"]
        before = test_jobs.digest("job", job["origin"], job["code"], job["harness"], job["unit"],
                                  job["title"], job["revision"], BEGUN)
        for event in record["events"]:
            before = test_jobs.digest(before, event["id"], event["at_ms"], event["who"],
                                      event["station"], event["kind"], event["stage"],
                                      event["text"], event["tag"], event["verdict"],
                                      (event["number"] or 0), int(event["typed"]))
            self.assertEqual(before, event["digest"])
            self.assertEqual(event["at"], test_jobs.moment(event["at_ms"]))
        self.assertEqual(before, record["digest"]["last"])

    def test_pages_have_it_all(self):
        work = self.work()
        work.whole()
        pdf = self.out("record.pdf")
        done = common.run("record", self.path, "-o", pdf, env={"TZ": "Asia/Kathmandu"})
        self.assertTrue(done.stdout.startswith(f"{pdf}: "))
        self.assertIn(f"{work.count} events", done.stdout)
        words = self.shown(pdf)
        for part in ("Observatory dome, shutter drive module", "DS4U0042", "Ada Brandt, Bo Lindt",
                     "13 of 13 joints", "2023-11-15 03:58:20 +05:45",
                     said("lt_record_words", "technician"), said("lt_record_words", "foreman"),
                     said("lt_record_words", "sign_signature"),
                     "two stickers belong together", *LINES[:4]):
            self.assertIn(part, words)
        pages = int(re.search(r"Pages: +(\d+)", common.quiet("pdfinfo", pdf))[1])
        grouped = " ".join(work.last[i:i + 4] for i in range(0, 64, 4))
        for page in range(1, pages + 1):
            foot = common.quiet("pdftotext", "-layout", "-f", str(page), "-l", str(page), pdf, "-")
            self.assertIn(grouped, foot)
            self.assertIn(f"page {page} of {pages}", foot)
            self.assertIn(f"job 1, {work.count} events", foot)
        # Every event, by its number and its words.
        appendix = words[words.index(said("lt_record_words", "events")):]
        for tag, code in self.codes.items():
            if int(tag[:-1]) not in TYPED and not tag.endswith("X"):
                self.assertIn(code, appendix)

    def test_the_same_job_gives_the_same_bytes(self):
        self.work().whole()
        for name in ("a.pdf", "a.txt", "a.json"):
            common.run("record", self.path, "-o", self.out(name), env={"SOURCE_DATE_EPOCH": "1"})
            first = common.data(self.out(name))
            common.run("record", self.path, "-o", self.out(name), env={"SOURCE_DATE_EPOCH": "2"})
            self.assertEqual(first, common.data(self.out(name)))

    def test_what_is_not_done_is_said(self):
        work = self.work()
        work.tag([n for n in range(1, 14) if n != 4])
        work.unplug([n for n in UNPLUG if n != 12])
        work.add("stage-skipped", "swap", "no new motor to be had")
        work.add("stage", "reconnect")
        work.pair("reconnect", 13)
        work.scan("reconnect", "4H", "half")
        work.scan("reconnect", "5M", "wrong-mate")
        work.scan("reconnect", "8H", "half")
        work.scan("reconnect", "10M", "wrong-mate")
        work.pair("reconnect", 9)
        work.pair("reconnect", 10)
        work.pair("reconnect", 8)
        work.add("skip", "reconnect", "thread is damaged", number=3)
        record = self.record()
        called = {stage: said("lt_record_words", "stage_called", "LT_STAGE_" + stage)
                  for stage in ("TAG", "SWAP", "RECONNECT", "FINISH")}
        for values in ((said("lt_record_words", "not_closed"),),
                       ("NOT ALL MADE: 1–7, 11", " 4 of 12 joints"), ("1 joint", "SKIPPED: 3"),
                       ("2 wrong mates", "NOT RESOLVED: 4H with 5M"),
                       ("NOT CHECKED", "1 joint", "apart: 4"),
                       ("SKIPPED: " + called["SWAP"],), ("STARTED: " + called["FINISH"],),
                       (f"NOT DONE: {called['TAG']}, {called['RECONNECT']}",),
                       ("NOT TICKED: 7 of 7",), ("NOT CHECKED", "NEW PART: M1, B5")):
            self.found(record, True, *values)
        self.assertIs(record["ok"], False)
        wrong = record["wrong_mates"]
        self.assertEqual([(one["first"], one["second"]) for one in wrong],
                         [("4H", "5M"), ("8H", "10M")])
        self.assertIsNone(wrong[0]["righted"])
        self.assertIsNotNone(wrong[1]["righted"])
        standing = {joint["number"]: joint["standing"] for joint in record["joints"]}
        self.assertEqual(standing[12], "left-in")
        self.found(record, False, "1 joint", "apart", ": 12")
        self.found(record, True, "NOT CONFIRMED SAFE: 3 of 3 hazards")
        self.assertEqual([n for n, how in standing.items() if how == "made"], [8, 9, 10, 13])
        text = common.run("record", self.path, "-o", "-").stdout
        self.assertIn("! " + said("lt_record_words", "not_closed"), text)
        self.assertIn("thread is damaged", text)
        self.assertLessEqual(max(map(len, text.splitlines())), 78)

    def test_a_changed_event_shows(self):
        work = self.work()
        work.whole()
        with sqlite3.connect(self.database) as db:
            db.execute("UPDATE event SET who = 'Eve' WHERE id = 17")
        db.close()
        done = common.run("record", self.path, "-o", "-", "--json", expect=3)
        record = json.loads(done.stdout)
        self.assertRegex(done.stderr, r"bench\.db: error: job 1 .*event 17 of \d+")
        self.assertEqual(record["digest"]["misfit"], 17)
        self.assertIs(record["digest"]["fits"], False)
        self.assertIs(record["ok"], False)
        self.found(record, True, "CHANGED", f"event 17 of {work.count}")
        common.run("record", self.path, "-o", self.out("r.pdf"), expect=3)
        self.assertIn(f"event 17 of {work.count}", self.shown(self.out("r.pdf")))

    def test_a_cut_end_shows(self):
        work = self.work()
        work.whole()
        with sqlite3.connect(self.database) as db:
            db.execute("DELETE FROM event WHERE id > ?", (work.count - 4,))
        db.close()
        done = common.run("record", self.path, "-o", "-", "--json", expect=3)
        record = json.loads(done.stdout)
        self.assertRegex(done.stderr, rf"bench\.db: error: job 1 .*\b4 of {work.count} events")
        self.assertIsNone(record["digest"]["misfit"])
        self.assertIs(record["digest"]["fits"], False)
        self.assertEqual(record["digest"]["gone"], 4)
        self.found(record, True, "MISSING", f"last 4 of {work.count}")
        shown = common.run("jobs", "show", "1", "--db", self.database, expect=3)
        self.assertRegex(shown.stderr, rf"bench\.db: error: job 1 .*\b4 of {work.count} events")
        self.assertNotIn("digest", shown.stdout)

    def test_a_part_replaced_after_its_joints_were_made(self):
        """Its new plugs were never scanned in place: that is not all right."""
        work = self.work()
        work.make_safe()
        work.tag()
        work.unplug()
        work.reconnect()
        work.swap()
        work.finish()
        record = self.record()
        self.assertIs(record["ok"], False)
        joints = {joint["number"]: joint["standing"] for joint in record["joints"]}
        for number in REPLACED:
            self.assertEqual(joints[number], "open")
        self.assertTrue(any(text.startswith("NOT ALL MADE: ") for text in self.faults(record)))

    def test_a_job_that_is_all_done_is_closed_without_a_reason(self):
        work = self.work()
        work.tag()
        work.unplug()
        work.swap()
        work.reconnect()
        done = common.run("jobs", "close", "1", self.path, expect=3)
        self.assertRegex(done.stderr, r"bench\.db: error: job 1 ")
        self.assertIn("loomtag jobs close 1 REASON", done.stderr)
        work.finish()
        done = common.run("jobs", "close", "1", self.path, "--unit", "7", expect=3)
        self.assertRegex(done.stderr, r"error: job 1 .*DS4U0042.*DS4U7\n")
        self.assertIn("FILE.yaml", common.run("jobs", "close", "1", "--db", self.database,
                                              expect=2).stderr)
        done = common.run("jobs", "close", "1", self.path)
        self.assertRegex(done.stdout, "^[Jj]ob 1 of DS4U0042 .*\n$")
        record = self.record()
        self.assertIs(record["job"]["closed"], True)
        self.assertIsNone(record["job"]["reason"])
        done = common.run("jobs", "close", "1", self.path, expect=3)
        self.assertRegex(done.stderr, r"bench\.db: error: job 1 .*closed")

    def test_a_newer_job_with_nothing_in_it_is_passed_over(self):
        first = self.work()
        first.whole()
        second = self.work()
        done = common.run("record", self.path, "-o", "-", "--json")
        self.assertEqual(json.loads(done.stdout)["job"]["id"], first.id)
        self.assertRegex(done.stderr, rf"note: job {second.id} .*job {first.id}\n")
        self.assertIn(f"--job {second.id}", done.stderr)
        self.assertEqual(self.record("--job", second.id)["job"]["id"], second.id)

    def test_a_description_that_changed(self):
        self.work().whole()
        written = common.text(self.path)
        gone = re.sub(r"  - id: H1\n.*?(?=  - id: E1)", "", written, flags=re.S)
        gone = gone.replace("after: [X5, H1]", "after: [X5]").replace("revision: C", "revision: D")
        with open(self.path, "w", encoding="utf-8") as out:
            out.write(gone)
        record = self.record()
        self.assertIn(said("lt_record_words", "described_anew"), self.faults(record))
        self.found(record, True, "REVISION", ": C", ": D")
        self.assertIs(record["description_changed"], True)
        # The job is what it was: the joint was made, and is shown by the plan that it was made by.
        joint, = [joint for joint in record["joints"] if joint["number"] == 12]
        self.assertEqual(joint["tags"], "12H – 12M")
        self.assertEqual((joint["connector"], joint["standing"]), ("H1", "made"))
        self.assertIs(joint["described"], False)
        self.assertEqual(len(record["plans"]), 1)
        self.assertEqual({event["today"] for event in record["events"]}, {None})
        done = common.run("jobs", "close", "1", self.path, expect=3)
        self.assertRegex(done.stderr, r"bench\.db: error: job 1 .*closed")

    def test_a_plan_that_changed_during_the_job(self):
        work = self.work()
        work.make_safe()
        work.tag()
        work.unplug()
        work.swap()
        work.reconnect()
        # H1 is gone, and X2 is on another part: both were made, and count no more.
        written = common.text(self.path)
        other = re.sub(r"  - id: H1\n.*?(?=  - id: E1)", "", written, flags=re.S)
        other = other.replace("after: [X5, H1]", "after: [X5]")
        head, tail = other.split("  - id: X2\n")
        self.assertLess(tail.index("mates: B2"), tail.index("- id:"))
        other = head + "  - id: X2\n" + tail.replace("mates: B2", "mates: B3", 1)
        with open(self.path, "w", encoding="utf-8") as out:
            out.write(other)
        work.who = "Bo Lindt"
        work.plan(test_jobs.plan_of(self.path))
        record = self.record()
        self.assertIs(record["ok"], False)
        first, second = record["plans"]
        self.assertEqual((first["event"], first["changes"], first["voids_all"]), (2, [], False))
        self.assertEqual((second["event"], second["who"]), (work.count, "Bo Lindt"))
        mate, = [words for words in second["changes"] if words.startswith("4 X2: ")]
        self.assertRegex(mate, r"mate.* B2 .* B3\. .*no longer counts\.$")
        gone, = [words for words in second["changes"] if words.startswith("12 H1: ")]
        self.assertIn("removed", gone)
        joints = {joint["connector"]: joint for joint in record["joints"]}
        self.assertEqual(joints["X2"]["standing"], "open")
        self.assertIsNone(joints["X2"]["proven"])
        self.assertIs(joints["H1"]["described"], False)
        self.assertEqual(joints["X1"]["standing"], "made")
        self.found(record, True, "DURING THE JOB", f"{len(second['changes'])} changes")
        self.found(record, True, "1 joint", "REMOVED", ": 12")
        text = common.run("record", self.path, "-o", "-").stdout
        self.assertIn("\n" + said("lt_record_words", "changes") + "\n", text)
        common.run("record", self.path, "-o", self.out("r.pdf"))
        self.assertIn(gone, self.shown(self.out("r.pdf")))

    def test_a_closed_job_of_version_1_shows_its_answers_alone(self):
        os.remove(self.database)
        self.book = test_jobs.Book(self.database)
        work = self.work(plan=None)
        work.whole()
        record = self.record()
        self.assertIs(record["ok"], False)
        self.assertEqual((record["plans"], record["joints"], record["lines"], record["parts"]),
                         ([], [], [], []))
        self.assertEqual({stage["standing"] for stage in record["stages"]}, {"not-known"})
        self.assertIn(said("lt_record_words", "plan_unknown"), self.faults(record))
        self.assertEqual(record["digest"], {"fits": True, "misfit": None, "last": work.last,
                                            "events": work.count, "gone": 0})
        self.assertEqual([event["verdict"] for event in record["events"]].count("mated"), 25)
        text = common.run("record", self.path, "-o", "-").stdout
        for words in ("NOT ALL MADE", "Made again", "new part",
                      said("lt_record_words", "stage_state", "LT_STATE_NOT_BEGUN")):
            self.assertNotIn(words, text)
        self.assertIn(said("lt_record_words", "joints_unknown"), text)
        common.run("record", self.path, "-o", self.out("r.pdf"))
        self.shown(self.out("r.pdf"))

    def test_which_job(self):
        first = self.work()
        first.add("closed", "tag", "wrong module")
        second = self.work()
        other = self.work(unit="7")
        self.assertEqual(self.record()["job"]["id"], second.id)
        self.assertEqual(self.record("--job", first.id)["job"]["id"], first.id)
        self.found(self.record("--job", first.id), True, "CLOSED UNFINISHED: wrong module")
        self.assertEqual(self.record("--unit", "7")["job"]["id"], other.id)
        for options, words in ((("--job", other.id), "--unit 7\n"),
                               (("--job", 99), "job 99"), (("--unit", "8"), "DS4U8\n")):
            done = common.run("record", self.path, "-o", "-", *options, expect=3)
            self.assertIn(words, done.stderr)
            self.assertEqual(done.stdout, "")
        elsewhere = self.out("elsewhere.db")
        shutil.move(self.database, elsewhere)
        self.assertEqual(self.record("--db", elsewhere)["job"]["id"], second.id)
        done = common.run("record", self.path, "-o", self.out("r.pdf"), expect=3)
        self.assertIn("bench.db", done.stderr)
        self.assertIn("hint: ", done.stderr)
        self.assertFalse(os.path.exists(self.out("r.pdf")))
        self.assertFalse(os.path.exists(self.database))

    def test_usage(self):
        self.work()
        for arguments in ((), ("-o", "r.png"), ("-o", "r.pdf", "--json"), ("-o", "-", "--job", "x"),
                          ("-o", "-", "--job", "0"), ("-o", "-", "--paper", "a5")):
            common.run("record", self.path, *arguments, expect=2)

    def test_nothing_that_is_kept_is_replaced(self):
        self.work().whole()
        for name in ("dome-shutter.yaml", "dome-shutter.tags", "bench.db"):
            link = self.out("link.pdf")
            os.link(self.out(name), link)
            before = common.data(link)
            common.run("record", self.path, "-o", link, expect=4)
            self.assertEqual(before, common.data(link))
            os.remove(link)

    def test_control_characters_do_nothing(self):
        work = self.work()
        work.who = "Ada\x1b[31m\u202eevil"
        work.add("scan", "tag", "\x1b[2J\x07", None, "misread")
        for name in ("r.txt", "r.pdf"):
            common.run("record", self.path, "-o", self.out(name))
        self.assertFalse(re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e]",
                                   common.text(self.out("r.txt"))))
        self.shown(self.out("r.pdf"))
        self.assertEqual(self.record()["events"][2]["who"], work.who)

    def test_letter_paper(self):
        self.work().whole()
        common.run("record", self.path, "-o", self.out("r.pdf"), "--paper", "letter")
        self.assertIn("612 x 792 pts", common.quiet("pdfinfo", self.out("r.pdf")))

    def test_a_full_disk_is_told(self):
        self.work().whole()
        done = subprocess.run([common.PROGRAM, "record", self.path, "-o", "/dev/full"],
                              capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 2)


if __name__ == "__main__":
    unittest.main()
