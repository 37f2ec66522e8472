"""Time and memory of whole processes."""

import os
import statistics
import subprocess
import sys
import time

SILENT = [(os.POSIX_SPAWN_OPEN, n, os.devnull, os.O_WRONLY, 0) for n in (1, 2)]


def timed(line):
    """Seconds that passed and seconds that the cores worked for a process."""
    line = [str(word) for word in line]
    start = time.perf_counter()
    child = os.posix_spawn(line[0], line, os.environ, file_actions=SILENT)
    _, status, used = os.wait4(child, 0)
    took = time.perf_counter() - start
    # 1 is a record with something open.
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        raise SystemExit(subprocess.run(line, capture_output=True, text=True).stderr[-2000:])
    return took, used.ru_utime + used.ru_stime


def memory(line):
    """Peak MiB of a process."""
    return once(line)[2]


def once(line):
    """Seconds that passed, seconds that the cores worked, and peak MiB of one
    process. A child starts with its parent's peak, so the parent is a Python
    that has loaded nothing."""
    script = (
        "import os,sys,time\n"
        "quiet=[(os.POSIX_SPAWN_OPEN,n,'/dev/null',os.O_WRONLY,0) for n in (1,2)]\n"
        "start=time.perf_counter()\n"
        "child=os.posix_spawn(sys.argv[1],sys.argv[1:],os.environ,file_actions=quiet)\n"
        "used=os.wait4(child,0)[2]\n"
        "print(time.perf_counter()-start,used.ru_utime+used.ru_stime,used.ru_maxrss/1024)"
    )
    line = [sys.executable, "-ISc", script, *map(str, line)]
    said = subprocess.run(line, stdout=subprocess.PIPE, text=True).stdout
    took, work, peak = map(float, said.split())
    return took, work, peak


def fresh(lines, rounds):
    """What was timed of whole processes, one of each in turn so that a busy
    moment falls on all; the first round is not counted."""
    times = {name: [] for name in lines}
    for n in range(rounds + 1):
        for name, line in lines.items():
            found = timed(line)
            if n:
                times[name].append(found)
    return times


def ms(times):
    """Median and best, in milliseconds, as two cells of a table."""
    return f"{1000 * statistics.median(times):.1f} | {1000 * min(times):.1f}"
