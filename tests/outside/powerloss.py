"""What a disk may hold after the mains failed: the program's own operations on its files, logged by
power_log.c, are replayed up to a moment; what was not yet put on disk is kept, lost, or spoilt."""

import hashlib
import os
import subprocess
import tempfile
import time
from typing import NamedTuple

import common

SECTOR = 512
SYNCS = ("fsync", "fdatasync")


class Record(NamedTuple):
    """One line of the log; `name` and `other` are inside the folder, "" is the folder itself."""
    what: str
    inode: int
    number: int
    data: bytes
    name: str | None
    other: str | None


def build(folder):
    """The library that logs; the compiler must have nothing to say of it."""
    library = os.path.join(os.path.abspath(folder), "power_log.so")
    common.quiet("cc", "-std=c17", "-O1", "-Wall", "-Wextra", "-shared", "-fPIC", "-o", library,
                 os.path.join(common.ROOT, "tests", "outside", "power_log.c"))
    return library


class Log:
    """Runs the program on a folder, one run after the other, and reads what they logged."""

    def __init__(self, folder, library):
        self.folder = os.path.realpath(folder)
        # Beside the folder, since it is not part of it.
        self.path = self.folder + ".log"
        open(self.path, "wb").close()
        self.library = library
        self.records = []
        self.taken = 0
        # What is there before is on disk.
        self.before = self.files()

    def files(self):
        return {name: common.data(os.path.join(self.folder, name))
                for name in os.listdir(self.folder)}

    def start(self, *arguments, stop=None, **more):
        environment = dict(os.environ, SOURCE_DATE_EPOCH=common.EPOCH, LOGNAME="Ada",
                           LD_PRELOAD=self.library, POWER_LOG=self.path,
                           POWER_FOLDER=self.folder, **({"POWER_STOP": str(stop)} if stop else {}))
        return subprocess.Popen([common.PROGRAM, *map(str, arguments)], env=environment,
                                stderr=subprocess.PIPE, text=True, **more)

    def run(self, *arguments, codes=(0,), stop=None):
        """One run with nothing to type; its answers are in the log."""
        with self.start(*arguments, stop=stop, stdin=subprocess.DEVNULL,
                        stdout=subprocess.DEVNULL) as process:
            said = process.communicate(timeout=60)[1]
        if process.returncode not in codes:
            raise AssertionError(f"loomtag {arguments}: exit code {process.returncode}\n{said}")
        self.read()

    def live(self, *arguments, lines, codes=(0,)):
        """One run on a pipe. A line is given when the one before it was answered and the program
        waits for more, by the log and not by what it says. Ends with the program or the lines."""
        with self.start(*arguments, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL,
                        bufsize=1) as process:
            done = self.wait(process, ["ask"])
            for line in lines:
                if done:
                    break
                process.stdin.write(line + "\n")
                done = self.wait(process, ["given", "answer", "ask"])
            said = process.communicate(timeout=60)[1]
        if process.returncode not in codes:
            raise AssertionError(f"loomtag {arguments}: exit code {process.returncode}\n{said}")
        self.read()

    def wait(self, process, kinds):
        """Until these were logged one after the other; true when the program ended instead."""
        at, end = len(self.records), time.monotonic() + 20
        while True:
            self.read()
            for record in self.records[at:]:
                if record.what == "exit":
                    return True
                if kinds and record.what == kinds[0]:
                    kinds = kinds[1:]
            at = len(self.records)
            if not kinds:
                return False
            if time.monotonic() > end or process.poll() is not None:
                raise AssertionError(f"the program logged no {kinds[0]}")
            time.sleep(0.001)

    def read(self):
        """Takes in the records that are new and whole."""
        with open(self.path, "rb") as log:
            log.seek(self.taken)
            fresh = log.read()
        at = 0
        while (end := fresh.find(b"\n", at)) >= 0:
            what, inode, number, length, *names = fresh[at:end].decode().split("\t")
            behind = end + 1 + int(length)
            if behind >= len(fresh):
                break
            if what == "unknown":
                raise AssertionError(f"the replay knows nothing of system call {number}")
            self.records.append(Record(what, int(inode), int(number), fresh[end + 1:behind],
                                       *map(self.inside, names)))
            at = behind + 1
        self.taken += at

    def inside(self, path):
        """A name in the folder; None for what is elsewhere."""
        path = os.path.normpath(path) if path else "/"
        if path == self.folder:
            return ""
        folder, name = os.path.split(path)
        return name if folder == self.folder else None


class File:
    """One file: what is on disk, and what is still under way there."""

    def __init__(self, durable=b""):
        self.durable = durable
        self.forget()

    def forget(self):
        self.now = bytearray(self.durable)
        self.sizes = [len(self.durable)]
        self.sectors = {}       # of those changed since: every content that there was, in order

    def sector(self, number):
        return bytes(self.now[number * SECTOR:(number + 1) * SECTOR]).ljust(SECTOR, b"\0")

    def change(self, start, end, now):
        touched = range(start // SECTOR, -(-end // SECTOR))
        for number in touched:
            self.sectors.setdefault(number, [self.sector(number)])
        self.now = now
        for number in touched:
            self.sectors[number].append(self.sector(number))
        self.sizes.append(len(now))

    def write(self, offset, data):
        now = self.now.ljust(offset, b"\0")
        now[offset:offset + len(data)] = data
        self.change(offset, offset + len(data), now)

    def truncate(self, size):
        self.change(min(size, len(self.now)), max(size, len(self.now)),
                    self.now[:size].ljust(size, b"\0"))

    def sync(self):
        self.durable = bytes(self.now)
        self.forget()

    def after(self, fate):
        """The content after the mains failed, as `fate` decides."""
        size = fate.size(self.sizes)
        content = bytearray(self.durable.ljust(max(self.sizes), b"\0"))
        for number, contents in sorted(self.sectors.items()):
            content[number * SECTOR:(number + 1) * SECTOR] = fate.sector(contents)
        return bytes(content[:size])


class Disk:
    """The folder: its files by name, as the running program sees it and as it is on disk."""

    def __init__(self, before):
        self.durable = {name: File(data) for name, data in before.items()}
        self.names = dict(self.durable)
        self.pending = []       # changes of names that are under way: (name, file or None) each
        self.by_inode = {}

    def change_names(self, *changes):
        """Changes of names that are made all at once."""
        self.pending.append(changes)
        self.put(self.names, changes)

    @staticmethod
    def put(names, changes):
        for name, file in changes:
            if file is None:
                names.pop(name)
            else:
                names[name] = file

    def do(self, record):
        what, name = record.what, record.name
        if name is None or (name == "" and what not in SYNCS):
            return
        if what == "open":
            if name not in self.names:
                assert record.number & os.O_CREAT, record
                self.change_names((name, File()))
            self.by_inode[record.inode] = self.names[name]
            if record.number & os.O_TRUNC:
                self.names[name].truncate(0)
        elif what == "write":
            self.by_inode[record.inode].write(record.number, record.data)
        elif what == "truncate":
            self.by_inode[record.inode].truncate(record.number)
        elif what in SYNCS and name == "":
            self.durable, self.pending = dict(self.names), []
        elif what in SYNCS:
            self.by_inode[record.inode].sync()
        elif what == "unlink":
            self.change_names((name, None))
        elif what == "rename":
            assert record.other, record
            self.change_names((record.other, self.names[name]), (name, None))
        else:
            assert what == "close", record

    def after(self, fate):
        """The files after the mains failed, as `fate` decides."""
        names = dict(self.durable)
        for changes in self.pending[:fate.names(len(self.pending))]:
            self.put(names, changes)
        return {name: file.after(fate) for name, file in names.items()}

    def now(self):
        return {name: bytes(file.now) for name, file in self.names.items()}


class Fate:
    """What becomes of all that is under way: content "kept", "lost" or "spoilt", and all changes of
    names kept or none; by chance where it is left out."""

    def __init__(self, random, content=None, names=None):
        self.random, self.content, self.all_names = random, content, names
        self.chances = [random.random() for _ in range(3)]

    def names(self, count):
        if self.all_names is None:
            return self.random.randint(0, count)
        return count if self.all_names else 0

    def size(self, sizes):
        if self.content is None:
            return self.random.choice(sizes)
        return sizes[0 if self.content == "lost" else -1]

    def sector(self, contents):
        """One sector, of the contents that it had since it was on disk."""
        fate = self.content or self.random.choices(["kept", "lost", "spoilt"], self.chances)[0]
        if fate == "spoilt":
            return self.random.randbytes(SECTOR)
        if fate == "lost":
            return contents[0]
        return contents[-1] if self.content else self.random.choice(contents)


def fates(random, draws):
    """The extremes, and some by chance."""
    for content in ("kept", "lost", "spoilt"):
        for names in (True, False):
            yield Fate(random, content, names)
    for _ in range(draws):
        yield Fate(random)


def key(files):
    """Tells contents of a folder apart."""
    whole = hashlib.sha256()
    for name, data in sorted(files.items()):
        whole.update(b"%d %s %d\n" % (len(name), name.encode(), len(data)) + data)
    return whole.digest()


def put(folder, files):
    for name, data in files.items():
        with open(os.path.join(folder, name), "wb") as out:
            out.write(data)


def scratch():
    """A folder for states by the thousand: in memory where there is such a place."""
    place = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    return tempfile.TemporaryDirectory(prefix="loomtag-", dir=place)
