"""The passes in their order, as data, and all rules of the program."""

from benchleaf.passes.base import Pass
from benchleaf.passes.flow import FLOW
from benchleaf.passes.names import NAMES

PASSES: tuple[Pass, ...] = (FLOW, NAMES)
