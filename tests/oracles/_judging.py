"""What every judge from outside shares: running the program, counting."""

import os
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]


def program():
    """The program that is judged: BENCHLEAF, else the last one built."""
    told = os.environ.get("BENCHLEAF")
    if told:
        return told
    built = [ROOT / "target" / kind / "benchleaf" for kind in ("release", "debug")]
    built = [path for path in built if path.exists()]
    if not built:
        sys.exit("no program to judge: cargo build --release")
    return str(max(built, key=lambda path: path.stat().st_mtime))


def benchleaf(*words, folder=None):
    """Runs the program; what it said and its status."""
    line = [program(), *map(str, words)]
    environment = dict(os.environ, NO_COLOR="1")
    return subprocess.run(
        line, cwd=folder, capture_output=True, text=True, env=environment, check=False
    )


def done(ran, *allowed):
    """Stops where a run that must work did not."""
    if ran.returncode not in (allowed or (0,)):
        sys.exit(f"{ran.args[0]} {ran.args[1:]} ended with {ran.returncode}\n{ran.stdout[-2000:]}{ran.stderr[-4000:]}")
    return ran


def outside(*words, **more):
    """Runs another program."""
    return subprocess.run(list(map(str, words)), capture_output=True, check=False, **more)


class Tally:
    """Checks that hold or not, and planted faults that are seen or not."""

    SHOWN = int(os.environ.get("SHOWN", 40))

    def __init__(self, name):
        self.name = name
        self.checks = self.wrong = self.planted = self.caught = 0
        self.room = tempfile.TemporaryDirectory(prefix="benchleaf-")
        self.folder = pathlib.Path(self.room.name)

    def check(self, holds, what):
        """One check; `what` says what should have been."""
        self.checks += 1
        if not holds:
            self.wrong += 1
            if self.wrong <= self.SHOWN:
                print(f"  wrong: {what() if callable(what) else what}")
        return holds

    def same(self, seen, wanted, what):
        return self.check(seen == wanted, lambda: f"{what}: {seen!r}, should be {wanted!r}")

    def plant(self, caught, what):
        """A fault made on purpose: a judge that misses it proves nothing."""
        self.planted += 1
        self.caught += bool(caught)
        print(f"  planted: {what}: {'caught' if caught else 'MISSED'}")

    def finish(self):
        if self.checks == 0 or self.planted == 0:
            self.wrong += 1
            self.checks += 1
            print("  wrong: nothing was checked")
        print(
            f"{self.name}: {self.checks} checks, {self.wrong} wrong; "
            f"{self.caught} of {self.planted} planted faults caught"
        )
        self.room.cleanup()
        sys.exit(0 if self.wrong == 0 and self.caught == self.planted else 1)
