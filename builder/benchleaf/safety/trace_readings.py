"""What the circuit lets a step's meter show, as lines of the trace: good machines, and each fault that shows."""

from collections.abc import Iterator

from benchleaf.model.expected import Expected
from benchleaf.safety.sentences import say
from benchleaf.trade.reckoned import amount, span_of


def readings(expected: Expected | None, station: str) -> Iterator[str]:
    """The lines of one station; none where the circuit says nothing about it."""
    foreseen = expected.readings.get(station) if expected is not None else None
    if foreseen is not None:
        band = span_of(foreseen.low, foreseen.high, foreseen.unit)
        yield say("trace-reading", band=band, state=foreseen.state)
        for fault, side in foreseen.sides.items():
            if side != foreseen.side:
                yield say("trace-fault", fault=fault, shown=amount(foreseen.faults[fault], foreseen.unit), side=side)
    given = expected.computed.get(foreseen.limit) if expected is not None and foreseen is not None else None
    if given is not None:
        yield say("trace-computed", low=str(given.low), high=str(given.high))
