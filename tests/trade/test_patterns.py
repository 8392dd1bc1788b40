"""The order in which bolts are tightened: every bolt once, opposite ones in turn."""

import pytest

from benchleaf.trade.patterns import bolt_order


# Common practice, no source: four bolts crosswise are 1-3-2-4 when numbered round the circle.
def test_four_bolts_crosswise() -> None:
    assert bolt_order(("cross",), 4) == (1, 3, 2, 4)


@pytest.mark.parametrize("count", range(2, 17))
def test_every_bolt_once_and_the_second_opposite_the_first(count: int) -> None:
    order = bolt_order(("cross",), count)
    assert sorted(order) == list(range(1, count + 1))
    gap = abs(order[0] - order[1])
    assert min(gap, count - gap) == count // 2


def test_written_orders() -> None:
    assert bolt_order((), 3) == ()
    assert bolt_order(("round",), 3) == (1, 2, 3)
    assert bolt_order(("2", "1", "3"), 3) == (2, 1, 3)


@pytest.mark.parametrize("sequence", [("star",), ("1", "1", "2"), ("1", "2"), ("0", "1", "2")])
def test_orders_that_are_none(sequence: tuple[str, ...]) -> None:
    with pytest.raises(ValueError):
        bolt_order(sequence, 3)
