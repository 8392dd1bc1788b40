"""Laws of the inserted lockouts on random procedures, against trying everything.

The machines are random and small: what holds for them by trying every labelling and walking every path is what the
engine must find by cut and analysis. Loops and joins included.
"""

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.safety.walker import unprotected, walks
from tests.safety.workspace import Planned1, plan_of, record

from benchleaf.model.flow import OUTCOME
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure
from benchleaf.model.shop import Shop
from benchleaf.safety.analysis import analyse, written_nodes
from benchleaf.safety.labels import Labels, label
from benchleaf.safety.valuation import entry
from benchleaf.safety.wishes import LOCKED, POWER

SHOP = """
format: benchleaf/shop/1
name: Marram Works service
proving_unit: {name: proving unit, range: 12 V to 690 V}
"""
MACHINE = """
format: benchleaf/machine/1
id: rig
name: rig
maker: Marram Works
serials: {prefix: RIG-, from: 1}
conditions:
  main: {values: [on, off], initial: on, by: person, isolates: true, lock: padlock, place: left}
  aux: {values: [on, off], initial: on, by: person, isolates: true, lock: padlock, place: right}
  key: {values: [off, on], initial: off, by: person, control: true}
energy_none: [battery, mains, spring, height, hydraulic, pneumatic, heat, chemical, capacitor]
energy:
  one: {kind: dc, highest: 60 V, isolate: {main: off}, prove: {look: Look that the first lamp is dark.}}
  two:
    kind: dc
    highest: 60 V
    isolate: {aux: off}
    prove: {measure: dc-voltage, between: [[C, D]], below: 5 V, sees: [aux]}
  both: {kind: dc, highest: 60 V, isolate: {main: off, aux: off}, prove: {look: Look that the lamp is dark.}}
  turning: {kind: motion, when: {key: on}, fed_by: [one], reaches: touch}
parts:
  p-none: {name: frame}
  p-one: {name: first box, exposes: [{energy: one}]}
  p-two: {name: second box, exposes: [{energy: two}]}
  p-both: {name: third box, exposes: [{energy: both}]}
  p-shaft: {name: shaft, exposes: [{energy: turning}]}
"""
SHOP_RECORD: Shop = record(SHOP, "shop")  # type: ignore[assignment]
RIG: Machine = record(MACHINE, "machine")  # type: ignore[assignment]

PARTS = ("p-none", "p-one", "p-two", "p-both", "p-shaft")
hands = st.sampled_from([f"clean: {part}" for part in PARTS])
kinds = st.one_of(
    hands,
    hands,
    st.just("operate: Turn the key on.\n    sets: {key: on}"),
    st.just("operate: Turn the key off.\n    sets: {key: off}"),
    st.just("look: See that the lamp is lit."),
)


@st.composite
def procedures(draw: st.DrawFn) -> str:
    count = draw(st.integers(1, 7))
    steps = []
    for place in range(count):
        text = f"  - {draw(kinds)}\n    id: s{place}\n"
        goes = draw(st.integers(0, 3))
        if place == count - 1:
            text += f"    then: {{found: {draw(st.sampled_from(['good', 'bad']))}}}\n"
        elif goes == 1 and "look" in text:
            text = (
                f"  - ask: Is the lamp lit?\n    id: s{place}\n    answers: {{yes: next, no: "
                f"{{go: s{draw(st.integers(0, count - 1))}, at_most: 2}}, dim: {{found: bad}}}}\n"
            )
        elif goes == 2:
            text += f"    then: {{go: s{draw(st.integers(place + 1, count - 1))}}}\n"
        steps.append(text)
    leave = draw(st.sampled_from(["as-final", "out-of-service"]))
    return (
        "format: benchleaf/procedure/1\nid: trial\ntitle: Trial\nkind: inspection\nmachine: rig\nrevision: A\n"
        "changed: {kind: technical, reason: new}\npurpose: Try.\ncrew: {technician: electrical}\n"
        "initial: {main: on, aux: on, key: off}\nfinal: {main: on, aux: on, key: off}\nsteps:\n"
        + "".join(steps)
        + f"outcomes:\n  good: {{text: Good., leave: as-final}}\n  bad: {{text: Bad., leave: {leave}}}\n"
    )


def planned(text: str) -> Planned1:
    procedure: Procedure = record(text, "procedure")  # type: ignore[assignment]
    return plan_of(SHOP_RECORD, RIG, procedure)


@settings(max_examples=300)
@given(procedures())
def test_no_path_brings_hands_to_an_energy_that_may_be_there(text: str) -> None:
    assert unprotected(planned(text)) == []


@settings(max_examples=1000)
@given(procedures())
def test_no_labelling_moves_an_isolator_less_often(text: str) -> None:
    one = planned(text)
    nodes = written_nodes(RIG, one.case.procedure, one.flow)
    labels = label(RIG, one.case.procedure, one.flow, analyse(RIG, entry(RIG, one.case.procedure.initial), nodes))
    ways = [("start", one.flow.stations[0].key)]
    reached = set(analyse(RIG, entry(RIG, one.case.procedure.initial), nodes).before)
    for station in one.flow.stations:
        if station.key in reached:
            ways += [(station.key, way.to) for way in station.ways if not way.to.startswith((OUTCOME, "stop"))]
    for name in ("main", "aux"):
        assert moves(ways, {key for _, key in ways if name in labels.at(key)}) == fewest(ways, labels, name)


def moves(ways: list[tuple[str, str]], locked: set[str]) -> int:
    return sum((one in locked) != (other in locked) for one, other in ways)


def fewest(ways: list[tuple[str, str]], labels: Labels, name: str) -> int:
    """By trying every labelling that fulfils all wishes."""
    keys = sorted({key for way in ways for key in way} - {"start"})
    needs = {
        key
        for key in keys
        if labels.wishes[key].label == LOCKED
        and any(
            name in labels.isolators and energy in labels.isolators[name].energies
            for energy in labels.wishes[key].energies
        )
    }
    powered = {key for key in keys if labels.wishes[key].label == POWER}
    free = [key for key in keys if key not in needs | powered]
    return min(
        moves(ways, needs | {key for key, chosen in zip(free, choice, strict=True) if chosen})
        for choice in product((False, True), repeat=len(free))
    )


@settings(max_examples=200)
@given(procedures())
def test_each_way_leads_to_a_step_an_outcome_or_a_stop(text: str) -> None:
    one = planned(text)
    keys = {step.key for step in one.steps}
    ends = {ending.outcome for ending in one.plan.endings}
    reached = walks(one)
    assert len(keys) == len(one.steps)
    for step in one.steps:
        assert step.ways
        # What no path comes to is told by the logic, and its ways lead on unresolved.
        for way in step.ways if step.key in reached else ():
            assert way.to in keys | {"stop", "end"} or way.to.removeprefix(OUTCOME) in ends


@settings(max_examples=200)
@given(procedures())
def test_the_writers_steps_are_all_there_once_and_in_order(text: str) -> None:
    one = planned(text)
    assert [step.station for step in one.steps if step.station] == [station.key for station in one.flow.stations]
