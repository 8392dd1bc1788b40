"""The step graph as a graph, held to the plainest way of finding out the same."""

from hypothesis import given
from hypothesis import strategies as st
from tests.passes.bench import record

from benchleaf.model.flow import Flow, Station, Way
from benchleaf.passes.logic_graph import graph_of

KEYS = "abcdef"
STEP = record("format: benchleaf/block/1\nid: b\ntitle: B\nsteps: [{look: At it.}]", "block").steps[0]
GRAPHS = st.lists(
    st.lists(st.tuples(st.sampled_from([*KEYS, "stop"]), st.sampled_from([0, 0, 1])), max_size=3),
    min_size=len(KEYS),
    max_size=len(KEYS),
)


def drawn(ways):
    stations = (
        Station(key, STEP, tuple(Way(str(number), to, most) for number, (to, most) in enumerate(each)))
        for key, each in zip(KEYS, ways, strict=True)
    )
    return graph_of(Flow(tuple(stations)))


def walk(edges, start, banned=""):
    """Everything met by walking from a start, itself included, as a person with a pencil would find it."""
    met = {start} - {banned}
    for _ in KEYS:
        met |= {to for at, to in edges if at in met and to != banned and to in KEYS}
    return met


def edges_of(ways, bounded):
    return {(key, to) for key, each in zip(KEYS, ways, strict=True) for to, most in each if bounded or not most}


@given(GRAPHS)
def test_circles_are_stations_that_lead_to_each_other_without_a_count(ways):
    circle, edges = drawn(ways).circles(), edges_of(ways, bounded=False)
    for one in KEYS:
        for other in KEYS:
            both = other in walk(edges, one) and one in walk(edges, other)
            assert (circle[one] == circle[other]) is both


@given(GRAPHS, st.sampled_from(KEYS))
def test_what_is_reached_around_a_station(ways, without):
    assert drawn(ways).forward(["a"], without=without) == walk(edges_of(ways, bounded=True), "a", without)


@given(GRAPHS)
def test_from_where_the_end_is_reached(ways):
    edges = edges_of(ways, bounded=True)
    assert drawn(ways).backward(["f"]) == {key for key in KEYS if "f" in walk(edges, key)}


@given(GRAPHS)
def test_ways_back_lead_to_the_station_itself_or_an_earlier_one(ways):
    graph = drawn(ways)
    back = {(station.key, way.to) for station in graph.stations for way in graph.back_ways(station)}
    assert back == {(at, to) for at, to in edges_of(ways, bounded=True) if to in KEYS and to <= at}
