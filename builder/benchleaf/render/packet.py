"""The review packet as one HTML page, which a PDF is made from as well."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from jinja2 import Environment, StrictUndefined, Template

from benchleaf.base.resources import table_text


def page(packet: Mapping[str, Any]) -> str:
    """The page of a packet as `build.packet` makes it; no text in it can become markup."""
    return _template().render(p=packet)


@cache
def _template() -> Template:
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return environment.from_string(table_text("render", "packet.html"))
