"""What of a circuit lies between two points and what feeds them: one loop of elements through source and points.

The two ways from the poles of a source to the points, without a node in common, are a cheapest flow of two units
(Suurballe, Networks 4 (1974)); a way is the cheaper, the fewer elements lie on it, the fewer of them stand open or
carry next to nothing.
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

# What an open element costs beside one that conducts, and one through which next to nothing runs.
_OPEN = 40.0
_IDLE = 3.0
# A second source is passed only where nothing else leads on.
_SOURCE = 5.0


class Link(NamedTuple):
    """An element between two nodes (of a potentiometer one of its halves). `idle` says that only a small part
    of the current runs through it, `source` marks a battery, plus pole first."""

    name: str
    first: str
    last: str
    conducts: bool
    source: bool = False
    idle: bool = False

    def other(self, node: str) -> str:
        """The end that `node` is not."""
        return self.last if node == self.first else self.first


class Passed(NamedTuple):
    """A link as it is passed: into it at `start`, out of it at `end`."""

    link: Link
    start: str
    end: str


class Loop(NamedTuple):
    """The loop from a source's plus pole round to its minus pole and through the source.

    `source` is None where nothing feeds the points; then `before` and `after` are empty and `beside` is a second way
    between them, if there is one. `before` leads from the plus pole to the first point met, `between` on to the other
    point (empty where nothing joins them but the feeding ways), `after` to the minus pole. `tails` leads from the loop
    to each point that hangs on it by a single element.
    """

    source: Passed | None
    before: tuple[Passed, ...]
    between: tuple[Passed, ...]
    after: tuple[Passed, ...]
    tails: Mapping[str, tuple[Passed, ...]]
    beside: tuple[Passed, ...] = ()


def loop(links: Iterable[Link], first: str, last: str) -> Loop | None:
    """The loop through both points and the source that feeds them at the least cost; None where nothing joins them."""
    known = tuple(link for link in links if link.first != link.last)
    tails: dict[str, tuple[Passed, ...]] = {}
    ends = []
    for point, other in ((first, last), (last, first)):
        tails[point] = _tail(known, point, other)
        ends.append(tails[point][0].start if tails[point] else point)
    fed = _fed(known, *ends) if ends[0] != ends[1] else None
    if fed is not None:
        return fed._replace(tails=tails)
    return unfed([link for link in known if not link.source], first, last)


def unfed(links: Iterable[Link], first: str, last: str) -> Loop | None:
    """The cheapest way between two points of a dead circuit, and beside it another that conducts; None without one."""
    known = tuple(links)
    between = _way(known, first, last, frozenset())
    if not between:
        return None
    taken = {passed.link for passed in between}
    inner = frozenset(passed.end for passed in between[:-1])
    others = [link for link in known if link.conducts and link not in taken]
    return Loop(None, (), between, (), {}, _way(others, last, first, inner))


def _tail(links: tuple[Link, ...], point: str, other: str) -> tuple[Passed, ...]:
    """The elements by which a point alone hangs on the rest, from the rest to the point."""
    found: list[Passed] = []
    left = set(links)
    while point != other:
        here = [link for link in left if point in (link.first, link.last)]
        if len(here) != 1 or here[0].source:
            break
        before = here[0].other(point)
        found.insert(0, Passed(here[0], before, point))
        left -= {here[0]}
        point = before
    return tuple(found) if point != other else ()


def _fed(links: tuple[Link, ...], first: str, last: str) -> Loop | None:
    best: tuple[float, Loop] | None = None
    for source in links:
        ways = _two_ways(links, source, (first, last)) if source.source else None
        if ways is None:
            continue
        price = sum(_price(passed.link) for way in ways for passed in way) + _price(source)
        if best is None or price < best[0]:
            best = (price, _closed(links, source, ways))
    return best[1] if best is not None else None


def _closed(links: tuple[Link, ...], source: Link, ways: tuple[tuple[Passed, ...], tuple[Passed, ...]]) -> Loop:
    """The loop from two ways that lead from the poles: what joins their ends lies between."""
    plus, minus = ways
    meets = plus[-1].end if plus else source.first
    leaves = minus[-1].end if minus else source.last
    avoided = frozenset(node for passed in (*plus, *minus) for node in (passed.start, passed.end))
    others = [link for link in links if not link.source]
    between = _way(others, meets, leaves, (avoided | {source.first, source.last}) - {meets, leaves})
    after = tuple(Passed(passed.link, passed.end, passed.start) for passed in reversed(minus))
    return Loop(Passed(source, source.last, source.first), plus, between, after, {})


def _price(link: Link) -> float:
    return 1.0 + (_IDLE if link.idle else 0.0) + (0.0 if link.conducts else _OPEN) + (_SOURCE if link.source else 0.0)


def _way(links: Iterable[Link], start: str, end: str, avoided: frozenset[str]) -> tuple[Passed, ...]:
    """The cheapest way that keeps off some nodes; empty where there is none."""
    price = {start: 0.0}
    came: dict[str, Passed] = {}
    waiting = {start}
    usable = tuple(links)
    while waiting:
        node = min(waiting, key=lambda each: (price[each], each))
        waiting.discard(node)
        if node == end:
            break
        for link in usable:
            if node not in (link.first, link.last) or link.other(node) in avoided:
                continue
            there, cost = link.other(node), price[node] + _price(link)
            if cost < price.get(there, float("inf")):
                price[there], came[there] = cost, Passed(link, node, there)
                waiting.add(there)
    if end not in came:
        return ()
    found = [came[end]]
    while found[0].start != start:
        found.insert(0, came[found[0].start])
    return tuple(found)


_Edge = tuple[str, str]


def _two_ways(
    links: tuple[Link, ...], source: Link, points: tuple[str, str]
) -> tuple[tuple[Passed, ...], tuple[Passed, ...]] | None:
    """Cheapest ways from the plus and the minus pole to the points, one to each, without a node in common."""
    # Each node is an entrance and an exit with room for one way; both poles are fed, both points lead out.
    forward: dict[_Edge, tuple[float, Link | None]] = {}
    nodes = {node for link in links for node in (link.first, link.last)}
    for node in nodes:
        forward[f"{node} in", f"{node} out"] = (0.0, None)
    for link in links:
        if link is source:
            continue
        for one, other in ((link.first, link.last), (link.last, link.first)):
            known = forward.get((f"{one} out", f"{other} in"))
            if known is None or _price(link) < known[0]:
                forward[f"{one} out", f"{other} in"] = (_price(link), link)
    for pole in (source.first, source.last):
        forward["start", f"{pole} in"] = (0.0, None)
    for point in points:
        forward[f"{point} out", "goal"] = (0.0, None)
    used: set[_Edge] = set()
    for _ in points:
        steps = _cheapest(forward, used)
        if steps is None:
            return None
        for one, other in steps:
            if (other, one) in used:
                used.discard((other, one))
            else:
                used.add((one, other))
    return _followed(forward, used, source.first), _followed(forward, used, source.last)


def _cheapest(forward: Mapping[_Edge, tuple[float, Link | None]], used: set[_Edge]) -> list[_Edge] | None:
    """One more way to the goal, which may take back pieces of earlier ones (Bellman and Ford)."""
    price = {"start": 0.0}
    came: dict[str, str] = {}
    edges = [(one, other, cost) for (one, other), (cost, _) in sorted(forward.items()) if (one, other) not in used]
    edges += [(other, one, -forward[one, other][0]) for one, other in sorted(used)]
    moved = True
    while moved:
        moved = False
        for one, other, cost in edges:
            if one in price and price[one] + cost < price.get(other, float("inf")) - 1e-9:
                price[other], came[other], moved = price[one] + cost, one, True
    if "goal" not in came:
        return None
    found, node = [], "goal"
    while node != "start":
        found.append((came[node], node))
        node = came[node]
    return found


def _followed(forward: Mapping[_Edge, tuple[float, Link | None]], used: set[_Edge], pole: str) -> tuple[Passed, ...]:
    after = dict(used - {edge for edge in used if edge[0] == "start"})
    found = []
    node = f"{pole} in"
    while node != "goal":
        link = forward[node, after[node]][1]
        if link is not None:
            found.append(Passed(link, node.removesuffix(" out"), after[node].removesuffix(" in")))
        node = after[node]
    return tuple(found)
