"""All rules in one row: what `explain` lists, what SARIF declares, what a waiver may name."""

from functools import cache

from benchleaf.base.rules import Rule
from benchleaf.build import documents_rules, translations_rules, waivers_rules
from benchleaf.card import proof_rules
from benchleaf.model import quantity_rules
from benchleaf.passes.order import PASSES
from benchleaf.review import rules as review_rules
from benchleaf.source import source_rules


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule there is, removed ones as well, by slug."""
    rules = (
        *source_rules.RULES,
        *quantity_rules.RULES,
        *(rule for each in PASSES for rule in each.rules),
        *waivers_rules.RULES,
        *documents_rules.RULES,
        *translations_rules.RULES,
        *proof_rules.RULES,
        *review_rules.RULES,
    )
    return tuple(sorted(rules, key=lambda rule: rule.slug))
