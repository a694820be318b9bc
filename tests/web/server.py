"""`foldwright serve` in a process of its own, on a free port of this machine."""

import os
import re
import signal
import subprocess
import threading

from forked import Process

_ADDRESS = re.compile(r"(http://127\.0\.0\.1:(\d+))/")
_ENDS_WITHIN = 10.0


class Server:
    """A build that is being served.

    Parameters
    ----------
    folder : Path
    *options : str
        Of the command.

    Attributes
    ----------
    url, port : str, int
        Where it is reached.
    said : list of str
        Its lines so far.
    """

    def __init__(self, folder, *options):
        ours, theirs = os.pipe()
        self._heard = open(ours, encoding="utf-8")  # noqa: SIM115, until it has ended
        with open(theirs, "w") as line:
            what = ("serve", folder, "--port", "0", *options)
            self.process = Process(*what, stdout=line, stderr=line, strict=False)
        self.said = []
        for line in self._heard:
            self.said.append(line)
            if found := _ADDRESS.search(line):
                break
        else:
            raise AssertionError("the server ended: " + self.words)
        self.url, self.port = found[1], int(found[2])
        # whatever it says from now on is read too, or it would stop at a full pipe
        self._reader = threading.Thread(target=lambda: self.said.extend(self._heard), daemon=True)
        self._reader.start()

    @property
    def words(self):
        """All that it has said so far."""
        return "".join(self.said)

    def end(self, how=signal.SIGINT):
        """End it, if it has not ended; return its code."""
        self.process.send_signal(how)
        try:
            return self.process.wait(_ENDS_WITHIN)
        except subprocess.TimeoutExpired:
            self.process.send_signal(signal.SIGABRT)  # it says where each of its threads is
            self.process.wait()
            self._reader.join()
            raise AssertionError("the server did not end when told to: " + self.words) from None
        finally:
            self._reader.join()
            self._heard.close()
