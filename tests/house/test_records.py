"""Records are what `typing.NamedTuple` makes, which is the reference here: the same class body, made by both."""

import ast
import copy
import pickle
import types
import typing

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.base import records


def described(shape):
    return shape.name


def made_by(maker, **fields):
    """A class with these fields, of which all but the first have a usual value."""
    body = {
        "__module__": __name__,
        "__doc__": "A shape.",
        "__annotations__": {name: type(value) for name, value in fields.items()},
        "__str__": described,
        "area": property(lambda shape: shape.count * len(shape.sizes)),
        **{name: value for number, (name, value) in enumerate(fields.items()) if number},
    }
    return types.new_class("Shape", (maker,), {}, lambda namespace: namespace.update(body))


MAKERS = (records.NamedTuple, typing.NamedTuple)
OURS, THEIRS = (made_by(maker, name="", count=1, sizes=()) for maker in MAKERS)


class Kept(records.NamedTuple):
    """Stands in a module, as what is sent to another process must."""

    name: str
    inner: tuple[int, ...] = ()


@pytest.mark.parametrize("name", ["_fields", "_field_defaults", "__match_args__", "__doc__", "__slots__", "__module__"])
def test_a_class_tells_the_same_of_itself(name):
    assert getattr(OURS, name) == getattr(THEIRS, name)
    ours, theirs = map(made_by, MAKERS)
    assert getattr(ours, name) == getattr(theirs, name)


ARGUMENTS = st.tuples(
    st.lists(st.integers(), max_size=4),
    st.dictionaries(st.sampled_from(("name", "count", "sizes", "area", "_cls")), st.integers()),
)


def told(work):
    """What comes of it: a plain value, or the kind of error and its words."""
    try:
        found = work()
    except (TypeError, ValueError) as error:
        return type(error), str(error)
    return tuple(found) if isinstance(found, tuple) else found


@given(ARGUMENTS)
def test_every_call_ends_alike(given_):
    values, named = given_
    assert told(lambda: OURS(*values, **named)) == told(lambda: THEIRS(*values, **named))
    assert told(lambda: OURS._make(values)) == told(lambda: THEIRS._make(values))


@given(st.text(), st.integers(), st.lists(st.integers(), max_size=3).map(tuple))
def test_values_act_alike(name, count, sizes):
    ours, theirs = OURS(name, count, sizes), THEIRS(name, count, sizes)
    assert ours == theirs == (name, count, sizes)
    assert hash(ours) == hash(theirs)
    assert (repr(ours), str(ours), ours.area) == (repr(theirs), str(theirs), theirs.area)
    assert ours._asdict() == theirs._asdict()
    assert type(ours._replace(count=2)) is OURS
    assert ours._replace(count=2) == theirs._replace(count=2)
    assert told(lambda: ours._replace(area=2)) == told(lambda: theirs._replace(area=2))
    assert copy.copy(ours) == copy.deepcopy(ours) == ours
    match ours:
        case OURS(first, second, third):
            assert (first, second, third) == (name, count, sizes)


def test_fields_are_read_only():
    with pytest.raises(AttributeError):
        OURS("a").name = "b"
    with pytest.raises(AttributeError):
        OURS("a").other = "b"


def test_values_travel_to_another_process():
    kept = Kept("a", (1, 2))
    again = pickle.loads(pickle.dumps(kept))
    assert (type(again), again) == (Kept, kept)


def test_the_package_makes_its_records_this_way(modules):
    """One way, and the cheap one: `typing` is asked for them nowhere else."""
    wrong = [
        f"{module.file}:{node.lineno}"
        for module in modules
        for node in ast.walk(module.tree)
        if isinstance(node, ast.ImportFrom) and node.module in ("typing", "collections")
        for alias in node.names
        if alias.name in ("NamedTuple", "namedtuple") and module.name != "base.records"
    ]
    assert not wrong
