"""Pictures of symbols, and what happens to them: blots, blur, a bent surface, a farther camera. A
picture is its width, height and a byte a pixel, 255 for white."""

import math

QUIET = 4  # modules on every side, ISO/IEC 18004


def draw(modules, dots):
    """A symbol with its quiet zone, of so many dots a module."""
    size = (len(modules) + 2 * QUIET) * dots
    margin = b"\xff" * (QUIET * dots)
    rows = [margin * (size // len(margin)) + b"\xff" * (size % len(margin))] * (QUIET * dots)
    for row in modules:
        line = margin + b"".join(b"\x00" * dots if dark else b"\xff" * dots for dark in row) + margin
        rows += [line] * dots
    rows += rows[:QUIET * dots]
    return size, size, b"".join(rows)


def crop(picture, left, top, wide, tall):
    """A part of a picture; what is beyond its edge is white, as the liner is."""
    width, height, pixels = picture
    rows = []
    for y in range(top, top + tall):
        if not 0 <= y < height:
            rows.append(b"\xff" * wide)
            continue
        row = pixels[y * width + max(left, 0):y * width + min(left + wide, width)]
        rows.append(b"\xff" * max(-left, 0) + row + b"\xff" * max(left + wide - width, 0))
    return wide, tall, b"".join(rows)


def enlarge(picture, times):
    """The same picture of pixels `times` as fine, as a nearer camera sees it."""
    width, height, pixels = picture
    rows = []
    for y in range(height):
        row = pixels[y * width:(y + 1) * width]
        wide = bytearray(width * times)
        for step in range(times):
            wide[step::times] = row
        rows += [bytes(wide)] * times
    return width * times, height * times, b"".join(rows)


def blot(picture, left, top, wide, tall, value):
    """A rectangle of one shade over whatever is there."""
    width, height, pixels = picture
    rows = bytearray(pixels)
    for y in range(top, top + tall):
        rows[y * width + left:y * width + left + wide] = bytes([value]) * wide
    return width, height, bytes(rows)


def turn(picture):
    """Rows for columns, which shows a symbol in a mirror; twice is none."""
    width, height, pixels = picture
    return height, width, b"".join([pixels[x::width] for x in range(width)])


def gaussian(sigma):
    """The share of a Gaussian blur that comes from left of x; all in modules."""
    return lambda x: (1 + math.erf(x / (sigma * math.sqrt(2)))) / 2


def box(width):
    """The same of a box: what lies within half its width is mixed in equal shares."""
    return lambda x: min(1, max(0, 0.5 + x / width))


def photograph(modules, pixels, share):
    """A symbol with its quiet zone as a camera sees it that has `pixels` to a module, which need
    not be whole, through a blur. The blur goes along rows and columns by turns, so each pixel is
    the sum of modules by the product of their shares."""
    count = len(modules) + 2 * QUIET
    size = int(count * pixels)
    reach = []  # of each pixel of a row the modules that it sees, and how much of each
    for at in range(size):
        x = (at + 0.5) / pixels - QUIET
        shares = [(module, share(module + 1 - x) - share(module - x))
                  for module in range(max(0, int(x) - 3), min(len(modules), int(x) + 4))]
        reach.append([(module, part) for module, part in shares if part > 1e-4])
    across = [[sum(part for module, part in seen if row[module]) for seen in reach]
              for row in modules]
    rows = []
    for seen in reach:
        line = [0.0] * size
        for module, part in seen:
            line = [value + part * ink for value, ink in zip(line, across[module])]
        rows.append(bytes([round(255 * (1 - ink)) for ink in line]))
    return size, size, b"".join(rows)


def wind(picture, degrees, share, scale):
    """A picture wound round a cylinder whose axis is level, seen straight from the front from far
    away: what lies y along the surface from the middle is seen at R sin(y / R). The middle `share`
    of its height goes round `degrees`. One pixel is 1/scale of the picture's."""
    width, height, pixels = picture
    radius = height * share / math.radians(degrees)
    edge = radius * math.sin(min(height / 2 / radius, math.pi / 2))
    rows = []
    columns = [min(width - 1, int((x + 0.5) / scale)) for x in range(int(width * scale))]
    for y in range(int(2 * edge * scale)):
        along = height / 2 + radius * math.asin(max(-1, min(1, ((y + 0.5) / scale - edge) / radius)))
        row = min(height - 1, max(0, int(along))) * width
        line = pixels[row:row + width]
        rows.append(bytes([line[x] for x in columns]))
    return len(columns), len(rows), b"".join(rows)
