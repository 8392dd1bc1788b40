"""The event parser: libyaml where PyYAML was built with it, PyYAML's own otherwise; same events, ten times slower."""

from typing import Any

from yaml.parser import Parser as _EventParser
from yaml.reader import Reader
from yaml.scanner import Scanner


class PureParser(Reader, Scanner, _EventParser):
    """PyYAML's parser without its composer, resolver and constructor."""

    def __init__(self, text: str) -> None:
        Reader.__init__(self, text)
        Scanner.__init__(self)
        _EventParser.__init__(self)


Parser: Any
try:
    from yaml._yaml import CParser

    Parser = CParser
except ImportError:
    Parser = PureParser
