"""A faulty line to a printer: passes IPP over HTTP between a client and a port on the loopback, and
does one thing wrong.

Usage: proxy.py LISTEN TARGET [FAULT] [--on OPERATION] [--after N] [--times N]

A fault concerns the requests of one operation (by default of all; names as in RFC 8011,
such as Get-Printer-Attributes), from the one after the first N, N times (by default always):

    --cut-request N     N bytes of the request, its HTTP head included, reach the printer; then the
                        line is dead, for both sides
    --cut-answer N      N bytes of the answer reach the client, or all but -N; then the line is
                        dead
    --hold              the answer never comes, and the line stays up
    --delay SECONDS     the answer comes late
    --answer FILE       the file's bytes come as the answer, and the printer is not asked
    --numbered          with --answer: its bytes 5 to 8 become the number of the request
    --status CODE       an HTTP answer of that code comes, and the printer is not asked
    --password USER:WORD
                        an HTTP answer asks for them (Basic, RFC 7617) where they do not come along
    --vanish            after the answer nothing listens any more and all lines are dead
    --says CODE         the printer does as it is asked, and its answer comes with that IPP status
    --ignores NAMES     the printer does as it is asked, and says that it takes these attributes
                        for others (with commas; RFC 8011, 4.1.7)
    --lacks OPERATION   the printer does not say that it can do this operation
    --stopped REASONS   the printer says that it is stopped, with these reasons (with commas)

Ports need the same number of digits: addresses in answers are made to lead here again. A request
of which the fault is done is written to standard output, as a line with its operation."""

import argparse
import base64
import os
import socket
import struct
import sys
import threading
import time

OPERATIONS = {"Print-Job": 0x02, "Validate-Job": 0x04, "Create-Job": 0x05, "Send-Document": 0x06,
              "Cancel-Job": 0x08, "Get-Job-Attributes": 0x09, "Get-Jobs": 0x0a,
              "Get-Printer-Attributes": 0x0b, "Close-Job": 0x3b, "Identify-Printer": 0x3c}
STOPPED = 5
# Seconds for a printer to drop a line that is dead.
PATIENCE = 60


class Dead(Exception):
    """The line is to be dropped."""


class Line:
    """One side of a connection, read message by message. `raw` is the message as it came."""

    def __init__(self, link):
        self.link, self.waiting, self.raw = link, b"", b""

    def take(self, enough):
        """Reads until enough(bytes waiting) tells how many to take."""
        while True:
            count = enough(self.waiting)
            if count is not None:
                break
            more = self.link.recv(65536)
            if not more:
                raise Dead
            self.waiting += more
        taken, self.waiting = self.waiting[:count], self.waiting[count:]
        self.raw += taken
        return taken

    def exactly(self, count):
        return self.take(lambda waiting: count if len(waiting) >= count else None)

    def line(self):
        return self.take(lambda waiting: waiting.find(b"\n") + 1 or None)

    def head(self):
        self.raw = b""
        return self.take(lambda waiting: waiting.find(b"\r\n\r\n") + 4
                         if b"\r\n\r\n" in waiting else None)

    def body(self, head, upto=None):
        """The rest of the message; or the part of it until upto(body so far) holds."""
        whole = b""
        fields = fields_of(head)
        if fields.get(b"transfer-encoding", b"").lower() == b"chunked":
            while True:
                size = int(self.line().split(b";")[0], 16)
                whole += self.exactly(size)
                self.exactly(2)
                if not size or (upto and upto(whole)):
                    return whole
        left = int(fields.get(b"content-length", 0))
        while left:
            part = self.take(lambda waiting: min(left, len(waiting)) or None)
            whole, left = whole + part, left - len(part)
            if upto and upto(whole):
                break
        return whole


def fields_of(head):
    return {name.strip().lower(): value.strip() for name, _, value in
            (line.partition(b":") for line in head.split(b"\r\n")[1:] if line)}


def without(head, *names):
    lines = head[:-4].split(b"\r\n")
    kept = lines[:1] + [line for line in lines[1:]
                        if line.partition(b":")[0].strip().lower() not in names]
    return b"\r\n".join(kept) + b"\r\n"


def attributes(message):
    """Splits what follows the eight bytes of an IPP message: (tag, name, value), or (tag,) for the
    start of a group."""
    at = 8
    while True:
        tag, at = message[at], at + 1
        if tag < 0x10:
            yield (tag,)
            if tag == 3:
                return
            continue
        parts = []
        for _ in range(2):
            size = struct.unpack_from(">H", message, at)[0]
            parts.append(message[at + 2:at + 2 + size])
            at += 2 + size
        yield (tag, *parts)


def encoded(tag, name, value):
    return b"%c%s%s%s%s" % (tag, struct.pack(">H", len(name)), name, struct.pack(">H", len(value)),
                            value)


def stopped(message, reasons):
    """The same answer from a printer that is stopped."""
    out, skipping = message[:8], False
    for part in attributes(message):
        if len(part) == 1:
            out += bytes(part)
            continue
        tag, name, value = part
        if name == b"printer-state":
            out += encoded(tag, name, struct.pack(">I", STOPPED))
        elif name == b"printer-state-reasons":
            for number, reason in enumerate(reasons.split(",")):
                out += encoded(0x44, b"" if number else name, reason.encode("ascii"))
        elif name or not skipping:
            out += encoded(tag, name, value)
        # What follows without a name belongs to the attribute before it.
        skipping = name == b"printer-state-reasons" if name else skipping
    return out


def lacking(message, operation):
    """The same answer from a printer that does not know an operation."""
    out, current, owed = message[:8], b"", b""
    for part in attributes(message):
        if len(part) == 1:
            out += bytes(part)
            continue
        tag, name, value = part
        current = name or current
        if current == b"operations-supported":
            if value == struct.pack(">I", OPERATIONS[operation]):
                # The next value is the first then, and has the name.
                owed = name
                continue
            name, owed = name or owed, b""
        out += encoded(tag, name, value)
    return out


def ignoring(message, names):
    """The same answer from a printer that does not heed some attributes."""
    group = b"\5" + b"".join(encoded(0x10, name.encode("ascii"), b"") for name in names.split(","))
    out, groups = b"\2\0\0\1" + message[4:8], 0
    for part in attributes(message):
        if len(part) == 1:
            # It comes after the group of the operation.
            groups += 1
            out += (group if groups == 2 else b"") + bytes(part)
        else:
            out += encoded(*part)
    return out


class Proxy:
    def __init__(self, options):
        self.options, self.lock = options, threading.Lock()
        self.seen = 0
        self.here, self.there = (b"localhost:%d" % port for port in (options.listen,
                                                                     options.target))
        self.listener = socket.create_server(("127.0.0.1", options.listen), backlog=16)

    def serve(self):
        while True:
            client, _ = self.listener.accept()
            threading.Thread(target=self.connection, args=(client,), daemon=True).start()

    def faulty(self, start):
        """Whether the fault is to be done to this request, of whose body the start is given."""
        on = self.options.on
        operation = struct.unpack_from(">H", start, 2)[0] if len(start) >= 4 else 0
        if on and operation != OPERATIONS[on]:
            return False
        with self.lock:
            self.seen += 1
            number = self.seen - self.options.after
        if number < 1 or (self.options.times and number > self.options.times):
            return False
        names = [name for name, code in OPERATIONS.items() if code == operation]
        print(names[0] if names else f"{operation:#06x}", flush=True)
        return True

    def connection(self, client):
        printer = None
        try:
            near = Line(client)
            head = near.head()
            printer = socket.create_connection(("127.0.0.1", self.options.target))
            far = Line(printer)
            while True:
                self.exchange(near, far, head)
                head = near.head()
        except (Dead, OSError):
            pass
        finally:
            for link in (client, printer):
                if link:
                    link.close()

    def exchange(self, near, far, head):
        """One request and its answer."""
        if b"expect" in fields_of(head):
            near.link.sendall(b"HTTP/1.1 100 Continue\r\n\r\n")
        options = self.options
        # A request is cut as soon as the bytes have come, not when all of it is there.
        fault, body = None, b""

        def known(start):
            nonlocal fault
            if fault is None and len(start) >= 8:
                fault = self.faulty(start)
            return (fault and options.cut_request is not None
                    and len(near.raw) >= options.cut_request)

        body = near.body(head, known)
        if fault is None:
            fault = self.faulty(body)
        if fault and options.cut_request is not None:
            self.cut(near, far, near.raw[:options.cut_request])
        if fault and options.answer is not None:
            with open(options.answer, "rb") as given:
                content = given.read()
            if options.numbered:
                content = content[:4] + body[4:8] + content[8:]
            near.link.sendall(answer(b"HTTP/1.1 200 OK\r\nContent-Type: application/ipp\r\n",
                                     content))
            return
        if fault and options.password is not None:
            given = fields_of(head).get(b"authorization", b"")
            if given != b"Basic " + base64.b64encode(options.password.encode("utf-8")):
                near.link.sendall(answer(b"HTTP/1.1 401 Unauthorized\r\n"
                                         b"WWW-Authenticate: Basic realm=\"bench\"\r\n", b""))
                return
            head = without(head, b"authorization") + b"\r\n"
        if fault and options.status is not None:
            near.link.sendall(answer(b"HTTP/1.1 %d Fault\r\n" % options.status, b""))
            return
        far.link.sendall(without(head, b"expect", b"content-length", b"transfer-encoding")
                         + b"Content-Length: %d\r\n\r\n" % len(body) + body)
        self.reply(near, far, fault)

    def cut(self, near, far, start):
        """The printer gets no more than the start. It is let take notice of that in its own time: a
        close with bytes unread would make the kernel throw away some of what was passed."""
        far.link.sendall(start)
        far.link.shutdown(socket.SHUT_WR)
        near.link.close()
        far.link.settimeout(PATIENCE)
        while far.link.recv(65536):
            pass
        raise Dead

    def reply(self, near, far, fault):
        options = self.options
        head = far.head()
        while head.split()[1] == b"100":
            head = far.head()
        body = far.body(head).replace(self.there, self.here)
        if fault and options.hold:
            while True:
                # Until the client has had enough.
                near.exactly(1)
        if fault and options.delay:
            time.sleep(options.delay)
        if fault and options.stopped and b"application/ipp" in head:
            body = stopped(body, options.stopped)
        if fault and options.lacks and b"application/ipp" in head:
            body = lacking(body, options.lacks)
        if fault and options.says is not None and b"application/ipp" in head:
            body = body[:2] + struct.pack(">H", options.says) + body[4:]
        if fault and options.ignores and b"application/ipp" in head:
            body = ignoring(body, options.ignores)
        whole = answer(without(head, b"content-length", b"transfer-encoding"), body)
        if fault and options.cut_answer is not None:
            near.link.sendall(whole[:options.cut_answer])
            raise Dead
        near.link.sendall(whole)
        if fault and options.vanish:
            # The kernel closes every line, and nobody listens.
            os._exit(0)


def answer(head, body):
    return head + b"Content-Length: %d\r\n\r\n" % len(body) + body


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("listen", type=int)
    parser.add_argument("target", type=int)
    parser.add_argument("--on", choices=OPERATIONS)
    parser.add_argument("--after", type=int, default=0)
    parser.add_argument("--times", type=int, default=0)
    parser.add_argument("--cut-request", type=int)
    parser.add_argument("--cut-answer", type=int)
    parser.add_argument("--hold", action="store_true")
    parser.add_argument("--delay", type=float, default=0)
    parser.add_argument("--answer")
    parser.add_argument("--numbered", action="store_true")
    parser.add_argument("--status", type=int)
    parser.add_argument("--password")
    parser.add_argument("--vanish", action="store_true")
    parser.add_argument("--stopped")
    parser.add_argument("--says", type=lambda code: int(code, 16))
    parser.add_argument("--ignores")
    parser.add_argument("--lacks", choices=OPERATIONS)
    options = parser.parse_args()
    if (options.cut_request or 0) < 0:
        sys.exit("proxy.py: --cut-request counts from the start")
    if len(str(options.listen)) != len(str(options.target)):
        sys.exit("proxy.py: the ports need the same number of digits")
    Proxy(options).serve()


if __name__ == "__main__":
    main()
