"""What the preview shows of a procedure: its findings now, and its documents as they last could be made."""

from collections.abc import Callable, Mapping
from hashlib import sha256
from pathlib import Path
from threading import Lock
from types import MappingProxyType
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.build import figures
from benchleaf.build.documents import wording_of
from benchleaf.build.faults import NoSource
from benchleaf.build.gather import Key, Shelf, gather
from benchleaf.build.judge import Judged, judge, shown
from benchleaf.build.request import Request, silence
from benchleaf.build.verdict import Standing
from benchleaf.card.compile import compile_card
from benchleaf.edge.preview.marks import Marks, marks
from benchleaf.render import html
from benchleaf.render.fault import RenderFault
from benchleaf.render.preview import framed, marked, planned
from benchleaf.render.theme import Theme
from benchleaf.safety.trace import trace
from benchleaf.source.text import Unreadable

_NONE: Marks = MappingProxyType({})
VIEWS = ("card", "checklist", "plan", "trace")
# Documents in which findings stand at their steps.
_MARKED = ("card", "checklist")


class Variant(NamedTuple):
    """The documents for one class of machines, as HTML by view; `label` is empty where there is one class only.

    `numbers` are those of the card's steps by their keys.
    """

    label: str
    pages: Mapping[str, str]
    numbers: Mapping[str, int]

    def digest(self, view: str) -> str:
        """Tells two states of a page apart."""
        return sha256(self.pages[view].encode()).hexdigest()[:16]

    def with_marks(self, found: Marks) -> "Variant":
        """The same with findings at their steps, as far as its card has these steps."""
        if not found:
            return self
        notes = {
            self.numbers[key]: [f"{one.severity.value}: {one.sentence} [{one.slug}]" for one in findings]
            for key, findings in found.items()
            if key in self.numbers
        }
        pages = {view: marked(page, notes) if view in _MARKED else page for view, page in self.pages.items()}
        return self._replace(pages=pages)


class Look(NamedTuple):
    """A procedure now.

    `trouble` is a sentence where nothing could be checked at all. `variants` are those of the last time that nothing
    stopped the procedure; `old` tells that this was not now. `marks` are the findings of each step.
    """

    key: Key
    title: str
    findings: tuple[Finding, ...]
    lines: Mapping[str, tuple[str, ...]]
    variants: tuple[Variant, ...]
    old: bool
    trouble: str = ""
    marks: Marks = _NONE


class Session:
    """Makes looks, and keeps the last good documents of each procedure. One look at a time."""

    def __init__(self, root: Path, theme: Theme, today: Callable[[], str]) -> None:
        """Nothing is read yet."""
        self._root, self._theme, self._today = root, theme, today
        self._lock = Lock()
        self._good: dict[Key, tuple[str, tuple[Variant, ...]]] = {}
        self._seen: dict[Key, tuple[int, Look]] = {}
        self.version = 0

    def changed(self) -> None:
        """Something in the workspace is no longer as it was."""
        self.version += 1

    def standings(self) -> tuple[Standing, ...]:
        """Every procedure, and whether it is ready. Raises Unreadable."""
        with self._lock:
            shelf = gather(Request(self._root, self._today()))
            return tuple(one.standing for one in judge(shelf, silence).judged)

    def look(self, key: Key) -> Look:
        """The procedure as it is now; made once for each change."""
        with self._lock:
            version = self.version
            seen = self._seen.get(key)
            if seen is None or seen[0] != version:
                seen = self._seen[key] = (version, self._look(key))
            return seen[1]

    def _look(self, key: Key) -> Look:
        title, variants = self._good.get(key, (key[1], ()))
        path = self._root / "procedures" / key[0] / f"{key[1]}.yaml"
        try:
            shelf = gather(Request(self._root, self._today(), (path,)))
            judged = next((one for one in judge(shelf, silence).judged if one.key == key), None)
        except (NoSource, Unreadable) as error:
            return Look(key, title, (), {}, variants, True, f"{str(error).rstrip('.')}.")
        if judged is None:
            return Look(key, title, (), {}, variants, True, f"{'/'.join(key)} is no procedure of this workspace.")
        lines = {loaded.file: loaded.lines for loaded in shelf.loaded()}
        stations = judged.facts.flow.stations if judged.facts.flow else ()
        here = marks(stations, judged.findings, lines)
        trouble = ""
        if judged.standing.ready:
            try:
                variants = self._made(judged, shelf)
                title = str(shelf.procedures[key].record.title)
                self._good[key] = title, variants
            except RenderFault as fault:
                trouble = f"The documents can't be drawn: {fault}."
        shown_with = tuple(variant.with_marks(here) for variant in variants)
        old = bool(trouble) or not judged.standing.ready
        return Look(key, title, judged.findings, lines, shown_with, old, trouble, here)

    def _made(self, judged: Judged, shelf: Shelf) -> tuple[Variant, ...]:
        machine = next(machine for machine in shelf.survey.machines if machine.name == judged.key[0])
        made = []
        said = wording_of(judged, shelf, "")
        for held in judged.classes:
            card = compile_card(held.case, held.facts)
            pictures = figures.contents(machine, shown(held.case.procedure, shelf))
            pages = {
                "card": framed(html.page(card, pictures, self._theme, wording=said), pictures, self._theme),
                "checklist": html.checklist(card, pictures, self._theme, said),
            }
            flow = planned(card)
            if flow:
                pages["plan"] = flow
            if held.facts.planning is not None and held.case.machine is not None:
                pages["trace"] = "\n".join(trace(held.case.machine, held.facts.planning, held.facts.expected))
            label = card.machine.serials if len(judged.classes) > 1 else ""
            made.append(Variant(label, pages, {step.key: step.number for step in card.steps}))
        return tuple(made)
