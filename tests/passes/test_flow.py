"""The step graph: where answers lead, how blocks are put in, what stations are called."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.passes.bench import case

from benchleaf.model.flow import END, STOP
from benchleaf.passes.base import Facts
from benchleaf.passes.flow import FLOW


def run(steps, blocks):
    assert FLOW.run is not None
    return FLOW.run(case(steps, blocks), Facts())


def graph(steps, blocks=None):
    facts, findings = run(steps, blocks)
    assert facts.flow is not None, findings
    return facts.flow


def ways(flow, key):
    return {way.side: way.to for way in flow.station(key).ways}


def answered(flow, key):
    """Ways that stand in the file, or follow from the order of the steps."""
    return {side: to for side, to in ways(flow, key).items() if side not in ("unsteady", "too_close", "cant_reach")}


def test_steps_without_id_are_called_by_their_place():
    flow = graph("- look: One.\n- {look: Two., id: two}\n- look: Three.")
    assert [station.key for station in flow.stations] == ["s1", "two", "s3"]
    assert ways(flow, "s1") == {"next": "two"}
    assert ways(flow, "s3") == {"next": END}


def test_an_id_that_looks_like_a_place_stays_with_its_step():
    flow = graph("- look: One.\n- {look: Two., id: s1}\n- {ask: Three?, answers: {yes: {go: s1}, no: stop}}")
    assert flow.station("s1").step.object.text == "Two."
    assert len({station.key for station in flow.stations}) == 3
    assert ways(flow, "s3") == {"yes": "s1", "no": STOP}


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ("", {"inside": "s2", "below": STOP, "above": STOP, "reversed": STOP}),
        ("outside: {found: other}", {"inside": "s2", "outside": "outcome:other", "reversed": STOP}),
        (
            "below: {found: done}\n  outside: {found: other}",
            {"inside": "s2", "below": "outcome:done", "above": "outcome:other", "reversed": STOP},
        ),
        ("inside: {found: done}\n  outside: next", {"inside": "outcome:done", "outside": "s2", "reversed": STOP}),
        (
            "outside: stop\n  then: {found: done}\n  reversed: next",
            {"inside": "outcome:done", "outside": STOP, "reversed": "outcome:done"},
        ),
    ],
)
def test_sides_of_a_band(answers, expected):
    flow = graph(f"- measure: band\n  {answers}\n- look: Two.")
    assert answered(flow, "s1") == expected


@pytest.mark.parametrize(
    ("limit", "sides"),
    [("high", {"above"}), ("tolerance", {"below", "above"}), ("drop", {"outside"})],
)
def test_each_form_of_a_limit_has_its_sides(limit, sides):
    flow = graph(f"- measure: {limit}\n- look: Two.")
    assert {side for side, to in ways(flow, "s1").items() if side in ("below", "above", "outside")} == sides


def test_what_is_unwritten_stops_and_says_that_nobody_wrote_it():
    flow = graph("- measure: band\n  below: stop\n  above: {found: other}\n- look: Two.")
    written = {way.side: bool(way.span.file) for way in flow.station("s1").ways}
    assert written == {
        "inside": False,
        "below": True,
        "above": True,
        "reversed": False,
        "unsteady": False,
        "too_close": False,
        "cant_reach": False,
    }


def test_what_is_expected_has_another_way():
    flow = graph(
        "- {operate: On., expect: It runs.}\n- {operate: Off., otherwise: {found: other}, then: {found: done}}"
    )
    assert ways(flow, "s1") == {"next": "s2", "otherwise": STOP}
    assert ways(flow, "s2") == {"next": "outcome:done", "otherwise": "outcome:other"}


def test_counts_are_kept():
    flow = graph("- {look: One., id: one}\n- {ask: Two?, answers: {yes: {go: one, at_most: 2}, no: next}}\n- look: 3.")
    assert [(way.side, way.to, way.at_most) for way in flow.station("s2").ways] == [("yes", "one", 2), ("no", "s3", 0)]


BLOCK = "blanks: {lead: which}\nsteps:\n  - {look: 'Lead {lead}.', id: first}\n  - {look: Again., then: {go: first}}"


def test_a_block_twice_has_two_sets_of_stations():
    steps = "- {insert: b, id: in, values: {lead: P1}}\n- {insert: b, values: {lead: P2}}\n- look: End."
    flow = graph(steps, {"b": BLOCK})
    assert [station.key for station in flow.stations] == ["in-first", "in-s2", "s3-first", "s3-s2", "s5"]
    assert [station.step.object.text for station in flow.stations][::2] == ["Lead P1.", "Lead P2.", "End."]
    assert ways(flow, "in-s2") == {"next": "in-first"}
    assert ways(flow, "s3-s2") == {"next": "s3-first"}
    assert {station.block for station in flow.stations} == {"b", ""}


def test_to_go_to_an_insertion_is_to_go_to_its_first_step():
    steps = "- {look: One., then: {go: in}}\n- look: Two.\n- {insert: b, id: in, values: {lead: P1}}\n- look: End."
    assert ways(graph(steps, {"b": BLOCK}), "s1") == {"next": "in-first"}


def test_then_of_an_insertion_is_where_its_last_step_leads():
    inner = "steps:\n  - look: One.\n  - {ask: Two?, answers: {yes: next, no: {found: other}}}"
    outer = "steps:\n  - look: Zero.\n  - insert: inner"
    flow = graph("- {insert: outer, then: {found: done}}\n- look: End.", {"inner": inner, "outer": outer})
    assert [station.key for station in flow.stations][:3] == ["s1-s1", "s1-s2-s1", "s1-s2-s2"]
    assert ways(flow, "s1-s1") == {"next": "s1-s2-s1"}
    assert ways(flow, "s1-s2-s2") == {"yes": "outcome:done", "no": "outcome:other"}


def test_a_block_may_lead_to_a_step_around_it():
    block = "steps:\n  - {ask: One?, answers: {yes: {go: there}, no: next}}"
    flow = graph("- insert: b\n- look: Two.\n- {look: Three., id: there}", {"b": block})
    assert ways(flow, "s1-s1") == {"yes": "there", "no": "s2"}


def test_values_are_handed_on_through_nested_blocks():
    inner = "blanks: {what: which}\nsteps:\n  - {measure: band, between: ['{what}', N1], outside: {found: '{what}'}}"
    outer = "blanks: {lead: which}\nsteps:\n  - {insert: inner, values: {what: '{lead}'}}"
    station = graph("- {insert: outer, values: {lead: done}}", {"inner": inner, "outer": outer}).stations[0]
    assert [str(point) for point in station.step.between] == ["done", "N1"]
    assert station.ways[1].to == "outcome:done"


def test_blocks_that_grow_beyond_bounds_are_counted_and_not_made():
    """Thirty floors of ten would be 10**30 steps."""
    blocks = {f"b{floor}": "steps:\n" + f"  - insert: b{floor - 1}\n" * 10 for floor in range(1, 31)}
    facts, findings = run("- insert: b30", blocks | {"b0": "steps:\n  - look: One."})
    assert facts.flow is None
    assert [finding.slug for finding in findings] == ["names.too-many-steps"]


def test_a_deep_chain_of_blocks_is_told():
    blocks = {f"b{floor}": f"steps:\n  - insert: b{floor - 1}" for floor in range(1, 2000)}
    facts, findings = run("- insert: b1999", blocks | {"b0": "steps:\n  - look: One."})
    assert facts.flow is None
    assert [finding.slug for finding in findings] == ["names.too-many-steps"]


def test_two_thousand_steps_are_not_too_many():
    ten = {f"t{floor}": "steps:\n" + f"  - insert: t{floor - 1}\n" * 10 for floor in range(1, 4)}
    flow = graph("- insert: t3\n- insert: t3", ten | {"t0": "steps:\n  - look: One."})
    assert len(flow.stations) == len({station.key for station in flow.stations}) == 2000


LEADS = st.sampled_from(["next", "stop", "{go: a}", "{go: b}", "{found: done}"])
SIDES = st.sampled_from(["below", "outside", "inside"])
STEP = st.one_of(
    st.builds(lambda yes, no: f"{{ask: 'Q?', answers: {{yes: {yes}, no: {no}}}}}", LEADS, LEADS),
    st.builds(
        lambda side, to: f"{{measure: band, {side}: {to}}}", st.sampled_from(["below", "outside", "inside"]), LEADS
    ),
    st.builds(lambda to: f"{{look: 'L.', then: {to}}}", LEADS),
    st.just("{insert: b, values: {lead: P1}}"),
)


@given(st.lists(STEP, min_size=1, max_size=8))
def test_every_way_leads_to_a_station_an_outcome_a_stop_or_the_end(steps):
    flow = graph(
        "- {look: A., id: a}\n" + "".join(f"- {step}\n" for step in steps) + "- {look: B., id: b}", {"b": BLOCK}
    )
    keys = [station.key for station in flow.stations]
    assert len(keys) == len(set(keys))
    for station in flow.stations:
        sides = [way.side for way in station.ways]
        assert sides and len(sides) == len(set(sides))
        assert all(way.to in {*keys, STOP, END, "outcome:done"} for way in station.ways)
