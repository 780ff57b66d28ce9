"""A terminal for the program to run in: a pseudo-terminal, and a screen that understands as much of
ECMA-48 as the program uses. It counts what inverse video blackens as ink, so that large tags can be
looked at, and remembers every screen that was shown."""

import errno
import fcntl
import os
import pty
import re
import select
import signal
import struct
import termios
import time

import common

# Whatever is asked, the cursor stands behind this.
PROMPT = re.compile(r".* > $")


class Ended(AssertionError):
    """The program is gone while something was waited for."""


class Screen:
    """What stands on it, from the bytes that came."""

    def __init__(self, columns, rows):
        self.columns, self.rows = columns, rows
        self.shown = []       # each screen before it was cleared
        self.rings = 0
        self.waiting = b""
        self.ink = False
        self.clear()

    def clear(self):
        self.cells = [[" "] * self.columns for _ in range(self.rows)]
        self.inked = [[False] * self.columns for _ in range(self.rows)]
        self.row = self.column = 0

    def line_down(self):
        if self.row + 1 < self.rows:
            self.row += 1
            return
        self.cells = self.cells[1:] + [[" "] * self.columns]
        self.inked = self.inked[1:] + [[False] * self.columns]

    def put(self, character):
        if character == "\r":
            self.column = 0
        elif character == "\n":
            self.line_down()
        elif character == "\b":
            self.column = max(0, self.column - 1)
        elif character == "\a":
            self.rings += 1
        elif character < " ":
            raise AssertionError(f"the program sent {character!r} to the terminal")
        else:
            if self.column == self.columns:
                self.column = 0
                self.line_down()
            self.cells[self.row][self.column] = character
            self.inked[self.row][self.column] = self.ink
            self.column += 1

    def control(self, sequence):
        """One control sequence; others than these the program has no reason to send."""
        if sequence == "\x1b[H":
            self.row = self.column = 0
        elif sequence == "\x1b[2J":
            self.shown.append(self.text())
            at = self.row, self.column
            self.clear()
            self.row, self.column = at
        elif re.fullmatch(r"\x1b\[[0-9;]*m", sequence):
            for number in sequence[2:-1].split(";"):
                if number in ("", "0", "27"):
                    self.ink = False
                elif number == "7":
                    self.ink = True
        else:
            raise AssertionError(f"the program sent {sequence!r} to the terminal")

    def feed(self, data):
        self.waiting += data
        try:
            text, self.waiting = self.waiting.decode("utf-8"), b""
        except UnicodeDecodeError as error:
            if len(self.waiting) - error.start >= 4:
                raise
            text = self.waiting[:error.start].decode("utf-8")
            self.waiting = self.waiting[error.start:]
        at = 0
        while at < len(text):
            if text[at] != "\x1b":
                self.put(text[at])
                at += 1
                continue
            found = re.compile(r"\x1b\[[0-9;]*[@-~]").match(text, at)
            if not found:
                break
            self.control(found[0])
            at = found.end()
        self.waiting = text[at:].encode() + self.waiting

    def text(self):
        return "\n".join("".join(row).rstrip() for row in self.cells).rstrip("\n")

    def is_asking(self):
        """Whether the cursor stands behind a question, with nothing typed yet."""
        return bool(PROMPT.match("".join(self.cells[self.row][:self.column])))

    def words(self):
        """The same with no line ends in it, as a person reads it."""
        return " ".join(self.text().split())

    def ink_rows(self):
        """The rows with ink, as '#' and blanks."""
        return ["".join("#" if dot else " " for dot in row).rstrip() for row in self.inked
                if any(row)]


class Terminal:
    """The program, running in a terminal of its own."""

    def __init__(self, *arguments, columns=80, rows=24, cwd=None, env=None, who="Ada"):
        """Who works is given with `who`, unless the arguments say it; None: it is asked for."""
        if who and arguments[0] == "verify" and "--who" not in arguments:
            arguments += ("--who", who)
        self.screen = Screen(columns, rows)
        self.raw = b""
        self.ended = False
        self.code = None
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            try:
                fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
                if cwd:
                    os.chdir(cwd)
                os.execve(common.PROGRAM, [common.PROGRAM, *map(str, arguments)],
                          dict(os.environ, TERM="xterm", LOGNAME="Ada", **(env or {})))
            finally:
                os._exit(127)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.kill()

    # What comes.

    def read(self, seconds):
        """Takes in what comes within so long; False at the end."""
        if self.ended or not select.select([self.fd], [], [], max(0, seconds))[0]:
            return not self.ended
        try:
            data = os.read(self.fd, 65536)
        except OSError as error:
            if error.errno != errno.EIO:
                raise
            data = b""
        self.ended = not data
        self.raw += data
        self.screen.feed(data)
        return not self.ended

    def go_on_reading(self, left, missing):
        if self.ended:
            raise Ended(f"{missing} at its end:\n{self.screen.text()}")
        if left <= 0:
            raise AssertionError(f"{missing}:\n{self.screen.text()}")
        self.read(min(left, 1))

    def wait(self, pattern, seconds=10, since=None):
        """Until the screen, read as one line, matches; with `since` a count of screens, only once
        there were more."""
        end = time.monotonic() + seconds
        while True:
            if since is None or len(self.screen.shown) > since:
                found = re.search(pattern, self.screen.words())
                if found:
                    return found
            left = end - time.monotonic()
            self.go_on_reading(left, f"no {pattern!r} on the screen")

    def asked(self, seconds=10, since=0):
        """Until the program asks for something, after so many bytes."""
        end = time.monotonic() + seconds
        while b"\n" not in self.raw[since:] or not self.screen.is_asking():
            left = end - time.monotonic()
            self.go_on_reading(left, "nothing is asked")
        return self.screen.words()

    def quiet(self, seconds):
        """Reads for so long, and says whether nothing came."""
        end, before = time.monotonic() + seconds, len(self.raw)
        while time.monotonic() < end and self.read(end - time.monotonic()):
            pass
        return len(self.raw) == before

    # What is typed.

    def send(self, data):
        data = data if isinstance(data, bytes) else data.encode()
        try:
            while data:
                data = data[os.write(self.fd, data):]
        except OSError as error:
            if error.errno != errno.EIO:
                raise
            raise Ended("nobody reads what is typed") from error

    def scan(self, code, end="\r"):
        """As a scanner types: all at once."""
        self.send(code + end)

    def person(self, words, end="\r"):
        """As a person types: slower than any scanner."""
        for character in words + end:
            self.send(character)
            self.quiet(0.05)

    def say(self, words, pattern="", seconds=10):
        """Types a word or a scan and waits until something is asked again; a pattern must be on the
        screen then. Returns the screen, read as one line."""
        since = len(self.raw)
        self.send(words + "\r")
        self.asked(seconds, since)
        if not re.search(pattern, self.screen.words()):
            raise AssertionError(f"after {words!r} no {pattern!r} on the screen:\n"
                                 f"{self.screen.text()}")
        return self.screen.words()

    # How it ends.

    def kill(self):
        """SIGKILL, at once; what it had written before is taken in."""
        if self.code is None:
            os.kill(self.pid, signal.SIGKILL)  # also when it has ended: nobody waited for it yet
            self.reap()

    def reap(self):
        while self.read(5):
            pass
        os.close(self.fd)
        self.code = os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])

    def finish(self, seconds=10):
        """Waits for the program to end by itself; gives its exit code and last screen."""
        end = time.monotonic() + seconds
        while self.read(end - time.monotonic()):
            if time.monotonic() >= end:
                raise AssertionError(f"does not end:\n{self.screen.text()}")
        if self.code is None:
            self.reap()
        if self.code < 0 or b"Sanitizer" in self.raw:
            raise AssertionError(f"crash ({self.code}):\n{self.screen.text()}")
        return self.code
