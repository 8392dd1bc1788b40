"""The order in which bolts are tightened: every bolt once, opposite ones in turn."""

import math

import pytest

from benchleaf.trade.patterns import PATTERNS, bolt_order, bolt_places


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


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize("count", range(3, 17))
def test_bolts_lie_apart_and_within_the_unit_square(pattern, count):
    places = bolt_places(count, pattern)
    assert len(set(places)) == len(places) == count
    assert all(-1 <= coordinate <= 1 for place in places for coordinate in place)
    apart = min(math.dist(one, other) for one in places for other in places if one != other)
    assert apart > 0.1


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize("count", range(3, 17))
def test_an_order_names_each_bolt_once_in_every_pattern(pattern, count):
    order = bolt_order(("cross",), count, pattern)
    assert sorted(order) == list(range(1, count + 1))


@pytest.mark.parametrize("count", range(4, 17))
def test_two_bolts_in_turn_draw_a_circle_evenly(count):
    """The middle of the first two bolts lies near the joint's: nothing tilts (common practice, no source)."""
    places = bolt_places(count)
    first, second = (places[number - 1] for number in bolt_order(("cross",), count)[:2])
    assert math.hypot(first.x + second.x, first.y + second.y) / 2 <= math.sin(math.pi / count) + 1e-9


@pytest.mark.parametrize("count", [6, 8, 10, 12, 14, 16])
def test_a_rectangle_is_tightened_from_the_middle_outwards(count):
    """Common practice, no source: pairs through the middle, the nearest first, the corners last."""
    places = bolt_places(count, "rectangle")
    order = bolt_order(("cross",), count, "rectangle")
    pairs = list(zip(order[::2], order[1::2], strict=True))
    for one, other in pairs:
        assert math.dist(places[one - 1], (-places[other - 1].x, -places[other - 1].y)) < 1e-9
    far = [round(math.hypot(*places[one - 1]), 9) for one, _ in pairs]
    assert far == sorted(far)
    assert far[-1] == round(math.hypot(1, 2 / 3), 9)


def test_a_circle_begins_at_the_top_and_turns_clockwise():
    top, right, bottom, left = bolt_places(4)
    assert top == pytest.approx((0, 1), abs=1e-12) and right == pytest.approx((1, 0), abs=1e-12)
    assert bottom == pytest.approx((0, -1), abs=1e-12) and left == pytest.approx((-1, 0), abs=1e-12)


def test_a_rectangle_begins_at_the_upper_left_and_turns_clockwise():
    places = bolt_places(6, "rectangle")
    height = 2 / 3
    assert places == (
        (-1, height), (0, height), (1, height), (1, -height), (0, -height), (-1, -height)
    )  # fmt: skip


def test_a_row_from_the_middle():
    assert bolt_order(("cross",), 5, "row") == (3, 2, 4, 1, 5)
    assert bolt_places(1, "row") == ((0.0, 0.0),)


def test_patterns_that_are_none():
    with pytest.raises(ValueError, match="there are circle, rectangle, row"):
        bolt_places(4, "square")
    with pytest.raises(ValueError):
        bolt_places(0)
