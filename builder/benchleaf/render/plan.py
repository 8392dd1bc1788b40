"""The plan of a fault-finding card as a drawn flow: what is asked in which order, and which answer leads to what.

Steps at which nothing is decided are left out. Each side of a limit stands as a label on its line; which way is good or
bad no colour says. The layers and the order in them come from a library for layered drawings.
"""

from html import escape
from textwrap import wrap
from typing import NamedTuple

from benchleaf.base.said import ENGLISH, Wording, fill, row
from benchleaf.card.model import Card, CardStep
from benchleaf.card.records import Choice
from benchleaf.render.plan_layers import Layered, Place, layered

# Ways that the card leaves out as well: whoever gets there stops and asks.
_QUIET = frozenset({"reversed", "unsteady", "too_close", "cant_reach"})
_STOP = "stop"
# All lengths in units of the drawing; type of 10 units has lines of 12.
_WIDE, _LABEL_WIDE, _PAD, _LINE = 128, 78, 4, 12
_LETTERS, _LABEL_LETTERS = 23, 16
_ACROSS, _DOWN = 7, 8
_MARGIN = 4
# Millimetres for a unit where there is room: type of 9 points. A plan that is too wide for it lies on its side.
_SCALE = 0.3175


class Node(NamedTuple):
    """A question (`step`), a finding (`outcome`), a way to stop and ask (`stop`), or an answer on a line (`label`)."""

    key: str
    kind: str
    lines: tuple[str, ...]

    @property
    def width(self) -> int:
        """Width of its box."""
        return {"label": _LABEL_WIDE, _STOP: _LABEL_WIDE}.get(self.kind, _WIDE)

    @property
    def height(self) -> int:
        """Height of its box."""
        return _LINE * len(self.lines) + (2 if self.kind == "label" else 2 * _PAD)


class Edge(NamedTuple):
    """An answer: from a step to a step, finding or stop, with what stands on the line."""

    start: str
    end: str
    label: str


def edges(card: Card) -> tuple[Edge, ...]:
    """Every answer of every question, in the order of the card, to the next question or to the end of its way.

    Answers whose target is not on the card, as in an excerpt of one, have no edge.
    """
    steps = {step.key: step for step in card.steps}
    ends = {*steps, *(f"outcome:{outcome.key}" for outcome in card.outcomes)}
    found: list[Edge] = []
    for step in card.steps:
        for choice in step.choices if asks(step) else ():
            end = _end(choice, steps)
            if end == _STOP and choice.side not in _QUIET:
                found.append(Edge(step.key, f"{_STOP}:{len(found)}", choice.label))
            elif end in ends:
                found.append(Edge(step.key, end, choice.label))
    return tuple(found)


def asks(step: CardStep) -> bool:
    """Whether a written step decides between ways."""
    return step.inserted is None and len(step.choices) > 1


def _end(choice: Choice, steps: dict[str, CardStep]) -> str:
    if choice.kind == "outcome":
        return f"outcome:{choice.to}"
    return _STOP if choice.kind == _STOP else _onward(choice.to, steps)


def _onward(key: str, steps: dict[str, CardStep]) -> str:
    """The next question on the plain way from a step on, or the finding in which that way ends."""
    seen = set()
    while key in steps and key not in seen and not asks(steps[key]):
        seen.add(key)
        ways = [way.to for way in steps[key].facts.ways if way.side not in _QUIET]
        key = ways[0] if ways else _STOP
    return _STOP if key in (_STOP, "end") or key in seen else key


def plan(card: Card, room: tuple[float, float], wording: Wording = ENGLISH) -> str:
    """The plan as SVG with a title, within a room of this width and height in millimetres.

    Empty text where the card asks fewer than two questions.
    """
    lines = edges(card)
    nodes = _nodes(card, lines, wording)
    if card.kind != "fault-finding" or sum(node.kind == "step" for node in nodes.values()) < 2:
        return ""
    drawn = {}
    for number, edge in enumerate(lines):
        label = Node(f"label:{number}", "label", tuple(wrap(edge.label, _LABEL_LETTERS)))
        drawn[edge] = label
        nodes[label.key] = label
    pairs = [pair for edge, label in drawn.items() for pair in ((edge.start, label.key), (label.key, edge.end))]
    sizes = {key: (node.width, node.height) for key, node in nodes.items()}
    return _svg(nodes, pairs, layered(sizes, pairs, _ACROSS, _DOWN), _title(card, lines, wording), room)


def _nodes(card: Card, lines: tuple[Edge, ...], wording: Wording) -> dict[str, Node]:
    """The nodes that lines touch, in the order of the card. Each way to stop has one of its own."""
    touched = {key for edge in lines for key in (edge.start, edge.end)}
    nodes = {}
    for step in card.steps:
        if step.key in touched:
            command = wrap(f"{step.number} {_plain(step.command)}", _LETTERS)
            nodes[step.key] = Node(step.key, "step", _short(command, 3))
    for outcome in card.outcomes:
        key = f"outcome:{outcome.key}"
        if key in touched:
            text = wording.say("Finding {number}: {title}", number=outcome.number, title=outcome.title)
            nodes[key] = Node(key, "outcome", _short(wrap(text, _LETTERS), 2))
    stops = sorted(key for key in touched if key.startswith(f"{_STOP}:"))
    nodes |= {key: Node(key, _STOP, tuple(wrap(wording.say("Stop and ask"), _LABEL_LETTERS))) for key in stops}
    return nodes


def _plain(text: str) -> str:
    return text.replace("*", "").replace("`", "")


def _short(lines: list[str], most: int) -> tuple[str, ...]:
    return tuple(lines) if len(lines) <= most else (*lines[: most - 1], lines[most - 1][: _LETTERS - 1] + "…")


def _svg(nodes: dict[str, Node], pairs: list[tuple[str, str]], layers: Layered, title: str, room: Place) -> str:
    width = max(layers.places[key][0] + node.width / 2 for key, node in nodes.items()) + 2 * _MARGIN
    height = max(layers.places[key][1] + node.height / 2 for key, node in nodes.items()) + 2 * _MARGIN
    lines = {pair: _line(nodes, layers, pair) for pair in pairs}
    path = "".join("M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) for points in lines.values())
    heads = "".join(_head(*points[-2:]) for pair, points in lines.items() if nodes[pair[1]].kind != "label")
    upright = min(_SCALE, room[0] / width, room[1] / height)
    aside = min(_SCALE, room[1] / width, room[0] / height)
    scale, wide, tall, turn = upright, width, height, f"translate({_MARGIN} {_MARGIN})"
    if aside > upright:
        scale, wide, tall, turn = aside, height, width, f"translate({_MARGIN} {width - _MARGIN:.1f}) rotate(-90)"
    parts = [
        f'<svg class="plan" xmlns="http://www.w3.org/2000/svg" width="{wide * scale:.1f}mm" '
        f'height="{tall * scale:.1f}mm" viewBox="0 0 {wide:.1f} {tall:.1f}" '
        f'font-family="Fira Sans, sans-serif" font-size="10"><title>{escape(title)}</title><g transform="{turn}">',
        f'<path fill="none" stroke="currentColor" stroke-width=".9" d="{path}"/>',
        f'<path fill="currentColor" d="{heads}"/>',
    ]
    for kind, weight in (("step", "1.6"), ("outcome", ".8"), (_STOP, ".8")):
        boxes = "".join(_box(node, *layers.places[key]) for key, node in nodes.items() if node.kind == kind)
        if boxes:
            parts.append(f'<path fill="none" stroke="currentColor" stroke-width="{weight}" d="{boxes}"/>')
    parts += [_words(node, *layers.places[key]) for key, node in nodes.items()]
    return "".join((*parts, "</g></svg>"))


def _line(nodes: dict[str, Node], layers: Layered, pair: tuple[str, str]) -> list[Place]:
    """The points of a line: it leaves a box below and arrives above, or the other way round where it goes back."""
    (x, y), (to_x, to_y) = layers.places[pair[0]], layers.places[pair[1]]
    down = 1 if to_y >= y else -1
    start = (x, y + down * nodes[pair[0]].height / 2)
    end = (to_x, to_y - down * nodes[pair[1]].height / 2)
    return [start, *layers.passes.get(pair, ()), end]


def _head(before: Place, tip: Place) -> str:
    """An arrow head at the tip of a line."""
    across, down = tip[0] - before[0], tip[1] - before[1]
    length = max((across**2 + down**2) ** 0.5, 0.1)
    x, y = across / length, down / length
    base_x, base_y = tip[0] - 6 * x, tip[1] - 6 * y
    left, right = (base_x - 2.6 * y, base_y + 2.6 * x), (base_x + 2.6 * y, base_y - 2.6 * x)
    return "M" + "L".join(f"{each[0]:.1f} {each[1]:.1f}" for each in (tip, left, right)) + "z"


def _box(node: Node, x: float, y: float) -> str:
    left, top = x - node.width / 2, y - node.height / 2
    round_ = 0 if node.kind == "step" else min(8, node.height / 2)
    across, down = node.width - 2 * round_, node.height - 2 * round_
    if not round_:
        return f"M{left:.1f} {top:.1f}h{across}v{down}h-{across}z"
    arc = f"a{round_} {round_} 0 0 1"
    return (
        f"M{left + round_:.1f} {top:.1f}h{across}{arc} {round_} {round_}v{down:g}{arc} -{round_} {round_}"
        f"h-{across}{arc} -{round_} -{round_}v-{down:g}{arc} {round_} -{round_}z"
    )


def _words(node: Node, x: float, y: float) -> str:
    first = y - _LINE * len(node.lines) / 2 + 9
    weight = ' font-weight="600"' if node.kind == "step" else ""
    size = ' font-size="9"' if node.kind == "label" else ""
    return "".join(
        f'<text x="{x:.1f}" y="{first + _LINE * row:.1f}" fill="currentColor" text-anchor="middle"{weight}{size}>'
        f"{escape(line)}</text>"
        for row, line in enumerate(node.lines)
    )


def _title(card: Card, lines: tuple[Edge, ...], wording: Wording) -> str:
    """The plan in words: every line with its answer."""
    names = {step.key: fill("step {number}", number=step.number) for step in card.steps}
    names |= {f"outcome:{each.key}": fill("finding {number}", number=each.number) for each in card.outcomes}
    said = [
        fill(
            "{start}, {answer}: {end}", start=names[e.start], answer=e.label, end=names.get(e.end, fill("stop and ask"))
        )
        for e in lines
    ]
    return wording.speak(fill("Plan of the fault finding. {lines}.", lines=row(said, "; ")))
