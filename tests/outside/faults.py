"""Faults of the file system for the outside checks: the program is run with faults/shim.c loaded
before its libraries, which lets renaming or syncing fail, or kills it between two steps."""

import os
import pathlib
import subprocess

import common

SOURCE = pathlib.Path(__file__).resolve().parent / "faults" / "shim.c"


class Shim:
    """The library, built once into a folder."""

    def __init__(self, folder):
        self.folder = os.path.abspath(folder)
        self.library = os.path.join(self.folder, "faults.so")
        subprocess.run(["cc", "-shared", "-fPIC", "-O1", "-Wall", "-Wextra", "-Werror", "-o",
                        self.library, str(SOURCE), "-ldl"], check=True)

    def environment(self, rename="", sync_folder=None, kill=None, log=None):
        """What the program is to be run with; the arguments are those that faults/shim.c names."""
        given = {"LD_PRELOAD": self.library, "FAULTS_RENAME": rename,
                 "FAULTS_SYNC_FOLDER": sync_folder, "FAULTS_KILL": kill, "FAULTS_LOG": log}
        return {name: str(value) for name, value in given.items() if value is not None}

    def run(self, *arguments, expect=0, **faults):
        """Runs the program with these faults."""
        return common.run(*arguments, expect=expect, env=self.environment(**faults))

    def steps(self, *arguments):
        """Runs the program with no fault, and returns the steps that it took."""
        log = os.path.join(self.folder, "steps")
        if os.path.exists(log):
            os.unlink(log)
        self.run(*arguments, log=log)
        return common.text(log).splitlines() if os.path.exists(log) else []

    def killed_at(self, step, *arguments):
        """Runs the program and kills it before that step; false when it had ended before."""
        environment = dict(os.environ, SOURCE_DATE_EPOCH=common.EPOCH,
                           **self.environment(kill=step))
        done = subprocess.run([common.PROGRAM, *arguments], env=environment, capture_output=True,
                              check=False)
        return done.returncode == -9
