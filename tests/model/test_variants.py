"""Classes of machines: they part all machines among them, and what a class has is what each of its machines has."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.base.span import Span
from benchleaf.model import basics, only
from benchleaf.model.applies import Applies, Serials
from benchleaf.model.basics import Ref, Words
from benchleaf.model.energy import Energy, Prove
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Condition, Exposure, Machine, Part, Point
from benchleaf.model.procedure import Change, Procedure, Step
from benchleaf.model.variant import EVERY, Variant, fits, holds, holds_for_all, named_classes, within
from benchleaf.model.variants import MOST_CLASSES, variants

HERE = Span("machine.yaml")
OPTIONS = {"heater": ("none", "built-in", "separate"), "deck": ("steel", "wood")}
FIRST, LAST = 100, 130


def serials(low=None, high=None, prefix=""):
    return Serials(HERE, prefix, low, high)


def applies(*ranges, **options):
    cases = (
        (tuple(basics.Test(Ref(name), tuple(map(Ref, values))) for name, values in options.items()),) if options else ()
    )
    return Applies(HERE, tuple(ranges), cases)


def machine(limits=(), conditions=(), energy=(), parts=(), low=FIRST, high=LAST):
    """A machine with these applicabilities on its limits L0, L1 …, conditions C0 …, energies E0 … and parts P0 ….

    P0 exposes an energy, at P1 the absence of each energy is proved, P2 does nothing.
    """
    prove = Prove(HERE, "dc-voltage", ((Ref("T1"), Ref("T1")),))
    exposes = {0: (Exposure(HERE, Ref("E0")),)}
    return Machine(
        HERE,
        "benchleaf/machine/1",
        Ref("rig"),
        Words("Rig"),
        Words("Marram Works"),
        serials(low, high, "R-"),
        {name: tuple(map(Ref, values)) for name, values in OPTIONS.items()},
        limits={f"L{n}": Limit(HERE, Ref("length"), applies_to=each) for n, each in enumerate(limits)},
        conditions={f"C{n}": Condition(HERE, (Ref("a"),), applies_to=each) for n, each in enumerate(conditions)},
        energy={f"E{n}": Energy(HERE, Ref("dc"), prove=prove, applies_to=each) for n, each in enumerate(energy)},
        parts={
            f"P{n}": Part(HERE, Words("part"), exposes=exposes.get(n, ()), applies_to=each)
            for n, each in enumerate(parts)
        },
        points={"T1": Point(HERE, Words("test point"), Ref("P1"))},
    )


def step(name, each=None, action="measure"):
    return Step(HERE, Ref(action), Words(name), applies_to=each)


def procedure(steps, own=None):
    change = Change(HERE, Ref("technical"), Words("First issue"))
    return Procedure(
        HERE, "benchleaf/procedure/1", Ref("trial"), Words("Trial"), Ref("inspection"), Ref("rig"), Ref("A"), change,
        Words("Trial."), tuple(steps), {}, {}, applies_to=own,
    )  # fmt: skip


numbers = st.none() | st.integers(FIRST - 5, LAST + 5)
ranges = st.builds(serials, numbers, numbers, st.sampled_from(("", "R-", "X-")))
tests = st.sampled_from(tuple(OPTIONS)).flatmap(
    lambda name: st.lists(st.sampled_from((*OPTIONS[name], "unheard-of")), min_size=1, max_size=2).map(
        lambda values: basics.Test(Ref(name), tuple(map(Ref, values)))
    )
)
cases = st.lists(st.lists(tests, min_size=1, max_size=2).map(tuple), max_size=2).map(tuple)
marks = st.builds(Applies, st.just(HERE), st.lists(ranges, max_size=2).map(tuple), cases)
some = st.lists(st.none() | marks, max_size=3)
machines = st.builds(machine, some, some, some, some)


@st.composite
def held(draw):
    """A machine, and a procedure for it that uses some of its limits."""
    of = draw(machines)
    steps = [step(draw(st.sampled_from(("L0", "L1", "L9"))), each) for each in draw(st.lists(st.none() | marks))]
    return of, procedure([*steps, step("L0")], draw(st.none() | marks))


def all_machines():
    """Every serial number with every set of options."""
    for number in range(FIRST, LAST + 1):
        for heater in OPTIONS["heater"]:
            for deck in OPTIONS["deck"]:
                yield number, {"heater": heater, "deck": deck}


def belongs(number, options, variant):
    values = dict(variant.options)
    return any(within(number, each) for each in variant.serials) and all(
        options[name] in allowed for name, allowed in values.items()
    )


@given(held())
def test_each_machine_that_the_procedure_is_for_belongs_to_exactly_one_class(these):
    of, written = these
    found = variants(of, written)
    if len(found) > MOST_CLASSES:
        return
    for number, options in all_machines():
        mine = [each for each in found if belongs(number, options, each)]
        assert len(mine) == fits(written.applies_to, number, options, of)


@given(held())
def test_what_a_class_has_is_what_each_of_its_machines_has(these):
    """Filtering by class equals filtering by the serial number and options of any machine of it."""
    of, written = these
    found = variants(of, written)
    if len(found) > MOST_CLASSES:
        return
    for number, options in all_machines():
        for mine in (each for each in found if belongs(number, options, each)):
            steps = [each for each in written.steps if fits(each.applies_to, number, options, of)]
            assert list(only.procedure(mine, written, of).steps) == steps
            left = only.machine(mine, of)
            for table, whole in ((left.conditions, of.conditions), (left.energy, of.energy)):
                assert list(table) == [
                    name for name, each in whole.items() if fits(each.applies_to, number, options, of)
                ]
            weighty = {"P0", "P1"} if of.energy else {"P0"}
            for name in weighty & of.parts.keys():
                assert (name in left.parts) == fits(of.parts[name].applies_to, number, options, of)
            for name in {each.object.text for each in steps} & of.limits.keys():
                assert (name in left.limits) == fits(of.limits[name].applies_to, number, options, of)


@given(held())
def test_classes_stand_in_order_and_have_texts_and_keys_of_their_own(these):
    found = variants(*these)
    assert list(found) == sorted(found, key=lambda each: each.serials[0][0])
    assert len({each.text for each in found}) == len(found)
    if len(found) > 1:
        assert len({each.key for each in found}) == len(found)
        assert all(each.text and each.key and each.key.isascii() and "/" not in each.key for each in found)
    else:
        assert all(each.key == "" for each in found)


@given(machines, marks, marks)
def test_something_is_for_all_of_a_class_if_it_is_for_each_machine_of_it(of, own, other):
    for variant in variants(of, procedure([step("L9")], own)):
        mine = [(number, options) for number, options in all_machines() if belongs(number, options, variant)]
        assert holds_for_all(other, variant, of) == all(fits(other, *each, of) for each in mine)


def texts(found):
    return [(each.text, each.key) for each in found]


def test_nothing_to_cut_is_one_class_without_a_text():
    assert texts(variants(machine())) == [("", "")]
    assert texts(variants(machine(), procedure([step("L0")]))) == [("", "")]


def test_what_the_procedure_does_not_use_cuts_nothing():
    of = machine(limits=[applies(serials(110)), None])
    assert texts(variants(of, procedure([step("L1")]))) == [("", "")]
    assert texts(variants(of, procedure([step("L0")]))) == [
        ("R-100 to R-109", "100-109"),
        ("R-110 to R-130", "110-130"),
    ]


def test_energies_and_conditions_always_cut():
    for kind in ("energy", "conditions"):
        assert len(variants(machine(**{kind: [applies(serials(110))]}), procedure([step("L9")]))) == 2


def test_parts_cut_where_something_hangs_on_them():
    for place, count in ((0, 2), (1, 2), (2, 1)):
        parts = [applies(serials(110)) if place == n else None for n in range(3)]
        of = machine(energy=[None], parts=parts)
        assert len(variants(of, procedure([step("L9")]))) == count
        assert len(variants(of, procedure([step(f"P{place}", action="clean")]))) == 2


def test_a_procedure_for_a_part_of_the_machines_says_so_and_needs_no_key():
    assert texts(variants(machine(high=None), procedure([step("L9")], applies(serials(110))))) == [("R-110 and up", "")]


def test_a_procedure_for_no_machine_has_no_class():
    assert variants(machine(), procedure([step("L9")], applies(serials(500)))) == ()


def test_texts_and_keys():
    steps = [step("L9", applies(serials(high=109), serials(120, 120), heater=["built-in"]))]
    assert texts(variants(machine(), procedure(steps))) == [
        ("R-100 to R-109 or R-120, heater none or separate", "100-109-or-120-heater-none-or-separate"),
        ("R-100 to R-109 or R-120, heater built-in", "100-109-or-120-heater-built-in"),
        ("R-110 to R-119 or R-121 to R-130", "110-119-or-121-130"),
    ]
    open_below = machine(low=None, high=None)
    assert texts(variants(open_below, procedure([step("L9", applies(serials(7)))]))) == [
        ("R-… to R-6", "0-6"),
        ("R-7 and up", "from-7"),
    ]


def test_options_alone():
    steps = [step("L9", applies(deck=["wood"]))]
    assert texts(variants(machine(), procedure(steps))) == [("deck steel", "deck-steel"), ("deck wood", "deck-wood")]


def test_keys_that_lose_their_difference_get_one_and_long_ones_an_end():
    of = machine()._replace(options={"size": tuple(map(Ref, ("1,5", "1.5", "x" * 200)))})
    steps = [step("L9", applies(size=[value])) for value in ("1,5", "1.5")]
    first, second, third = (each.key for each in variants(of, procedure(steps)))
    assert first.startswith("size-1-5-") and second.startswith("size-1-5-") and first != second
    assert len(third) < 80


def test_more_than_the_most_is_told_without_counting_for_ever():
    names = [f"o{number}" for number in range(40)]
    of = machine()._replace(options={name: (Ref("a"), Ref("b")) for name in names})
    found = variants(of, procedure([step("L9", applies(**{name: ["a"]})) for name in names]))
    assert len(found) > MOST_CLASSES


def test_several_classes_in_words():
    found = [Variant(text=f"R-{number}") for number in range(5)]
    assert named_classes(found[:1]) == "R-0"
    assert named_classes(found[:3]) == "R-0, and for R-1, and for R-2"
    assert named_classes(found) == "R-0, and for R-1, and for R-2, and for 2 more"


def test_without_a_class_everything_holds():
    of = machine(energy=[applies(serials(500))])
    assert holds(applies(serials(500)), EVERY, of)
    assert only.machine(EVERY, of) is of
    written = procedure([step("L9", applies(serials(500)))])
    assert only.procedure(EVERY, written, of) is written


@pytest.mark.parametrize(
    "own", [None, applies(heater=["unheard-of"]), applies(colour=["red"]), applies(serials(120, 110))]
)
def test_what_is_told_as_a_mistake_decides_nothing(own):
    assert texts(variants(machine(), procedure([step("L9", own)]))) == [("", "")]
