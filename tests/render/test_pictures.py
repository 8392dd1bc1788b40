"""Gauges stand for the limit they are drawn from, patterns for the order of tightening."""

import re
import xml.etree.ElementTree as ElementTree
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.card.records import Band, Tightening, Value
from benchleaf.render.pictures import gauge, pattern

SVG = "{http://www.w3.org/2000/svg}"
NUMBERS = st.decimals(-1000, 1000, places=2)


def value(number):
    return None if number is None else Value(f"{number}", "V", f"{number} V")


def band(low=None, nominal=None, high=None):
    return Band("b", "a limit", "band", "a <limit>", value(low), value(nominal), value(high))


def drawn(text):
    return ElementTree.fromstring(text)


def labels(picture):
    return {node.text: (float(node.get("x")), float(node.get("y"))) for node in picture.iter(SVG + "text")}


def box(picture):
    """Where the part within limits begins and ends, and whether it is closed there."""
    path = next(node.get("d") for node in picture.iter(SVG + "path") if node.get("stroke-width") == "2.6")
    start, end = re.match(r"M(\d+) 17H(\d+)", path).groups()
    return int(start), int(end), f"M{start} 13V" in path, f"M{end} 13V" in path


def test_two_sided_limit_is_closed_at_both_ends():
    picture = drawn(gauge(band("50.2", "50.9", "51.6")))
    assert box(picture) == (75, 225, True, True)
    assert labels(picture) == {"50.2 V": (75, 49), "51.6 V": (225, 49), "50.9 V": (150, 12)}


def test_one_sided_limit_is_open_at_the_other_end():
    assert box(drawn(gauge(band(high="2.4")))) == (0, 225, False, True)
    assert box(drawn(gauge(band(low="2")))) == (75, 300, True, False)


def test_limit_without_values_has_no_gauge():
    assert gauge(Band("b", "open", "open", "open: no current path")) == ""


@given(st.lists(NUMBERS, min_size=3, max_size=3, unique=True).map(sorted))
def test_nominal_stands_between_the_limits_in_proportion(three):
    low, nominal, high = three
    x = labels(drawn(gauge(band(low, nominal, high))))[f"{nominal} V"][0]
    assert 75 <= x <= 225
    assert abs(Decimal(x) - (75 + 150 * (nominal - low) / (high - low))) <= Decimal("0.5")


@given(st.lists(NUMBERS, min_size=3, max_size=3, unique=True).map(sorted))
def test_gauge_is_light_and_titled(three):
    picture = drawn(gauge(band(*three)))
    assert len(list(picture.iter())) <= 9
    assert picture.find(SVG + "title").text == "Limit: a <limit>"


def joint(order, name="cross"):
    return Tightening("j", "joint", "M8", len(order), None, order=order, pattern=name)


def turns(picture):
    """Turns to be tightened, by bolt in clockwise order from the top."""
    return [int(node.text) for node in picture.iter(SVG + "text")]


@given(st.integers(3, 16).flatmap(lambda count: st.permutations(range(1, count + 1))))
def test_each_bolt_shows_when_its_turn_comes(order):
    picture = drawn(pattern(joint(tuple(order))))
    assert [turns(picture).index(turn) + 1 for turn in range(1, len(order) + 1)] == order


def test_first_bolt_is_at_the_top_and_the_second_turn_opposite():
    picture = drawn(pattern(joint((1, 3, 2, 4))))
    (top, below) = [node for node in picture.iter(SVG + "text") if node.text in ("1", "2")]
    assert (float(top.get("x")), float(top.get("y"))) == (60, 20.5)
    assert (float(below.get("x")), float(below.get("y"))) == (60, 108.5)
    assert picture.find(SVG + "title").text == "Order of tightening, clockwise from the top: 1, 3, 2, 4"


def test_a_row_is_drawn_as_a_row():
    heights = {node.get("y") for node in drawn(pattern(joint((2, 1, 3), "row"))).iter(SVG + "text")}
    assert len(heights) == 1


@pytest.mark.parametrize("order", [(), (1,)])
def test_no_order_no_picture(order):
    assert pattern(joint(order)) == ""


@pytest.mark.parametrize("length", [5, 19, 22, 26, 33])
def test_labels_of_both_limits_stand_side_by_side(length):
    """A digit of the card's font is 0.56 em wide; the middles of the labels are 150 units apart."""
    low, high = (Value(f"{n}", "V", "8" * length) for n in (1, 2))
    picture = drawn(gauge(Band("b", "b", "band", "b", low, None, high)))
    assert 0.56 * float(picture.get("font-size")) * length <= 150
