"""A bench of printers for the outside checks: printer programs, a print server and the services
that they need, in namespaces of their own, so that nothing outside is touched and nothing is left.

    with printers.Bench(folder) as bench:
        roll = bench.printer("roll", "roll-203")
        bench.run(["ipptool", "-tv", roll.uri, "get-printer-attributes.test"])

What runs inside reaches the printers on the loopback and finds them by DNS-SD. Files are the same
inside and outside, but for /run. Needs root: only root may make namespaces for these daemons."""

import json
import os
import pathlib
import plistlib
import re
import shutil
import signal
import subprocess
import sys
import time
import urllib.parse

HERE = pathlib.Path(__file__).resolve().parent / "printers"
# Debian packages that have the programs.
PROGRAMS = {"unshare": "util-linux", "nsenter": "util-linux", "setpriv": "util-linux",
            "mount": "mount", "dbus-daemon": "dbus-daemon", "avahi-daemon": "avahi-daemon",
            "ippeveprinter": "cups-ipp-utils", "ipptool": "cups-ipp-utils",
            "ippfind": "cups-ipp-utils", "cupsd": "cups-daemon", "lpadmin": "cups-client"}
PATH = "/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin"
# Seconds that anything may take on the slowest machine; nothing waits longer than it has to.
DEADLINE = 60
BUS = "/run/dbus/system_bus_socket"


def refused():
    """Why this user or machine can have no bench, so that its checks are passed over; else None."""
    if os.geteuid() != 0:
        return "the bench of printers needs root, to make namespaces"
    tried = subprocess.run(["unshare", "--mount", "--net", "--pid", "--uts", "--fork", "true"],
                           capture_output=True, text=True, check=False)
    if tried.returncode != 0:
        return f"no namespaces can be made here: {tried.stderr.strip()}"
    return None


def wait_for(what, ready, seconds=DEADLINE):
    """Polls until ready() gives something that is true, and returns that."""
    end = time.monotonic() + seconds
    pause = 0.01
    while True:
        answer = ready()
        if answer:
            return answer
        if time.monotonic() > end:
            raise AssertionError(f"{what}: not within {seconds} s")
        time.sleep(pause)
        pause = min(pause * 1.5, 0.2)


def progress(count, of, tag):
    """What a line of progress matches: how many are printed of how many, and the last of them."""
    return rf"\b{count} of {of}\b.*\b{tag}\b.*\n"


def done(count, layout="roll-54x25"):
    """What the line of a finished print matches: how many stickers, and of which layout."""
    return rf"\b{count} .*\b{re.escape(layout)}\b(?!-).*\n"


def dressed(path, base, changes):
    """Writes the attribute file printers/BASE.conf with other attributes to `path`, and returns
    that: `changes` has for each name what comes after it, such as {"media-ready": "keyword a4"},
    or None, for the attribute to be left out. It may well be nonsense."""
    kept, name = [], None
    for line in (HERE / f"{base}.conf").read_text(encoding="utf-8").splitlines(keepends=True):
        if line.startswith("ATTR "):
            name = line.split()[2]
        if name not in changes:
            kept.append(line)
    for name, given in changes.items():
        if given is not None:
            kind, _, value = given.partition(" ")
            kept.append(f"ATTR {kind} {name} {value}\n")
    pathlib.Path(path).write_text("".join(kept), encoding="utf-8")
    return os.path.abspath(path)


class Jobs:
    """What printers and queues share: a folder, visible to both sides, with the way they print."""

    def __init__(self, name, folder):
        self.name, self.folder = name, folder

    def manner(self, *steps):
        """How the jobs from now on are printed: the steps of printers/printer.py."""
        new = self.folder / "manner.new"
        new.write_text("".join(step + "\n" for step in steps), encoding="utf-8")
        new.replace(self.folder / "manner")

    def let(self, name):
        """Lets a job that does `wait NAME` go on."""
        (self.folder / name).touch()

    def begun(self, number=1):
        """Waits until it has begun to print its job of that number."""
        wait_for(f"job {number} on {self.name}", (self.folder / f"began-{number}").exists)


class Printer(Jobs):
    """One printer program."""

    def __init__(self, bench, name, port, folder, arguments):
        super().__init__(name, folder)
        self.bench, self.port, self.arguments = bench, port, arguments
        self.uri = f"ipp://localhost:{port}/ipp/print"
        self.secure_uri = f"ipps://localhost:{port}/ipp/print"
        self.spool = folder / "spool"
        self.log = folder / "log"

    def documents(self):
        """The documents that have arrived so far, oldest first. The printer names them
        JOB-TITLE.ENDING, and what the print command writes JOB-TITLE.prn."""
        return sorted((path for path in self.spool.iterdir() if path.suffix != ".prn"),
                      key=lambda path: int(path.name.split("-")[0]))

    def requests(self, operation=None):
        """The requests it has had, oldest first, as its log tells them: (operation, {name: value as
        text}), all or those of one operation."""
        found = []
        for told in re.findall(r"^Request:\n((?:[ ].*\n|\n)+)",
                               self.log.read_text(encoding="utf-8", errors="replace"), re.M):
            name = re.search(r"operation-id=([^(]*)", told)
            if not name:
                continue  # the last one, which is still being written
            name = name[1]
            values = dict(re.findall(r"^    (\S+) \([^)]*\) ?(.*)$", told, re.M))
            if operation in (None, name):
                found.append((name, values))
        return found

    def load(self, medium="", kind="", level=0):
        """Puts a medium of media-supported and media-type-supported in, or takes it out. At level 0
        the printer is out of labels, and jobs wait until there are some."""
        query = urllib.parse.urlencode({"size0": medium, "type0": kind, "level0": level})
        self.bench.run([sys.executable, "-c", FETCH, f"http://localhost:{self.port}/media?{query}"],
                       expect=0)

    def attributes(self, *names):
        """What the printer tells of itself: {name: value, or a list of them}."""
        return self.bench.attributes(self.uri, *names)

    def start(self):
        """Turns the printer on; it remembers no jobs."""
        command = self.folder / "command"
        command.write_text(f"#!/bin/sh\nexec '{sys.executable}' '{HERE / 'printer.py'}' \"$@\"\n",
                           encoding="utf-8")
        command.chmod(0o755)
        # Keys of its own: a client that found them among its own would trust the printer.
        keys = self.folder / "keys"
        keys.mkdir(exist_ok=True)
        self.bench.service(
            self.name, ["ippeveprinter", "-vv", "-p", self.port, "-k", "-d", self.spool, "-K", keys,
                        "-c", command, *self.arguments, self.name], self.log,
            env={"BENCH_MANNER": str(self.folder / "manner")})
        self.bench.listens(self.name, self.port, self.log)

    def stop(self):
        """Turns the printer off, in the middle of what it does."""
        self.bench.stop(self.name, signal=signal.SIGKILL)


class Proxy:
    """A faulty line to a printer, which does what printers/proxy.py says."""

    def __init__(self, bench, name, port, log):
        self.bench, self.name, self.port, self.log = bench, name, port, log
        self.uri = f"ipp://localhost:{port}/ipp/print"

    def faults(self):
        """The operations of the requests to which the fault was done."""
        return self.log.read_text(encoding="ascii").split()

    def stop(self):
        self.bench.stop(self.name)


class Bench:
    """The namespaces and what runs in them. Close it, or use it in a `with` statement."""

    def __init__(self, folder):
        lacking = sorted({package for program, package in PROGRAMS.items()
                          if not shutil.which(program, path=PATH)})
        if lacking:
            raise RuntimeError("the bench of printers needs the packages " + " ".join(lacking))
        self.folder = pathlib.Path(folder).resolve()
        self.folder.mkdir(parents=True, exist_ok=True)
        self.started, self.server, self.proxies = [], None, 0
        (self.folder / "home").mkdir(exist_ok=True)
        (self.folder / "no-config").mkdir(exist_ok=True)
        # The first process ends with its input, that is with this one, however it ends; and when
        # unshare is killed.
        with open(self.folder / "supervisor.log", "ab") as log:
            self.keeper = subprocess.Popen(
                ["unshare", "--mount", "--net", "--pid", "--uts", "--fork", "--kill-child",
                 sys.executable, str(HERE / "supervisor.py"), str(self.folder)],
                stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=log, text=True)
        try:
            self.pid = self._answer()["pid"]
            self._start_bus()
            self._start_discovery()
        except BaseException:
            self.close()
            raise

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()

    def close(self):
        for process in self.started:
            if process.poll() is None:
                process.kill()
            process.communicate()
        self.started = []
        if self.keeper:
            self.keeper.stdin.close()
            try:
                self.keeper.wait(DEADLINE)
            except subprocess.TimeoutExpired:
                self.keeper.kill()
                self.keeper.wait()
            self.keeper.stdout.close()
            self.keeper = None

    def environment(self, **more):
        """What programs inside need; the machine's own print server is out of reach."""
        return {"PATH": PATH, "LANG": "C.UTF-8", "HOME": str(self.folder / "home"),
                "USER": "bench", "TMPDIR": str(self.folder),
                "DBUS_SYSTEM_BUS_ADDRESS": f"unix:path={BUS}",
                "CUPS_SERVERROOT": str(self.folder / "no-config"),
                "CUPS_SERVER": self.server or "/run/no-print-server", **more}

    def start(self, arguments, env=None, cwd=None, **more):
        """Starts a program inside; returns its Popen, which takes signals as any other. It is
        killed when this thread or the bench ends."""
        enter = ["setpriv", "--pdeathsig", "KILL", "nsenter", "--target", str(self.pid), "--mount",
                 "--net", "--uts", "--wdns=" + os.path.abspath(cwd or "."), "--"]
        more = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE,
                "text": True, **more}
        process = subprocess.Popen([*enter, *map(str, arguments)],
                                   env=self.environment(**(env or {})), **more)
        self.started.append(process)
        return process

    def run(self, arguments, stdin=None, env=None, cwd=None, timeout=DEADLINE, expect=None, **more):
        """Runs a program inside to its end; returns a CompletedProcess."""
        process = self.start(arguments, env=env, cwd=cwd, **more)
        try:
            out, err = process.communicate(stdin, timeout)
        except subprocess.TimeoutExpired:
            process.kill()
            out, err = process.communicate()
            raise AssertionError(f"{arguments}: not done in {timeout} s\n{out}{err}") from None
        finally:
            self.started.remove(process)
        if expect is not None and process.returncode != expect:
            raise AssertionError(f"{arguments}: exit code {process.returncode}, not {expect}\n"
                                 f"{out}{err}")
        return subprocess.CompletedProcess(arguments, process.returncode, out, err)

    def service(self, name, arguments, log, env=None):
        """Starts a service that lives until it is stopped or the bench closes."""
        self._ask(do="start", name=name, args=[str(argument) for argument in arguments],
                  env=self.environment(**(env or {})), log=str(log), cwd=str(self.folder))

    def stop(self, name, **more):
        return self._ask(do="stop", name=name, **more)["code"]

    def listens(self, name, to, log):
        """Waits until a service listens on a port or a socket file."""
        def open_now():
            code = self._ask(do="alive", name=name)["code"]
            if code is not None:
                raise AssertionError(f"{name} ended with {code}:\n{pathlib.Path(log).read_text()}")
            return self._ask(do="connect", to=to)["open"]
        wait_for(f"{name} on {to}", open_now)

    def printer(self, name, dress, port=0, options=(), manner=()):
        """Turns a printer on. `dress` names a file printers/DRESS.conf, or is the path of one;
        `manner` are steps of printers/printer.py."""
        port = port or 9001 + len(list(self.folder.glob("printer-*")))
        folder = self.folder / f"printer-{name}"
        dress = HERE / f"{dress}.conf" if "/" not in str(dress) else pathlib.Path(dress).resolve()
        printer = Printer(self, name, port, folder, ["-a", dress, *options])
        printer.spool.mkdir(parents=True)
        if manner:
            printer.manner(*manner)
        printer.start()
        return printer

    def proxy(self, printer, *fault):
        """Puts a faulty line before a printer."""
        self.proxies += 1
        name, port = f"proxy-{self.proxies}", 9500 + self.proxies
        log = self.folder / f"{name}.log"
        self.service(name, [sys.executable, HERE / "proxy.py", port, printer.port, *fault], log)
        self.listens(name, port, log)
        return Proxy(self, name, port, log)

    def submit(self, uri, document, form, **attributes):
        """Sends a document as ipptool does, with job attributes such as copies=("integer", 2);
        returns (job number or None, status)."""
        asked = self.folder / "print.test"
        job = "".join(f"\tATTR {kind} {name.replace('_', '-')} {value}\n"
                      for name, (kind, value) in attributes.items())
        asked.write_text(PRINT.format(form=form, job=job), encoding="utf-8")
        done = self.run(["ipptool", "-X", "-T", "20", "-f", document, uri, asked], text=False)
        test = plistlib.loads(done.stdout)["Tests"][0]
        answers = {name: value for group in test.get("ResponseAttributes", [])
                   for name, value in group.items()}
        return answers.get("job-id"), test.get("StatusCode")

    def job(self, printer, number):
        """The attributes of a job."""
        return self._of_job("Get-Job-Attributes", printer, number)

    def cancel(self, printer, number):
        """Cancels a job. The printer program lets its print command end by itself first."""
        self._of_job("Cancel-Job", printer, number)

    def _of_job(self, operation, printer, number):
        asked = self.folder / "job.test"
        asked.write_text(JOB.format(operation=operation, number=number), encoding="utf-8")
        return self._answers(printer.uri, asked)

    def finished(self, printer, number):
        """Waits until a job is done with; returns its attributes."""
        def over():
            job = self.job(printer, number)
            # RFC 8011: canceled 7, aborted 8, completed 9.
            return job if job["job-state"] >= 7 else None
        return wait_for(f"the end of job {number} on {printer.name}", over)

    def advertised(self, *names):
        """Waits until the names are found by DNS-SD, which takes a second or two."""
        def found():
            done = self.run(["ippfind", "-T", "1", "_ipp._tcp", "--print-name"])
            return set(names) <= set(done.stdout.splitlines())
        wait_for(f"{names} by DNS-SD", found)

    def attributes(self, uri, *names):
        """Attributes of a printer or queue, as ipptool understands them."""
        asked = self.folder / "attributes.test"
        asked.write_text(ATTRIBUTES.format(names=",".join(names) or "all,media-col-database"),
                         encoding="utf-8")
        return self._answers(uri, asked)

    def _answers(self, uri, asked):
        done = self.run(["ipptool", "-X", uri, asked], expect=0, text=False)
        groups = plistlib.loads(done.stdout)["Tests"][0]["ResponseAttributes"]
        return {name: value for group in groups[1:] for name, value in group.items()}

    def _ask(self, **request):
        print(json.dumps(request), file=self.keeper.stdin, flush=True)
        return self._answer()

    def _answer(self):
        line = self.keeper.stdout.readline()
        answer = json.loads(line) if line else {"error": "it ended"}
        if "error" in answer:
            said = (self.folder / "supervisor.log").read_text(encoding="utf-8", errors="replace")
            raise AssertionError(f"bench of printers: {answer['error']}\n{said}")
        return answer

    def _start_bus(self):
        config, log = self.folder / "bus.conf", self.folder / "bus.log"
        config.write_text(BUS_CONFIG, encoding="utf-8")
        self.service("bus", ["dbus-daemon", "--nofork", "--nopidfile", "--nosyslog",
                             f"--config-file={config}"], log)
        self.listens("bus", BUS, log)

    def _start_discovery(self):
        config, log = self.folder / "avahi.conf", self.folder / "avahi.log"
        config.write_text(AVAHI_CONFIG, encoding="utf-8")
        self.service("discovery", ["avahi-daemon", "--no-drop-root", "--no-chroot",
                                   "--no-rlimits", "--file", config], log)
        self.listens("discovery", "/run/avahi-daemon/socket", log)
        wait_for("avahi-daemon", lambda: "startup complete" in log.read_text(encoding="utf-8"))


FETCH = "import sys, urllib.request; urllib.request.urlopen(sys.argv[1], timeout=30).read()"

BUS_CONFIG = f"""<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN"
 "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig>
  <type>system</type>
  <listen>unix:path={BUS}</listen>
  <auth>EXTERNAL</auth>
  <policy context="default">
    <allow user="*"/>
    <allow own="*"/>
    <allow send_destination="*"/>
    <allow receive_sender="*"/>
  </policy>
</busconfig>
"""

AVAHI_CONFIG = """[server]
host-name=bench
use-ipv4=yes
use-ipv6=no
allow-interfaces=lo
ratelimit-interval-usec=1000000
ratelimit-burst=1000
[wide-area]
enable-wide-area=no
[publish]
publish-hinfo=no
publish-workstation=no
"""

ATTRIBUTES = """{{
	OPERATION Get-Printer-Attributes
	GROUP operation-attributes-tag
	ATTR charset attributes-charset utf-8
	ATTR naturalLanguage attributes-natural-language en
	ATTR uri printer-uri $uri
	ATTR keyword requested-attributes {names}
	STATUS successful-ok
	STATUS successful-ok-ignored-or-substituted-attributes
}}
"""

PRINT = """{{
	OPERATION Print-Job
	GROUP operation-attributes-tag
	ATTR charset attributes-charset utf-8
	ATTR naturalLanguage attributes-natural-language en
	ATTR uri printer-uri $uri
	ATTR name requesting-user-name bench
	ATTR mimeMediaType document-format {form}
	GROUP job-attributes-tag
{job}	FILE $filename
}}
"""

JOB = """{{
	OPERATION {operation}
	GROUP operation-attributes-tag
	ATTR charset attributes-charset utf-8
	ATTR naturalLanguage attributes-natural-language en
	ATTR uri printer-uri $uri
	ATTR integer job-id {number}
	ATTR name requesting-user-name bench
	STATUS successful-ok
}}
"""
