"""What the system's own terminal says (pty and termios of Python's standard
library): a passphrase is asked for without echo, the echo comes back whichever
signal stops the question, and nothing that a job's names hold is obeyed."""

import fcntl
import os
import select
import signal
import subprocess
import termios
import time

from _jobs import demonstration
from _judging import ROOT, Tally, outside, program

# ESC, C1 as UTF-8, a mark of direction, a bell: none may reach a terminal.
FOUL = "x\x1b]0;y\x07\u009b31m\u202e"


def on_terminal(words, folder, until=None):
    """Starts the program on a terminal of its own; what it said until a text
    came, with the terminal and the process."""
    ours, theirs = os.openpty()

    def own():
        # Whoever runs this may have set signals aside (nohup does).
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT):
            signal.signal(number, signal.SIG_DFL)
        os.setsid()
        fcntl.ioctl(theirs, termios.TIOCSCTTY, 0)

    process = subprocess.Popen(
        [program(), *map(str, words)], cwd=folder, preexec_fn=own,
        stdin=theirs, stdout=theirs, stderr=theirs,
    )
    said, end = b"", time.monotonic() + 120
    while time.monotonic() < end:
        if select.select([ours], [], [], 0.2)[0]:
            said += os.read(ours, 65536)
        elif process.poll() is not None:
            break
        if until and until in said:
            break
    return said, (ours, theirs), process


def echo(terminal):
    return bool(termios.tcgetattr(terminal[1])[3] & termios.ECHO)


def until_echo_is_off(terminal):
    end = time.monotonic() + 30
    while echo(terminal) and time.monotonic() < end:
        time.sleep(0.02)
    return not echo(terminal)


def questions(tally, folder):
    demo = ROOT / "demo" / "throw-away-JA.pem"
    packed = outside(
        "openssl", "pkcs12", "-export", "-in", demo, "-out", folder / "key.p12",
        "-passout", "pass:a phrase",
    )
    tally.same(packed.returncode, 0, "a locked key made by openssl")
    words = ["sign", folder / "job" / "report.pdf", "--key", folder / "key.p12", "--as", "JA"]
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT, signal.SIGKILL):
        said, terminal, process = on_terminal(words, folder, b"passphrase of")
        tally.check(b"passphrase of" in said, f"a question, not {said!r}")
        tally.check(until_echo_is_off(terminal), "no echo while it is asked")
        process.send_signal(number)
        process.wait(30)
        if number == signal.SIGKILL:
            tally.plant(not echo(terminal), "a terminal left without its echo (kill -9)")
        else:
            tally.check(echo(terminal), f"the echo back after {number.name}")
            tally.same(process.returncode, -number, f"ended by {number.name}")
        for end in terminal:
            os.close(end)


def names(tally, folder):
    os.rename(folder / "job", folder / FOUL)
    for words in (["check", FOUL], ["check", FOUL, "no such" + FOUL], ["verify", FOUL + "/none.pdf"], [FOUL]):
        said, _, process = on_terminal(words, folder)
        process.wait(60)
        text = said.decode("utf-8", "replace")
        # Colours and the emptied line of the progress are the program's own.
        for own in ("\x1b[K", "\r"):
            text = text.replace(own, "")
        while "\x1b[" in text:
            at = text.index("\x1b[")
            end = at + 2
            while text[end] in "0123456789;":
                end += 1
            if not tally.check(text[end] == "m", f"a colour, not {text[at:end + 1]!r}"):
                break
            text = text[:at] + text[end + 1:]
        foul = [c for c in text if ord(c) < 32 and c not in "\n\t" or 0x7F <= ord(c) < 0xA0 or c == "\u202e"]
        tally.same(foul, [], f"printed characters alone from {words[:1]}")


def main():
    tally = Tally("terminal")
    demonstration(tally.folder / "job")
    questions(tally, tally.folder)
    names(tally, tally.folder)
    tally.finish()


if __name__ == "__main__":
    main()
