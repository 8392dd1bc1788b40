"""The minimum cut against trying every labelling."""

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from benchleaf.trade.cut import minimum_cut

NODES = "abcdefg"
edges = st.lists(st.tuples(st.sampled_from(NODES), st.sampled_from(NODES), st.integers(1, 9)), max_size=14)


def cost(edges: list[tuple[str, str, int]], side: frozenset[str]) -> int:
    return sum(each[2] for each in edges if (each[0] in side) != (each[1] in side))


@given(edges, st.sets(st.sampled_from("abc"), min_size=1), st.sets(st.sampled_from("efg"), min_size=1))
def test_no_labelling_is_cheaper(links: list[tuple[str, str, int]], sources: set[str], sinks: set[str]) -> None:
    side = minimum_cut(links, frozenset(sources), frozenset(sinks))
    assert sources <= side
    assert not sinks & side
    free = [node for node in NODES if node not in sources | sinks]
    best = min(
        cost(links, frozenset(sources) | {node for node, chosen in zip(free, choice, strict=True) if chosen})
        for choice in product((False, True), repeat=len(free))
    )
    assert cost(links, side) == best


def test_nothing_joins_nothing() -> None:
    assert minimum_cut([], frozenset("a"), frozenset("b")) == frozenset("a")
