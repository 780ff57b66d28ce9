"""Photographs as a phone takes them of stickers at a joint: each sticker lies anyhow in front of a
busy ground, tilted away from the camera, in uneven light, blurred, noisy, and packed as JPEG. Needs
numpy and Pillow; nothing here uses the program's own code."""

import io
import math

import numpy
from PIL import Image

EXIF_ORIENTATION = 0x0112
# How a picture is laid down for its EXIF orientation (TIFF 6.0, tag 274), so that a reader that
# heeds it sees the picture upright.
LAID_DOWN = {1: None, 2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180,
             4: Image.Transpose.FLIP_TOP_BOTTOM, 5: Image.Transpose.TRANSPOSE,
             6: Image.Transpose.ROTATE_90, 7: Image.Transpose.TRANSVERSE,
             8: Image.Transpose.ROTATE_270}


def ground(random, width, height):
    """A workbench and a loom: boxes, wires and grain of many sizes and shades."""
    shade = numpy.zeros((height, width), numpy.float32)
    for size in (256, 64, 16):
        coarse = random.normal(0, 22, (height // size + 2, width // size + 2))
        image = Image.fromarray(coarse.astype(numpy.float32))
        shade += numpy.asarray(image.resize((width, height), Image.Resampling.BILINEAR))
    shade += 110
    for _ in range(40):
        wide, tall = random.integers(10, width // 5), random.integers(6, height // 5)
        left, top = random.integers(0, width - wide), random.integers(0, height - tall)
        shade[top:top + tall, left:left + wide] = random.integers(20, 230)
    for _ in range(12):  # wires: stripes that cross the picture
        thick, slope = random.integers(4, width // 60 + 6), random.uniform(-0.5, 0.5)
        middle = random.uniform(0, height) + slope * numpy.arange(width)
        for x in range(width):
            top = int(middle[x])
            shade[max(top, 0):max(top + thick, 0), x] = 40 + 15 * (x % 90 < 20)
    return shade


def corners(wide, tall, middle, turn, tilt, towards):
    """Where the corners of a sticker come to lie, in pixels: turned in its plane, then tilted about
    a level axis that is itself turned by `towards`, seen from six times its size away."""
    distance = 6 * max(wide, tall)
    found = []
    for x, y in ((-wide / 2, -tall / 2), (wide / 2, -tall / 2), (wide / 2, tall / 2),
                 (-wide / 2, tall / 2)):
        for angle in (turn, -towards):
            c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            x, y = c * x - s * y, s * x + c * y
        z = y * math.sin(math.radians(tilt))
        y *= math.cos(math.radians(tilt))
        c, s = math.cos(math.radians(towards)), math.sin(math.radians(towards))
        x, y = c * x - s * y, s * x + c * y
        nearer = distance / (distance + z)
        found.append((middle[0] + x * nearer, middle[1] + y * nearer))
    return found


def projection(source, target):
    """The eight numbers that take points of the target to points of the source."""
    rows, right = [], []
    for (u, v), (x, y) in zip(source, target, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    return numpy.linalg.solve(numpy.array(rows), numpy.array(right))


def place(shade, sticker, module, wanted, middle, turn=0, tilt=0, towards=0):
    """Lays a sticker (grey bytes, `module` pixels a module) on the picture so that a module that is
    not tilted is `wanted` pixels. Nine points a pixel, so that it is not ragged."""
    fine = 3
    tall, wide = sticker.shape
    scale = wanted / module
    at = corners(wide * scale, tall * scale, middle, turn, tilt, towards)
    left, top = (math.floor(min(point[axis] for point in at)) - 1 for axis in (0, 1))
    right, low = (math.ceil(max(point[axis] for point in at)) + 1 for axis in (0, 1))
    numbers = projection([(0, 0), (wide, 0), (wide, tall), (0, tall)],
                         [((x - left) * fine, (y - top) * fine) for x, y in at])
    size = ((right - left) * fine, (low - top) * fine)
    small = (right - left, low - top)
    how = {"resample": Image.Resampling.BILINEAR}
    ink = Image.fromarray(sticker).transform(size, Image.Transform.PERSPECTIVE, numbers,
                                             fillcolor=255, **how)
    cover = Image.fromarray(numpy.full_like(sticker, 255)).transform(
        size, Image.Transform.PERSPECTIVE, numbers, fillcolor=0, **how)
    ink, cover = (numpy.asarray(one.resize(small, Image.Resampling.BOX), numpy.float32)
                  for one in (ink, cover))
    part = shade[top:low, left:right]
    if part.shape != ink.shape:
        raise ValueError("the sticker reaches beyond the picture")
    paper = 40 + ink * (190 / 255)  # black is not quite black, white not quite white
    part += (paper - part) * (cover / 255)


def blurred(shade, sigma):
    """A Gaussian blur along rows, then columns."""
    if sigma <= 0:
        return shade
    reach = math.ceil(3 * sigma)
    weights = numpy.exp(-numpy.arange(-reach, reach + 1) ** 2 / (2 * sigma * sigma))
    weights = (weights / weights.sum()).astype(numpy.float32)
    for axis in (0, 1):
        edges = [(0, 0), (0, 0)]
        edges[axis] = (reach, reach)
        padded = numpy.pad(shade, edges, "edge")
        length = shade.shape[axis]
        shade = sum(weight * padded.take(range(k, k + length), axis)
                    for k, weight in enumerate(weights))
    return shade


def lit(random, shade, least):
    """Light that falls off to `least` of itself across the picture, and the edge of a shadow."""
    height, width = shade.shape
    angle = random.uniform(0, 2 * math.pi)
    x = numpy.linspace(-1, 1, width, dtype=numpy.float32)[None, :]
    y = numpy.linspace(-1, 1, height, dtype=numpy.float32)[:, None]
    along = (math.cos(angle) * x + math.sin(angle) * y) / math.sqrt(2)
    light = least + (1 - least) * (along + 1) / 2
    light = light * numpy.where(math.sin(angle) * x - math.cos(angle) * y > 0.2, least, 1)
    return shade * light


def finish(random, shade, noise):
    """Noise of the sensor, and whole bytes."""
    if noise > 0:
        shade = shade + random.standard_normal(shade.shape, numpy.float32) * noise
    return Image.fromarray(shade.clip(0, 255).astype(numpy.uint8))


def save(image, path, quality=85, orientation=None):
    """As JPEG in colour, or as PNG by the ending."""
    image = image.convert("RGB")
    options = {} if str(path).endswith(".png") else {"quality": quality}
    if orientation is not None:
        laid = LAID_DOWN[orientation]
        image = image if laid is None else image.transpose(laid)
        exif = Image.Exif()
        exif[EXIF_ORIENTATION] = orientation
        options["exif"] = exif
    data = io.BytesIO()
    image.save(data, "PNG" if str(path).endswith(".png") else "JPEG", **options)
    with open(path, "wb") as out:
        out.write(data.getvalue())
