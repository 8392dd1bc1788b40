"""What every pass takes and gives: a case, the facts of earlier passes, a result."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.rules import Rule
from benchleaf.model.basics import EMPTY
from benchleaf.model.expected import Expected
from benchleaf.model.flow import Flow
from benchleaf.model.machine import Machine
from benchleaf.model.matrix import FaultMatrix
from benchleaf.model.plan import Plan
from benchleaf.model.procedure import Block, Procedure
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant
from benchleaf.safety.planning import Planning


class Asset(NamedTuple):
    """A picture file of a machine's folder: digest of its bytes, size, and what is wrong with it (empty: nothing)."""

    file: str
    digest: str
    size: int
    fault: str = ""


class Case(NamedTuple):
    """One procedure with all that it stands on, for one class of machines.

    `procedures` are all procedures of the workspace by id (for links between them); `assets` the pictures of the
    machine's folder by their path relative to that folder. `machine`, `procedure` and `blocks` hold what the class
    `variant` has; `written` is the same case as it is written for all machines, None where the class has all of it.
    """

    shop: Shop
    machine: Machine
    procedure: Procedure
    blocks: Mapping[str, Block] = EMPTY
    procedures: Mapping[str, Procedure] = EMPTY
    assets: Mapping[str, Asset] = EMPTY
    variant: Variant = EVERY
    written: "Case | None" = None


class Common(NamedTuple):
    """What belongs to no single procedure: the shop, a machine and all its procedures, the blocks.

    `machine` is None when the shop and the blocks themselves are held up to the light; `assets` are the pictures of
    its folder, as in `Case`; `machines` all that there are, to be held against each other beside the shop.
    """

    shop: Shop
    machine: Machine | None
    blocks: Mapping[str, Block] = EMPTY
    procedures: tuple[Procedure, ...] = ()
    assets: Mapping[str, Asset] = EMPTY
    machines: tuple[Machine, ...] = ()


class Facts(NamedTuple):
    """What passes hand on. Each field says in `order.py` which pass gives it."""

    flow: Flow | None = None
    plan: Plan | None = None
    planning: Planning | None = None
    expected: Expected | None = None
    matrix: FaultMatrix | None = None


class Result(NamedTuple):
    """The facts after a pass and what it has to say."""

    facts: Facts
    findings: tuple[Finding, ...] = ()


class Pass(NamedTuple):
    """A pass: its rules, the facts it needs and gives, and its doors.

    `run` looks at one procedure for one class of machines, `written` at the procedure as it is written for all of them;
    `common` looks at the shop, the blocks or a machine file, once each, and with `by_class` at a machine file once for
    each of its classes. Rules that are `idle` are about what nothing uses: they are broken only where they are for
    every class.
    """

    name: str
    rules: tuple[Rule, ...]
    run: Callable[[Case, Facts], Result] | None = None
    common: Callable[[Common], tuple[Finding, ...]] | None = None
    needs: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()
    written: Callable[[Case], tuple[Finding, ...]] | None = None
    by_class: bool = False
    idle: tuple[Rule, ...] = ()
