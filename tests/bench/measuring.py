"""Time and memory of whole processes."""

import statistics
import subprocess
import sys
import time


def timed(line):
    start = time.perf_counter()
    done = subprocess.run(line, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    took = time.perf_counter() - start
    if done.returncode == 2 or done.returncode < 0 or (done.returncode and line[0] == sys.executable):
        raise SystemExit(f"{line[:4]}: {done.stderr.decode()[-800:]}")
    return took


def memory(line):
    """Peak MiB of a process. A child starts with its parent's peak, so the
    parent is a Python that has loaded nothing."""
    script = (
        "import os,sys\np=os.posix_spawn(sys.argv[1],sys.argv[1:],os.environ,"
        "file_actions=[(os.POSIX_SPAWN_OPEN,1,'/dev/null',os.O_WRONLY,0)])\n"
        "print(os.wait4(p,0)[2].ru_maxrss)"
    )
    told = subprocess.run([sys.executable, "-ISc", script, *map(str, line)], stdout=subprocess.PIPE, text=True)
    return int(told.stdout) / 1024


def fresh(lines, rounds):
    """Times of whole processes, one of each in turn so that a busy moment
    falls on all; the first round is not counted."""
    times = {name: [] for name in lines}
    for n in range(rounds + 1):
        for name, line in lines.items():
            took = timed(line)
            if n:
                times[name].append(took)
    return times


def ms(times):
    return f"{1000 * statistics.median(times):.1f} | {1000 * min(times):.1f}"
