"""A print server of the bench's own: cupsd with a private configuration on the loopback, and queues
whose back end keeps what would go to the printer."""

import os
import shutil
import sys

import printers

PORT = 6631
SOCKET = "/run/print-server"


class Queue(printers.Jobs):
    """A queue that takes one format, for which it brings the driver."""

    def __init__(self, server, name, folder):
        super().__init__(name, folder)
        self.server = server
        self.uri = f"ipp://localhost:{PORT}/printers/{name}"

    def documents(self):
        """The documents that reached the back end, oldest first."""
        return sorted(self.folder.glob("*.document"), key=lambda path: int(path.stem))

    def arguments(self, document):
        """What the back end was called with: job, user, title, copies, options."""
        return document.with_suffix(".arguments").read_text(encoding="utf-8").splitlines()

    def attributes(self, *names):
        return self.server.bench.attributes(self.uri, *names)


class PrintServer:
    """cupsd on a bench. What runs on the bench finds it without being told."""

    def __init__(self, bench):
        self.bench, self.folder = bench, bench.folder / "print-server"
        backends = self.folder / "bin" / "backend"
        for folder in ("root", "spool", "cache", "state", "bin/backend", "queues"):
            (self.folder / folder).mkdir(parents=True)
        # cupsd runs no back end that others could have written, and those that only root may read
        # as root, so that it can write to the bench.
        shutil.copy(printers.HERE / "keep", backends / "keep")
        os.chown(backends / "keep", 0, 0)
        os.chmod(backends / "keep", 0o700)
        for part in ("daemon", "notifier"):
            os.symlink(f"/usr/lib/cups/{part}", self.folder / "bin" / part)
        self.log = self.folder / "log"
        settings = self.folder / "cupsd.conf"
        settings.write_text(SETTINGS, encoding="utf-8")
        files = self.folder / "cups-files.conf"
        files.write_text(FILES.format(folder=self.folder, python=sys.executable,
                                      printer=printers.HERE / "printer.py"), encoding="utf-8")
        bench.service("print-server", ["cupsd", "-f", "-c", settings, "-s", files], self.log)
        bench.listens("print-server", SOCKET, self.log)
        bench.server = SOCKET

    def queue(self, name, form, options=()):
        """Adds a queue that takes `form`, such as application/pdf."""
        folder = self.folder / "queues" / name
        folder.mkdir()
        driver = self.folder / f"{name}.ppd"
        written = (printers.HERE / "queue.ppd").read_text(encoding="ascii")
        driver.write_text(written.replace("@FORMAT@", form), encoding="ascii")
        self.bench.run(["lpadmin", "-p", name, "-E", "-v", f"keep:{folder}", "-P", driver,
                        "-o", "printer-error-policy=retry-current-job", *options], expect=0)
        return Queue(self, name, folder)

    def stop(self):
        self.bench.stop("print-server")


SETTINGS = f"""LogLevel debug
Listen localhost:{PORT}
Listen {SOCKET}
Browsing No
WebInterface No
DefaultAuthType None
JobRetryInterval 1
JobRetryLimit 3
<Location />
  Order allow,deny
  Allow all
</Location>
<Policy default>
  <Limit All>
    Order deny,allow
  </Limit>
</Policy>
"""

FILES = """SystemGroup root
Sandboxing relaxed
ServerRoot {folder}/root
ServerBin {folder}/bin
RequestRoot {folder}/spool
CacheDir {folder}/cache
StateDir {folder}/state
TempDir {folder}/spool
AccessLog {folder}/access-log
ErrorLog stderr
PageLog {folder}/page-log
SetEnv BENCH_PYTHON {python}
SetEnv BENCH_PRINTER {printer}
"""
