"""The harness map as static pages, as a web server gives them to a phone: every sticker's link,
every link in the pages, an HTML checker, and a browser at the widths of a phone and of a desk."""

import functools
import html
import html.parser
import http.client
import http.server
import os
import pathlib
import re
import struct
import subprocess
import threading
import unittest
import urllib.parse
import zlib

import browser
import common
import descriptions
from texts import said

# What a finger in a glove hits, CSS pixels (WCAG 2.2, success criterion 2.5.5 "Target Size": 44).
TARGET = 44


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_):
        pass


class Server:
    """A plain web server of the standard library, on loopback."""

    def __init__(self, folder):
        handler = functools.partial(Quiet, directory=folder)
        self.server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
        self.base = f"http://127.0.0.1:{self.server.server_port}"
        self.thread = threading.Thread(target=self.server.serve_forever, args=(0.05,), daemon=True)

    def __enter__(self):
        self.thread.start()
        return self

    def __exit__(self, *_):
        self.server.shutdown()
        self.server.server_close()
        self.thread.join()

    def get(self, path):
        """Follows redirections as a browser does: final path, type, text."""
        for _ in range(3):
            line = http.client.HTTPConnection("127.0.0.1", self.server.server_port, timeout=10)
            line.request("GET", path)
            answer = line.getresponse()
            body = answer.read()
            line.close()
            if answer.status not in (301, 302, 308):
                break
            path = urllib.parse.urljoin(path, answer.headers["Location"])
            path = urllib.parse.urlsplit(path).path
        return answer.status, path, answer.headers.get_content_type(), body.decode("utf-8")


class Page(html.parser.HTMLParser):
    """Links, pictures, and the words that are read, in order."""

    def __init__(self, text):
        super().__init__()
        self.links, self.words, self.tags, self.ids = [], [], [], set()
        self.feed(text)
        self.close()
        self.text = re.sub(r"\s+", " ", "".join(self.words))

    def handle_starttag(self, tag, attributes):
        named = dict(attributes)
        self.tags.append((tag, named))
        self.ids.add(named.get("id"))
        for name in ("href", "src"):
            if name in named:
                self.links.append(named[name])

    def handle_data(self, data):
        self.words.append(data)


def heading(text):
    """The tag and the name in a tag page's <h1>, without elements."""
    inside = re.search(r"<h1>(.*?)</h1>", text, re.S)[1]
    parts = re.fullmatch(r'(.*</span>) <span class="name">(.*)</span>', inside, re.S).groups()
    return tuple(html.unescape(re.sub(r"<[^>]*>", "", part)) for part in parts)


def blocks(description, part):
    """Of each connector or component of a description, by id: name and place, by a few lines of our
    own."""
    found = {}
    section = re.split(r"\n(?=[a-z]+:)", description.split(f"\n{part}:")[1])[0]
    for entry in re.split(r"\n  - (?=\{?id: )", section)[1:]:
        found[re.match(r"\{?id: ([^\s,}]+)", entry)[1]] = {
            key: value.strip().strip('"') for key, value in
            re.findall(r"(?:^|\n    |, )(name|place): ([^\n,}]+)", entry)}
    return found


def pages(folder):
    return sorted(str(path) for path in pathlib.Path(folder).rglob("*.html"))


def write_map(description, folder, *options):
    return common.run("map", description, "--pages", folder, *options)


class Samples(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.work = common.workdir()
        cls.folder = os.path.join(cls.work, "pages")
        cls.samples = {}
        for name in common.SAMPLES:
            path = common.sample(cls.work, name)
            listing = common.tags(path)
            write_map(path, cls.folder)
            cls.samples[name] = (path, listing)

    def test_every_sticker_leads_to_its_page(self):
        with Server(self.folder) as server:
            for path, listing in self.samples.values():
                joints = blocks(common.text(path), "connectors")
                parts = blocks(common.text(path), "components")
                for tag in listing["tags"]:
                    joint = joints[tag["connector"]]
                    for side, code in tag["codes"].items():
                        with self.subTest(code=code):
                            status, at, kind, text = server.get("/" + code)
                            self.assertEqual((status, kind), (200, "text/html"))
                            self.assertEqual(at, f"/{code}/")
                            self.assertEqual(heading(text), (f"{tag['number']}{side}",
                                                             joint.get("name", tag["connector"])))
                            read = Page(text).text
                            if tag["component"]:
                                component = parts[tag["component"]]
                                self.assertIn(component.get("name", tag["component"]), read)
                                self.assertIn(component.get("place", ""), read)
                            self.assertIn(joint.get("place", ""), read)
                            self.check_words(tag, side, read, text)

    def check_words(self, tag, side, read, text):
        """What a wrong page would get somebody into trouble with."""
        if side == "X":
            self.assertIn(said("lt_site_words", "old_part"), read)
            self.assertNotIn(said("lt_site_words", "would_also_fit"), read)
        else:
            self.assertNotIn(said("lt_site_words", "old_part"), read)
            self.assertEqual(said("lt_site_words", "would_also_fit") in read,
                             bool(tag["look_alikes"]))
            self.assertEqual(said("lt_site_words", "fit_unknown") in read,
                             tag["fit"] == "unknown")
            for other in tag["look_alikes"][:20]:
                self.assertRegex(text, rf">{other}[HM]</a>")
        for partner in set(tag["sides"]) - {side}:
            self.assertIn(f'href="../{tag["codes"][partner]}/index.html">{tag["number"]}{partner}<',
                          text)

    def test_every_link_resolves(self):
        with Server(self.folder) as server:
            known = {}
            for name in pages(self.folder):
                at = "/" + os.path.relpath(name, self.folder)
                page = Page(common.text(name))
                self.assertGreater(len(page.links), 2)
                for link in page.links:
                    self.assertNotRegex(link, "^(?:[a-z]+:|/)", "nothing is from elsewhere")
                    target, fragment = urllib.parse.urldefrag(urllib.parse.urljoin(at, link))
                    if target not in known:
                        status, _, kind, text = server.get(target)
                        self.assertEqual(status, 200, f"{link} in {name}")
                        known[target] = Page(text).ids if kind == "text/html" else set()
                    if fragment:
                        self.assertIn(fragment, known[target])

    def test_checker_has_nothing_to_say(self):
        """tidy of Debian 12, with no warning passed over; every page, in few runs."""
        names = pages(self.folder)
        for start in range(0, len(names), 100):
            done = subprocess.run(["tidy", "-e", "-q", *names[start:start + 100]],
                                  capture_output=True, text=True, check=False)
            self.assertEqual((done.returncode, done.stderr), (0, ""))

    def test_no_scripts_and_all_named(self):
        for name in pages(self.folder):
            page = Page(common.text(name))
            elements = [tag for tag, _ in page.tags]
            self.assertNotIn("script", elements)
            self.assertEqual(elements.count("h1"), 1)
            self.assertEqual(elements.count("main"), 1)
            self.assertLess(os.path.getsize(name), 150_000)
            for tag, named in page.tags:
                self.assertFalse([key for key in named if key.startswith("on")])
                if tag == "img":
                    self.assertTrue(named["alt"])
                if tag == "th":
                    self.assertIn("scope", named)
                if tag == "html":
                    self.assertEqual(named["lang"], "en")

    def test_small(self):
        sizes = [os.path.getsize(name) for name in pages(self.folder)
                 if re.match(r"\d", os.path.basename(os.path.dirname(name)))]
        self.assertLess(max(sizes), 60_000)

    def test_harness_page_answers(self):
        for path, listing in self.samples.values():
            text = common.text(os.path.join(self.folder, listing["code"], "index.html"))
            read = Page(text).text
            for line in re.findall(r"^  - energy: (.*)$", common.text(path), re.M):
                self.assertIn(line, read)
            last = common.text(path).split("\nfinish:")[1]
            for line in re.findall(r"^  - ([^{:\n]*)$", last, re.M):
                self.assertIn(line, read)
            for name in listing["unnumbered"]:
                self.assertIn(f"{name}, ", read)
            for tag in listing["tags"]:
                for code in tag["codes"].values():
                    # By number, and by place.
                    self.assertGreaterEqual(text.count(f"../{code}/index.html"), 2)
            self.assertEqual(len(re.findall(r"<tr><th scope=\"row\">W\d+<", text)),
                             len(re.findall(r"^  - \{from: ", common.text(path), re.M)))

    def test_root_lists_all(self):
        links = Page(common.text(os.path.join(self.folder, "index.html"))).links
        self.assertEqual(sorted(link for link in links if link != "style.css"),
                         sorted(f"{listing['code']}/index.html"
                                for _, listing in self.samples.values()))


class Content(unittest.TestCase):
    def test_random_descriptions(self):
        """Words in many scripts; the checker is content with all of them."""
        folder = common.workdir()
        into = os.path.join(folder, "pages")
        for seed in range(8):
            path = os.path.join(folder, f"random{seed}.yaml")
            pathlib.Path(path).write_text(descriptions.describe(seed, 6), encoding="utf-8")
            listing = common.tags(path)
            write_map(path, into)
            parts = blocks(common.text(path), "components")
            for tag in listing["tags"]:
                text = common.text(os.path.join(into, tag["codes"]["H"], "index.html"))
                self.assertEqual(heading(text)[0], f"{tag['number']}H")
                self.assertIn(parts[tag["component"]]["name"].split(",")[0], Page(text).text)
        done = subprocess.run(["tidy", "-e", "-q", *pages(into)], capture_output=True, text=True,
                              check=False)
        self.assertEqual((done.returncode, done.stderr), (0, ""))

    def test_nothing_of_the_page_before_stays(self):
        """A number that is retired says so to who scans its sticker."""
        folder = common.workdir()
        path = os.path.join(folder, "short.yaml")
        into = os.path.join(folder, "pages")
        begin = "harness: SHR\nconnectors:\n  - {id: X1, name: bilge pump}\n"
        pathlib.Path(path).write_text(begin + "  - {id: X2, name: stern lamp}\n", encoding="utf-8")
        gone = common.tags(path)["tags"][1]
        write_map(path, into)
        pathlib.Path(path).write_text(begin, encoding="utf-8")
        common.run("tags", path)
        write_map(path, into)
        for code in gone["codes"].values():
            text = common.text(os.path.join(into, code, "index.html"))
            self.assertIn("is no longer used", text)
            self.assertIn(said("lt_site_words", "do_not_use"), text)
            self.assertNotIn("stern lamp", text)
        self.assertNotIn("stern lamp", common.text(os.path.join(into, "SHR", "index.html")))

    def test_colours(self):
        """Two colours are two in the page, and the code stands beside the ink."""
        folder = common.workdir()
        path = os.path.join(folder, "two.yaml")
        pathlib.Path(path).write_text(
            "harness: TWO\nconnectors:\n  - {id: X1, wires: {1: WHRD, 2: GNYE, 3: [BN, BU]}}\n",
            encoding="utf-8")
        code = common.tags(path)["tags"][0]["codes"]["H"]
        write_map(path, os.path.join(folder, "pages"))
        text = common.text(os.path.join(folder, "pages", code, "index.html"))
        rows = re.findall(r"<tr><th scope=\"row\">(.*?)</tr>", text)
        self.assertEqual([len(set(re.findall("#[0-9a-f]{6}", row))) for row in rows], [2, 2, 2])
        self.assertEqual([re.findall("<b>(.*?)</b>", row) for row in rows],
                         [["WHRD"], ["GNYE"], ["BN", "BU"]])
        self.assertIn("white and red", rows[0])


def png(width, height, words):
    """A PNG of colours that change from pixel to pixel, with words in it that are not seen."""
    def chunk(kind, data):
        return (struct.pack(">I", len(data)) + kind + data +
                struct.pack(">I", zlib.crc32(kind + data)))
    rows = b"".join(b"\0" + bytes(value for x in range(width)
                                  for value in (x * 7 % 256, y * 5 % 256, (x ^ y) % 256))
                    for y in range(height))
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head)
            + chunk(b"tEXt", b"Comment\0" + words) + chunk(b"IDAT", zlib.compress(rows, 1))
            + chunk(b"IEND", b""))


class Photographs(unittest.TestCase):
    def test_photograph(self):
        """It is published smaller, beside the map, without what it says of who took it where."""
        folder = common.workdir()
        path = os.path.join(folder, "seen.yaml")
        into = os.path.join(folder, "pages")
        pathlib.Path(folder, "big.png").write_bytes(png(1600, 1200, b"52 deg 31 min north"))
        pathlib.Path(path).write_text(
            "harness: SEE\nconnectors:\n  - {id: X1, name: winch, photo: big.png}\n"
            "  - {id: X2, photo: away.png}\n  - {id: X3, tag: none, photo: big.png}\n",
            encoding="utf-8")
        listing = common.tags(path)
        done = write_map(path, into)
        self.assertIn("away.png", done.stderr)
        shown = [named for tag, named in
                 Page(common.text(os.path.join(into, listing["tags"][0]["codes"]["M"],
                                               "index.html"))).tags if tag == "img"]
        self.assertEqual([named["alt"] for named in shown], ["photograph of winch"])
        wide, tall = int(shown[0]["width"]), int(shown[0]["height"])
        self.assertLessEqual(wide * tall, 1200 * 900)
        self.assertAlmostEqual(wide / tall, 4 / 3, places=2)
        picture = common.data(os.path.join(into, listing["tags"][0]["codes"]["M"], shown[0]["src"]))
        self.assertNotIn(b"north", picture)
        self.assertIn(picture[:3], (b"\x89PN", b"\xff\xd8\xff"))
        self.assertNotIn("<img", common.text(os.path.join(
            into, listing["tags"][1]["codes"]["H"], "index.html")))
        by_eye = [named["src"] for tag, named in
                  Page(common.text(os.path.join(into, "SEE", "index.html"))).tags
                  if tag == "img" and named["src"].startswith("photo")]
        self.assertEqual(len(by_eye), 1)
        self.assertTrue(os.path.exists(os.path.join(into, "SEE", by_eye[0])))


    def test_none_from_elsewhere_is_published(self):
        """A photograph that is not in the description's folder is refused, by name or by link."""
        above = common.workdir()
        folder = os.path.join(above, "shop")
        os.mkdir(folder)
        pathlib.Path(above, "secret.png").write_bytes(png(40, 30, b""))
        pathlib.Path(folder, "fine.png").write_bytes(png(40, 30, b""))
        os.symlink("../secret.png", os.path.join(folder, "link.png"))
        os.symlink("..", os.path.join(folder, "up"))
        path = os.path.join(folder, "seen.yaml")
        for photo in ("../secret.png", os.path.abspath(os.path.join(above, "secret.png")),
                      "link.png", "up/secret.png"):
            with self.subTest(photo=photo):
                pathlib.Path(path).write_text("harness: SEE\nconnectors:\n"
                                              f"  - {{id: X1, photo: {photo}}}\n", encoding="utf-8")
                said = common.run("check", path, expect=1).stderr
                self.assertIn("seen.yaml:3:21: error", said)
                self.assertIn("outside the folder of the description", said)
                self.assertIn("hint: copy the photo", said)
                for where in (["--pages", os.path.join(folder, "www")],
                              ["-o", os.path.join(folder, "out.pdf")]):
                    said = common.run("map", path, *where, expect=3).stderr
                    self.assertIn("seen.yaml:3:21: error", said)
                    self.assertFalse(os.path.exists(where[1]))
        pathlib.Path(path).write_text("harness: SEE\nconnectors:\n"
                                      "  - {id: X1, photo: fine.png}\n", encoding="utf-8")
        common.run("check", path)
        self.assertEqual(common.run("map", path, "-o", os.path.join(folder, "out.pdf"),
                                    "-q").stderr.count("photo"), 0)


# What does not fit: elements with text that are cut or stand out of the page, without those inside
# a box that scrolls by itself, and links that are too small.
MEASURE = """
const wide = document.documentElement.clientWidth, faults = [], small = [];
for (const e of document.body.querySelectorAll('*')) {
  if (e.closest('svg') || e.closest('details:not([open]) > :not(summary)')) continue;
  const box = e.getBoundingClientRect();
  const scrolls = e.closest('.wide');
  if (!scrolls && (box.left < -0.5 || box.right > wide + 0.5))
    faults.push('out: ' + e.outerHTML.slice(0, 80));
  const inline = getComputedStyle(e).display === 'inline';
  if (!scrolls && !inline && e.textContent.trim() &&
      (e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0 ||
       e.scrollHeight > e.clientHeight + 1 && getComputedStyle(e).overflowY !== 'visible'))
    faults.push('cut: ' + e.outerHTML.slice(0, 80));
  if ((e.tagName === 'A' || e.tagName === 'SUMMARY') && (box.height < arguments[0] - 0.01 ||
      box.width < arguments[0] - 0.01))
    small.push(e.outerHTML.slice(0, 80));
}
const number = document.querySelector('.number');
return {wide: wide, scroll: document.documentElement.scrollWidth, faults: faults, small: small,
        links: document.querySelectorAll('a').length,
        number: number ? parseFloat(getComputedStyle(number).fontSize) : 0,
        body: parseFloat(getComputedStyle(document.body).fontSize),
        styled: getComputedStyle(document.querySelector('main')).display === 'block'};
"""


class Seen(unittest.TestCase):
    """As Chromium shows the pages."""

    def test_in_a_browser(self):
        work = common.workdir()
        folder = os.path.join(work, "pages")
        paths = ["/"]
        for name in common.SAMPLES:
            path = common.sample(work, name)
            listing = common.tags(path)
            write_map(path, folder)
            paths += [f"/{listing['code']}"]
            paths += ["/" + tag["codes"][side] for tag in listing["tags"][:40:3]
                      for side in tag["sides"]]
        # Long words, and numbers of five digits.
        path = os.path.join(work, "long.yaml")
        pathlib.Path(path).write_text(
            "harness: LONGESTCODE\ncomponents:\n  - {id: M1, fate: replace, name: "
            f"{'Verschlussdeckel' * 4}}}\nconnectors:\n  - {{id: X1, name: {'wheelhouse' * 8}, "
            f"mates: M1, place: {'x' * 90}, ways: 2, wires: {{1: WHRD, 2: GYPK}}}}\n",
            encoding="utf-8")
        pathlib.Path(os.path.join(work, "long.tags")).write_text(
            "loomtag register 1 LONGESTCODE\n88888 X1 -\n", encoding="utf-8")
        listing = common.tags(path)
        write_map(path, folder)
        paths += [f"/{listing['code']}"] + ["/" + c for c in listing["tags"][0]["codes"].values()]
        with Server(folder) as server:
            self.look(server, paths, work)

    def look(self, server, paths, work):
        with browser.Browser() as window:
            for size, phone in ((browser.PHONE, True), (browser.DESK, False)):
                window.open_window(size, phone)
                for path in paths:
                    with self.subTest(path=path, wide=size[0]):
                        window.go(server.base + path)
                        self.check(window.script(MEASURE, TARGET), path, size)
                    if path in paths[1:3]:
                        window.picture(os.path.join(work, f"seen{path.replace('/', '-')}-{size[0]}"
                                                          ".png"))

    def check(self, seen, path, size):
        self.assertLessEqual(seen["scroll"], seen["wide"])
        self.assertTrue(size[0] - 20 <= seen["wide"] <= size[0], seen["wide"])
        self.assertEqual(seen["faults"], [])
        self.assertEqual(seen["small"], [])
        self.assertGreater(seen["links"], 1)
        self.assertGreaterEqual(seen["body"], 16)
        self.assertTrue(seen["styled"])
        if re.match(r"/\d", path):
            self.assertGreaterEqual(seen["number"], 4 * seen["body"])


if __name__ == "__main__":
    unittest.main()
