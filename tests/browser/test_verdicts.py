"""Verdicts on their own: bands of meters, grey stretches, relations, shares, temperatures, all at their very edges."""

import pytest
from tests.browser.conftest import CARD, Hand
from tests.browser.devices import Desk

from benchleaf.card.records import BandRow, Grey, MeterBand, Value
from benchleaf.render.checklist_data import checklist_data


def volts(text):
    return Value(text, "V", f"{text} V")


def percent(text):
    return Value(text, "%", f"{text} %")


def celsius(text):
    return Value(text, "°C", f"{text} °C")


REST = CARD.steps[1].reading
# A fault-finding limit: around each edge lies a grey stretch of the meter's uncertainty, on both sides.
SIMPLE = REST.band._replace(
    decision="simple", meter="meter 1", accept_low=volts("50.5"), accept_high=volts("51.3"),
    grey=(Grey(volts("49.9"), volts("50.5")), Grey(volts("51.3"), volts("51.9"))),
    others=(MeterBand("meter-2", "meter 2", volts("50.3"), volts("51.5"), (Grey(volts("50.1"), volts("50.3")),),
                      volts("0.1"), "7", "good from 50.3 V to 51.5 V", ""),),
)  # fmt: skip


def reading(band, **changes):
    """The reading of a band as the scripts get it."""
    card = CARD._replace(
        sections=(
            CARD.sections[0]._replace(
                steps=tuple(
                    step._replace(reading=REST._replace(band=band, **changes)) if step.key == "rest" else step
                    for step in CARD.sections[0].steps
                )
            ),
            *CARD.sections[1:],
        )
    )
    return checklist_data(card, "0" * 64)["steps"][1]["reading"]


@pytest.fixture(scope="module")
def judged(devices, tmp_path_factory):
    """Judge readings in a page: (reading, typed, earlier, meter, temperature) to side and sentence."""
    desk = Desk(devices, tmp_path_factory.mktemp("verdicts"))
    page = desk.open(desk.file(CARD))

    def judge(card, *typed, unit="", earlier=(), of="V", meter=None, warmth=""):
        entries = [{"text": text, "unit": unit or card["unit"]} for text in typed]
        found = page.evaluate(
            """([card, entries, earlier, of, meter, warmth]) => {
                const before = earlier.length ? {values: earlier.map(numbers.parse), unit: of} : null;
                const found = verdict.judge(card, entries, before, meter, warmth);
                return [found.side || "", found.sentence || found.fault || found.unknown || ""];
            }""",
            [card, entries, list(earlier), of, meter, warmth],
        )
        return found[0], found[1].replace("\u202f", " ")

    yield judge
    desk.close()


@pytest.mark.parametrize(
    ("typed", "side"),
    [("49.89", "below"), ("49.9", "too_close"), ("50.2", "too_close"), ("50.49", "too_close"), ("50.5", "inside"),
     ("51.3", "inside"), ("51.31", "too_close"), ("51.9", "too_close"), ("51.91", "above"), ("-50.9", "reversed")],
)  # fmt: skip
def test_in_the_grey_stretch_a_reading_decides_nothing(judged, typed, side):
    assert judged(reading(SIMPLE), typed, meter={"name": "meter 1"})[0] == side


def test_another_meter_brings_its_own_band(judged):
    card = reading(SIMPLE)
    other = card["meters"]["meter-2"]
    assert judged(card, "50.35", meter={"name": "meter 1"})[0] == "too_close"
    side, sentence = judged(card, "50.35", meter={"name": other["name"], "limit": other["limit"]})
    assert (side, sentence) == ("inside", "50.35 V: good with meter 2.")
    told = judged(card, "50.2", meter={"name": other["name"], "limit": other["limit"]})
    assert told == ("too_close", "50.2 V is too close to 50.2 V for meter 2 to tell.")


def test_a_drop_in_another_unit_than_the_earlier_reading(judged):
    drop = CARD.steps[14].reading.band._replace(high=Value("2400", "mV", "2400 mV"))
    card = reading(drop, unit="mV", blanks=("",), repeat="")
    assert judged(card, "48200", earlier=["50.6"], of="V") == ("inside", "2400 mV below step 2: good.")
    assert judged(card, "48199", earlier=["50.6"], of="V")[0] == "above"
    assert judged(card, "48.2", unit="V", earlier=["50.6"], of="V")[0] == "inside"
    assert judged(card, "48200")[1] == "There is no reading of step 2 to compare with."


def test_a_share_of_an_earlier_reading(judged):
    share = REST.band._replace(form="share", low=percent("95"), high=percent("105"), nominal=None, of_number=2)
    card = reading(share)
    assert judged(card, "9.5", earlier=["10"]) == ("inside", "9.5 V is 95 % of step 2: good.")
    assert judged(card, "9.49", earlier=["10"])[0] == "below"
    assert judged(card, "10.51", earlier=["10"])[0] == "above"
    assert judged(card, "1", earlier=["0"])[1] == "The reading of step 2 is zero: there is no share of it."


def test_a_limit_by_temperature_lies_on_straight_lines(judged):
    rows = (BandRow(celsius("0"), volts("10"), volts("12")), BandRow(celsius("20"), volts("11"), volts("13")))
    card = reading(REST.band._replace(form="by-temperature", low=None, nominal=None, high=None, rows=rows))
    for typed, warmth, side in (
        ("10.5", "10", "inside"), ("10.49", "10", "below"), ("12.51", "10", "above"), ("10", "0", "inside"),
        ("13", "20", "inside"), ("10.7", "", ""), ("10.7", "20.1", ""), ("10.7", "-1", ""),
    ):  # fmt: skip
        assert judged(card, typed, warmth=warmth)[0] == side, (typed, warmth)
    assert "lies outside of 0 °C to 20 °C: stop and ask" in judged(card, "11", warmth="25")[1]


def test_each_meter_has_its_own_lines_over_temperature(judged):
    """Halfway between rows: 10.5 V to 12.5 V, surely good with one meter from 10.6 V on, with the other from 11.0 V."""

    def rows(low, high):
        return (
            BandRow(celsius("0"), volts("10"), volts("12"), volts(low), volts(high)),
            BandRow(celsius("20"), volts("11"), volts("13"), volts(f"{float(low) + 1}"), volts(f"{float(high) + 1}")),
        )

    other = MeterBand("meter-2", "meter 2", None, None, (), volts("0.5"), "2", "", "", rows=rows("10.5", "11.5"))
    band = REST.band._replace(form="by-temperature", low=None, nominal=None, high=None, rows=rows("10.1", "11.9"))
    card = reading(band._replace(others=(other,)))
    coarse = {"name": "meter 2", "limit": card["meters"]["meter-2"]["limit"]}
    for typed, fine, rough in (
        ("10.6", "inside", "too_close"), ("11.0", "inside", "inside"), ("12.4", "inside", "too_close"),
        ("10.55", "too_close", "too_close"), ("10.49", "below", "below"), ("12.51", "above", "above"),
    ):  # fmt: skip
        assert judged(card, typed, warmth="10")[0] == fine, typed
        assert judged(card, typed, warmth="10", meter=coarse)[0] == rough, typed


def test_zero_is_what_the_meter_can_tell_from_the_limit_of_the_proof(judged):
    """Below 5 V, of which the tester is sure up to 4.6 V, and another meter up to 4.9 V."""
    other = MeterBand("meter-2", "meter 2", None, volts("4.9"), (), volts("0.1"), "", "", "")
    band = REST.band._replace(
        form="proof", sentence="below 5 V", low=None, nominal=None, high=volts("5"), accept_high=volts("4.6"),
        decision="guarded", others=(other,),
    )  # fmt: skip
    card = reading(band, instrument="tester", blanks=("", ""))
    fine = {"name": "meter 2", "limit": card["meters"]["meter-2"]["limit"]}
    assert judged(card, "0.2", "-4.6") == ("inside", "Zero: every reading is at most 4.6 V with tester.")
    assert judged(card, "0.2", "-4.7")[0] == "not-zero"
    assert judged(card, "0.2", "4.7")[1] == "4.7 V is not zero: it must be at most 4.6 V with tester."
    assert judged(card, "0.2", "4.7", meter=fine)[0] == "inside"
    unknown = reading(band._replace(accept_high=None, others=()), instrument="tester", blanks=("", ""))
    assert judged(unknown, "0.2", "4.99")[0] == "inside"
    assert judged(unknown, "5", "0")[1] == "5 V is not zero: it must be below 5 V."


def test_what_must_be_open_is_open(judged):
    card = reading(REST.band._replace(form="open", low=None, nominal=None, high=None))
    assert judged(card, "OL") == ("inside", "OL is open: good.")
    assert judged(card, "3")[0] == "outside"


def test_too_close_without_a_way_of_its_own_is_stop_and_ask(desk):
    """The sample has a way for it; without that way the button says so."""
    steps = [
        step._replace(
            reading=step.reading._replace(band=SIMPLE),
            choices=tuple(choice for choice in step.choices if choice.side != "too_close"),
        )
        if step.key == "rest"
        else step
        for step in CARD.sections[0].steps
    ]
    card = CARD._replace(sections=(CARD.sections[0]._replace(steps=tuple(steps)), *CARD.sections[1:]))
    hand = Hand(desk.open(desk.file(card))).begin().on(2).read("50.3")
    assert hand.verdict.endswith("No way is written for this: stop and ask.")
    assert hand.next == "Stop and ask"
    hand.page.click(".step.current .meter button")
    hand.page.click("#panel button:has-text('meter 2')")
    assert hand.verdict == "50.3 V: good with meter 2."
    assert "Measured with meter 2." in hand.said(".step.current .meter")
    assert "does not know until when its calibration is good" in hand.said(".step.current .meter")
    hand.on()
    found = hand.page.evaluate("desk.made().path[1].reading")
    assert (found["meter"]["key"], found["band"]["accept_low"]) == ("meter-2", "50.3 V")


@pytest.mark.parametrize(
    ("measure", "advice"), [("dc-voltage", "are the leads the wrong way round?"), ("density", "read again.")]
)
def test_leads_are_doubted_only_where_there_are_leads(judged, measure, advice):
    side, sentence = judged(reading(REST.band, measure=measure), "-50.9")
    assert side == "reversed" and f"is below zero: {advice}" in sentence
