"""The readings that circuits foretell, by procedure and step: what a change of one name may move."""

from collections.abc import Iterable, Mapping

from benchleaf.base.span import Span
from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, Tell
from benchleaf.model.expected import Foreseen

Step = tuple[str, Span]


def foretold(request: Request, procedures: Iterable[str], tell: Tell) -> Mapping[Step, tuple[Foreseen, ...]]:
    """For each measuring step of these procedures (`machine/id`), as (procedure, place), its readings, one for each
    class of machines and each place where the step is put in. Raises Unreadable and NoSource.
    """
    wanted = {tuple(name.split("/")) for name in procedures}
    shelf = gather(request)
    files = tuple(request.root / loaded.file for key, loaded in shelf.procedures.items() if key in wanted)
    found: dict[Step, tuple[Foreseen, ...]] = {}
    for one in judge(gather(request._replace(paths=files)), tell).judged if files else ():
        for held in one.classes if one.key in wanted else ():
            if held.facts.expected is None or held.facts.flow is None:
                continue
            for station in held.facts.flow.stations:
                foreseen = held.facts.expected.readings.get(station.key)
                step = (one.key[1], station.step.span)
                if foreseen is not None and foreseen not in found.get(step, ()):
                    found[step] = (*found.get(step, ()), foreseen)
    return found
