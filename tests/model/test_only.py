"""What a class of machines has of a file: lists lose what is not there, and whatever is in doubt is read as danger."""

import pytest

from benchleaf.model import only
from benchleaf.model.assemble import assemble
from benchleaf.model.variants import variants
from benchleaf.source.tree import read

LATE = "applies_to: {serials: {from: 200}}"
MACHINE = """
format: benchleaf/machine/1
id: rig
name: Rig
maker: Marram Works
serials: {prefix: R-, from: 100}
conditions:
  key: {values: [off, on], move_when: {heater-plug: parted, plug: mated}, loses: [warmth, volts]}
  plug: {values: [mated, parted], isolates: true}
  heater-plug: {values: [mated, parted], isolates: true, LATE}
  lid: {values: [fitted, removed], cover: true}
  shield: {values: [fitted, removed], cover: true, LATE}
  valve: {values: [shut, open], follows: [{is: open, when: {heater-plug: mated}}, {is: shut}]}
things:
  prop:
    {holds: [heat, bus], sets: {heater-plug: parted, lid: removed}, joins: [P1, H1], defeats: heater}
energy_none: [battery]
energy:
  bus:
    kind: dc
    highest: 24 V
    fed_by: [mains, heat]
    isolate: {plug: parted, heater-plug: parted}
    prove:
      {measure: dc-voltage, between: [[P1, N1], [H1, N1]], below: 1 V, sees: [plug, heater-plug], access: [lid, shield]}
    when: {heater-plug: mated, plug: mated}
  mains: {kind: mains, voltage: 230 V, LATE}
  heat: {kind: heat, temperature: 90 °C, held_by: [heater, prop], LATE}
  warm:
    kind: heat
    temperature: 60 °C
    relieve: {operate: Cool it., at: heater, sets: {heater-plug: parted, plug: parted}}
  glow:
    kind: dc
    highest: 24 V
    prove: {measure: dc-voltage, between: [[H1, N1]], below: 1 V, sees: [plug], access: lid}
parts:
  relay:
    name: relay
    exposes: [{energy: bus, unless: {shield: fitted, lid: fitted}}, {energy: heat}]
    holds: [heat, warm]
  heater: {name: heater, LATE}
  knob: {name: knob, on: heater, cover: shield}
places:
  well: {name: well, behind: [lid, shield]}
points:
  P1: {name: plus, part: relay}
  N1: {name: minus, part: relay}
  H1: {name: heater pin, part: heater}
limits:
  volts: {measure: dc-voltage, low: 22 V, high: 26 V}
  warmth: {measure: temperature, high: 50 °C, part: heater}
fasteners:
  lid-screws: {holds: relay, thread: M6x1, torque: 7 N·m}
  heater-screws: {holds: heater, thread: M6x1, torque: 7 N·m}
circuit:
  ground: N1
  elements:
    feed: {type: battery, nodes: [P1, N1], voltage: 24 V}
    element: {type: coil, nodes: [H1, N1], part: heater, resistance: 20 ohm}
    contact: {type: contact, of: element, nodes: [P1, C1]}
faults:
  heater-open: {part: heater, circuit: {element: open}}
  feed-low: {part: relay, circuit: {feed: {voltage: 12 V}, element: open}}
"""
PROCEDURE = """
format: benchleaf/procedure/1
id: trial
title: Trial
kind: inspection
machine: rig
revision: A
changed: {kind: technical, reason: Trial, steps: [first, late]}
purpose: Trial.
crew: {technician: any}
supplies: none
spares: [{part: relay}, {part: heater}]
initial: {key: off, plug: mated, heater-plug: mated}
final: {heater-plug: mated, key: off}
locked: [plug, heater-plug]
steps:
  - {look: It., id: first}
  - {look: The heater., id: late, LATE}
  - {ask: Is it whole?, answers: {yes: {found: good}, no: {found: cold}}}
outcomes:
  good: {text: Good.}
  cold: {fault: heater-open}
"""


def record(text, kind):
    node = read(text.replace("LATE", LATE), "procedures/rig/machine.yaml").node
    assert node is not None
    made = assemble(node, kind)
    assert made.record is not None and not made.findings
    return made.record


WHOLE, TRIAL = record(MACHINE, "machine"), record(PROCEDURE, "procedure")
EARLY, LATER = variants(WHOLE, TRIAL)
EARLY_MACHINE = only.machine(EARLY, WHOLE)


def names(refs):
    return [ref.name for ref in refs]


def settings(state):
    return [setting.condition.name for setting in state]


def test_the_classes_are_those_of_the_serial_numbers():
    assert [EARLY.text, LATER.text] == ["R-100 to R-199", "R-200 and up"]


def test_a_class_that_has_everything_gets_the_file_as_it_is():
    assert only.machine(LATER, WHOLE) is WHOLE
    assert only.procedure(LATER, TRIAL, WHOLE) is TRIAL


def test_records_go_and_so_does_what_is_about_a_part_that_is_gone():
    assert list(EARLY_MACHINE.conditions) == ["key", "plug", "lid", "valve"]
    assert list(EARLY_MACHINE.energy) == ["bus", "warm", "glow"]
    assert list(EARLY_MACHINE.parts) == ["relay", "knob"]
    assert list(EARLY_MACHINE.points) == ["P1", "N1"]
    assert list(EARLY_MACHINE.limits) == ["volts"]
    assert list(EARLY_MACHINE.fasteners) == ["lid-screws"]
    assert list(EARLY_MACHINE.faults) == ["feed-low"]
    assert EARLY_MACHINE.circuit is not None and list(EARLY_MACHINE.circuit.elements) == ["feed"]
    assert list(EARLY_MACHINE.faults["feed-low"].circuit) == ["feed"]


def test_lists_lose_the_names():
    key, prop, bus = EARLY_MACHINE.conditions["key"], EARLY_MACHINE.things["prop"], EARLY_MACHINE.energy["bus"]
    assert settings(key.move_when) == ["plug"] and names(key.loses) == ["volts"]
    assert names(prop.holds) == ["bus"] and settings(prop.sets) == ["lid"] and names(prop.joins) == ["P1"]
    assert prop.defeats is None
    assert bus.fed_by == () and settings(bus.isolate) == ["plug"]
    assert bus.prove is not None
    assert [names(pair) for pair in bus.prove.between] == [["P1", "N1"]]
    assert names(bus.prove.sees) == ["plug"] and names(bus.prove.access) == ["lid"]
    assert names(EARLY_MACHINE.places["well"].behind) == ["lid"]
    relay, knob = EARLY_MACHINE.parts["relay"], EARLY_MACHINE.parts["knob"]
    assert names(each.energy for each in relay.exposes) == ["bus"] and names(relay.holds) == ["warm"]
    assert knob.on is None and knob.cover is None
    relieve = EARLY_MACHINE.energy["warm"].relieve
    assert relieve is not None and relieve.at is None and settings(relieve.sets) == ["plug"]


def test_what_is_in_doubt_is_read_as_danger():
    """What a cover hid that is not there lies open; what waits for a condition that is not there may be there."""
    assert EARLY_MACHINE.parts["relay"].exposes[0].unless == ()
    assert EARLY_MACHINE.energy["bus"].when == WHOLE.energy["bus"].when
    assert EARLY_MACHINE.conditions["valve"].follows == WHOLE.conditions["valve"].follows


def test_a_proof_at_points_that_are_not_there_is_none():
    assert WHOLE.energy["glow"].prove is not None and EARLY_MACHINE.energy["glow"].prove is None


def test_a_kind_of_energy_of_which_none_is_left_counts_as_absent():
    assert names(EARLY_MACHINE.energy_none) == ["battery", "mains"]


def test_a_procedure_loses_its_steps_and_what_names_what_is_gone():
    early = only.procedure(EARLY, TRIAL, WHOLE)
    assert [step.object.text for step in early.steps] == ["It.", "Is it whole?"]
    assert names(early.changed.steps) == ["first"]
    assert settings(early.initial) == ["key", "plug"] and settings(early.final) == ["key"]
    assert names(early.locked) == ["plug"]
    assert early.spares is not None and [each.part.name for each in early.spares] == ["relay"]
    assert list(early.outcomes) == ["good"]


@pytest.mark.parametrize(("variant", "left"), [(EARLY, 1), (LATER, 2)])
def test_blocks_lose_their_steps(variant, left):
    text = "format: benchleaf/block/1\nid: b\ntitle: B\nsteps:\n  - look: It.\n  - {look: That., LATE}\n"
    blocks = {"b": record(text, "block")}
    made = only.blocks(variant, blocks, WHOLE)
    assert len(made["b"].steps) == left
    assert (made is blocks) is (left == 2)
