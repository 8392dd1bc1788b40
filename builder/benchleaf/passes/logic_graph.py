"""The step graph as a graph: which stations can be reached, and from where something can be reached."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.flow import END, STOP, Flow, Station, Way, outcome_of

NOWHERE = Span("")


class Graph(NamedTuple):
    """Stations by key with their position in written order."""

    stations: tuple[Station, ...]
    position: Mapping[str, int]

    @property
    def entry(self) -> str:
        """The key of the first station."""
        return self.stations[0].key

    def at(self, key: str) -> Station:
        """The station with this key."""
        return self.stations[self.position[key]]

    def forward(self, starts: Iterable[str], without: str = "") -> set[str]:
        """Stations reached from the starts, themselves included; `without` is never entered."""
        seen: set[str] = set()
        open_ = [key for key in starts if key != without]
        while open_:
            key = open_.pop()
            if key in seen:
                continue
            seen.add(key)
            for way in self.at(key).ways:
                if way.to in self.position and way.to != without:
                    open_.append(way.to)
        return seen

    def backward(self, ends: Iterable[str]) -> set[str]:
        """Stations from which one of the ends is reached, the ends included."""
        before: dict[str, list[str]] = {}
        for station in self.stations:
            for way in station.ways:
                before.setdefault(way.to, []).append(station.key)
        seen: set[str] = set()
        open_ = list(ends)
        while open_:
            key = open_.pop()
            if key not in seen:
                seen.add(key)
                open_ += before.get(key, ())
        return seen

    def circles(self) -> dict[str, int]:
        """For each station the number of its circle: stations of one number lead to each other without a count.

        Ways that may be taken only so often are left out. Tarjan, SIAM Journal on Computing 1 (1972), with a stack
        of our own, since a card may have more steps than Python has frames.
        """
        order: dict[str, int] = {}
        low: dict[str, int] = {}
        number: dict[str, int] = {}
        path: list[str] = []
        for root in self.position:
            work = [(root, self._unbounded(root))] if root not in order else []
            while work:
                key, onward = work[-1]
                if key not in order:
                    order[key] = low[key] = len(order)
                    path.append(key)
                following = next(onward, None)
                if following is not None:
                    if following not in order:
                        work.append((following, self._unbounded(following)))
                    elif following not in number:
                        low[key] = min(low[key], order[following])
                    continue
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[key])
                if low[key] == order[key]:
                    while key not in number:
                        number[path.pop()] = order[key]
        return number

    def _unbounded(self, key: str) -> Iterator[str]:
        return (way.to for way in self.at(key).ways if way.to in self.position and not way.at_most)

    def back_ways(self, station: Station) -> Iterable[Way]:
        """Ways that lead to the station itself or to an earlier one."""
        own = self.position[station.key]
        return (way for way in station.ways if self.position.get(way.to, own + 1) <= own)


def graph_of(flow: Flow) -> Graph:
    """The graph of a flow."""
    return Graph(flow.stations, {station.key: number for number, station in enumerate(flow.stations)})


def written(way: Way) -> bool:
    """Whether the writer wrote this way, rather than that it follows from nothing being written."""
    return way.span != NOWHERE


def ends(way: Way) -> bool:
    """Whether work ends on this way as the writer wants it: in an outcome, at the end, or at a written stop."""
    return bool(outcome_of(way.to)) or way.to == END or (way.to == STOP and written(way))
