"""A browser without a screen, driven over W3C WebDriver's HTTP interface by the standard library
alone."""

import base64
import json
import os
import pathlib
import shutil
import socket
import subprocess
import tempfile
import time
import urllib.error
import urllib.request

DRIVER = "/usr/bin/chromedriver"
ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--disable-sync"]
PHONE = (390, 844)
DESK = (1280, 900)


class CannotStart(Exception):
    """Chromium does not start here at all; says why."""


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Browser:
    """Use as a context; one window, as a phone or on a desk."""

    def __init__(self):
        if not os.path.exists(DRIVER):
            raise CannotStart(f"{DRIVER} is not there (Debian package chromium-driver)")
        self.profile = tempfile.mkdtemp(prefix="loomtag-browser-")
        self.port = free_port()
        self.log = open(os.path.join(self.profile, "driver.log"), "wb")
        self.driver = subprocess.Popen([DRIVER, f"--port={self.port}"], stdout=self.log,
                                       stderr=self.log)
        self.session = None

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()
        self.driver.terminate()
        self.driver.wait(10)
        self.log.close()
        shutil.rmtree(self.profile, ignore_errors=True)

    def ask(self, method, path, body=None, timeout=30):
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}{path}", data, method=method,
                                         headers={"Content-Type": "application/json"})
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        try:
            with opener.open(request, timeout=timeout) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            raise RuntimeError(json.load(error)["value"]["message"]) from None

    def open_window(self, size, phone):
        self.close()
        options = {"args": ARGUMENTS + [f"--user-data-dir={self.profile}/{size[0]}",
                                        f"--window-size={size[0]},{size[1]}"]}
        if phone:
            options["mobileEmulation"] = {"deviceMetrics": {
                "width": size[0], "height": size[1], "pixelRatio": 1.0, "touch": True}}
        wanted = {"capabilities": {"alwaysMatch": {"browserName": "chrome",
                                                   "goog:chromeOptions": options}}}
        until = time.monotonic() + 20
        while True:
            try:
                self.session = self.ask("POST", "/session", wanted)["sessionId"]
                break
            except (OSError, RuntimeError) as error:
                # The driver takes a moment to listen; a refusal by Chromium is final.
                if isinstance(error, RuntimeError) or time.monotonic() > until:
                    raise CannotStart(str(error).splitlines()[0]) from None
                time.sleep(0.05)
        if not phone:
            # The window has edges of its own in some builds: ask for the page's size.
            inner = self.script("return [outerWidth - innerWidth, outerHeight - innerHeight]")
            self.ask("POST", f"/session/{self.session}/window/rect",
                     {"width": size[0] + inner[0], "height": size[1] + inner[1]})

    def close(self):
        if self.session is not None:
            self.ask("DELETE", f"/session/{self.session}")
            self.session = None

    def go(self, url):
        self.ask("POST", f"/session/{self.session}/url", {"url": url})

    def script(self, code, *arguments):
        return self.ask("POST", f"/session/{self.session}/execute/sync",
                        {"script": code, "args": list(arguments)})

    def picture(self, path):
        """What the window shows."""
        shot = self.ask("GET", f"/session/{self.session}/screenshot")
        pathlib.Path(path).write_bytes(base64.b64decode(shot))

    def long_picture(self, path):
        """The whole page, by way of Chromium's own interface."""
        high = min(self.script("return document.documentElement.scrollHeight"), 8000)
        wide = self.script("return innerWidth")
        shot = self.ask("POST", f"/session/{self.session}/goog/cdp/execute",
                        {"cmd": "Page.captureScreenshot",
                         "params": {"captureBeyondViewport": True, "clip": {
                             "x": 0, "y": 0, "width": wide, "height": high, "scale": 1}}})
        pathlib.Path(path).write_bytes(base64.b64decode(shot["data"]))
