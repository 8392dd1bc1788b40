"""The ends of a procedure: how each outcome leaves the machine, and the steps that bring it there."""

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from benchleaf.model.flow import OUTCOME
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Ending, Inserted, Why
from benchleaf.model.procedure import Procedure
from benchleaf.safety.analysis import Analysis, Standing
from benchleaf.safety.blocks import lock_steps, polarity_steps, relief
from benchleaf.safety.effects import LooseEnd
from benchleaf.safety.isolators import needed_for
from benchleaf.safety.labels import Labels
from benchleaf.safety.locking import Lockout
from benchleaf.safety.presence import may_be_there
from benchleaf.safety.restoring import leave_steps, put_back_steps
from benchleaf.safety.sentences import say
from benchleaf.safety.valuation import Values, joined

AS_FINAL, OUT_OF_SERVICE = "as-final", "out-of-service"


class Closing(NamedTuple):
    """A closing section: which outcomes share it, whether it begins locked, and its steps."""

    kind: str
    outcomes: tuple[str, ...]
    steps: tuple[Inserted, ...]


class LeftOpen(NamedTuple):
    """An outcome that leaves the machine ready although something of the writer's may still stand open."""

    outcome: str
    loose: tuple[LooseEnd, ...]


def leave_of(procedure: Procedure, key: str, loose: frozenset[LooseEnd]) -> str:
    """How an outcome leaves the machine: as written, else out of service where something stands open."""
    written = procedure.outcomes[key].leave
    return written or (OUT_OF_SERVICE if loose else AS_FINAL)


def closings(
    machine: Machine,
    procedure: Procedure,
    labels: Labels,
    plan: Callable[[frozenset[str], frozenset[str]], Lockout],
    analysis: Analysis,
    arriving: Mapping[str, frozenset[str]],
    opened: frozenset[str],
    gone: Mapping[str, frozenset[str]],
    owing: Mapping[str, frozenset[str]],
    anew: Callable[[frozenset[str], Sequence[Inserted], Values, Why], Sequence[Inserted]],
) -> tuple[tuple[Closing, ...], tuple[LeftOpen, ...]]:
    """The closing sections, each shared by all outcomes that need the same steps, and what is wrongly left open.

    `plan` gives the lockout of some isolators while others are locked already; `opened` are the covers that the
    compiler opens; `arriving` says what is locked on arrival in each outcome, `gone` what has been let go by then,
    `owing` the batteries whose polarity is owed; `anew` gives the proofs that hands need once more.
    """
    groups: dict[tuple[str, frozenset[str], frozenset[str], tuple[str, ...]], list[str]] = {}
    wrong: list[LeftOpen] = []
    for key in procedure.outcomes:
        standing = analysis.arriving.get(OUTCOME + key)
        if standing is None:
            continue
        own = writers_own(standing.loose, opened)
        leave = leave_of(procedure, key, own)
        if leave == AS_FINAL and own:
            wrong.append(LeftOpen(key, tuple(sorted(own))))
        locked = arriving.get(OUTCOME + key, frozenset())
        if leave == AS_FINAL:
            kind = "restore" if any(labels.isolators[name].kind != "relieve" for name in locked) else "shut"
        else:
            kind = "lock" if labels.at(OUTCOME + key) - locked else "tag"
        missing = labels.at(OUTCOME + key) - locked if kind == "lock" else frozenset()
        held = stored(machine, standing.values, locked, missing, gone.get(OUTCOME + key, frozenset()))
        due = tuple(sorted(owing.get(OUTCOME + key, frozenset())))
        groups.setdefault((kind, locked, missing, held if kind in ("lock", "tag") else due), []).append(key)
    made = []
    for (kind, locked, missing, held), keys in groups.items():
        together = _united([analysis.arriving[OUTCOME + key] for key in keys])
        why = _why(keys[0], kind)
        if kind in ("restore", "shut"):
            covers = tuple(sorted({end.name for end in together.loose if end.action == "open"} & opened))
            back = put_back_steps(machine, procedure, plan(locked, frozenset()), together.values, covers, why)
            steps = [*polarity_steps(machine, held, why), *anew(locked, back, together.values, why), *back]
        else:
            first = lock_steps(machine, plan(missing, locked), together.values, why, False) if missing else []
            steps = [*first, *relief(machine, held, why), *leave_steps(bool(missing or locked), why)]
        made.append(Closing(kind, tuple(keys), tuple(steps)))
    return tuple(made), tuple(wrong)


def stored(
    machine: Machine, values: Values, locked: frozenset[str], missing: frozenset[str], gone: frozenset[str]
) -> tuple[str, ...]:
    """What is cut off on arrival, stays stored, can be let go, and has not been: it is not left to the next person."""
    return tuple(
        key
        for key, energy in machine.energy.items()
        if energy.relieve is not None
        and key not in gone
        and (needed := frozenset(needed_for(machine, key))) <= locked
        and needed
        and not needed & missing
        and may_be_there(machine, key, values)
    )


def _why(key: str, kind: str) -> Why:
    if kind in ("restore", "shut"):
        return Why("energy.restore", say("why-ready"), station=OUTCOME + key)
    return Why("energy.leave-locked", say("why-out"), station=OUTCOME + key)


def writers_own(loose: frozenset[LooseEnd], opened: frozenset[str]) -> frozenset[LooseEnd]:
    """The loose ends without the covers that the compiler itself opened."""
    return frozenset(end for end in loose if not (end.action == "open" and end.name in opened))


def _united(standings: Sequence[Standing]) -> Standing:
    values, loose = standings[0]
    for other in standings[1:]:
        values, loose = joined(values, other.values), loose | other.loose
    return Standing(values, loose)


def endings(
    procedure: Procedure, analysis: Analysis, made: Sequence[Closing], opened: frozenset[str]
) -> dict[str, Ending]:
    """For each outcome how it is left, and the key of its closing section (empty where nothing needs doing)."""
    found: dict[str, Ending] = {}
    for place, closing in enumerate(made, 1):
        for key in closing.outcomes:
            standing = analysis.arriving[OUTCOME + key]
            own = writers_own(standing.loose, opened)
            section = f"closing-{place}" if closing.steps else ""
            leave = leave_of(procedure, key, own)
            loose = tuple(sorted((end.action, end.name) for end in standing.loose)) if leave == OUT_OF_SERVICE else ()
            found[key] = Ending(key, leave, section, loose)
    return found
