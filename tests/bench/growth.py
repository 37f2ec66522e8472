"""How the program grows with the rows of a job and with the jobs of a call."""

import jobs
from measuring import memory, timed

# Places a line: the rest are further lines, a sheet each.
PLACES = 100


def steps(most):
    return [n for n in (1, 10, 100, 1000, 10_000) if n <= most]


def rows(room, program, most, out):
    """Sheets printed, read back and reported, by the rows of the job."""
    out("\n## Rows of one job\n")
    out("| rows | sheets, ms | work a row, us | MiB | check, ms | work a row, us | report, ms | work a row, us | MiB |")
    out("|---|---|---|---|---|---|---|---|---|")
    for count in steps(most):
        places = min(count, PLACES)
        job = jobs.write(room / str(count), places=places, readings=count // places)
        times = {"sheets": best([program, "sheets", job])}
        jobs.fill(job)
        times |= {what: best([program, what, job]) for what in ("check", "report")}
        peak = {what: memory([program, what, job]) for what in ("sheets", "report")}
        cells = [f"{count:,}"]
        for what, took in times.items():
            cells += [f"{1000 * took[0]:.1f}", f"{1e6 * took[1] / count:.0f}"]
            cells += [f"{peak[what]:.0f}"] if what in peak else []
        out("| " + " | ".join(cells) + " |")
        jobs.away(room)


def jobs_in_one_call(room, program, most, out):
    """A small job many times in one call."""
    out("\n## Jobs of one call, ten rows each\n")
    out("| jobs | sheets, s | a job, ms | MiB | check, s | a job, ms | MiB | report, s | a job, ms | MiB |")
    out("|---|---|---|---|---|---|---|---|---|---|")
    small = jobs.write(room / "small", places=10, readings=1)
    timed([program, "sheets", small])
    jobs.fill(small)
    for count in steps(most):
        many = jobs.copies(small, room / "many", count)
        cells = [f"{count:,}"]
        for what in ("sheets", "check", "report"):
            took, _ = best([program, what, *many], rounds=3 if count < 1000 else 1)
            peak = memory([program, what, *many])
            cells += [f"{took:.3f}", f"{1000 * took / count:.2f}", f"{peak:.0f}"]
        out("| " + " | ".join(cells) + " |")
        jobs.away(room / "many")


def best(line, rounds=3):
    """The quickest round: seconds that passed, and that the cores worked."""
    return min(timed(line) for _ in range(rounds))
