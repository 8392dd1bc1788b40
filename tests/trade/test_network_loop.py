"""The loop through two points and their source: told cases, laws, and brute force as the judge of the cheapest."""

from itertools import pairwise, permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.trade.network_loop import Link, loop, unfed


def link(name, first, last, conducts=True, source=False, idle=False):
    return Link(name, first, last, conducts, source, idle)


# A bank behind plug and key, a coil as its load, and a test socket behind a resistor.
MACHINE = (
    link("bank", "B0", "N0", source=True),
    link("fuse", "B0", "B1"),
    link("plug", "B1", "P1"),
    link("return", "N0", "N1"),
    link("key", "P1", "K1"),
    link("coil", "K1", "N1"),
    link("contact", "P1", "C1", conducts=False),
    link("motor", "C1", "N1"),
    link("guard", "K1", "J5"),
)


def names(way):
    return [passed.link.name for passed in way]


def test_a_load_is_fed_by_all_that_lies_before_and_behind_it():
    found = loop(MACHINE, "K1", "N1")
    assert found.source.link.name == "bank"
    assert (names(found.before), names(found.between), names(found.after)) == (
        ["fuse", "plug", "key"],
        ["coil"],
        ["return"],
    )


def test_the_leads_may_be_the_other_way_round():
    assert loop(MACHINE, "N1", "K1")._replace(tails={}) == loop(MACHINE, "K1", "N1")._replace(tails={})


def test_a_point_that_hangs_on_one_element_has_a_tail():
    found = loop(MACHINE, "J5", "N1")
    assert names(found.tails["J5"]) == ["guard"]
    assert found.tails["J5"][0].end == "J5"
    assert names(found.between) == ["coil"]


def test_an_open_way_is_taken_only_where_no_other_leads_on():
    found = loop(MACHINE, "P1", "N1")
    assert names(found.between) == ["key", "coil"]
    assert names(loop(MACHINE, "C1", "N1").before) == ["fuse", "plug", "contact"]


def test_a_way_that_carries_next_to_nothing_gives_way_to_one_that_carries_the_current():
    bleed = link("bleed", "P1", "N1", idle=True)
    assert names(loop((*MACHINE, bleed), "P1", "N1").between) == ["key", "coil"]


def test_points_of_a_dead_circuit_have_no_source_but_what_lies_beside():
    beside = link("bypass", "K1", "N1")
    found = unfed([each for each in (*MACHINE, beside) if not each.source], "K1", "N1")
    assert found.source is None
    assert {*names(found.between), *names(found.beside)} == {"coil", "bypass"}


def test_points_that_nothing_joins_have_no_loop():
    assert loop((link("one", "A", "B"), link("other", "C", "D")), "A", "C") is None


NODES = "abcdef"
LINKS = st.lists(
    st.tuples(st.sampled_from(NODES), st.sampled_from(NODES), st.booleans(), st.booleans()), min_size=3, max_size=9
).map(
    lambda rows: tuple(
        link(f"e{number}", one, other, conducts, False, idle)
        for number, (one, other, conducts, idle) in enumerate(rows)
        if one != other
    )
)


def price(each):
    return 1 + (3 if each.idle else 0) + (0 if each.conducts else 40)


def cheapest_pair(links, source, points):
    """Brute force: every two simple ways without a node in common, one from each pole to each point."""
    inner = sorted({node for each in links for node in (each.first, each.last)} | {*points, source.first, source.last})
    least = None
    for one, other in (points, points[::-1]):
        for plus in ways(links, inner, source.first, one):
            for minus in ways(links, inner, source.last, other):
                if not set(plus[0]) & set(minus[0]) and (least is None or plus[1] + minus[1] < least):
                    least = plus[1] + minus[1]
    return least


def ways(links, nodes, start, end):
    if start == end:
        yield (start,), 0
        return
    others = [node for node in nodes if node not in (start, end)]
    for count in range(len(others) + 1):
        for middle in permutations(others, count):
            chain = (start, *middle, end)
            steps = [
                min((price(each) for each in links if {each.first, each.last} == {one, other}), default=None)
                for one, other in pairwise(chain)
            ]
            known = [step for step in steps if step is not None]
            if len(known) == len(steps):
                yield chain, sum(known)


@settings(max_examples=60, deadline=None)
@given(LINKS, st.permutations(NODES))
def test_the_feeding_ways_are_the_cheapest_without_a_node_in_common(links, order):
    source = link("source", order[0], order[1], source=True)
    # A point that hangs on one element alone is told of elsewhere: give both points a way round.
    points = (order[2], order[3])
    held = (*links, link("load", *points), link("spare", *points, conducts=False))
    found = loop((*held, source), *points)
    fed = found is not None and found.source is not None
    if not fed:
        assert cheapest_pair(held, source, points) is None
        return
    assert sum(price(each.link) for each in (*found.before, *found.after)) == cheapest_pair(held, source, points)


@settings(max_examples=100, deadline=None)
@given(LINKS, st.permutations(NODES))
def test_a_loop_is_closed_and_passes_no_node_twice(links, order):
    source = link("source", order[0], order[1], source=True)
    found = loop((*links, source), order[2], order[3])
    if found is None:
        return
    chain = [*([found.source] if found.source else []), *found.before, *found.between, *found.after]
    for one, other in pairwise(chain):
        # Where nothing joins the points but their feeding ways, the loop is open between them.
        assert one.end == other.start or not found.between
    assert len({each.start for each in chain}) == len(chain)
    if found.source is not None and found.between:
        assert chain[-1].end == chain[0].start
