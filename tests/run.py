#!/usr/bin/python3
"""Runs the tests side by side and adds up what they say: unit programs (cmocka), and the modules of
tests/outside (unittest), which run the program as people do.

    run.py --program build/loomtag [UNIT-PROGRAM...] [MODULE...]

LOOMTAG_CHECKED names a program built with the sanitizers, for the checks that want one; JOBS says how
many run at a time (the number of processors). LONG=1 is for the checks that then do more. What is
passed over is counted at the end with its reason; where CI=true, only what is named in
tests/may-be-passed-over may be. As root, checks that only a user without rights can make are made a
second time as nobody, on copies."""

import argparse
import concurrent.futures
import io
import json
import os
import pathlib
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import unittest

ROOT = pathlib.Path(__file__).resolve().parent.parent
NOBODY = 65534
MOST_SECONDS = 900
# Some other Pythons lack the modules of Debian, or may be run by their owner alone.
PYTHON = "/usr/bin/python3" if os.path.exists("/usr/bin/python3") else sys.executable


class Results:
    """What one unit program or module said."""

    def __init__(self, name, failed, passed, skipped, log, seconds):
        self.name, self.failed, self.passed, self.log = name, failed, passed, log
        self.skipped = skipped  # (name of the check, reason)
        self.seconds = seconds


def run_logged(command, log, **more):
    """Its exit code, also where it takes too long; all that it says goes into the log."""
    with open(log, "wb") as out:
        # A session of its own: what a check starts dies with it.
        process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=out, stderr=out,
                                   start_new_session=True, **more)
        try:
            return process.wait(MOST_SECONDS)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            out.write(f"\nstopped after {MOST_SECONDS} s\n".encode())
            process.wait()
            return -signal.SIGKILL


def run_unit(program, folder):
    start = time.monotonic()
    name = os.path.basename(program)
    log = folder / f"{name}.log"
    built = os.path.dirname(os.path.dirname(program))
    code = run_logged([program], log, env={**os.environ, "LOOMTAG": f"{built}/loomtag"})
    said = log.read_text(encoding="utf-8", errors="replace")
    passed = sum(map(int, re.findall(r"^\[  PASSED  \] (\d+) test", said, re.M)))
    skipped = [(f"{name}.{check}", "skipped by the check itself")
               for check in re.findall(r"^\[  SKIPPED \] (\w+)", said, re.M)]
    return Results(name, code != 0 or passed == 0, passed, sorted(set(skipped)), said,
                   time.monotonic() - start)


def run_module(module, folder, program, rights=True):
    """A module of tests/outside in a process of its own, in a folder of its own."""
    start = time.monotonic()
    name = module if rights else f"{module} as nobody"
    work = folder / name.replace(" ", "-")
    work.mkdir()
    root, tests, more = ROOT, ROOT / "tests/outside", {}
    if not rights:
        root = pathlib.Path(tempfile.mkdtemp(prefix="loomtag-nobody-"))
        for part in ("samples", "layouts", "tests/outside"):
            shutil.copytree(ROOT / part, root / part)
        (root / "build").mkdir()
        program = shutil.copy(program, root / "build")
        work, tests = root / "work", root / "tests/outside"
        work.mkdir()
        runner = shutil.copy(__file__, root / "tests")
        for path in (root, work):
            os.chmod(path, 0o755)
        os.chown(work, NOBODY, NOBODY)
        more = {"user": NOBODY, "group": NOBODY, "extra_groups": []}
    else:
        runner = os.path.abspath(__file__)
    log, found = folder / f"{name.replace(' ', '-')}.log", work / "found.json"
    environment = {**os.environ, "LOOMTAG": str(program), "LOOMTAG_ROOT": str(root),
                   "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPATH": str(tests), "HOME": str(work)}
    environment["LOOMTAG_CHECKED"] = str(program) if not rights else \
        os.path.abspath(os.environ.get("LOOMTAG_CHECKED", program))
    only = [] if rights else ["--without-rights"]
    code = run_logged([PYTHON, runner, "--module", module, *only], log, cwd=work,
                      env=environment, **more)
    said = log.read_text(encoding="utf-8", errors="replace")
    result = json.loads(found.read_text()) if found.exists() else {"passed": 0, "skipped": []}
    failed = code != 0 or not found.exists()
    if not rights:
        shutil.rmtree(root)
    return Results(name, failed, result["passed"], [tuple(skip) for skip in result["skipped"]],
                   said, time.monotonic() - start)


def of_one_module(module, without_rights):
    """Within the process of a module: its checks, and found.json for who started it."""
    suite = unittest.defaultTestLoader.loadTestsFromName(module)
    if without_rights:
        suite = unittest.TestSuite(test for test in checks_of(suite) if wants_no_rights(test))
    stream = io.TextIOWrapper(sys.stderr.buffer, encoding="utf-8", errors="replace",
                              write_through=True)
    result = unittest.TextTestRunner(stream, verbosity=2).run(suite)
    skipped = [(test.id(), reason) for test, reason in result.skipped]
    bad = len(result.failures) + len(result.errors)
    with open("found.json", "w", encoding="utf-8") as out:
        json.dump({"passed": result.testsRun - bad - len(skipped), "skipped": skipped}, out)
    return 0 if result.wasSuccessful() and result.testsRun > 0 else 1


def checks_of(suite):
    for test in suite:
        if isinstance(test, unittest.TestSuite):
            yield from checks_of(test)
        else:
            yield test


def wants_no_rights(test):
    return getattr(getattr(test, test._testMethodName), "without_rights", False)


def guarded(name, run, *what):
    """A test that cannot even be started has failed, and the others go on."""
    try:
        return run(*what)
    except OSError as error:
        return Results(name, True, 0, [], f"cannot be run: {error}", 0)


def has_checks_without_rights(module):
    return "@common.without_rights" in (ROOT / f"tests/outside/{module}.py").read_text()


def last_seconds(path):
    """How long each took the last time, so that the longest begin first."""
    try:
        return json.loads(path.read_text())
    except (OSError, ValueError):
        return {}


def told_of_rights(skips, done):
    """Without what was made as nobody after all."""
    made = any(result.name.endswith(" as nobody") for result in done)
    return [skip for skip in skips if not (made and skip[1] == "for a user without rights")]


def report(done, allowed):
    """Says how all of it ended; True when that is well."""
    for result in done:
        if result.failed:
            print(f"\n== {result.name} failed\n{result.log}")
    skips = told_of_rights([skip for result in done for skip in result.skipped], done)
    reasons = {}
    for name, reason in skips:
        reasons.setdefault(reason, []).append(name)
    slowest = sorted(done, key=lambda result: -result.seconds)[:5]
    print("longest: " + ", ".join(f"{result.name} {result.seconds:.0f} s" for result in slowest))
    print("passed over: " + ("none" if not skips else
                             f"{len(skips)} ({'; '.join(f'{len(names)} {reason}' for reason, names in reasons.items())})"))
    refused = [name for name, _ in skips if name not in allowed] if os.environ.get("CI") == "true" \
        else []
    for name in refused:
        print(f"passed over, and may not be in CI: {name}")
    bad = [result.name for result in done if result.failed]
    print(f"tests: {sum(result.passed for result in done)} checks passed in {len(done)} programs and "
          f"modules; failed: {', '.join(bad) or 'none'}")
    return not bad and not refused and bool(done)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", default="build/loomtag")
    parser.add_argument("--module")
    parser.add_argument("--without-rights", action="store_true")
    parser.add_argument("tests", nargs="*")
    given = parser.parse_args()
    if given.module:
        return of_one_module(given.module, given.without_rights)
    # Whoever started this may have them ignored; what is tested here does not.
    for name in (signal.SIGHUP, signal.SIGQUIT):
        signal.signal(name, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    folder = ROOT / "build/tests"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    program = os.path.abspath(given.program)
    before = last_seconds(ROOT / "build/seconds.json")
    work = []
    for test in given.tests:
        if os.path.sep in test:
            work.append((os.path.basename(test), run_unit, (os.path.abspath(test), folder)))
            continue
        work.append((test, run_module, (test, folder, program)))
        if os.geteuid() == 0 and has_checks_without_rights(test):
            work.append((f"{test} as nobody", run_module, (test, folder, program, False)))
    # What is not known may be long.
    work.sort(key=lambda item: -before.get(item[0], MOST_SECONDS))
    jobs = int(os.environ.get("JOBS") or os.cpu_count())
    with concurrent.futures.ThreadPoolExecutor(jobs) as pool:
        done = [future.result() for future in
                concurrent.futures.as_completed([pool.submit(guarded, *item[:2], *item[2])
                                                 for item in work])]
    (ROOT / "build/seconds.json").write_text(
        json.dumps({**before, **{result.name: result.seconds for result in done}}))
    allowed = (ROOT / "tests/may-be-passed-over").read_text().split("\n")
    return 0 if report(done, [line.split("#")[0].strip() for line in allowed]) else 1


if __name__ == "__main__":
    sys.exit(main())
