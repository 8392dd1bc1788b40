"""Progress on standard error: one line that is drawn over on a terminal, plain lines if asked, else nothing."""

import time

from benchleaf.edge.console import Console, visible

# Quick work needs no line that flashes by.
_PATIENCE = 0.4
_CLEAR = "\r\x1b[K"


class Progress:
    """Tells how far the work is; `end` takes the line away again."""

    def __init__(self, console: Console, *, verbose: bool = False) -> None:
        """Nothing is shown yet; `verbose` asks for plain lines with the time since the start."""
        self._console = console
        self._verbose = verbose
        self._began = time.monotonic()
        self._drawn = False

    def __call__(self, stage: str, what: str, done: int, all_: int) -> None:
        """Tell: see `build.request.Tell`."""
        passed = time.monotonic() - self._began
        line = f"{stage} {done + 1} of {all_}: {visible(what)}"
        if self._verbose:
            self._console.err.write(f"{passed:8.2f} s  {line}\n")
        elif self._console.live and passed > _PATIENCE:
            self._console.err.write(f"{_CLEAR}{line[:78]}")
            self._console.err.flush()
            self._drawn = True

    def end(self) -> None:
        """Take the line away."""
        if self._drawn:
            self._console.err.write(_CLEAR)
            self._console.err.flush()
            self._drawn = False
