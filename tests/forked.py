"""The command line in a new process each time, forked from one that has checked the demo once.

An interpreter with all that the program needs takes a second to begin, and the first look
at a build another; a fork takes a hundredth. Whatever a command does ends with it, and
`story/test_bare_interpreter` holds it to what an interpreter does that has nothing yet.

Run as a script, this is the process that the others are forked from.
"""

import atexit
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
from contextlib import suppress
from functools import cache
from importlib import import_module
from pathlib import Path

_ENDS_WITHIN = 120.0
_DEMO = Path(__file__).parents[1] / "examples" / "harbour-signal-lamp" / "plan.toml"
# What the program imports, much of it only once it is needed; nothing that begins a thread.
_IMPORTED = (
    "foldwright.cli",
    "foldwright.make",
    "foldwright.outputs",
    "foldwright.build_book",
    "foldwright.web",
    "scipy.sparse",
    "scipy.special",
    "highspy",
    "piqp",
    "ezdxf",
    "fontTools.ttLib",
    "reportlab.pdfgen.canvas",
    "typst",
)


class Process:
    """One run of the command line, in a process of its own.

    Parameters
    ----------
    *words : str
        What is typed after ``foldwright``.
    stdin, stdout, stderr : file, optional
        What it reads and writes; nothing if not given.
    strict : bool
        A warning is an error, as under ``python -W error``.
    """

    def __init__(self, *words, stdin=None, stdout=None, stderr=None, strict=True):
        order = {
            "words": [str(word) for word in words],
            "env": dict(os.environ),
            "cwd": os.getcwd(),
            "strict": strict,
        }
        self.returncode = None
        self._line, theirs = socket.socketpair()
        with open(os.devnull, "r+b") as null:
            streams = [null if file is None else file for file in (stdin, stdout, stderr)]
            _send(_parent(), order, [*(file.fileno() for file in streams), theirs.fileno()])
        theirs.close()
        self.pid = int(self._said())

    def wait(self, timeout=_ENDS_WITHIN):
        """Wait until it has ended; return its code, negative if a signal ended it."""
        if self.returncode is None:
            self._line.settimeout(timeout)
            try:
                self.returncode = int(self._said())
            except TimeoutError as late:
                raise subprocess.TimeoutExpired("foldwright", timeout) from late
            self._line.close()
        return self.returncode

    def send_signal(self, number):
        """Send it a signal, unless it has ended."""
        if self.returncode is None:
            with suppress(ProcessLookupError):
                os.kill(self.pid, number)

    def _said(self):
        line = b""
        while not line.endswith(b"\n"):
            piece = self._line.recv(1)
            assert piece, "the process that others are forked from is gone"
            line += piece
        return line


def run(*words, typed=None, strict=True):
    """Run the command line to its end; return its code and what it said to either side."""
    with (
        tempfile.TemporaryFile("w+") as given,
        tempfile.TemporaryFile("w+") as out,
        tempfile.TemporaryFile("w+") as err,
    ):
        given.write(typed or "")
        given.seek(0)
        process = Process(*words, stdin=given, stdout=out, stderr=err, strict=strict)
        try:
            code = process.wait()
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
            raise
        out.seek(0)
        err.seek(0)
        return code, out.read(), err.read()


@cache
def _parent():
    """Line to the process that others are forked from; it ends with this one."""
    ours, theirs = socket.socketpair()
    parent = subprocess.Popen(
        [sys.executable, "-W", "error", __file__, str(theirs.fileno())],
        pass_fds=[theirs.fileno()],
        stdin=subprocess.DEVNULL,
        # numbers are worked out by one thread, so that there is no other when it is forked
        env=os.environ | {"OPENBLAS_NUM_THREADS": "1"},
    )
    theirs.close()

    def end():
        ours.close()
        parent.wait()

    atexit.register(end)
    return ours


def _send(line, order, files):
    body = json.dumps(order).encode()
    socket.send_fds(line, [len(body).to_bytes(4, "big")], files)
    line.sendall(body)


def _fork_what_is_asked_for(line):
    """Fork a process for each order that comes, until nobody is left who could send one."""
    while True:
        head, files, _, _ = socket.recv_fds(line, 4, 8)
        if not head:
            return
        body = b""
        while len(body) < int.from_bytes(head, "big"):
            body += line.recv(int.from_bytes(head, "big") - len(body))
        if os.fork() == 0:
            line.close()
            _see_to_it(json.loads(body), files)
        for file in files:
            os.close(file)
        # who saw to an earlier one may have ended meanwhile
        with suppress(ChildProcessError):
            while os.waitpid(-1, os.WNOHANG)[0]:
                pass


def _see_to_it(order, files):
    """Fork the process that was asked for, and tell its number, then how it ended."""
    *streams, told = files
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    pid = os.fork()
    if pid == 0:
        os.close(told)
        signal.signal(signal.SIGINT, signal.default_int_handler)
        _become(order, streams)
    for file in streams:
        os.close(file)
    os.write(told, b"%d\n" % pid)
    _, status = os.waitpid(pid, 0)
    with suppress(OSError):  # nobody waits for it
        os.write(told, b"%d\n" % os.waitstatus_to_exitcode(status))
    os._exit(0)


def _become(order, streams):
    """Run the command line here, as if this process had begun with it."""
    import faulthandler
    import warnings

    from foldwright.cli import main

    for number, file in enumerate(streams):
        os.dup2(file, number)
        os.close(file)
    sys.stdout.reconfigure(line_buffering=True)
    os.environ.clear()
    os.environ.update(order["env"])
    os.chdir(order["cwd"])
    sys.path[:0] = [path for path in order["env"].get("PYTHONPATH", "").split(os.pathsep) if path]
    sys.argv = ["foldwright", *order["words"]]
    faulthandler.enable()
    warnings.resetwarnings()
    if order["strict"]:
        warnings.simplefilter("error")
    main()
    sys.exit(0)


def _look_at_the_demo():
    """Check the demo; what the program keeps by content is there from then on."""
    from click.testing import CliRunner

    from foldwright.cli import cli

    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(_DEMO, folder)
        result = CliRunner().invoke(cli, ["check", folder])
    assert result.exit_code == 0, result.output


if __name__ == "__main__":
    for name in _IMPORTED:
        import_module(name)
    _look_at_the_demo()
    _fork_what_is_asked_for(socket.socket(fileno=int(sys.argv[1])))
