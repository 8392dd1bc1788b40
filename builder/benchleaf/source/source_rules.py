"""All rules of the family `source`."""

from benchleaf.base.rules import Rule
from benchleaf.source import rules_files, rules_format, rules_shape, rules_text, rules_tree

RULES: tuple[Rule, ...] = (
    *rules_text.RULES,
    *rules_tree.RULES,
    *rules_format.RULES,
    *rules_shape.RULES,
    *rules_files.RULES,
)
