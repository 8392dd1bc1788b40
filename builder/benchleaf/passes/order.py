"""The passes in their order, as data: each needs only what an earlier one gives."""

from benchleaf.passes.base import Pass
from benchleaf.passes.circuits import CIRCUITS
from benchleaf.passes.diagnosis import DIAGNOSIS
from benchleaf.passes.documents import DOCUMENTS
from benchleaf.passes.flow import FLOW
from benchleaf.passes.handover import HANDOVER
from benchleaf.passes.hazards import HAZARDS
from benchleaf.passes.language import LANGUAGE
from benchleaf.passes.logic import LOGIC
from benchleaf.passes.names import NAMES
from benchleaf.passes.quantities import QUANTITIES
from benchleaf.passes.safeguards import SAFEGUARDS
from benchleaf.passes.states import STATES
from benchleaf.passes.torque import TORQUE

PASSES: tuple[Pass, ...] = (
    FLOW,
    NAMES,
    SAFEGUARDS,
    CIRCUITS,
    QUANTITIES,
    LOGIC,
    LANGUAGE,
    DOCUMENTS,
    TORQUE,
    STATES,
    HAZARDS,
    DIAGNOSIS,
    HANDOVER,
)
