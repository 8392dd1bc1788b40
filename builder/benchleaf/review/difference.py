"""Differences between two cards in meaning, not in lines: what changed, of what, and whether it touches safety."""

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from benchleaf.review.flat import Data, Place, flat, order

# Kinds of things that touch safety whatever is said of them.
_SAFE_KINDS = frozenset(
    {"hazards", "equipment", "emergency", "rests_on", "waivers", "facts", "put_back", "requires", "crew"}
)
# Rows of sentences, which are their own names.
_TEXTS = frozenset({"emergency", "rests_on", "waivers", "requires"})
# What is said of a step and touches safety, by the beginning of the field.
_SAFE_FIELDS = (
    "warnings", "live", "role", "inserted", "reading.band", "reading.pairs", "reading.measure", "tightening", "wait",
    "hold", "facts", "meanwhile", "together", "choices", "section", "who",
)  # fmt: skip
_SAFE_CARD = ("pause", "machine", "notice", "not_for")
_WORDS = {"reading": "limit", "tightening": "torque", "choices": "branch", "warnings": "warning", "live": "live work"}
_KINDS = {
    "hazards": "energy",
    "equipment": "protective equipment",
    "emergency": "emergency",
    "rests_on": "what the card rests on",
    "waivers": "waiver",
    "facts": "machine",
    "put_back": "put back",
    "requires": "requirement",
    "crew": "crew",
    "outcomes": "outcome",
    "tools": "tool",
    "spares": "spare part",
    "supplies": "supply",
    "references": "reference",
    "section": "section",
    "card": "card",
    "step": "step",
}


class Change(NamedTuple):
    """One difference. `how`: added | removed | moved | changed | reworded; `thing` names what it is about, in words.

    `kind` is that of the thing (step, limit, torque, warning, branch, outcome, energy …). `old` and `new` are what was
    said and is said, as data (None: nothing). `measure` says of a limit or torque by how much it changed, and whether
    that makes it tighter or looser; empty where numbers can't be compared. `card` is the key of the class of machines.
    """

    kind: str
    how: str
    thing: str
    safety: bool
    old: Any = None
    new: Any = None
    measure: str = ""
    card: str = ""


def compared(old: Mapping[str, Data], new: Mapping[str, Data]) -> tuple[Change, ...]:
    """Differences of all cards of a procedure by the key of their class; those that touch safety first."""
    found: list[Change] = []
    for key in sorted({*old, *new}):
        if key not in old or key not in new:
            how = "added" if key in new else "removed"
            found.append(Change("class", how, f"card for machines {key or 'all'}", True, card=key))
        else:
            found += (change._replace(card=key) for change in differences(old[key], new[key]))
    return tuple(sorted(found, key=lambda change: not change.safety))


def differences(old: Data, new: Data) -> tuple[Change, ...]:
    """Differences of two cards: those that touch safety first, each kind in the order of the new card."""
    before, after = flat(old), flat(new)
    groups: dict[tuple[str, str, str], tuple[dict[Place, Any], dict[Place, Any]]] = {}
    whole_old, whole_new = _things(before), _things(after)
    for place in dict.fromkeys((*after, *before)):
        if place in before and place in after and before[place] == after[place]:
            continue
        thing = (place.kind, place.name)
        # A thing that is new or gone is one difference, whatever is said of it.
        part = "" if (thing in whole_old) != (thing in whole_new) or place.kind == "facts" else _part(place)
        olds, news = groups.setdefault((*thing, part), ({}, {}))
        if place in before:
            olds[place] = before[place]
        if place in after:
            news[place] = after[place]
    found = [_change(*name, olds, news, thing_is=(name[:2] in whole_old, name[:2] in whole_new), cards=(old, new))
             for name, (olds, news) in groups.items()]  # fmt: skip
    found += _moved(old, new)
    return tuple(sorted(found, key=lambda change: not change.safety))


def in_words(change: Change) -> str:
    """A difference as a line of text."""
    kind = "" if change.thing.startswith(change.kind) else f"{change.kind}, "
    line = f"{kind}{change.thing}: {change.how}"
    if change.how in ("changed", "reworded"):
        line += f" from {_said(change.old)} to {_said(change.new)}"
    elif change.how in ("added", "removed") and (change.new or change.old):
        line += f": {_said(change.new if change.how == 'added' else change.old)}"
    if change.measure:
        line += f" ({change.measure})"
    return f"{line} [{change.card}]" if change.card else line


def _things(table: Mapping[Place, Any]) -> frozenset[tuple[str, str]]:
    return frozenset((place.kind, place.name) for place in table)


def _part(place: Place) -> str:
    """What of a thing a field belongs to: changes of one part are one difference."""
    head = place.field.partition(".")[0]
    if place.kind != "step":
        return "" if place.kind in ("outcomes", "hazards", "tools", "spares", "supplies", "put_back") else head
    if head == "reading":
        # The limit is what is read off; how the leads are put is another matter.
        return "reading.band" if place.field.startswith("reading.band") else "reading"
    return head


def _change(
    kind: str, name: str, part: str, olds: Mapping[Place, Any], news: Mapping[Place, Any],
    thing_is: tuple[bool, bool], cards: tuple[Data, Data],
) -> Change:  # fmt: skip
    was, is_ = thing_is
    how = "added" if not was else "removed" if not is_ else "changed"
    if kind == "step":
        if how != "changed":
            step = _step(cards[0] if how == "removed" else cards[1], name)
            text = step.get("command", "")
            said = (None, text) if how == "added" else (text, None)
            return Change("step", how, f"step {name}", _step_is_safe(step), *said)
        return _in_step(name, part, olds, news, cards)
    safe = kind in _SAFE_KINDS or (kind == "card" and part in _SAFE_CARD)
    if kind == "outcomes":
        safe = how != "changed" or any(place.field != "text" for place in (*olds, *news))
    if kind in _TEXTS:
        return Change(_KINDS[kind], how, _KINDS[kind], safe, _data(olds), _data(news))
    field = f" {part}" if kind == "card" and part else ""
    thing = f"{_KINDS.get(kind, kind)}{field or f' {name}'.rstrip()}"
    return Change(_KINDS.get(kind, kind), how, thing, safe, _data(olds), _data(news))


def _in_step(
    name: str, part: str, olds: Mapping[Place, Any], news: Mapping[Place, Any], cards: tuple[Data, Data]
) -> Change:
    head = part.partition("[")[0]
    old, new = _data(olds), _data(news)
    safe = part.startswith(_SAFE_FIELDS)
    kind = _WORDS.get(head.partition(".")[0], "step") if part != "reading" else "reading"
    how = "added" if not olds else "removed" if not news else "changed"
    thing = f"step {name}"
    if part == "reading.band":
        bands = [_step(card, name).get("reading", {}).get("band", {}) for card in cards]
        named = bands[1].get("key") or bands[0].get("key") or ""
        old, new = (band.get("sentence") for band in bands)
        return Change(kind, how, f"{named or 'limit'} at {thing}", True, old, new, _band_measure(*bands))
    if part == "tightening":
        joints = [_step(card, name).get("tightening", {}) for card in cards]
        old, new = (joint.get("torque", {}).get("printed") or joint.get("angle") for joint in joints)
        measure = _ratio("torque", *(joint.get("torque", {}) for joint in joints))
        return Change(
            kind, how, f"{joints[1].get('name') or joints[0].get('name')} at {thing}", True, old, new, measure
        )
    if part in ("command", "info", "expect"):
        return Change(
            "step", "reworded" if how == "changed" else how, f"{thing}, {part}", _is_inserted(cards, name), old, new
        )
    inner = part.partition("[")[2].rstrip("]")
    label = f"{inner} at {thing}" if inner else f"{thing}, {head}" if kind == "step" else thing
    return Change(kind, how, label, safe, old, new)


def _moved(old: Data, new: Data) -> list[Change]:
    """The fewest steps that must have moved for the rest to stand in the same order."""
    common = set(order(old)) & set(order(new))
    before = {key: place for place, key in enumerate(key for key in order(old) if key in common)}
    now = [key for key in order(new) if key in common]
    staying = _longest([before[key] for key in now])
    moved = [key for key in now if before[key] not in staying]
    return [Change("step", "moved", f"step {key}", _step_is_safe(_step(new, key))) for key in moved]


def _longest(places: Sequence[int]) -> frozenset[int]:
    """The members of a longest rising row."""
    ends: list[int] = []
    rows: list[tuple[int, ...]] = []
    for place in places:
        at = bisect_left(ends, place)
        row = (*(rows[at - 1] if at else ()), place)
        if at == len(ends):
            ends.append(place)
            rows.append(row)
        else:
            ends[at], rows[at] = place, row
    return frozenset(rows[-1] if rows else ())


def _step(card: Data, key: str) -> Data:
    steps = (step for section in card.get("sections", ()) for step in section["steps"])
    return next((step for step in steps if step["key"] == key), {})


def _step_is_safe(step: Data) -> bool:
    return any(
        name in step for name in ("role", "inserted", "warnings", "live", "hold", "tightening", "wait", "reading")
    )


def _is_inserted(cards: Iterable[Data], name: str) -> bool:
    return any("inserted" in _step(card, name) for card in cards)


def _data(table: Mapping[Place, Any]) -> Any:
    if not table:
        return None
    if len(table) == 1:
        return next(iter(table.values()))
    return {place.field or place.name: value for place, value in table.items()}


def _band_measure(old: Data, new: Data) -> str:
    """By how much the sides of a limit moved, and whether the band got tighter or looser."""
    told, tighter, looser = [], False, False
    for side, sign in (("low", 1), ("high", -1)):
        one, other = old.get(side), new.get(side)
        if one == other:
            continue
        if not one or not other:
            told.append(f"{side} {'added' if other else 'taken away'}")
            tighter, looser = tighter or bool(other), looser or not other
            continue
        numbers = _numbers(one, other)
        if numbers is None:
            return ""
        told.append(f"{side} {_percent(*numbers)}")
        tighter, looser = (
            tighter or (numbers[1] - numbers[0]) * sign > 0,
            looser or (numbers[1] - numbers[0]) * sign < 0,
        )
    if not told:
        return ""
    return f"{', '.join(told)}; {'shifted' if tighter and looser else 'tighter' if tighter else 'looser'}"


def _ratio(name: str, old: Data, new: Data) -> str:
    numbers = _numbers(old, new) if old and new and old != new else None
    return f"{name} {_percent(*numbers)}" if numbers else ""


def _numbers(old: Data, new: Data) -> tuple[Decimal, Decimal] | None:
    if old.get("unit") != new.get("unit"):
        return None
    try:
        return Decimal(old["value"]), Decimal(new["value"])
    except (InvalidOperation, KeyError):
        return None


def _percent(old: Decimal, new: Decimal) -> str:
    return f"{float((new - old) / abs(old) * 100):+.3g} %" if old else f"from {old} to {new}"


def _said(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, Mapping):
        return "; ".join(f"{name} {_said(each)}" for name, each in value.items())
    if isinstance(value, list):
        return ", ".join(map(_said, value)) or "nothing"
    return f"“{value}”" if isinstance(value, str) else str(value)
