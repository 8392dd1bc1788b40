"""`benchleaf explain`: the manual of the findings."""

from argparse import ArgumentParser, Namespace
from collections.abc import Iterable, Sequence

from benchleaf.base.rules import FAMILIES, Rule
from benchleaf.edge.console import CLEAN, Console, UsedWrongly
from benchleaf.safety.reasons import Reason, reasons

_EXAMPLE = """example:
  benchleaf explain energy.no-proof
"""

_TITLES = {
    "source": "source: what a file must be before it means anything",
    "names": "names: whatever refers to something",
    "quantity": "quantity: numbers, units, limits and the meters that decide them",
    "torque": "torque: what a joint can take",
    "energy": "energy: what is live, under pressure, raised, wound up, hot or able to move",
    "circuit": "circuit: what a reading will be",
    "logic": "logic: where answers lead",
    "language": "language: how a step is worded",
    "document": "document: what a card must hold",
    "approval": "approval: what is answered for, and by whom",
}


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    parser.add_argument(
        "slug", nargs="?", metavar="SLUG", help="the name in brackets after a finding; without: list all"
    )


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    from benchleaf.build.rules import all_rules

    rules = all_rules()
    slug = (asked.slug or "").strip("[]")
    if asked.slug is None:
        console.put(_list(rules) + _reasons(reasons().values()))
    elif slug in reasons():
        console.put(_reason(reasons()[slug]))
    else:
        console.put(_manual(_named(slug, rules)))
    return CLEAN


def _reasons(all_of_them: Iterable[Reason]) -> str:
    lines = "".join(f"  {each.slug}\n" for each in all_of_them)
    return f"\nreasons: why a card has steps and warnings that its writer did not write\n{lines}"


def _reason(reason: Reason) -> str:
    return f"{reason.slug} (a reason, not a finding)\n\n  {reason.why}\n\nsource: {reason.source}\n"


def _list(rules: Sequence[Rule]) -> str:
    width = max(len(rule.slug) for rule in rules)
    blocks = []
    for family in FAMILIES:
        members = sorted((rule for rule in rules if rule.family == family), key=lambda rule: rule.slug)
        if members:
            lines = "".join(f"  {rule.slug:<{width}}  {_state(rule)}\n" for rule in members)
            blocks.append(f"{_TITLES[family]}\n{lines}")
    return "\n".join(blocks)


def _state(rule: Rule) -> str:
    return f"removed in {rule.removed}" if rule.removed else rule.severity.value


def _manual(rule: Rule) -> str:
    return (
        f"{rule.slug} ({_state(rule)}, since {rule.since})\n\n"
        f"  {rule.why}\n\n"
        f"not so:\n{_indented(rule.bad)}\n"
        f"but so:\n{_indented(rule.good)}\n"
        f"mend: {rule.mend}\n"
        f"source: {rule.source}\n"
    )


def _indented(text: str) -> str:
    return "".join(f"  {line}\n" if line else "\n" for line in text.strip("\n").split("\n"))


def _named(slug: str, rules: Sequence[Rule]) -> Rule:
    for rule in rules:
        if rule.slug == slug:
            return rule
    from difflib import get_close_matches

    slugs = [rule.slug for rule in rules]
    # Many remember what follows the point only.
    near = [each for each in slugs if each.partition(".")[2] == slug] or get_close_matches(slug, slugs, 3)
    hint = f"; the nearest: {', '.join(near)}." if near else "; `benchleaf explain` lists all."
    raise UsedWrongly(f"no finding is called `{slug}`{hint}")
