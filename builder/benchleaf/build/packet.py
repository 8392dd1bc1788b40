"""What a review packet holds: what changed, what was proved and waived, what it rests on, both cards side by side."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from benchleaf.base.finding import Severity
from benchleaf.build.gather import gather
from benchleaf.build.judge import Judged, judge
from benchleaf.build.matrices import picture
from benchleaf.build.questions import answers
from benchleaf.build.request import Request, Tell
from benchleaf.build.sides import Side
from benchleaf.build.tracing import of_class
from benchleaf.model.matrix import FaultMatrix
from benchleaf.review.chain import chain
from benchleaf.review.difference import Change, in_words
from benchleaf.review.signature import content_of, short
from benchleaf.review.tally import WORDS, steps, tally

Data = Mapping[str, Any]


def packet(root: Path, today: str, old: Side, new: Side, changes: Sequence[Change], tell: Tell) -> dict[str, Any]:
    """The packet as plain data for `render.packet`. Raises Unreadable and Refused."""
    card = next(iter(new.cards.values()))
    content = content_of(new.cards)
    counts = tally(new.cards.values())
    judged = _judged(root, today, new, tell)
    return {
        "title": card["title"],
        "procedure": f"{card['machine']['key']}/{card['id']}",
        "machine": card["machine"]["name"],
        "revision": card["revision"],
        "reason": f"{card.get('changed_kind', '')}: {card.get('changed_reason', '')}",
        "digest": short(content),
        "day": today,
        "old": old.name,
        "new": new.name,
        "safety": [in_words(change) for change in changes if change.safety],
        "others": [in_words(change) for change in changes if not change.safety],
        "counts": [f"{counts[name]} {words}" for name, words in WORDS.items() if counts[name]],
        "findings": _findings(judged, new),
        "waivers": list(card.get("waivers", ())),
        "live": [_live(step) for step in steps(card) if step.get("live")],
        "inserted": [_inserted(step) for step in steps(card) if "inserted" in step],
        "rests_on": list(card.get("rests_on", ())),
        "trace": [line for held in judged.classes for line in of_class(held)] if judged else [],
        "questions": [each._asdict() for each in answers(judged.case, judged.classes)]
        if judged and judged.case
        else [],
        "matrices": [_matrix(held.facts.matrix) for held in judged.classes if held.facts.matrix] if judged else [],
        "tried": _tried(root, f"{card['machine']['key']}/{card['id']}", new),
        "rows": _rows(next(iter(old.cards.values()), {}), card),
    }


def _judged(root: Path, today: str, new: Side, tell: Tell) -> Judged | None:
    """The procedure as it stands, where it is what the packet is about."""
    if new.candidate is None:
        return None
    shelf = gather(Request(root, today, (root / new.candidate.file,)))
    return next(one for one in judge(shelf, tell).judged if one.standing.file == new.candidate.file)


def _findings(judged: Judged | None, new: Side) -> list[str]:
    if judged is not None:
        found = [each for each in judged.findings if each.severity is not Severity.ERROR]
        return [f"{each.severity}: {each.sentence} [{each.slug}], {each.span.file}:{each.span.line}" for each in found]
    signed = new.signature.more.get("findings", []) if new.signature else []
    return [f"{each['severity']}: {each['sentence']} [{each['slug']}], {each['place']}" for each in signed]


def _matrix(matrix: FaultMatrix) -> dict[str, str]:
    """The fault matrix as a picture (SVG), and what asking costs."""
    best = "the best order" if matrix.exact else "the best order found"
    said = (
        f"Found: {matrix.detected:.0%} of the faults by weight; told apart from all others: {matrix.isolated:.0%}. "
        f"As written {matrix.written:.1f} min on average, {best} {matrix.best:.1f} min."
    )
    return {"said": said, "picture": picture(matrix)}


def _live(step: Data) -> str:
    return f"Step {step['number']}: {step['live']}"


def _inserted(step: Data) -> dict[str, str]:
    why = step["inserted"]
    return {
        "number": str(step["number"]),
        "command": step["command"],
        "why": why.get("sentence", ""),
        "rule": why.get("rule", ""),
    }


def _tried(root: Path, procedure: str, new: Side) -> list[str]:
    """How those who signed this content have tried it."""
    content = content_of(new.cards)
    found = []
    for each in chain(root, procedure).signatures:
        tried = each.more.get("tried")
        if tried and each.content == content:
            serial = f" {tried['serial']}" if tried.get("serial") else ""
            where = f"on the machine{serial}" if tried["how"] == "machine" else "table-top"
            found.append(f"{where}, by {each.name} ({each.role}), {each.day}")
    return found


def _rows(old: Data, new: Data) -> list[dict[str, Any]]:
    """The steps of both cards side by side, in the order of the new one, with those that are gone where they stood."""
    before = {step["key"]: step for step in steps(old)}
    after = {step["key"]: step for step in steps(new)}
    keys: list[str] = list(after)
    last = -1
    for key in before:
        if key in after:
            last = keys.index(key)
        else:
            last += 1
            keys.insert(last, key)
    return [_row(before.get(key), after.get(key)) for key in keys]


def _row(old: Data | None, new: Data | None) -> dict[str, Any]:
    sides = [_said(step) for step in (old, new)]
    how = "added" if old is None else "removed" if new is None else "same" if sides[0] == sides[1] else "changed"
    numbers = [str(step["number"]) if step else "" for step in (old, new)]
    return {"how": how, "old": sides[0], "new": sides[1], "old_number": numbers[0], "new_number": numbers[1]}


def _said(step: Data | None) -> list[str]:
    if step is None:
        return []
    warned = [f"{each['word'].upper()}: {each['hazard']} {each['avoidance']}" for each in step.get("warnings", ())]
    band = step.get("reading", {}).get("band", {}).get("sentence", "")
    torque = step.get("tightening", {}).get("torque", {}).get("printed", "")
    texts = (step["command"], step.get("info", ""), f"Limit: {band}" if band else "", torque, step.get("live", ""))
    ways = [
        f"{each.get('label', '')}: {each.get('title') or each.get('to') or each['kind']}"
        for each in step.get("choices", ())
    ]
    return [*warned, *filter(None, texts), *ways]
