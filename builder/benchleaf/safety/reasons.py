"""Why the compiler puts steps and warnings in: the reasons that stand in brackets on a card, with their source."""

import json
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from benchleaf.base.resources import table_text


class Reason(NamedTuple):
    """A reason for an inserted step or a warning, in a sentence, and the source of the rule behind it."""

    slug: str
    why: str
    source: str


@cache
def reasons() -> Mapping[str, Reason]:
    """All reasons by slug."""
    table = json.loads(table_text("safety", "reasons.json"))
    return {slug: Reason(slug, *row) for slug, row in table.items()}
