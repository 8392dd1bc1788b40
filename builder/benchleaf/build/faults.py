"""What can keep a run from its work, each told in one sentence."""

from pathlib import Path


class NoSource(Exception):
    """A path that was asked for and that is no source file of the workspace; the text is a sentence."""


class Unwritable(Exception):
    """A file or folder that the system does not let us write; `reason` is a plain clause."""

    def __init__(self, path: Path, error: OSError) -> None:
        self.path = path
        self.reason = (error.strerror or str(error)).lower()
        super().__init__(f"{path} cannot be written: {self.reason}")
