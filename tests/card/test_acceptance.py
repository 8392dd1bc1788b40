"""What a card says of limits and meters: bands inside the limit, grey around it, other meters beside, joints to set."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from benchleaf.card.compile import compile_card
from benchleaf.card.wording import has_word
from benchleaf.model.assemble import assemble
from benchleaf.passes.base import Case, Facts
from benchleaf.passes.order import PASSES
from benchleaf.source.tree import read
from benchleaf.trade.tightening import friction_words

SHOP = """
format: benchleaf/shop/1
name: Trial shop
units: {torque: [N·m, lbf·ft], pressure: [bar, psi], temperature: [°C, °F]}
meters:
  fine:
    name: fine meter
    category: CAT III 600 V
    ranges:
      dc-voltage: [{to: 60 V, accuracy: 0.1 % + 2 digits, resolution: 10 mV}]
      resistance: [{to: 60 ohm, accuracy: 0.4 % + 2 digits, resolution: 10 mohm}]
      pressure: [{from: 0 bar, to: 250 bar, accuracy: 0.5 % + 1 digit, resolution: 0.1 bar}]
      temperature: [{from: -20 °C, to: 300 °C, accuracy: 0.3 % + 5 digits, resolution: 0.1 °C}]
  coarse:
    name: coarse meter
    category: CAT III 600 V
    ranges:
      dc-voltage: [{to: 60 V, accuracy: 1 % + 3 digits, resolution: 10 mV}]
  hopeless:
    name: panel meter
    category: CAT III 600 V
    ranges:
      dc-voltage: [{to: 60 V, accuracy: 5 % + 5 digits, resolution: 0.1 V}]
  unrated:
    name: small meter
    ranges:
      dc-voltage: [{to: 30 V, accuracy: 0.1 % + 2 digits, resolution: 10 mV}]
  clamp:
    name: clamp meter
    category: CAT III 600 V
    ranges:
      dc-voltage: [{to: 60 V, accuracy: 0.5 % + 2 digits, resolution: 10 mV}]
wrenches:
  w: {name: click wrench, from: 10 N·m, to: 60 N·m, accuracy: 4 %}
"""
MACHINE = """
format: benchleaf/machine/1
id: rig
name: Trial rig
maker: Marram Works
serials: {prefix: T-}
energy_none: [battery, mains, capacitor, spring, height, hydraulic, pneumatic, motion, heat, chemical]
energy:
  bus: {kind: dc, name: wiring, place: under the lid, highest: 40 V}
parts:
  pump: {name: pump, exposes: [{energy: bus}]}
points:
  P1: {name: plus, part: pump}
  N1: {name: minus, part: pump}
"""
PROCEDURE = """
format: benchleaf/procedure/1
id: trial
title: Trial
kind: KIND
machine: rig
revision: A
changed: {kind: technical, reason: Trial}
purpose: Trial.
crew: {technician: any}
supplies: none
initial: {}
outcomes: {done: {text: Done., leave: as-final}, other: {text: Other., leave: out-of-service}}
"""


def record(text, kind):
    node = read(text, f"{kind}.yaml").node
    assert node is not None
    made = assemble(node, kind)
    assert made.record is not None and made.findings == ()
    return made.record


def card(steps, *, limits="", fasteners="", kind="fault-finding", shop=SHOP, machine=MACHINE):
    """A card whose procedure has these steps."""
    machine += (f"limits:\n{limits}" if limits else "") + (f"fasteners:\n{fasteners}" if fasteners else "")
    procedure = PROCEDURE.replace("KIND", kind).replace("initial: {}\n", "") + f"steps:\n{steps}"
    case = Case(record(shop, "shop"), record(machine, "machine"), record(procedure, "procedure"))
    facts = Facts()
    for each in PASSES:
        if each.run is not None and all(getattr(facts, need) is not None for need in each.needs):
            facts, _ = each.run(case, facts)
    return compile_card(case, facts)


def band(limit, *, meter="fine", kind="fault-finding", shop=SHOP, first=""):
    """The band of a limit that one step reads; `first` is a limit read before it by the step `rest`."""
    rest = f"    between: [P1, N1]\n    meter: {meter}\n    outside: {{found: other}}\n"
    steps, before = f"  - measure: one\n{rest}", f"  - measure: rest-limit\n    id: rest\n{rest}"
    limits = f"  one: {{{limit}, source: trial}}\n"
    if first:
        limits += f"  rest-limit: {{{first}, source: trial}}\n"
    made = card((before if first else "") + steps, limits=limits, kind=kind, shop=shop)
    return next(step.reading.band for step in made.steps if step.reading and step.reading.band.key == "one")


def numbers(values):
    return [None if value is None else Decimal(value.value) for value in values]


def test_a_guarded_band_is_moved_inward_to_the_meters_next_digit():
    """0.1 % of 25 V and two digits: 0.045 V; at 24 V 0.044 V. From 24.044 V on, which the meter shows as 24.05 V."""
    made = band("measure: dc-voltage, low: 24 V, high: 25 V", kind="inspection")
    assert made.decision == "guarded" and made.meter == "fine meter"
    assert numbers([made.accept_low, made.accept_high]) == [Decimal("24.05"), Decimal("24.95")]
    assert [numbers(zone) for zone in made.grey] == [
        [Decimal("24.00"), Decimal("24.05")],
        [Decimal("24.95"), Decimal("25.00")],
    ]
    assert made.accept == "good from 24.05\u202fV to 24.95\u202fV" and made.doubt == ""


def test_a_simple_band_keeps_its_limits_and_prints_how_near_is_too_near():
    made = band("measure: dc-voltage, low: 24 V, high: 25 V")
    assert made.decision == "simple"
    assert [numbers(zone) for zone in made.grey] == [
        [Decimal("23.95"), Decimal("24.05")],
        [Decimal("24.95"), Decimal("25.05")],
    ]
    assert made.doubt == "too close to tell within 0.05\u202fV of a limit"
    assert numbers([made.low, made.high]) == [24, 25]


@pytest.mark.parametrize(
    ("kind", "house", "own", "rule"),
    [
        ("fault-finding", "", "", "simple"),
        ("inspection", "", "", "guarded"),
        ("replacement", "", "", "guarded"),
        ("fault-finding", "guarded", "", "guarded"),
        ("inspection", "simple", "", "simple"),
        ("inspection", "simple", "guarded", "guarded"),
        ("fault-finding", "guarded", "simple", "simple"),
    ],
)
def test_whose_decision_rule_counts(kind, house, own, rule):
    """The limit's before the house's, the house's before that of the kind of procedure."""
    shop = SHOP + (f"rules: {{decision: {house}}}\n" if house else "")
    more = f", decision: {own}" if own else ""
    assert band(f"measure: dc-voltage, low: 24 V, high: 25 V{more}", kind=kind, shop=shop).decision == rule


def test_other_meters_bring_bands_of_their_own():
    """Not the hopeless one (a ratio under 1), not the unrated one on 40 V, not a clamp."""
    made = band("measure: dc-voltage, low: 24 V, high: 26 V")
    assert [(other.key, other.name) for other in made.others] == [("coarse", "coarse meter")]
    (other,) = made.others
    assert Decimal(made.accept_low.value) < Decimal(other.accept_low.value)
    assert Decimal(other.ratio) < Decimal(made.ratio)


@pytest.mark.parametrize(
    ("limit", "form", "values"),
    [
        ("drop: {from: rest, at_most: 1.5 V}", "drop", (None, "1.5")),
        ("within: {value: 0.5 V, of: rest}", "within", (None, "0.5")),
        ("share: {of: rest, low: 90 %, high: 110 %}", "share", ("90", "110")),
        ("spread: {at_most: 0.3 V}", "spread", (None, "0.3")),
        ("steady: {within: 0.4 V, for: 10 s}", "steady", (None, "0.4")),
        ("falls_by: {at_most: 0.6 V, over: 1 min}", "falls-by", (None, "0.6")),
    ],
)
def test_limits_that_compare_readings_carry_their_amounts(limit, form, values):
    made = band(f"measure: dc-voltage, {limit}", first="measure: dc-voltage, low: 24 V, high: 25 V")
    low, high = values
    assert made.form == form
    assert numbers([made.low, made.high]) == [low and Decimal(low), high and Decimal(high)]
    assert made.uncertainty is not None and made.decision == "simple"
    edge = Decimal(made.accept_high.value)
    assert 0 < edge < Decimal(high)
    assert made.accept_high.unit == ("%" if form == "share" else "V")


def test_a_share_is_written_down_in_the_unit_of_the_earlier_reading():
    steps = (
        "  - measure: first\n    id: rest\n    between: [P1, N1]\n    meter: fine\n    outside: {found: other}\n"
        "  - measure: one\n    between: [P1, N1]\n    meter: fine\n    outside: {found: other}\n"
    )
    limits = (
        "  first: {measure: dc-voltage, low: 24 V, high: 25 V, source: t}\n"
        "  one: {measure: dc-voltage, share: {of: rest, low: 90 %}, source: t}\n"
    )
    made = card(steps, limits=limits)
    assert [step.reading.unit for step in made.steps if step.reading] == ["V", "V"]


def test_a_difference_of_temperatures_has_no_zero():
    made = band("measure: temperature, spread: {at_most: 4 °C}")
    assert made.sentence == "readings at most 4\u202f°C apart"
    assert made.uncertainty.printed.endswith("\u202f°C") and "°F" not in made.accept


def test_rows_by_temperature_have_bands_of_their_own():
    rows = "by_temperature: [{at: 0 °C, low: 24 V, high: 25 V}, {at: 40 °C, low: 23 V, high: 25 V}]"
    made = band(f"measure: dc-voltage, {rows}", kind="inspection")
    assert [numbers([row.at, row.low, row.high, row.accept_low, row.accept_high]) for row in made.rows] == [
        [0, 24, 25, Decimal("24.05"), Decimal("24.95")],
        [40, 23, 25, Decimal("23.05"), Decimal("24.95")],
    ]
    assert made.accept.count("good from") == 2


def test_other_meters_have_rows_by_temperature_too():
    """1 % of 24 V and three digits: 0.27 V (worked by hand)."""
    rows = "by_temperature: [{at: 0 °C, low: 24 V, high: 25 V}, {at: 40 °C, low: 23 V, high: 25 V}]"
    made = band(f"measure: dc-voltage, {rows}", kind="inspection")
    (other,) = made.others
    assert other.key == "coarse"
    assert [numbers([row.at, row.low, row.high, row.accept_low, row.accept_high]) for row in other.rows] == [
        [0, 24, 25, Decimal("24.27"), Decimal("24.72")],
        [40, 23, 25, Decimal("23.26"), Decimal("24.72")],
    ]
    assert (other.accept_low, other.accept_high, other.grey) == (None, None, ())
    assert other.accept.count("good from") == 2


def test_the_risk_of_an_accepted_reading_is_that_at_the_end_of_the_band():
    """JCGM 106, clause 7, by hand: u = 0.045 V/√3; 24.95 V lies 0.05 V under 25 V: 1 - Φ(1.925) = 0.0271;
    24.05 V lies 0.05 V above 24 V with u = 0.044 V/√3: 1 - Φ(1.968) = 0.0245."""
    made = band("measure: dc-voltage, low: 24 V, high: 25 V", kind="inspection")
    assert made.specific_risk == "0.027"
    assert (made.consumer_risk, made.producer_risk) == ("", "")
    assert made.others[0].specific_risk != ""


def test_risks_of_all_that_is_made_need_a_stated_process():
    """Against JCGM 106, 9.5, reckoned by scipy's quadrature."""
    process = "process: {mean: 24.6 V, standard_deviation: 0.25 V}"
    made = band(f"measure: dc-voltage, low: 24 V, high: 25 V, {process}", kind="inspection")
    consumer, producer = by_quadrature(24.6, 0.25, 0.045 / 3**0.5, (24, 25), (24.05, 24.95))
    assert float(made.consumer_risk) == pytest.approx(consumer, rel=0.06)
    assert float(made.producer_risk) == pytest.approx(producer, rel=0.06)
    (other,) = made.others
    assert float(other.producer_risk) > float(made.producer_risk)
    assert max(float(other.consumer_risk), float(made.consumer_risk)) < 0.01


def by_quadrature(mean, spread, standard, limits, accepted):
    """Global risks by two nested distributions of scipy."""

    def passing(value):
        return norm.cdf(accepted[1], value, standard) - norm.cdf(accepted[0], value, standard)

    def part(weight, start, end):
        return quad(lambda value: norm.pdf(value, mean, spread) * weight(value), start, end, limit=200)[0]

    far = 8 * spread
    consumer = part(passing, mean - far, limits[0]) + part(passing, limits[1], mean + far)
    return consumer, part(lambda value: 1 - passing(value), *limits)


@pytest.mark.parametrize("limit", ["measure: resistance, open: true", "measure: resistance, high: 5 kohm"])
def test_where_the_meter_says_nothing_the_card_says_nothing_of_it(limit):
    made = band(limit)
    assert (made.decision, made.meter, made.grey, made.others) == ("", "", (), ())


@pytest.mark.parametrize(("high", "said"), [("0.5 ohm", True), ("40 ohm", False)])
def test_few_ohms_begin_with_the_leads(high, said):
    steps = "  - measure: one\n    between: [P1, N1]\n    meter: fine\n    outside: {found: other}\n"
    made = card(steps, limits=f"  one: {{measure: resistance, high: {high}, source: t}}\n")
    (reading,) = [step.reading for step in made.steps if step.reading and step.reading.band.key == "one"]
    assert ("leads" in reading.how) is said


VOLTS = st.integers(10, 500).map(lambda tenths: Decimal(tenths) / 10)


@given(low=VOLTS, width=st.integers(5, 90), kind=st.sampled_from(["fault-finding", "inspection"]))
def test_what_is_accepted_lies_inside_the_limit_and_grey_around_its_edges(low, width, kind):
    high = low + Decimal(width) / 10
    made = band(f"measure: dc-voltage, low: {low} V, high: {high} V", kind=kind)
    least, most = numbers([made.accept_low, made.accept_high])
    assert low < least <= most < high
    # Never less than the meter can be off: 0.1 % and two digits.
    assert least - low >= low / 1000 + Decimal("0.02") and high - most >= high / 1000 + Decimal("0.02")
    (first, last), (second, end) = (numbers(zone) for zone in made.grey)
    assert (last, second) == (least, most)
    assert (first, end) == (low, high) if kind == "inspection" else first < low and high < end


@given(low=VOLTS, width=st.integers(10, 90))
def test_a_coarser_meter_accepts_less(low, width):
    high = low + Decimal(width) / 10
    fine, coarse = (
        band(f"measure: dc-voltage, low: {low} V, high: {high} V", meter=meter) for meter in ("fine", "coarse")
    )
    if coarse.accept_low is not None:
        assert numbers([fine.accept_low])[0] <= numbers([coarse.accept_low])[0]
        assert numbers([coarse.accept_high])[0] <= numbers([fine.accept_high])[0]


@given(low=st.integers(20, 200), width=st.integers(8, 40))
def test_a_printed_band_lies_inside_the_true_one_in_both_units(low, width):
    """1 bar is 14.5038 psi (NIST SP 811, B.8): a printed limit in psi never lies outside of the one in bar."""
    made = band(f"measure: pressure, low: {low} bar, high: {low + width} bar", kind="inspection")
    for value, inward in ((made.accept_low, 1), (made.accept_high, -1)):
        psi = Decimal(value.printed.partition("(")[2].partition("\u202fpsi")[0].replace("\u202f", ""))
        assert (psi - Decimal(value.value) * Decimal("14.503773773")) * inward >= Decimal("-0.000001")


def joint(fields, **more):
    steps = "  - tighten: j\n    at: pump\n    wrench: w\n"
    made = card(steps, fasteners=f"  j: {{holds: pump, {fields}, source: t}}\n", **more)
    return next(step.tightening for step in made.steps if step.tightening)


def test_a_joint_says_what_the_technician_sets():
    made = joint(
        'thread: M10, class: "8.8", count: 6, torque: 40 N·m, prevailing: 8 N·m, friction: oiled, angle: 30°, '
        "sequence: cross, pattern: rectangle, stages: [50 %, 100 %]"
    )
    assert made.torque.printed == "40\u202fN·m (30\u202flbf·ft)"
    assert [stage.printed for stage in made.stages] == ["20\u202fN·m (15\u202flbf·ft)", "40\u202fN·m (30\u202flbf·ft)"]
    assert made.lubrication == "oil on thread and bearing face"
    assert "8\u202fN·m" in made.prevailing and "30°" in made.angle
    assert sorted(made.order) == [1, 2, 3, 4, 5, 6]
    assert len(made.places) == 6 and {(place.x, place.y) for place in made.places} >= {(-1000, 667), (1000, -667)}


def test_a_number_for_friction_says_nothing_of_oil():
    made = joint('thread: M10, class: "8.8", torque: 40 N·m, friction: 0.16')
    assert (made.lubrication, made.angle, made.prevailing, made.places) == ("", "", "", ())


def test_every_word_of_the_friction_table_can_be_said():
    assert [word for word in friction_words() if not has_word("friction", word)] == []


PROVED = """  bus:
    kind: dc
    name: wiring
    place: under the lid
    highest: 40 V
    isolate: {plug: parted}
    prove: {measure: dc-voltage, between: [[P1, N1]], below: 5 V, sees: [plug]}
conditions:
  plug: {values: [mated, parted], initial: mated, by: person, isolates: true, lock: cover, place: rear}
"""


def proof_of_zero(shop):
    """The reading with which an inserted step proves the wiring dead before hands come near, and the tools."""
    machine = MACHINE.replace("  bus: {kind: dc, name: wiring, place: under the lid, highest: 40 V}\n", PROVED)
    made = card("  - remove: pump\n    at: pump\n  - fit: pump\n    at: pump\n", shop=shop, machine=machine)
    (reading,) = [step.reading for step in made.steps if step.reading]
    return reading, made.tools


def test_a_proof_of_zero_has_a_meter_and_a_guarded_band():
    """0.1 % of 5 V and two digits: 0.025 V, so that up to 4.97 V of what the meter shows is surely below 5 V."""
    reading, tools = proof_of_zero(SHOP)
    assert (reading.band.form, reading.band.decision) == ("proof", "guarded")
    assert (reading.instrument, reading.instrument_key) == ("voltage tester: fine meter", "fine")
    assert numbers([reading.band.high, reading.band.accept_low, reading.band.accept_high]) == [5, None, Decimal("4.97")]
    assert [other.key for other in reading.band.others] == ["coarse", "hopeless", "clamp"]
    assert "fine" in [line.key for line in tools] and "voltage-tester" not in [line.key for line in tools]


def test_the_shop_says_with_which_meter_zero_is_proved():
    named = "proving_unit: {name: proving unit, range: 12 V to 690 V, meter: coarse}\n"
    reading, tools = proof_of_zero(SHOP + named)
    assert reading.instrument_key == "coarse" and reading.band.others == ()
    # 1 % of 5 V and three digits: 0.08 V.
    assert numbers([reading.band.accept_high]) == [Decimal("4.92")]
    assert [line.key for line in tools if line.kind == "meter"] == ["proving-unit", "coarse"]


def test_without_a_meter_that_is_built_for_it_nothing_is_said_of_one():
    shop = SHOP[: SHOP.index("meters:")]
    reading, tools = proof_of_zero(shop)
    assert (reading.instrument, reading.instrument_key, reading.band.accept_high) == ("voltage tester", "", None)
    assert [line.key for line in tools] == ["voltage-tester"]
