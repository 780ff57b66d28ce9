"""What descriptions may say shorter: mouldings, names of ways, mates without a list, clips with one
sticker. Papers, pages and verdicts are held against those of the long form."""

import json
import os
import re
import shutil
import subprocess
import unittest

import common
from test_map_site import Page

RELAY = """harness: RV3
connectors:
  - {id: K1, name: relay, kind: plug, family: relay socket, ways: [87, 30, 87a, 86],
     rows: 2, numbering: across, wires: {30: RD, 86: BU}, mates: A1}
  - {id: X2, name: supply, family: tab, ways: [L, N, PE], mates: A1}
wires:
  - {from: K1.87a, to: X2.PE, colour: GNYE, name: W7}
  - {from: K1.87, to: X2.L}
"""


def parts(description):
    """What stands before the mouldings, between them and the connectors, and behind."""
    return re.fullmatch(r"(.*?\n)(mouldings:\n.*?)(\nconnectors:\n.*)", description, re.S).groups()


def written_out(description):
    """The same with the keys of each moulding at each of its connectors, by a few lines of our
    own."""
    before, mouldings, behind = parts(description)
    keys = {found[1]: found[2] for found in
            re.finditer(r"^  - id: (\w+)\n((?:    .*\n)+)", mouldings, re.M)}

    def put(entry):
        return keys[entry[1]]
    return before + re.sub(r"^    moulding: (\w+)\n", put, behind, flags=re.M)


class Folder(unittest.TestCase):
    def setUp(self):
        self.folder = common.workdir()

    def tearDown(self):
        shutil.rmtree(self.folder)

    def write(self, text, name="short.yaml"):
        path = os.path.join(self.folder, name)
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        return path


class Mouldings(Folder):
    def made(self, text, where):
        """Every paper and document of a description, by name, and what check says without its
        lines."""
        folder = os.path.join(self.folder, where)
        os.mkdir(folder)
        path = self.write(text, os.path.join(where, "gantry.yaml"))
        found = json.loads(common.run("check", path, "--json").stdout)
        for fault in found["diagnostics"]:
            del fault["line"], fault["column"], fault["file"]
        common.run("tags", path)
        for command, name in (("checklist", "c.txt"), ("checklist", "c.pdf"), ("map", "m.svg"),
                              ("stickers", "s.pdf")):
            common.run(command, path, "-o", os.path.join(folder, name))
        common.run("map", path, "--pages", os.path.join(folder, "pages"))
        os.remove(path)
        for root, _, names in os.walk(folder):
            for name in names:
                inside = os.path.join(root, name)
                found[os.path.relpath(inside, folder)] = common.data(inside)
        return found

    def test_papers_of_a_sample_written_out(self):
        short = common.text(os.path.join(common.ROOT, "samples", "seed-gantry.yaml"))
        long = written_out(short)
        self.assertEqual(len(re.findall("moulding", long)), 0)
        self.assertGreater(long.count("    family: "), short.count("    family: ") + 50)
        one, other = self.made(short, "short"), self.made(long, "long")
        self.assertGreater(len(one), 100)
        self.assertEqual(sorted(one), sorted(other))
        for name, content in one.items():
            self.assertEqual(content, other[name], name)

    def test_what_stands_at_the_connector_overrules(self):
        path = self.write("harness: RV3\nmouldings:\n"
                          "  - {id: T, family: tab, lock: squeeze it, key: A}\n"
                          "connectors:\n  - {id: X1, moulding: T}\n  - {id: X2, moulding: T}\n"
                          "  - {id: X3, moulding: T, key: B, lock: pull the ring}\n")
        groups = json.loads(common.run("check", path, "--json").stdout)["look_alikes"]
        self.assertEqual(groups, [["X1", "X2"]])
        paper = common.run("checklist", path, "-o", "-").stdout
        self.assertEqual((paper.count("squeeze it"), paper.count("pull the ring")), (2, 1))


class Ways(Folder):
    def test_papers_show_the_names(self):
        path = self.write(RELAY)
        common.run("tags", path)
        pdf = os.path.join(self.folder, "map.pdf")
        common.run("map", path, "-o", pdf)
        words = re.findall(r'<word xMin="([\d.]+)" yMin="([\d.]+)"[^>]*>([^<]*)</word>',
                           subprocess.run(["pdftotext", "-bbox", pdf, "-"], check=True,
                                          capture_output=True, text=True).stdout)
        places = {}
        for left, top, word in words:
            places.setdefault(word, []).append((float(top), float(left)))
        # The table of wires names them too: the front is where all four lie in two rows of two.
        fronts = [(a, b, c, d) for a in places["87"] for b in places["30"]
                  for c in places["87a"] for d in places["86"]
                  if abs(a[0] - b[0]) < 0.1 and abs(c[0] - d[0]) < 0.1 and a[0] < c[0] - 1
                  and a[1] < b[1] and c[1] < d[1]]
        self.assertGreater(len(fronts), 0)
        checklist = common.run("checklist", path, "-o", "-").stdout
        self.assertRegex(checklist, r"30\s+RD.*87a\s+GNYE.*86\s+BU")

    def test_pages_show_the_names(self):
        path = self.write(RELAY)
        listing = common.tags(path)
        folder = os.path.join(self.folder, "pages")
        common.run("map", path, "--pages", folder)
        codes = {tag["connector"]: tag["codes"]["H"] for tag in listing["tags"]}
        text = common.text(os.path.join(folder, codes["K1"], "index.html"))
        heads = re.findall(r'<th scope="row">([^<]*)</th>', text)
        self.assertEqual([head for head in heads if head in ("87", "30", "87a", "86", "1")],
                         ["30", "87a", "86"])
        self.assertIn("GNYE", Page(text).text)

    def test_look_alikes_compare_how_many(self):
        path = self.write("harness: RV3\nconnectors:\n  - {id: X1, family: f, ways: [30, 85, 86]}\n"
                          "  - {id: X2, family: f, ways: 3}\n"
                          "  - {id: X3, family: f, ways: [L, N, PE]}\n"
                          "  - {id: X4, family: f, ways: [L, N]}\n")
        groups = json.loads(common.run("check", path, "--json").stdout)["look_alikes"]
        self.assertEqual(groups, [["X1", "X2", "X3"]])


class Components(Folder):
    def test_left_out(self):
        short = self.write("harness: RV3\nconnectors:\n  - {id: X1, family: f, mates: M7}\n"
                           "  - {id: X2, family: f, mates: B1, port: P1}\n"
                           "  - {id: X3, family: g, mates: M7}\n  - {id: X4, family: g}\n")
        long = self.write(common.text(short).replace(
            "connectors:", "components:\n  - {id: M7}\n  - {id: B1}\nconnectors:"), "long.yaml")
        listing = common.tags(short)
        self.assertEqual([tag["component"] for tag in
                          sorted(listing["tags"], key=lambda tag: tag["connector"])],
                         ["M7", "B1", "M7", None])
        self.assertEqual(listing, common.tags(long))
        papers = [common.run("checklist", path, "-o", "-").stdout for path in (short, long)]
        self.assertIn("M7", papers[0])
        self.assertEqual(papers[0], papers[1])


class Clips(Folder):
    def sides(self, path):
        return {tag["connector"]: tag["sides"] for tag in common.tags(path)["tags"]}

    def test_m_sticker_that_went_out(self):
        """The register keeps the number; the sticker counts for nothing, and no plan that had it
        stays in force."""
        two = "harness: RV3\nconnectors:\n  - {id: C3, kind: clip, sides: 2}\n  - {id: X1}\n"
        path = self.write(two)
        common.run("stickers", path, "-o", os.path.join(self.folder, "s.pdf"))
        listing = common.tags(path)
        codes = {tag["connector"]: tag["codes"] for tag in listing["tags"]}
        database = os.path.join(self.folder, "bench.db")
        both = "\n".join(codes["C3"][side] for side in "HM") + "\n"
        common.run("verify", path, "--db", database, "--who", "N", stdin=both, expect=1)
        register = common.text(os.path.join(self.folder, "short.tags"))
        self.write(two.replace(", sides: 2", ""))
        self.assertEqual(self.sides(path), {"C3": ["H"], "X1": ["H", "M"]})
        done = common.run("check", path)
        self.assertIn("3M", done.stderr)
        self.assertIn("sides: 2", done.stderr)
        refused = common.run("verify", path, "--db", database, "--who", "N", stdin=both, expect=3)
        self.assertIn("--changed", refused.stderr)
        answer = json.loads(common.run("verify", path, "--db", database, "--who", "N", "--changed",
                                       "--json", stdin=both, expect=1).stdout)
        self.assertEqual([event["verdict"] for event in answer["events"]][-2:],
                         ["done", "unknown"])
        self.assertIn(3, answer["mated"])
        common.run("stickers", path, "-o", os.path.join(self.folder, "s.pdf"))
        self.assertEqual(common.text(os.path.join(self.folder, "short.tags")), register)

    def test_who_has_one_sticker(self):
        path = self.write("harness: RV3\nmouldings: [{id: C, kind: clip}]\nconnectors:\n"
                          "  - {id: C1, moulding: C}\n  - {id: C2, moulding: C, mates: F1}\n"
                          "  - {id: C3, kind: clip, sides: 2}\n"
                          "  - {id: C4, moulding: C, kind: ring}\n"
                          "  - {id: C5, kind: clip, mates: F1, sides: 1}\n")
        self.assertEqual(self.sides(path), {"C1": ["H"], "C2": ["H", "M"], "C3": ["H", "M"],
                                            "C4": ["H", "M"], "C5": ["H"]})


if __name__ == "__main__":
    unittest.main()
