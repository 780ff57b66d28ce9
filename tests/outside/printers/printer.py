"""The print command of a printer on the bench: what the machine does with a document.

Usage: printer.py DOCUMENT, with BENCH_MANNER naming a file of steps, a line each:

    STATE: … ATTR: … INFO: … ERROR: …   is said to the printer program
    impressions FIRST-LAST [SECONDS]    counts labels out, one after the other
    all                                 counts all whole pages of all copies
    wait NAME                           goes on when the file NAME is beside the steps
    exit CODE                           ends the job

Without the file, or with one that is empty, all pages come out at once. Each run leaves a file
`began-N` beside the steps when it starts."""

import os
import pathlib
import re
import sys
import time

sys.dont_write_bytecode = True
sys.path.append(str(pathlib.Path(__file__).resolve().parents[1]))
import pwg

# As the back end of a queue, which is told of each page instead.
QUEUE = os.environ.get("BENCH_SPEAKS") == "queue"


def say(line):
    print(line, file=sys.stderr, flush=True)


def pages(document):
    """How many pages it is said to have, and how many of a raster are whole: a document of which a
    part got lost on the way is printed as far as it goes."""
    content = pathlib.Path(document).read_bytes()
    if content[:4] != pwg.SYNC:
        count = len(re.findall(rb"/Type\s*/Page\b", content)) or 1
        return count, count
    announced = whole = 0
    try:
        for page in pwg.pages(document):
            announced = page.header["TotalPageCount"]
            whole += 1
    except pwg.Bad as fault:
        say(f"DEBUG: {fault}")
    return announced or whole, whole


def step(line, document, folder):
    word, _, rest = line.partition(" ")
    if word in ("STATE:", "ATTR:", "INFO:", "ERROR:"):
        say(line)
    elif word == "impressions":
        span, _, seconds = rest.partition(" ")
        first, _, last = span.partition("-")
        for number in range(int(first), int(last or first) + 1):
            time.sleep(float(seconds or 0))
            say(f"PAGE: {number} 1" if QUEUE else f"ATTR: job-impressions-completed={number}")
    elif word == "all":
        for number in range(1, pages(document)[1] * int(os.environ.get("IPP_COPIES", "1")) + 1):
            step(f"impressions {number}", document, folder)
    elif word == "wait":
        while not (folder / rest).exists():
            time.sleep(0.02)
    elif word == "exit":
        sys.exit(int(rest))
    else:
        raise SystemExit(f"printer.py: no such step: {line}")


def main():
    manner = pathlib.Path(os.environ["BENCH_MANNER"])
    folder = manner.parent
    number = 1
    while (folder / f"began-{number}").exists():
        number += 1
    (folder / f"began-{number}").touch()
    document = sys.argv[1]
    if not QUEUE:
        say(f"ATTR: job-impressions={pages(document)[0]}")
    steps = manner.read_text(encoding="utf-8").split("\n") if manner.exists() else []
    for line in [line for line in steps if line.strip()] or ["all"]:
        step(line, document, folder)


if __name__ == "__main__":
    main()
