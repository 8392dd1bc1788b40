"""What is declared, by kind of name, and how a name that is not is told."""

from collections.abc import Collection, Iterable, Mapping
from typing import NamedTuple

from benchleaf.base.finding import Finding, Related
from benchleaf.base.rules import Rule
from benchleaf.model.basics import EMPTY, Ref
from benchleaf.model.machine import Machine
from benchleaf.model.nearest import nearest
from benchleaf.model.shop import Shop
from benchleaf.passes import names_rules as rules


class Kind(NamedTuple):
    """A kind of name: its word, whose it is, and the rule that is broken where it is not declared."""

    word: str
    owner: str
    rule: Rule


KINDS: Mapping[str, Kind] = {
    "condition": Kind("condition", "machine", rules.UNKNOWN_CONDITION),
    "cover": Kind("cover", "machine", rules.UNKNOWN_CONDITION),
    "isolator": Kind("isolating condition", "machine", rules.UNKNOWN_CONDITION),
    "energy": Kind("energy", "machine", rules.UNKNOWN_ENERGY),
    "part": Kind("part", "machine", rules.UNKNOWN_PART),
    "place": Kind("place", "machine", rules.UNKNOWN_PLACE),
    "point": Kind("point", "machine", rules.UNKNOWN_POINT),
    "thing": Kind("thing", "machine", rules.UNKNOWN_THING),
    "limit": Kind("limit", "machine", rules.UNKNOWN_LIMIT),
    "fastener": Kind("fastener", "machine", rules.UNKNOWN_FASTENER),
    "indicator": Kind("indicator", "machine", rules.UNKNOWN_INDICATOR),
    "element": Kind("element", "circuit", rules.UNKNOWN_ELEMENT),
    "node": Kind("node", "circuit", rules.UNKNOWN_ELEMENT),
    "fault": Kind("fault", "machine", rules.UNKNOWN_FAULT),
    "option": Kind("option", "machine", rules.UNKNOWN_OPTION),
    "step": Kind("step", "procedure", rules.UNKNOWN_STEP),
    "outcome": Kind("outcome", "procedure", rules.UNKNOWN_OUTCOME),
    "role": Kind("role", "crew", rules.UNKNOWN_ROLE),
    "procedure": Kind("procedure", "workspace", rules.UNKNOWN_PROCEDURE),
    "trade": Kind("trade", "shop", rules.UNKNOWN_TRADE),
    "meter": Kind("meter", "shop", rules.UNKNOWN_GEAR),
    "wrench": Kind("wrench", "shop", rules.UNKNOWN_GEAR),
    "tool": Kind("tool", "shop", rules.UNKNOWN_GEAR),
    "shop-thing": Kind("thing", "shop", rules.UNKNOWN_GEAR),
    "supply": Kind("supply", "shop", rules.UNKNOWN_GEAR),
}
_COVER_SAYS = "a condition without `cover: true`"
_ISOLATOR_SAYS = "a condition that does not isolate"


class Known:
    """All declared names by kind; kinds that are not given are open: any name will do."""

    def __init__(
        self,
        names: Mapping[str, Collection[str]],
        machine: str = "",
        written: Mapping[str, Collection[str]] = EMPTY,
    ) -> None:
        """`machine` is the id of the machine, for the sentences; `written` are the names for all of its classes."""
        self.names = names
        self.machine = machine
        self.written = written

    def has(self, kinds: tuple[str, ...], name: str) -> bool:
        """Whether the name is declared as one of the kinds."""
        return any(kind not in self.names or name in self.names[kind] for kind in kinds)

    def missing(self, kinds: tuple[str, ...], ref: Ref) -> Finding:
        """The finding for a name that is declared as none of the kinds."""
        first = KINDS[kinds[0]]
        owner = f"machine `{self.machine}`" if first.owner == "machine" else first.owner
        *words, last = dict.fromkeys(KINDS[kind].word for kind in kinds)
        what = f"{', '.join(words)} or {last}" if words else last
        table = next((names for kind in kinds if ref.name in (names := self.written.get(kind, ()))), None)
        if table is not None:
            return _for_others(first.rule, what, ref, table)
        sentence = f"The {owner} has no {what} `{ref.name}`"
        other = self._other(kinds, ref.name)
        if other:
            return first.rule.at(ref.span, f"{sentence}; `{ref.name}` is {other}.")
        near = nearest(ref.name, [name for kind in kinds for name in self.names[kind]])
        return first.rule.at(ref.span, f"{sentence}{near.clause}.", change=near.meant)

    def _other(self, kinds: tuple[str, ...], name: str) -> str:
        if name in self.names.get("condition", ()):
            if "cover" in kinds:
                return _COVER_SAYS
            if "isolator" in kinds:
                return _ISOLATOR_SAYS
        for kind, names in self.names.items():
            if name in names:
                word = KINDS[kind].word
                return f"{'an' if word[0] in 'aeiou' else 'a'} {word} of the {KINDS[kind].owner}"
        return ""


def _for_others(rule: Rule, what: str, ref: Ref, table: Collection[str]) -> Finding:
    """The finding for a name that is declared, but for other machines than these."""
    record = table[ref.name] if isinstance(table, Mapping) else None
    place = getattr(record, "span", None)
    return rule.at(
        ref.span,
        f"These machines have no {what} `{ref.name}`; it is for others.",
        mend="Use one that these machines have, or say with `applies_to` that this is for the others alone.",
        related=(Related(place, "It is declared here."),) if place else (),
    )


def of_machine(machine: Machine) -> dict[str, Collection[str]]:
    """The names that a machine declares."""
    conditions = machine.conditions
    elements = machine.circuit.elements if machine.circuit else {}
    return {
        "condition": {**conditions, **machine.things},
        "cover": {name for name, condition in conditions.items() if condition.cover},
        "isolator": {name for name, condition in conditions.items() if condition.isolates},
        "energy": machine.energy,
        "part": machine.parts,
        "place": machine.places,
        "point": machine.points,
        "thing": machine.things,
        "limit": machine.limits,
        "fastener": machine.fasteners,
        "indicator": machine.indicators,
        "element": elements,
        "node": {node.name for element in elements.values() for node in element.nodes},
        "fault": machine.faults,
        "option": machine.options,
    }


def of_shop(shop: Shop) -> dict[str, Collection[str]]:
    """The names that a shop declares; without trades of its own any trade will do."""
    names: dict[str, Collection[str]] = {
        "meter": shop.meters,
        "wrench": shop.wrenches,
        "tool": shop.tools,
        "shop-thing": shop.things,
        "supply": shop.supplies,
    }
    if shop.rules and shop.rules.trades:
        names["trade"] = _names(shop.rules.trades)
    return names


def _names(refs: Iterable[Ref]) -> set[str]:
    return {ref.name for ref in refs}
