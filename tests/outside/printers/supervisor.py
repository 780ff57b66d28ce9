"""First process of the bench's namespaces: readies them, then starts, stops and watches services.

Usage: supervisor.py FOLDER. Reads a JSON request a line from standard input, answers each with a
JSON line. At the end of its input it ends, and the kernel ends all that it started: so nothing is
left running, however the test ends. Needs nothing but mount(8)."""

import fcntl
import json
import os
import signal
import socket
import struct
import subprocess
import sys

HOST = "bench"
SIOCGIFFLAGS, SIOCSIFFLAGS = 0x8913, 0x8914
IFF_UP, IFF_MULTICAST = 0x1, 0x1000
STOPPING = 10
services = {}


def ready(folder):
    # Daemons have paths of their own in /run, and names are looked up in /etc/hosts; both private.
    subprocess.run(["mount", "-t", "tmpfs", "-o", "mode=755", "tmpfs", "/run"], check=True)
    os.makedirs("/run/dbus")
    hosts = os.path.join(folder, "hosts")
    with open(hosts, "w", encoding="ascii") as out:
        out.write(f"127.0.0.1 localhost {HOST} {HOST}.local\n")
    subprocess.run(["mount", "--bind", hosts, "/etc/hosts"], check=True)
    socket.sethostname(HOST)
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as link:
        asked = fcntl.ioctl(link, SIOCGIFFLAGS, struct.pack("16sh22x", b"lo", 0))
        flags = struct.unpack("16sh22x", asked)[1] | IFF_UP | IFF_MULTICAST
        fcntl.ioctl(link, SIOCSIFFLAGS, struct.pack("16sh22x", b"lo", flags))
    # Those who enter later must not see processes by other numbers than their own, so /proc stays
    # as it is; it also tells the number that this process has outside.
    return {"pid": int(os.readlink("/proc/self"))}


def start(request):
    with open(request["log"], "ab") as log:
        services[request["name"]] = subprocess.Popen(
            request["args"], env=request["env"], cwd=request["cwd"], stdin=subprocess.DEVNULL,
            stdout=log, stderr=subprocess.STDOUT, start_new_session=True)
    return {}


def stop(request):
    service = services.pop(request["name"])
    if service.poll() is None:
        os.killpg(service.pid, request.get("signal", signal.SIGTERM))
    try:
        code = service.wait(STOPPING)
    except subprocess.TimeoutExpired:
        os.killpg(service.pid, signal.SIGKILL)
        code = service.wait()
    return {"code": code}


def alive(request):
    return {"code": services[request["name"]].poll()}


def connect(request):
    """Whether somebody listens on a port or a socket file."""
    to = request["to"]
    family = socket.AF_UNIX if isinstance(to, str) else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as link:
        link.settimeout(5)
        try:
            link.connect(to if isinstance(to, str) else ("127.0.0.1", to))
        except OSError:
            return {"open": False}
    return {"open": True}


def reap():
    """Orphans in these namespaces become children of this process."""
    known = {service.pid for service in services.values()}
    for _ in range(64):
        try:
            waiting = os.waitid(os.P_ALL, 0, os.WEXITED | os.WNOHANG | os.WNOWAIT)
        except ChildProcessError:
            return
        if waiting is None or waiting.si_pid in known:
            return
        os.waitpid(waiting.si_pid, 0)


def main():
    answers = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)
    print(json.dumps(ready(sys.argv[1])), file=answers, flush=True)
    does = {"start": start, "stop": stop, "alive": alive, "connect": connect}
    for line in sys.stdin:
        request = json.loads(line)
        try:
            answer = does[request["do"]](request)
        except (OSError, KeyError) as error:
            answer = {"error": repr(error)}
        reap()
        print(json.dumps(answer), file=answers, flush=True)


if __name__ == "__main__":
    main()
