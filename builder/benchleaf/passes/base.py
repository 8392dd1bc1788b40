"""What every pass takes and gives: a case, the facts of earlier passes, a result."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.rules import Rule
from benchleaf.model.basics import EMPTY
from benchleaf.model.flow import Flow
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Plan
from benchleaf.model.procedure import Block, Procedure
from benchleaf.model.shop import Shop
from benchleaf.safety.planning import Planning


class Asset(NamedTuple):
    """A picture file of a machine's folder: digest of its bytes, size, and what is wrong with it (empty: nothing)."""

    file: str
    digest: str
    size: int
    fault: str = ""


class Case(NamedTuple):
    """One procedure with all that it stands on.

    `procedures` are all procedures of the workspace by id (for links between them); `assets` the pictures of the
    machine's folder by their path relative to that folder.
    """

    shop: Shop
    machine: Machine
    procedure: Procedure
    blocks: Mapping[str, Block] = EMPTY
    procedures: Mapping[str, Procedure] = EMPTY
    assets: Mapping[str, Asset] = EMPTY


class Common(NamedTuple):
    """What belongs to no single procedure: the shop, a machine and all its procedures, the blocks.

    `machine` is None when the shop and the blocks themselves are held up to the light; `assets` are the pictures of
    its folder, as in `Case`.
    """

    shop: Shop
    machine: Machine | None
    blocks: Mapping[str, Block] = EMPTY
    procedures: tuple[Procedure, ...] = ()
    assets: Mapping[str, Asset] = EMPTY


class Facts(NamedTuple):
    """What passes hand on. Each field says in `order.py` which pass gives it."""

    flow: Flow | None = None
    plan: Plan | None = None
    planning: Planning | None = None


class Result(NamedTuple):
    """The facts after a pass and what it has to say."""

    facts: Facts
    findings: tuple[Finding, ...] = ()


class Pass(NamedTuple):
    """A pass: its rules, the facts it needs and gives, and its doors.

    `run` looks at one procedure; `common` at the shop, the blocks or a machine file, once each.
    """

    name: str
    rules: tuple[Rule, ...]
    run: Callable[[Case, Facts], Result] | None = None
    common: Callable[[Common], tuple[Finding, ...]] | None = None
    needs: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()
