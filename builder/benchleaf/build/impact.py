"""What a name touches: all that uses it, and all that uses those again, before somebody changes it."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.build.gather import gather
from benchleaf.build.mentions import Mention, Named, mentions, named
from benchleaf.build.request import Request
from benchleaf.model.nearest import nearest

# What is made of the names that it mentions, so that whoever uses it is touched as well.
CARRIERS = frozenset({"point", "limit", "fastener", "fault", "element", "indicator"})
GEAR_OF = {"limit": "meter", "fastener": "wrench"}
# Through an energy: whatever isolates, holds or feeds it changes it, and the parts at which it lies bare.
THROUGH_ENERGY = {"energy": frozenset({"condition", "thing", "energy"}), "part": frozenset({"energy"})}


class Touch(NamedTuple):
    """Something that a name touches: where it mentions it, and by way of what (empty: of itself)."""

    owner: Named
    span: Span
    via: tuple[str, ...] = ()


class Impact(NamedTuple):
    """A thing of that name and all that it touches, in the order of files and lines."""

    target: Named
    touches: tuple[Touch, ...]

    @property
    def procedures(self) -> tuple[str, ...]:
        """The procedures among what is touched, as `machine/procedure`."""
        owners = (touch.owner for touch in self.touches)
        return tuple(sorted({f"{owner.machine}/{owner.procedure}" for owner in owners if owner.procedure}))


class Book(NamedTuple):
    """All names of a workspace, who mentions them, and the files whose errors keep them from being read."""

    known: tuple[Named, ...]
    mentions: Mapping[str, tuple[Mention, ...]]
    unread: tuple[str, ...]

    def search(self, name: str) -> tuple[Impact, ...]:
        """All things of a name with what they touch; `machine/name` looks in one machine alone."""
        machine, _, plain = name.rpartition("/")
        targets = [each for each in self.known if plain and each.name == plain and machine in ("", each.machine)]
        return tuple(Impact(each, (*_touches(each, self.mentions), *self._gear(each))) for each in targets)

    def _gear(self, target: Named) -> tuple[Touch, ...]:
        """The meters that read a limit, the wrenches that set a joint: whether they still do is for the next check."""
        kind = GEAR_OF.get(target.kind)
        if kind is None:
            return ()
        steps = {touch.owner for touch in _touches(target, self.mentions) if touch.owner.kind == "step"}
        known = {each.name: each for each in self.known if each.kind == kind}
        return tuple(
            Touch(known[mention.name], mention.span, (mention.owner.label,))
            for name in sorted(known)
            for mention in self.mentions.get(name, ())
            if mention.owner in steps and kind in mention.kinds
        )

    def near(self, name: str) -> tuple[str, ...]:
        """Names like one that does not exist."""
        return nearest(name.rpartition("/")[2], {each.name for each in self.known if each.name}).names


def book(request: Request) -> Book:
    """Read the whole workspace. Raises Unreadable."""
    shelf = gather(request)
    unread = tuple(sorted(each.file for each in shelf.loaded() if each.record is None))
    by_name: dict[str, list[Mention]] = {}
    for mention in mentions(shelf):
        by_name.setdefault(mention.name, []).append(mention)
    return Book(named(shelf), {name: tuple(told) for name, told in by_name.items()}, unread)


def _touches(target: Named, by_name: Mapping[str, Iterable[Mention]]) -> tuple[Touch, ...]:
    """Breadth first, so that each is told by the shortest way."""
    found: dict[tuple[Named, Span], Touch] = {}
    open_: list[tuple[Named, tuple[str, ...]]] = [(target, ())]
    seen = {target}
    while open_:
        here, via = open_.pop(0)
        for mention in by_name.get(here.name, ()):
            if not _meant(mention, here) or mention.owner == target:
                continue
            found.setdefault((mention.owner, mention.span), Touch(mention.owner, mention.span, via))
            if _carries(mention.owner, here) and mention.owner not in seen:
                seen.add(mention.owner)
                open_.append((mention.owner, (*via, mention.owner.label)))
    touches = _at_home(target, found.values())
    return tuple(sorted(touches, key=lambda touch: (touch.span, touch.owner.procedure, touch.owner.label)))


def _carries(owner: Named, here: Named) -> bool:
    """Whether whoever uses the owner is touched by what it mentions."""
    return owner.kind in CARRIERS or here.kind in THROUGH_ENERGY.get(owner.kind, ())


def _at_home(target: Named, touches: Iterable[Touch]) -> Iterable[Touch]:
    """For a step or an outcome, what its own procedure makes of it: a limit may name steps of that name elsewhere."""
    if target.kind not in ("step", "outcome"):
        return touches
    own = [touch for touch in touches if touch.owner.procedure == target.procedure]
    carried = {label for touch in own for label in touch.via}
    return [*own, *(touch for touch in touches if not touch.owner.procedure and touch.owner.label in carried)]


def _meant(mention: Mention, target: Named) -> bool:
    """Whether a mention of the name means this thing of it."""
    if target.kind not in mention.kinds:
        return False
    owner = mention.owner
    if target.procedure and target.kind != "procedure":
        # Steps and outcomes are a procedure's own; a limit of the machine may name the step it compares with.
        return owner.machine == target.machine and owner.procedure in ("", target.procedure)
    return target.machine in ("", owner.machine) or target.kind == "procedure"
