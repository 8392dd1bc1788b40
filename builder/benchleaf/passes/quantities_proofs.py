"""With which meter zero is proved: one that is built for the circuit, and that tells zero from the proof's limit."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from benchleaf.base.finding import Finding, Related
from benchleaf.model.basics import Amount, Ref
from benchleaf.model.energy import Energy, Prove
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine
from benchleaf.model.shop import Meter, Shop
from benchleaf.passes import quantities_meter_rules as rules
from benchleaf.passes.quantities_around import highest_of
from benchleaf.passes.quantities_decision import Around, decide
from benchleaf.passes.quantities_limits import dimension_of, read
from benchleaf.passes.quantities_steps import beyond_rating
from benchleaf.passes.quantities_verdict import MOST_OF_ONE_SIDE, size_text, unit_of

BY_VOLTAGE = frozenset({"dc-voltage", "ac-voltage"})


class Prover(NamedTuple):
    """A meter of the shop that may prove zero."""

    key: str
    meter: Meter


def zero_limit(prove: Prove, below: Amount) -> Limit:
    """The limit of a proof as any other: readings below it count as gone."""
    return Limit(prove.span, Ref(prove.measure, prove.span), high=below)


def provers(shop: Shop, energies: Iterable[Energy], measure: str) -> tuple[Prover, ...]:
    """The meters with which these energies may be proved gone by voltage: the one that the shop names, else all fit."""
    worst = max(energies, key=highest_of, default=None)
    if measure not in BY_VOLTAGE or worst is None:
        return ()
    fit = (Prover(key, meter) for key, meter in _asked(shop).items() if measure in meter.ranges)
    return tuple(each for each in fit if not beyond_rating(each.meter, worst, highest_of(worst), by_voltage=True))


def _asked(shop: Shop) -> Mapping[str, Meter]:
    """The meters among which a proof may choose."""
    named = shop.proving_unit.meter if shop.proving_unit else None
    if named is None:
        return shop.meters
    return {named.name: shop.meters[named.name]} if named.name in shop.meters else {}


def of_proofs(machine: Machine, shop: Shop) -> Iterator[Finding]:
    """Whether the limit of each proof is one, the shop has a meter for a voltage, and what that makes of the limit."""
    named = shop.proving_unit.meter if shop.proving_unit else None
    # That no meter has this name is for those who look after names.
    unknown = named is not None and named.name not in shop.meters
    for key, energy in machine.energy.items():
        prove = energy.prove
        if prove is None or not prove.measure or prove.below is None:
            continue
        size = read(prove.below, dimension_of(zero_limit(prove, prove.below)))
        if isinstance(size, Finding):
            yield size
            continue
        if prove.measure not in BY_VOLTAGE or unknown:
            continue
        found = provers(shop, (energy,), prove.measure)
        if not found:
            related = tuple(Related(each.span, "The instrument is described here.") for each in _asked(shop).values())
            yield rules.PROOF_WITHOUT_METER.at(prove.span, _missing(key, energy, prove, shop), related=related[:1])
            continue
        yield from _decided(key, prove, prove.below, found[0])


def _missing(key: str, energy: Energy, prove: Prove, shop: Shop) -> str:
    able = {name: meter for name, meter in _asked(shop).items() if prove.measure in meter.ranges}
    if not able:
        return f"No meter of the shop reads {prove.measure}, by which `{key}` is proved gone."
    name, meter = next(iter(able.items()))
    return f"`{key}` is proved gone by voltage, but `{name}` {beyond_rating(meter, energy, highest_of(energy), True)}."


def _decided(key: str, prove: Prove, below: Amount, prover: Prover) -> Iterator[Finding]:
    limit = zero_limit(prove, below)
    decision = decide(limit, prover.meter, Around())
    if decision is None or decision.high is None or decision.share is None:
        return
    doubt = size_text(decision.expanded, unit_of(limit))
    sentence = f"`{prover.key}` reads to ±{doubt} there, and `{key}` counts as gone below {below}."
    related = (Related(prover.meter.span, "The instrument is described here."),)
    if decision.high.guard >= decision.high.value:
        yield rules.CANNOT_DECIDE.at(below.span, sentence, related=related)
    elif decision.share > MOST_OF_ONE_SIDE:
        yield rules.TOO_COARSE.at(below.span, sentence, related=related)
