"""A reader of PWG Raster, written from PWG 5102.4-2012 alone: what arrived at a printer, a byte a
pixel, with 0 for black. It accepts nothing that the standard does not allow."""

import struct

SYNC = b"RaS2"
HEADER = 1796
# Where the header's four-byte fields are (table 3 of the standard).
FIELDS = {"CutMedia": 268, "Duplex": 272, "InsertSheet": 300, "Jog": 304, "LeadingEdge": 308,
          "MediaPosition": 324, "MediaWeightMetric": 328, "NumCopies": 340, "Orientation": 344,
          "Tumble": 368, "Width": 372, "Height": 376, "BitsPerColor": 384, "BitsPerPixel": 388,
          "BytesPerLine": 392, "ColorOrder": 396, "ColorSpace": 400, "NumColors": 420,
          "TotalPageCount": 452, "CrossFeedTransform": 456, "FeedTransform": 460,
          "ImageBoxLeft": 464, "ImageBoxTop": 468, "ImageBoxRight": 472, "ImageBoxBottom": 476,
          "AlternatePrimary": 480, "PrintQuality": 484, "VendorIdentifier": 508,
          "VendorLength": 512}
PAIRS = {"HWResolution": 276, "PageSize": 352}
TEXTS = {"PwgRaster": 0, "MediaColor": 64, "MediaType": 128, "PrintContentOptimize": 192,
         "RenderingIntent": 1668, "PageSizeName": 1732}
# What must be zero: (first, one past the last). So must bytes 284 to 299, but libcups leaves a box of
# points there, and readers pass over them.
RESERVED = [(256, 268), (312, 324), (332, 340), (348, 352), (360, 368), (380, 384),
            (404, 420), (424, 452), (488, 508), (1604, 1668)]
# Colour spaces of one component, and whether their highest value is black.
BLACK, SGRAY = 3, 18
HIGH_IS_BLACK = {BLACK: True, SGRAY: False}


class Bad(AssertionError):
    """The stream breaks the standard."""


def insist(holds, complaint):
    if not holds:
        raise Bad(f"PWG Raster: {complaint}")


class Page:
    """One page: its header's fields by the standard's names, and `rows` of bytes, as sent."""

    def __init__(self, header, rows):
        self.header, self.rows = header, rows
        self.width, self.height = header["Width"], header["Height"]
        self.resolution = header["HWResolution"]

    def pixels(self):
        """A byte a pixel, 0 black and 255 white."""
        high = HIGH_IS_BLACK[self.header["ColorSpace"]]
        if self.header["BitsPerPixel"] == 8:
            whole = b"".join(self.rows)
            return whole.translate(bytes(range(255, -1, -1))) if high else whole
        on, off = (0, 255) if high else (255, 0)
        spread = [bytes(on if byte >> (7 - bit) & 1 else off for bit in range(8))
                  for byte in range(256)]
        return b"".join(b"".join(spread[byte] for byte in row)[:self.width] for row in self.rows)

    def write_pgm(self, path):
        with open(path, "wb") as out:
            out.write(b"P5 %d %d 255\n" % (self.width, self.height) + self.pixels())
        return path


def read_header(block):
    header = {name: struct.unpack_from(">I", block, at)[0] for name, at in FIELDS.items()}
    header.update({name: struct.unpack_from(">II", block, at) for name, at in PAIRS.items()})
    for name, at in TEXTS.items():
        text, _, rest = block[at:at + 64].partition(b"\0")
        insist(len(text) < 64, f"{name} is not ended by a zero byte")
        insist(not rest.strip(b"\0"), f"{name} has bytes after its end")
        header[name] = text.decode("utf-8")
    check_header(header, block)
    return header


def check_header(header, block):
    insist(header["PwgRaster"] == "PwgRaster", f"the header begins {header['PwgRaster']!r}")
    for first, last in RESERVED:
        insist(not block[first:last].strip(b"\0"), f"reserved bytes {first}-{last - 1} are not 0")
    bits = header["BitsPerPixel"]
    insist((header["ColorSpace"], header["BitsPerColor"], bits)
           in ((BLACK, 1, 1), (BLACK, 8, 8), (SGRAY, 1, 1), (SGRAY, 8, 8)),
           f"colour space {header['ColorSpace']} of {header['BitsPerColor']} bits in {bits}")
    insist(header["NumColors"] == 1, f"{header['NumColors']} colours")
    insist(header["ColorOrder"] == 0, f"colour order {header['ColorOrder']}")
    insist(header["Width"] > 0 and header["Height"] > 0, "an empty page")
    insist(header["BytesPerLine"] == (header["Width"] * bits + 7) // 8,
           f"{header['BytesPerLine']} bytes a line of {header['Width']} pixels")
    for side in (0, 1):
        insist(header["HWResolution"][side] > 0, "no resolution")
        # Points are rounded, and so are dots.
        dots = header["PageSize"][side] * header["HWResolution"][side] / 72
        insist(abs(dots - header[("Width", "Height")[side]]) <= header["HWResolution"][side] / 72,
               f"a page of {header['PageSize']} points has {header['Width']} x "
               f"{header['Height']} dots")
    for name in ("CrossFeedTransform", "FeedTransform"):
        insist(header[name] in (1, 0xffffffff), f"{name} is {header[name]}")


def read_rows(stream, at, header):
    """The rows of one page: each line has a count of repeats, then runs of pixels or bytes."""
    unit = max(header["BitsPerPixel"] // 8, 1)
    length, rows = header["BytesPerLine"], []
    while len(rows) < header["Height"]:
        insist(at < len(stream), f"it ends in line {len(rows)} of {header['Height']}")
        repeats, at = stream[at] + 1, at + 1
        line = bytearray()
        while len(line) < length:
            insist(at < len(stream), f"it ends within line {len(rows)}")
            run, at = stream[at], at + 1
            insist(run != 128, f"a run of no known kind in line {len(rows)}")
            take = unit if run < 128 else (257 - run) * unit
            insist(at + take <= len(stream), f"it ends within line {len(rows)}")
            line += stream[at:at + take] * (run + 1 if run < 128 else 1)
            at += take
        insist(len(line) == length, f"line {len(rows)} has {len(line)} bytes, not {length}")
        rows += [bytes(line)] * repeats
        insist(len(rows) <= header["Height"], f"more than {header['Height']} lines")
    return rows, at


def pages(path):
    """The pages of a file one by one, until the first that breaks the standard, which is raised."""
    with open(path, "rb") as source:
        stream = source.read()
    insist(stream[:4] == SYNC, f"it begins {stream[:4]!r}")
    at = 4
    while at < len(stream):
        insist(at + HEADER <= len(stream), f"{len(stream) - at} bytes after the last page")
        header = read_header(stream[at:at + HEADER])
        rows, at = read_rows(stream, at + HEADER, header)
        yield Page(header, rows)


def read(path):
    """All pages of a file, which is as the standard wants it."""
    found = list(pages(path))
    insist(found, "it has no page")
    for page in found:
        count = page.header["TotalPageCount"]
        insist(count in (0, len(found)), f"a total of {count} pages, but there are {len(found)}")
    return found
