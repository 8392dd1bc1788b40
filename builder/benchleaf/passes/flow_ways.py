"""The ways out of each step: what its answers are, and where each leads."""

from collections.abc import Iterator, Mapping

from benchleaf.base.span import Span
from benchleaf.model.flow import OUTCOME, STOP, Way
from benchleaf.model.limit import Limit
from benchleaf.model.procedure import Leads, Step
from benchleaf.model.sides import ABOVE, BELOW, OUTSIDE, sides
from benchleaf.passes.flow_unfold import Placed, Scope

NOWHERE = Span("")
MEASURE = "measure"
_POLAR = "dc-"


def ways_of(placed: Placed, following: str, limits: Mapping[str, Limit]) -> tuple[Way, ...]:
    """All ways from a step; `following` is the key of the next one in written order, or `end`."""
    exits = _Exits(placed, following)
    step = placed.step
    if step.action.name == MEASURE:
        return tuple(_measured(step, limits.get(step.object.text), exits))
    if step.answers:
        return tuple(exits.way(answer, leads) for answer, leads in step.answers.items())
    onward = exits.way("next", None)
    if step.expect or step.otherwise:
        return (onward, exits.way_or_stop("otherwise", step.otherwise))
    return (onward,)


class _Exits:
    """Where answers of one step lead."""

    def __init__(self, placed: Placed, following: str) -> None:
        self.scope = placed.scope
        self.following = following
        step = placed.step
        self.onward: tuple[Leads, Scope] | None = (step.then, placed.scope) if step.then else placed.fall

    def way(self, side: str, leads: Leads | None) -> Way:
        """The way of an answer; without one of its own it is the way on."""
        if leads is None or leads.way == "next":
            return self._onward(side, leads)
        return _way(side, leads, self.scope, self.following)

    def way_or_stop(self, side: str, leads: Leads | None) -> Way:
        """The way of an answer that stops the work where nothing is written."""
        return self.way(side, leads) if leads else Way(side, STOP, 0, NOWHERE)

    def _onward(self, side: str, leads: Leads | None) -> Way:
        if self.onward is None:
            return Way(side, self.following, 0, leads.span if leads else NOWHERE)
        target, scope = self.onward
        made = _way(side, target, scope, self.following)
        return made._replace(span=leads.span) if leads else made


def _way(side: str, leads: Leads, scope: Scope, following: str) -> Way:
    most = leads.at_most or 0
    if leads.found:
        return Way(side, OUTCOME + leads.found.name, most, leads.span)
    if leads.go:
        # An id that does not exist is told as a name; until it is mended, nobody goes on from here.
        return Way(side, scope.find(leads.go.name) or STOP, most, leads.span)
    return Way(side, following if leads.way == "next" else STOP, most, leads.span)


def _measured(step: Step, limit: Limit | None, exits: _Exits) -> Iterator[Way]:
    yield exits.way("inside", step.inside)
    written = {BELOW: step.below, ABOVE: step.above}
    expected = sides(limit) if limit else tuple(side for side in written if written[side])
    if step.outside and not any(written[side] for side in expected if side in written):
        yield exits.way(OUTSIDE, step.outside)
    else:
        for side in expected:
            yield exits.way_or_stop(side, written.get(side) or step.outside)
    polar = limit is not None and limit.measure.name.startswith(_POLAR)
    if step.reversed or polar:
        yield exits.way_or_stop("reversed", step.reversed)
    yield exits.way_or_stop("unsteady", step.unsteady)
    yield exits.way_or_stop("too_close", step.too_close)
    yield exits.way_or_stop("cant_reach", step.cant_reach)
