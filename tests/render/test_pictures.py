"""Gauges stand for the limit they are drawn from, patterns for the order of tightening."""

import re
import xml.etree.ElementTree as ElementTree
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.card.records import Band, BoltPlace, Grey, Tightening, Value
from benchleaf.render.pictures import gauge, pattern
from benchleaf.trade.patterns import PATTERNS, bolt_order, bolt_places

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


def guarded(low, high, width):
    """A band with the grey stretches of a guarded decision."""
    grey = (Grey(value(low), value(low + width)), Grey(value(high - width), value(high)))
    return band(low, None, high)._replace(meter="m", decision="guarded", grey=grey, accept="good")


def grey_stretches(picture):
    """Where the grey stretches begin and end, from left to right."""
    path = next(node.get("d") for node in picture.iter(SVG + "path") if node.get("fill-opacity"))
    return [tuple(map(float, ends)) for ends in re.findall(r"M([\d.]+) 17H([\d.]+)V33", path)]


@given(st.lists(NUMBERS, min_size=2, max_size=2, unique=True).map(sorted), st.integers(2, 49))
def test_grey_stretches_are_as_wide_as_the_doubt(two, part):
    low, high = two
    width = (high - low) * part / 100
    (first, second) = grey_stretches(drawn(gauge(guarded(low, high, width))))
    drawn_width = max(1.5 * part, 2.5)
    assert first == pytest.approx((75, 75 + drawn_width), abs=0.1)
    assert second == pytest.approx((225 - drawn_width, 225), abs=0.1)


def test_grey_lies_on_both_sides_of_a_limit_where_the_decision_is_simple():
    simple = band(high="1.0")._replace(meter="m", decision="simple", grey=(Grey(value("0.9"), value("1.1")),))
    assert grey_stretches(drawn(gauge(simple))) == [(202.5, 247.5)]


def test_no_grey_without_a_meter_or_a_scale():
    assert "fill-opacity" not in gauge(band("50.2", "50.9", "51.6"))
    zero = band(high="0")._replace(meter="m", decision="simple", grey=(Grey(value("0"), value("1")),))
    assert "fill-opacity" not in gauge(zero)


def joint(order, kind="circle"):
    count = len(order)
    places = tuple(BoltPlace(round(x * 1000), round(y * 1000)) for x, y in bolt_places(count, kind)) if count else ()
    return Tightening("j", "joint", "M8", count, None, order=order, pattern=kind, places=places)


def turns(picture):
    """Turns to be tightened, by bolt in the order of their numbers."""
    return [int(node.text) for node in picture.iter(SVG + "text")]


@given(st.integers(3, 16).flatmap(lambda count: st.permutations(range(1, count + 1))), st.sampled_from(PATTERNS))
def test_each_bolt_shows_when_its_turn_comes(order, kind):
    picture = drawn(pattern(joint(tuple(order), kind)))
    assert [turns(picture).index(turn) + 1 for turn in range(1, len(order) + 1)] == order


@pytest.mark.parametrize("kind", PATTERNS)
@pytest.mark.parametrize("count", range(3, 17))
def test_numbers_stand_apart_and_inside(count, kind):
    """A bold digit of the card's font is 0.6 em wide; a letter is less than one high."""
    picture = drawn(pattern(joint(bolt_order(("cross",), count, kind), kind)))
    size = float(picture.find(SVG + "g").get("font-size"))
    boxes = [
        (float(node.get("x")), float(node.get("y")), 0.6 * size * len(node.text)) for node in picture.iter(SVG + "text")
    ]
    height = float(picture.get("viewBox").split()[3])
    assert len(boxes) == count
    assert all(w / 2 <= x <= 120 - w / 2 and size * 0.7 <= y <= height for x, y, w in boxes)
    for number, (x, y, w) in enumerate(boxes):
        for u, v, other in boxes[number + 1 :]:
            assert abs(x - u) >= (w + other) / 2 or abs(y - v) >= size * 0.8


def test_first_bolt_is_at_the_top_and_the_second_turn_opposite():
    picture = drawn(pattern(joint((1, 3, 2, 4))))
    (top, below) = [node for node in picture.iter(SVG + "text") if node.text in ("1", "2")]
    assert (float(top.get("x")), float(below.get("x"))) == (60, 60)
    assert float(below.get("y")) - float(top.get("y")) == pytest.approx(88, abs=0.1)
    assert picture.find(SVG + "title").text == "Order of tightening, clockwise from the top: 1, 3, 2, 4"


def test_a_rectangle_is_drawn_as_a_rectangle():
    picture = drawn(pattern(joint((1, 3, 2, 4), "rectangle")))
    assert {(node.get("x"), node.get("y")) for node in picture.iter(SVG + "text")} == {
        (x, y) for x in ("16", "104") for y in ("35.16", "93.86")
    }
    assert "clockwise from the upper left corner" in picture.find(SVG + "title").text


@pytest.mark.parametrize(("count", "heights"), [(2, 1), (5, 1), (6, 2), (16, 2)])
def test_a_row_is_drawn_as_a_row(count, heights):
    picture = drawn(pattern(joint(tuple(range(1, count + 1)), "row")))
    assert len({node.get("y") for node in picture.iter(SVG + "text")}) == heights
    assert "from the left" in picture.find(SVG + "title").text


@pytest.mark.parametrize("order", [(), (1,)])
def test_no_order_no_picture(order):
    assert pattern(joint(order)) == ""


@pytest.mark.parametrize("length", [5, 19, 22, 26, 33])
def test_labels_of_both_limits_stand_side_by_side(length):
    """A digit of the card's font is 0.56 em wide; the middles of the labels are 150 units apart."""
    low, high = (Value(f"{n}", "V", "8" * length) for n in (1, 2))
    picture = drawn(gauge(Band("b", "b", "band", "b", low, None, high)))
    assert 0.56 * float(picture.get("font-size")) * length <= 150
