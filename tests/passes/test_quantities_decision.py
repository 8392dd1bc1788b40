"""Whether a meter decides a limit: against worked numbers, against `calc`, and by the laws of guard bands."""

import contextlib
import io
import json
from decimal import Decimal
from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.edge.cli import main
from benchleaf.model.assemble import assemble
from benchleaf.passes.quantities_decision import Around, decide
from benchleaf.source.tree import read

NOTHING = Around()


def limit(text):
    machine = f"""
format: benchleaf/machine/1
id: rig
name: Trial rig
maker: Marram Works
serials: {{prefix: T-}}
limits:
  one: {{{text}}}
"""
    node = read(machine, "machine.yaml").node
    assert node is not None
    return assemble(node, "machine").record.limits["one"]


def meter(text, more=""):
    shop = f"format: benchleaf/shop/1\nname: Shop\nmeters:\n  m: {{name: meter, {more}ranges: {{{text}}}}}\n"
    node = read(shop, "shop.yaml").node
    assert node is not None
    return assemble(node, "shop").record.meters["m"]


VOLTS = "dc-voltage: [{to: 60 V, accuracy: 0.1 % + 2 digits, resolution: 10 mV}]"

# Each worked by hand by the formulas of GUM 4.3.7 (a/√3, k = 2); the sources name the rule, the numbers are our own.
WORKED = [
    # a = 0.05 V + 0.02 V at 50 V; U = 2 · 0.07/√3 = 0.0808 V; 1 V/(2 U) = 6.19.
    ("measure: dc-voltage, low: 49 V, high: 50 V", VOLTS, 0.0808, 6.19, None, "GUM 4.3.7; ratio by ANSI/NCSL Z540.3"),
    # Of two limits the larger reading counts: a = 0.04 V at 20 V alone would give 0.0462 V.
    ("measure: dc-voltage, low: 10 V, high: 20 V", VOLTS, 0.0462, 108.3, None, "GUM 4.3.7"),
    # No digits: the last place counts as half of it either way (GUM F.2.2.1): √(0.05² + 0.05²)/√3 · 2 at 5 V, 1 %.
    (
        "measure: dc-voltage, low: 4 V, high: 5 V",
        "dc-voltage: [{to: 60 V, accuracy: 1 %, resolution: 0.1 V}]",
        2 * sqrt(0.05**2 + 0.05**2) / sqrt(3),
        1 / (4 * sqrt(0.05**2 + 0.05**2) / sqrt(3)),
        None,
        "GUM F.2.2.1",
    ),
    # A side alone: U as a share of it. a = 0.024 Ω at 1 Ω.
    (
        "measure: resistance, high: 1.0 ohm",
        "resistance: [{to: 60 ohm, accuracy: 0.4 % + 2 digits, resolution: 10 mohm}]",
        2 * 0.024 / sqrt(3),
        None,
        2 * 0.024 / sqrt(3),
        "GUM 4.3.7",
    ),
    # A share of a temperature counts from the zero of the scale shown: 0.3 % of 100 °C, not of 373 K; 0.3 + 0.5 = 0.8.
    (
        "measure: temperature, low: 90 °C, high: 100 °C",
        "temperature: [{from: -50 °C, to: 400 °C, accuracy: 0.3 % + 5 digits, resolution: 0.1 °C}]",
        2 * 0.8 / sqrt(3),
        10 / (4 * 0.8 / sqrt(3)),
        None,
        "common practice, no source",
    ),
    # 2 % of a drop of 1 V is 0.02 V, whatever the bank stands at; the digits count twice: √(0.02² + 2 · 0.02²)/√3 · 2.
    (
        "measure: dc-voltage, drop: {from: rest, at_most: 1 V}",
        "dc-voltage: [{to: 60 V, accuracy: 2 % + 2 digits, resolution: 10 mV}]",
        2 * sqrt(0.02**2 + 2 * 0.02**2) / sqrt(3),
        None,
        2 * sqrt(0.02**2 + 2 * 0.02**2) / sqrt(3),
        "GUM 5.2.2 and F.1.2.3 (what two readings share does not count in their difference)",
    ),
    # One reading that is watched: its zero stays, and one digit of each look is left: √(0.002² + 2 · 0.01²)/√3 · 2.
    (
        "measure: dc-voltage, steady: {within: 0.1 V, for: 30 s}",
        "dc-voltage: [{to: 60 V, accuracy: 2 % + 5 digits, resolution: 10 mV}]",
        2 * sqrt(0.002**2 + 2 * 0.01**2) / sqrt(3),
        None,
        20 * sqrt(0.002**2 + 2 * 0.01**2) / sqrt(3),
        "GUM F.1.2.3",
    ),
    # A gauge of class 1.6 on a leak: its class falls out, half a graduation either way is left: √(2 · 0.05²)/√3 · 2.
    (
        "measure: pressure, falls_by: {at_most: 0.5 bar, over: 5 min}",
        "pressure: [{from: 0 bar, to: 25 bar, accuracy: 0.4 bar, resolution: 0.1 bar}]",
        1e5 * 2 * sqrt(2 * 0.05**2) / sqrt(3),
        None,
        4 * sqrt(2 * 0.05**2) / sqrt(3),
        "GUM F.1.2.3 and F.2.2.1",
    ),
    # A gauge of which no graduation is known: all of its class may be left.
    (
        "measure: pressure, falls_by: {at_most: 1 bar, over: 5 min}",
        "pressure: [{from: 0 bar, to: 25 bar, accuracy: 0.4 bar}]",
        1e5 * 2 * sqrt(2 * 0.4**2) / sqrt(3),
        None,
        2 * sqrt(2 * 0.4**2) / sqrt(3),
        "GUM 5.1.2",
    ),
    # A drop as before, counted either way: a band of 2 V, so that the ratio is 1 V/U.
    (
        "measure: dc-voltage, within: {value: 1 V, of: rest}",
        "dc-voltage: [{to: 60 V, accuracy: 2 % + 2 digits, resolution: 10 mV}]",
        2 * sqrt(0.02**2 + 2 * 0.02**2) / sqrt(3),
        1 / (2 * sqrt(0.02**2 + 2 * 0.02**2) / sqrt(3)),
        2 * sqrt(0.02**2 + 2 * 0.02**2) / sqrt(3),
        "GUM 5.2.2; ratio by ANSI/NCSL Z540.3",
    ),
]


@pytest.mark.parametrize(("written", "ranges", "expanded", "ratio", "share", "source"), WORKED)
def test_worked_numbers(written, ranges, expanded, ratio, share, source):
    made = decide(limit(written), meter(ranges), NOTHING)
    assert source
    assert float(made.expanded) == pytest.approx(expanded, rel=2e-3)
    assert made.ratio == (None if ratio is None else pytest.approx(ratio, rel=2e-3))
    assert made.share == (None if share is None else pytest.approx(share, rel=2e-3))


def test_load_of_the_meter():
    """By the divider: 10 kΩ before 1 MΩ take 0.99 % (Ohm's law); that joins the meter's own part as √(a² + l²)."""
    made = decide(
        limit("measure: dc-voltage, low: 24 V, high: 25 V"),
        meter(VOLTS, "input_resistance: 1 Mohm, "),
        Around(series=Fraction(10_000)),
    )
    loading = 25 * 10 / 1010
    assert float(made.high.loading) == pytest.approx(loading)
    assert float(made.expanded) == pytest.approx(2 * sqrt(0.045**2 + loading**2) / sqrt(3))


def test_an_unstated_input_resistance_is_the_usual_one():
    made = decide(limit("measure: dc-voltage, low: 24 V, high: 25 V"), meter(VOLTS), Around(series=Fraction(10_000)))
    assert float(made.high.loading) == pytest.approx(25 * 10 / 10_010)


def test_a_share_of_an_earlier_reading():
    """48 V ± 0.04 V twice: 2 √2 · 0.04/√3 / 48 · 100 % = 0.136 %, and 1 % of the tenth between them beside it."""
    made = decide(
        limit("measure: dc-voltage, share: {of: rest, low: 90 %}"),
        meter("dc-voltage: [{to: 60 V, accuracy: 1 % + 4 digits, resolution: 10 mV}]"),
        Around(level=Fraction(48)),
    )
    of_gain = 0.1 * 0.01
    assert float(made.low.expanded) == pytest.approx(2 * sqrt(of_gain**2 + 2 * (0.04 / 48) ** 2) / sqrt(3))
    assert made.low.value == Fraction(9, 10)


@pytest.mark.parametrize(
    ("written", "ranges"),
    [
        ("measure: dc-voltage, open: true", VOLTS),
        ("measure: resistance, high: 1 ohm", VOLTS),
        ("measure: dc-voltage, high: 70 V", VOLTS),
        ("measure: dc-voltage, high: 5 V", "dc-voltage: [{to: 60 V, accuracy: 1 % + 2 digits}]"),
        # Which range is read in nobody knows.
        (
            "measure: dc-voltage, spread: {at_most: 1 V}",
            "dc-voltage: [{to: 6 V, accuracy: 1 %}, {to: 60 V, accuracy: 1 %}]",
        ),
        (
            "measure: insulation-resistance, low: 1 Mohm, test_voltage: 1000 V",
            "insulation-resistance: [{to: 20 Mohm, accuracy: 3 %, test_voltage: 500 V}]",
        ),
    ],
)
def test_where_nothing_is_known_nothing_is_said(written, ranges):
    assert decide(limit(written), meter(ranges), NOTHING) is None


def test_the_hardest_row_of_a_limit_by_temperature_counts():
    by_temperature = "by_temperature: [{at: 0 °C, low: 1 V, high: 3 V}, {at: 40 °C, low: 1 V, high: 2 V}]"
    alone = decide(limit("measure: dc-voltage, low: 1 V, high: 2 V"), meter(VOLTS), NOTHING)
    assert decide(limit(f"measure: dc-voltage, {by_temperature}"), meter(VOLTS), NOTHING).ratio == alone.ratio


TENTHS = st.integers(1, 500).map(lambda tenths: Decimal(tenths) / 10)


@given(low=TENTHS, width=TENTHS, percent=st.integers(1, 40), digits=st.integers(1, 20))
def test_the_same_as_calc(low, width, percent, digits):
    """`calc guardband` and the checks reckon with the same functions: U, ratio and acceptance agree."""
    high = low + width
    accuracy = f"{percent / 10} % + {digits} digits"
    made = decide(
        limit(f"measure: dc-voltage, low: {low} V, high: {high} V"),
        meter(f"dc-voltage: [{{to: 600 V, accuracy: {accuracy}, resolution: 10 mV}}]"),
        NOTHING,
    )
    said = calculated(f"low={low} V", f"high={high} V", f"accuracy={accuracy}", "resolution=10 mV")
    assert float(made.expanded) == pytest.approx(said["expanded-uncertainty"]["value"], rel=1e-9)
    assert made.ratio == pytest.approx(said["tur"]["value"], rel=1e-9)


def calculated(*words):
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        assert main(["calc", "guardband", *words, "--format", "json"]) == 0
    return json.loads(out.getvalue())["result"]


@given(low=TENTHS, width=TENTHS, percent=st.integers(1, 100), digits=st.integers(1, 50), more=st.integers(0, 50))
def test_a_wider_uncertainty_never_widens_what_is_accepted(low, width, percent, digits, more):
    """Guard bands move limits inward (ISO 14253-1), and the further the less the meter can tell."""
    written = limit(f"measure: dc-voltage, low: {low} V, high: {low + width} V")

    def guards(count):
        accuracy = f"{percent / 100} % + {count} digits"
        made = decide(written, meter(f"dc-voltage: [{{to: 600 V, accuracy: {accuracy}, resolution: 1 mV}}]"), NOTHING)
        return made.low.guard, made.high.guard

    fine, coarse = guards(digits), guards(digits + more)
    assert all(guard > 0 for guard in fine)
    assert all(less <= greater for less, greater in zip(fine, coarse, strict=True))


@given(low=TENTHS, width=TENTHS, percent=st.integers(1, 100), digits=st.integers(1, 50), series=st.integers(0, 10**6))
def test_a_guard_band_is_at_most_what_the_meter_can_be_off(low, width, percent, digits, series):
    """U at k = 2 of a rectangle is more than its half-width: beyond that no reading can be off."""
    ranges = f"dc-voltage: [{{to: 600 V, accuracy: {percent / 100} % + {digits} digits, resolution: 1 mV}}]"
    made = decide(
        limit(f"measure: dc-voltage, low: {low} V, high: {low + width} V"),
        meter(ranges),
        Around(series=Fraction(series)),
    )
    for edge in made.edges:
        largest = edge.value * Fraction(percent, 10_000) + digits * Fraction(1, 1000) + edge.loading
        assert edge.guard <= largest
        assert edge.guard <= edge.expanded + Fraction(1, 10**9)
