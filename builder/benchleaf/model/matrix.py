"""The fault matrix of a procedure: what each question answers under each fault, and what asking costs."""

from typing import NamedTuple


class Column(NamedTuple):
    """A question of the matrix: its station, what it asks in words, and its own minutes."""

    station: str
    asks: str
    minutes: float


class Row(NamedTuple):
    """A fault: its answers column by column (empty: not known), and where the written card leads with it.

    `computed` tells which answers follow from the circuit, with `shown` as what the meter would show. `ends` is the
    outcome, empty where the card loses its way; `found` says whether that outcome names the fault; `minutes` is what
    the written way takes, `way` its questions with their answers. The fault named by an empty text stands for none.
    """

    fault: str
    weight: int
    answers: tuple[str, ...]
    shown: tuple[str, ...]
    computed: tuple[bool, ...]
    ends: str
    found: bool
    minutes: float
    way: tuple[tuple[str, str], ...] = ()


class FaultMatrix(NamedTuple):
    """All of it. `groups` are faults that no question tells apart; minutes are averages by weight.

    `order` names the stations of the best search found in the order in which they are first met; `exact` says that no
    other order is shorter, as far as the questions stand in the matrix.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    groups: tuple[tuple[str, ...], ...]
    detected: float
    isolated: float
    written: float
    best: float
    bound: float
    exact: bool
    order: tuple[str, ...]
