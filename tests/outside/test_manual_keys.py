"""The manual pages of files and jobs: each key that the program's tables have is in its page, no
page names a key that the program refuses, JSON is described as it is written, and the examples
work."""

import itertools
import json
import os
import re
import shlex
import tempfile
import unittest

import common

DESCRIPTION, LAYOUT, JOB = "loomtag-description.5", "loomtag-layout.5", "loomtag-job.7"
TABLES = {"top_fields": "the harness", "read_hazard": "a hazard", "read_component": "a component",
          "read_moulding": "a moulding",
          "connector_fields": "a connector", "read_wire": "a wire"}
KINDS, STYLES = ["sheet", "roll", "tape"], ["plate", "flag", "wrap"]


def source(path):
    return common.text(os.path.join(common.ROOT, "src", path))


def page(name):
    return source(os.path.join("packaging", name))


def part(name, heading):
    """What stands under a heading of a page, up to the next heading of that level or above."""
    level = "(?:Sh|Ss)" if "\n.Ss " + heading + "\n" in page(name) else "Sh"
    found = re.search(rf"^\.(?:Sh|Ss) {re.escape(heading)}\n(.*?)(?=^\.{level} |\Z)", page(name),
                      re.M | re.S)
    if found is None:
        raise AssertionError(f"{name} has no heading {heading}")
    return found[1]


def items(text):
    """Each key that has an item of its own, with the item's text, head included."""
    return {found[1]: found[0]
            for found in re.finditer(r"^\.It Ic (\w+).*?(?=^\.It |^\.El)", text, re.M | re.S)}


def keys_of(what):
    return items(part(DESCRIPTION, "Keys of " + what))


def members(name, *headings):
    """The JSON keys that a page names under these headings."""
    return set(re.findall(r"\bVa (\w+)", "\n".join(part(name, heading) for heading in headings)))


def tables():
    """The tables of fields that the reader of descriptions has, by name or function: their keys."""
    found = {}
    for path in ("harness/parts.c", "harness/connectors.c", "harness/read.c",
                 "harness/read_wires.c"):
        for table in re.finditer(r"static const struct lt_field (\w+)\[\] = \{(.*?)\n\t?\};",
                                 source(path), re.S):
            functions = re.findall(r"^static void (\w+)\(", source(path)[:table.start()], re.M)
            name = functions[-1] if table[1] == "fields" else table[1]
            found[name] = set(re.findall(r'\{ "(\w+)",', table[2]))
    return found


def layout_keys():
    """Each key of layouts: the kinds and the styles that have it."""
    table = re.search(r"\} keys\[\] = \{(.*?)\n\};", source("label/layout.c"), re.S)[1]
    sets = {"ANY": KINDS, "CUT": ["sheet", "roll"], **{kind.upper(): [kind] for kind in KINDS}}
    found = {}
    for name, kinds, styles in re.findall(r'\{ "(\w+)", "[^"]*", \w+, (\w+), (\w+), \w+,', table):
        entry = found.setdefault(name, (set(), set()))
        entry[0].update(sets[kinds])
        entry[1].update(STYLES if styles == "ANY" else [styles.lower()])
    return found


def refused(path, key, *command):
    """Whether an error stands at the key itself, which begins its line but for blanks and a dash;
    faults of its value stand at the value."""
    lines = common.text(path).splitlines()
    told = json.loads(common.run(*command, path, "--json", expect=None).stdout)["diagnostics"]
    places = {(number, line.index(key) + 1) for number, line in enumerate(lines, 1)
              if re.match(rf"[ -]*{key}:", line)}
    return any((fault["line"], fault["column"]) in places for fault in told
               if fault["severity"] == "error")


def written(text):
    return text.replace("\\-", "-").replace("\\e", "\\").replace("\\&", "")


def displays(name):
    return [written(text) for text in
            re.findall(r"^\.Bd -literal.*?\n(.*?)^\.Ed", page(name), re.M | re.S)]


def take_examples(name, folder):
    """Writes the files that a page shows; returns their paths and the commands, in order."""
    files, commands = [], []
    for text in displays(name):
        title = re.match(r"# (\S+\.\w+)\n", text)
        if title:
            files.append(os.path.join(folder, title[1]))
            with open(files[-1], "w", encoding="utf-8") as out:
                out.write(text)
        commands += re.findall(r"^\$ (.*)", text.replace("\\\n", ""), re.M)
    return files, commands


def keys_in(documents):
    """The keys of objects, and of those in their lists: not deeper."""
    found = set()
    for document in documents:
        found |= set(document)
        for value in document.values():
            for item in value if isinstance(value, list) else [value]:
                found |= set(item) if isinstance(item, dict) else set()
    return found


class Descriptions(unittest.TestCase):
    def test_every_key_of_the_tables(self):
        found = tables()
        self.assertEqual(sorted(found), sorted(TABLES))
        for name, what in TABLES.items():
            self.assertEqual(found[name], set(keys_of(what)), what)

    def test_every_word_to_choose_from(self):
        choices = re.findall(r'\{ "(\w+)", \w+, \{ ("[^}]*) \} \}', source("harness/fields.c"))
        self.assertGreater(len(choices), 5)
        texts = {}
        for what in TABLES.values():
            for key, text in keys_of(what).items():
                texts[key] = texts.get(key, "") + text
        paths = re.search(r"path_words\[\] = \{([^}]*)\}", source("harness/connectors.c"))[1]
        for key, words in choices + [("numbering", paths)]:
            for word in re.findall(r'"(\w+)"', words):
                self.assertRegex(texts[key], rf"\bCm {word}\b", key)

    def test_no_key_is_refused(self):
        # What is missing is told at the first key of its map: that is another one here.
        first = "x: 0\n"
        before = {"the harness": first}
        for what, lists in (("a hazard", "hazards"), ("a component", "components"),
                            ("a moulding", "mouldings"), ("a connector", "connectors"),
                            ("a wire", "wires")):
            before[what] = f"{lists}:\n  - {first}    "
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "one.yaml")
            for what, start in before.items():
                for key in [*keys_of(what), "nonsense"]:
                    with open(path, "w", encoding="utf-8") as out:
                        out.write(f"{start}{key}:\n      0\n")
                    self.assertEqual(refused(path, key, "check"), key == "nonsense", key)

    def test_what_is_required(self):
        """A description of only what the page calls required is right, and not without it."""
        required = {what: sorted(key for key, text in keys_of(what).items()
                                 if re.search(r"\bRequired\b", text)) for what in TABLES.values()}
        self.assertEqual(required, {"the harness": ["connectors", "harness"],
                                    "a hazard": ["energy"], "a component": ["id"],
                                    "a moulding": ["id"],
                                    "a connector": ["id"], "a wire": ["from", "to"]})
        lines = ["harness: RQ1", "hazards: [{energy: air}]", "components: [{id: M1}]",
                 "mouldings: [{id: T1}]", "connectors: [{id: X1, mates: M1, moulding: T1}]",
                 "wires: [{from: X1.1, to: X1.2}]"]
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "least.yaml")
            for leave_out in [None, "harness: RQ1", r"energy: \w+", r"id: M1", r"id: T1",
                              r"id: X1, ", "connectors: .*", r"from: X1\.1, ", r", to: X1\.2"]:
                text = "\n".join(lines)
                if leave_out:
                    text, times = re.subn(leave_out, "", text)
                    self.assertEqual(times, 1)
                with open(path, "w", encoding="utf-8") as out:
                    out.write(text + "\n")
                common.run("check", path, expect=1 if leave_out else 0)

    def test_colours(self):
        """Each code, name and abbreviation, as the page pairs it with its code, is read so."""
        text = part(DESCRIPTION, "Colours of wires")
        pairs = re.findall(r"(?:It|Ta) ([A-Z]{2,4}) Ta ([\w-]+)", text)
        self.assertEqual(len(pairs), 15)
        words = [(code, word) for code, word in pairs] + [(code, code) for code, _ in pairs]
        listed = text[text.index("English names above"):text.index("Between several")]
        group = []
        for word, code in re.findall(r"\.Ql ([a-z]+)|\(([A-Z]{2})\)", listed):
            if code:
                words += [(code, one) for one in group]
            group = [] if code else [*group, word]
        self.assertGreater(len(words), 55)
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "colours.yaml")
            ways = "".join(f"      {i}: {word}\n" for i, (_, word) in enumerate(words, 1))
            with open(path, "w", encoding="utf-8") as out:
                out.write("harness: CC1\nconnectors:\n  - id: X1\n    family: a\n    wires:\n"
                          f"{ways}  - {{id: X2, family: b}}\nwires:\n")
                out.writelines(f"  - {{from: X1.{i}, to: X2.{i}, colour: {code}}}\n"
                               for i, (code, _) in enumerate(words, 1))
            common.run("check", path)

    def test_examples(self):
        with tempfile.TemporaryDirectory() as folder:
            files, commands = take_examples(DESCRIPTION, folder)
            self.assertEqual(len(files), 1)
            self.assertIn("0 errors", common.run("check", files[0]).stdout)
            self.assertGreaterEqual(len(commands), 3)
            for command in commands:
                common.run(*shlex.split(command)[1:], cwd=folder)

    def test_json(self):
        with tempfile.TemporaryDirectory() as folder:
            for sample in common.SAMPLES:
                path = common.sample(folder, sample)
                listing = common.tags(path)
                self.assertEqual(keys_in([listing]) - {"H", "M", "X"},
                                 members(DESCRIPTION, "Keys of tags"), sample)
                for tag in listing["tags"]:
                    self.assertLessEqual(set(tag["codes"]), {"H", "M", "X"})
            path = common.sample(folder, "dome-shutter")
            checked = json.loads(common.run("check", path, "--json").stdout)
            self.assertEqual(keys_in([checked]), members(DESCRIPTION, "Keys of check"))

    def test_scan_codes(self):
        """The scan codes that the page shows are right by the standard."""
        shown = re.findall(r"\b\d+[HMX][A-Z][A-Z0-9]+\b", part(DESCRIPTION, "SCAN CODES"))
        for code in set(shown):
            self.assertEqual(code[-1], common.check_character(code[:-1]), code)
        self.assertIn("12HRV3J", shown)


class Layouts(unittest.TestCase):
    def test_every_key_and_who_has_it(self):
        found, described = layout_keys(), items(part(LAYOUT, "Keys of a layout"))
        self.assertGreater(len(found), 20)
        self.assertEqual(set(described), set(found))
        for key, text in described.items():
            kinds, style = re.match(r"\.It Ic \w+ Pq (.+), (.+)\n", text).groups()
            self.assertEqual(set(KINDS if kinds == "any kind" else kinds.split(" or ")),
                             found[key][0], key)
            self.assertEqual(set(STYLES if style == "any style" else [style]), found[key][1], key)

    def test_what_may_be_left_out(self):
        rows = re.findall(r'^\t\{ "(\w+)",(.*?)\},\n', source("label/layout.c"), re.M | re.S)
        optional = {key for key, row in rows if ".optional = true" in row}
        named = {key for key, text in items(part(LAYOUT, "Keys of a layout")).items()
                 if re.search(r"Optional|Default|\(default\)", text)}
        self.assertEqual(named, optional)
        self.assertGreater(len(optional), 5)

    def test_whom_the_program_refuses(self):
        found = layout_keys()
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "one.yaml")
            for kind, style in itertools.product(KINDS, STYLES):
                keys = [key for key in found if key not in ("layout", "kind", "style")]
                for key in [*keys, "nonsense"]:
                    with open(path, "w", encoding="utf-8") as out:
                        out.write(f"layout: one\nkind: {kind}\nstyle: {style}\n{key}:\n  [0]\n")
                    kinds, styles = found.get(key, ((), ()))
                    self.assertEqual(refused(path, key, "layouts", "--check"),
                                     kind not in kinds or style not in styles, (kind, style, key))

    def test_examples(self):
        with tempfile.TemporaryDirectory() as folder:
            take_examples(DESCRIPTION, folder)
            files, commands = take_examples(LAYOUT, folder)
            self.assertEqual(len(files), 1)
            checked = json.loads(common.run("layouts", "--check", files[0], "--json").stdout)
            self.assertEqual((checked["ok"], checked["diagnostics"]), (True, []))
            self.assertGreaterEqual(len(commands), 3)
            for command in commands:
                done = common.run(*shlex.split(command)[1:], cwd=folder)
                self.assertNotIn("warning", done.stderr)

    def test_json(self):
        shelf = json.loads(common.run("layouts", "--json").stdout)
        named = members(LAYOUT, "Keys of layouts") - {"ok", "diagnostics"}
        self.assertEqual(keys_in(shelf), named)
        with tempfile.TemporaryDirectory() as folder:
            path = common.sample(folder, "mast-head")
            figures = json.loads(common.run("stickers", path, "--json").stdout)
            self.assertEqual(keys_in([figures]), members(LAYOUT, "Keys of stickers"))

    def test_file_of_printers(self):
        known = re.findall(r'(?:top|printer)_keys\[\] = \{([^}]*)\}', source("label/calibration.c"))
        for key in re.findall(r'"(\w+)"', " ".join(known)):
            self.assertRegex(part(LAYOUT, "FILES"), rf"\bIc {key}\b")


class Jobs(unittest.TestCase):
    def verify(self, folder, *arguments, stdin="", cwd=None):
        done = common.run("verify", *arguments, "--json", "--who", "N", stdin=stdin, expect=None,
                          cwd=cwd or folder)
        return json.loads(done.stdout)

    def example(self, folder):
        files, commands = take_examples(JOB, folder)
        self.assertEqual([os.path.basename(path) for path in files], ["winch.yaml", "winch.scans"])
        return files[0], files[1], commands

    def test_examples(self):
        with tempfile.TemporaryDirectory() as folder:
            path, scans, commands = self.example(folder)
            self.assertIn("0 errors, 0 warnings", common.run("check", path).stdout)
            answer = self.verify(folder, path, scans)
            self.assertTrue(answer["ok"])
            self.assertEqual({event["verdict"] for event in answer["events"]},
                             {"half", "mated", "done"})
            self.assertGreaterEqual(len(commands), 6)
            for command in commands:
                common.run(*shlex.split(command)[1:], cwd=folder)

    def test_stages_and_verdicts(self):
        verdicts = re.findall(r'\[LT_VERDICT_\w+\] = \{ "([\w-]+)"', source("verify/judge.c"))
        stages = re.search(r'names\[LT_STAGE_COUNT\] = \{([^}]*)\}', source("verify/judge.c"))[1]
        self.assertEqual(len(verdicts), 11)
        described = part(JOB, "Verdicts at tag and reconnect")
        self.assertEqual(re.findall(r"^\.It Cm ([\w-]+)", described, re.M), verdicts)
        described = part(JOB, "STAGES").split("\n.Ss ")[0]
        self.assertEqual(re.findall(r"^\.It Cm (\w+)", described, re.M),
                         re.findall(r'"(\w+)"', stages))
        for heading in ("Verdicts at unplug", "Verdicts at swap"):
            named = set(re.findall(r"\bCm ([\w-]+)", part(JOB, heading)))
            self.assertLessEqual(named, set(verdicts))

    def test_words(self):
        words = re.search(r"\[\w+ \+ 1\] = \{([^}]*)NULL", source("live/commands.c"))
        named = re.findall(r"^\.It Ic (\w+)", part(JOB, "WORDS AT THE TERMINAL"), re.M)
        self.assertEqual(sorted(named), sorted(re.findall(r'"(\w+)"', words[1])))

    def test_json_of_verify(self):
        with tempfile.TemporaryDirectory() as folder:
            path, scans, _ = self.example(folder)
            answers = [self.verify(folder, path, scans)]
            self.assertTrue({"left", "unsettled", "photos"}.isdisjoint(answers[0]))
            live = "yes\n1HWN1U12U\nundo\nskip 2 latch broken\nquit\n"
            answers.append(self.verify(folder, path, stdin=live))
            self.assertEqual(answers[-1]["skipped"], [{"number": 2, "reason": "latch broken"}])
            self.assertIn("unsettled", answers[-1])
            common.run("stickers", path, "--only", "3H", "--layout", "roll-54x25",
                       "-o", os.path.join(folder, "clip.png"))
            pictures = sorted(name for name in os.listdir(folder) if name.endswith(".png"))
            answers.append(self.verify(folder, path, "--photos", *pictures, "--stage", "tag"))
            self.assertEqual([photo["shows"] for photo in answers[-1]["photos"]], ["whole"])
            self.assertEqual(keys_in(answers), members(JOB, "Keys of verify"))
        kinds = re.search(r"\bnames\[\] = \{([^}]*)\}", source("photo/pair.c"))[1]
        for kind in [*re.findall(r'"(\w+)"', kinds), "unreadable"]:
            self.assertRegex(part(JOB, "Keys of verify"), rf"\bCm {kind}\b")

    def whole_job(self, folder):
        """A job with replaced parts, a skip, wrong mates and hazards; the description's path."""
        path = common.sample(folder, "dome-shutter")
        common.run("stickers", path, "-o", os.path.join(folder, "stickers.pdf"))
        first = "yes\nyes\nyes\nskip 11 no access\nquit\n"
        common.run("verify", path, "--stage", "reconnect", "--who", "N", stdin=first, expect=1)
        common.run("verify", path, os.path.join(common.ROOT, "samples", "dome-shutter.wrong.scans"),
                   "--db", os.path.join(folder, "bench.db"), expect=1)
        return path

    def test_json_of_jobs_and_records(self):
        with tempfile.TemporaryDirectory() as folder:
            path = self.whole_job(folder)
            listed = json.loads(common.run("jobs", path, "--json").stdout)
            shown = json.loads(common.run("jobs", "show", "1", "--json", cwd=folder).stdout)
            record = json.loads(common.run("record", path, "-o", "-", "--json").stdout)
            found = set(listed) | set(shown) | set(shown["job"]) | set(listed["jobs"][0])
            self.assertEqual(found, members(JOB, "Keys of a job"))
            events = shown["events"] + record["events"]
            self.assertEqual(keys_in(events), members(JOB, "Keys of an event"))
            apart = {"job", "stages", "joints", "events", "verdicts"}
            self.assertTrue(all(value for value in record.values() if not isinstance(value, bool)))
            self.assertEqual(
                keys_in([{key: value if key not in apart else None
                          for key, value in record.items()}]), members(JOB, "Keys of a record"))
            self.assertEqual(keys_in([record["job"]]), members(JOB, "Keys of the job in a record"))
            self.assertEqual(keys_in(record["stages"]), members(JOB, "Keys of a stage in a record"))
            self.assertEqual(keys_in(record["joints"]), members(JOB, "Keys of a joint in a record"))
            verdicts = part(JOB, "Verdicts at tag and reconnect")
            for verdict in record["verdicts"]:
                self.assertIn(f".It Cm {verdict}\n", verdicts)
            self.plan(next(event["text"] for event in shown["events"] if event["kind"] == "plan"))

    def plan(self, text):
        named = members(JOB, "Keys of a plan")
        found = keys_in([json.loads(text)])
        self.assertLessEqual(found, named)
        for key in named - found:  # left out where there is nothing to say
            self.assertIn(f'"{key}"', source("job/plan.c"))

    def test_kinds_of_events(self):
        kinds = re.search(r"kind_names\[LT_JOB_EVENT_KINDS\] = \{(.*?)\};", source("job/chain.c"),
                          re.S)[1]
        named = re.search(r"^\.It Va kind\n(.*?)^\.It ", part(JOB, "Keys of an event"),
                          re.M | re.S)[1].replace("Cm ", "").replace("\nor\n", " ")
        self.assertEqual(sorted(re.findall(r"[a-z-]+", named)),
                         sorted(set(re.findall(r'"([\w-]+)"', kinds)) - {"unknown"}))

    def test_file_of_a_print(self):
        known = re.search(r'\bknown\[\] = \{([^}]*)\}', source("print/unfinished.c"))[1]
        for key in re.findall(r'"(\w+)"', known):
            self.assertRegex(part(JOB, "FILES"), rf"\bIc {key}\b")


if __name__ == "__main__":
    unittest.main()
