"""`python -m benchleaf` is the same as `benchleaf`."""

import sys

from benchleaf.edge.cli import main

sys.exit(main())
