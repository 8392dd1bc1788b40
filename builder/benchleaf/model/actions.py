"""The actions that a step may have, and how close each brings a person (`actions.json`)."""

import json
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from benchleaf.base.resources import table_text


@cache
def actions() -> Mapping[str, str]:
    """Action to nearness: senses, controls, probe, hands; `block` for the insertion of a block."""
    return MappingProxyType(json.loads(table_text("model", "actions.json")))
