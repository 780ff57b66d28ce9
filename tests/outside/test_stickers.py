"""Sticker sheets, judged by poppler, qpdf and zbar."""

import os
import re
import shutil
import struct
import unittest

import common


class Stickers(unittest.TestCase):
    def check_pdf(self, name, layout, resolutions, *options):
        folder = common.workdir()
        path = common.sample(folder, name)
        pdf = os.path.join(folder, "out.pdf")
        common.run("stickers", path, "-o", pdf, "--layout", layout, *options)
        listing = common.tags(path)
        wanted = common.expected_codes(listing, common.text(path))
        common.quiet("qpdf", "--check", pdf)
        text = common.quiet("pdftotext", "-layout", pdf, "-")
        for code in wanted:
            tag = re.match(r"\d+[HMX]", code)[0]
            self.assertRegex(text, rf"(?<![0-9A-Z]){tag}(?![0-9A-Z])")
        for dpi in resolutions:
            labels = []
            for page in common.rasterise(pdf, dpi, folder):
                labels += common.cut(page, dpi, common.label_places(layout), folder)
            payloads = common.decode(labels)
            self.assertEqual([len(found) for found in payloads], [1] * len(wanted),
                             f"{name} on {layout} at {dpi} dpi")
            codes = common.scan_codes([found[0] for found in payloads])
            self.assertEqual(sorted(codes), wanted)
        shutil.rmtree(folder)

    def test_every_sample_decodes_at_three_resolutions(self):
        for name in common.SAMPLES:
            with self.subTest(sample=name):
                self.check_pdf(name, "a4-3x8", (203, 300, 600))

    def test_sheets_decode_at_resolutions_that_no_symbol_was_made_for(self):
        for layout in ("a4-3x8", "a4-5x13"):
            with self.subTest(layout=layout):
                self.check_pdf("dome-shutter", layout, (150, 254, 720))

    def test_every_layout_decodes(self):
        for layout in ("a4-3x8", "a4-5x13", "a4-cut", "letter-cut", "letter-3x10", "roll-54x25", "roll-25x13"):
            for payload in ("auto", "code"):
                with self.subTest(layout=layout, payload=payload):
                    self.check_pdf("dome-shutter", layout, (300,), "--payload", payload)

    def test_pngs_decode_and_know_their_size(self):
        for name in common.SAMPLES:
            for layout, dpi in (("a4-3x8", 300), ("roll-54x25", 203), ("roll-25x13", 300)):
                with self.subTest(sample=name, layout=layout):
                    self.check_png(name, layout, dpi)

    def check_png(self, name, layout, dpi):
        folder = common.workdir()
        path = common.sample(folder, name)
        common.run("stickers", path, "-o", os.path.join(folder, "out.png"), "--layout", layout)
        wanted = common.expected_codes(common.tags(path), common.text(path))
        pngs = sorted(os.path.join(folder, file) for file in os.listdir(folder)
                      if re.fullmatch(r"out(-\d+)?\.png", file))
        width, height = common.numbers(common.layout(layout).get("page")
                                       or common.layout(layout)["label"])
        labels = []
        for png in pngs:
            head = common.data(png)
            # ISO/IEC 15948: IHDR is first; pHYs holds pixels a metre.
            self.assertEqual(head[12:16], b"IHDR")
            wide, tall, depth = struct.unpack(">IIB", head[16:25])
            self.assertEqual(depth, 1)
            self.assertAlmostEqual(wide, width / 25.4 * dpi, delta=1)
            self.assertAlmostEqual(tall, height / 25.4 * dpi, delta=1)
            at = head.index(b"pHYs")
            per_metre = struct.unpack(">I", head[at + 4:at + 8])[0]
            self.assertEqual(per_metre, {203: 7992, 300: 11811}[dpi])
            pgm = png[:-4] + ".pgm"
            common.write_pgm(pgm, *common.png_pixels(png))
            labels += common.cut(pgm, dpi, common.label_places(layout), folder)
        payloads = common.decode(labels)
        self.assertEqual([len(found) for found in payloads], [1] * len(wanted))
        self.assertEqual(sorted(common.scan_codes([found[0] for found in payloads])), wanted)
        shutil.rmtree(folder)

    def test_check_characters_by_the_standard(self):
        # The published example of the Global Release Identifier standard.
        self.assertEqual(common.check_character("A12425GABC1234002"), "M")
        folder = common.workdir()
        for name in common.SAMPLES:
            for tag in common.tags(common.sample(folder, name))["tags"]:
                for side, code in tag["codes"].items():
                    self.assertEqual(code[-1], common.check_character(code[:-1]))
                    self.assertTrue(code.startswith(f"{tag['number']}{side}"))
        shutil.rmtree(folder)

    def test_same_input_same_bytes(self):
        folder = common.workdir()
        path = common.sample(folder, "dome-shutter")
        outputs = []
        for run in ("1", "2"):
            for kind in ("pdf", "png"):
                common.run("stickers", path, "-o", os.path.join(folder, f"{run}.{kind}"))
            common.run("checklist", path, "-o", os.path.join(folder, f"{run}-list.pdf"))
            outputs.append([common.data(os.path.join(folder, file))
                            for file in sorted(os.listdir(folder)) if file.startswith(run)])
        self.assertEqual(outputs[0], outputs[1])
        info = common.quiet("pdfinfo", "-isodates", os.path.join(folder, "1.pdf"))
        self.assertIn("2023-11-14T22:13:20Z", info)  # 1700000000 s after 1970-01-01
        self.assertIn("Observatory dome", info)
        shutil.rmtree(folder)

    def test_only_and_start(self):
        folder = common.workdir()
        path = common.sample(folder, "mast-head")
        pdf = os.path.join(folder, "out.pdf")
        common.run("stickers", path, "-o", pdf, "--only", "2-3,4M", "--start", "23")
        places = common.label_places("a4-3x8")
        got = []
        for page in common.rasterise(pdf, 300, folder):
            got.append(common.scan_codes(
                [found[0] for found in common.decode(common.cut(page, 300, places, folder))]))
        codes = {tag["number"]: tag["codes"] for tag in common.tags(path)["tags"]}
        self.assertEqual(sum(len(page) for page in got), 5)
        self.assertEqual(got[0][0], codes[2]["H"])
        self.assertEqual(sorted(sum(got, [])), sorted([codes[4]["M"], *codes[2].values(),
                                                      *codes[3].values()]))
        shutil.rmtree(folder)


if __name__ == "__main__":
    unittest.main()
