"""`python -m benchleaf` is the same as `benchleaf`."""

import sys

from benchleaf.edge.cli import main

# Worker processes import this module again, under another name.
if __name__ == "__main__":
    sys.exit(main())
