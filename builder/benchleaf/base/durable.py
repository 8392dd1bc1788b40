"""Renames and new files that last through a power cut."""

import os
import sys
from contextlib import suppress
from pathlib import Path


def flush_folder(folder: Path) -> None:
    """Make what was renamed or created in a folder last; where folders cannot be flushed, the system sees to it."""
    if sys.platform == "win32":
        return
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
