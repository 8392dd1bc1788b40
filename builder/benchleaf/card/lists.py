"""What a card gathers from its steps: tools and meters, spare parts, supplies."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from benchleaf.base.said import row
from benchleaf.card.model import PartLine, ToolLine
from benchleaf.card.wording import word
from benchleaf.model.flow import Flow, Station
from benchleaf.model.plan import Plan
from benchleaf.model.procedure import Step, SupplyUse
from benchleaf.passes.base import Case
from benchleaf.safety.naming import condition_name, spoken
from benchleaf.trade.numbers import printed


def printed_stations(plan: Plan, flow: Flow) -> list[Station]:
    """The written stations that the plan prints."""
    keys = {planned.station for section in plan.sections for planned in section.steps}
    return [station for station in flow.stations if station.key in keys]


def tools(
    case: Case,
    stations: Sequence[Station],
    numbers: Mapping[str, int],
    proofs: Sequence[tuple[str, int]],
    polarities: Sequence[tuple[str, int]],
    placed: Iterable[tuple[str, int]] = (),
) -> tuple[ToolLine, ...]:
    """Every meter, wrench, thing and tool with its steps.

    `proofs` are the steps that prove zero by voltage with their meter (empty: any), `polarities` those that prove
    polarity, `placed` things that inserted steps put in place.
    """
    used: dict[str, list[int]] = {}
    for key, number in (*placed, *(test for test in (*proofs, *polarities) if test[0])):
        used.setdefault(key, []).append(number)
    for station in stations:
        for key in _tools_of(case, station.step):
            used.setdefault(key, []).append(numbers[station.key])
    lines = [_tool(case, key, tuple(sorted(set(steps)))) for key, steps in used.items()]
    order = ("meter", "wrench", "thing", "tool")
    lines.sort(key=lambda line: (order.index(line.kind), line.steps))
    return (*_for_proof(case, proofs, polarities), *lines)


def _tools_of(case: Case, step: Step) -> list[str]:
    keys = [ref.name for ref in (step.meter, step.wrench, *step.uses) if ref is not None]
    if step.action.name in ("place", "take") and step.object.text in case.machine.things:
        keys.append(step.object.text)
    return keys


def _for_proof(
    case: Case, proofs: Sequence[tuple[str, int]], polarities: Sequence[tuple[str, int]]
) -> tuple[ToolLine, ...]:
    """The tester where no meter of the shop is one, and the proving unit."""
    unnamed = tuple(sorted(step for key, step in (*proofs, *polarities) if not key))
    steps = tuple(step for _, step in proofs)
    tester = ToolLine("voltage-tester", "meter", word("plain", "tester"), steps=unnamed)
    unit = case.shop.proving_unit if proofs else None
    proving = ToolLine("proving-unit", "meter", unit.name.text, unit.range, steps=steps) if unit else None
    return (*((tester,) if unnamed else ()), *((proving,) if proving else ()))


def _tool(case: Case, key: str, steps: tuple[int, ...]) -> ToolLine:
    shop = case.shop
    if key in shop.meters:
        meter = shop.meters[key]
        due = word("plain", "calibrate", date=meter.calibration_due) if meter.calibration_due else ""
        category = meter.category.text if meter.category else ""
        return ToolLine(key, "meter", meter.name.text, _joined(meter.number, category, due), steps=steps)
    if key in shop.wrenches:
        wrench = shop.wrenches[key]
        reach = word(
            "plain",
            "range",
            low=printed(wrench.from_.quantity, shop.units),
            high=printed(wrench.to.quantity, shop.units),
        )
        return ToolLine(key, "wrench", wrench.name.text, _joined(wrench.number, reach), steps=steps)
    if key in case.machine.things:
        thing = case.machine.things[key]
        own = shop.things.get(thing.is_.name) if thing.is_ else None
        rated = printed(own.rated.quantity, shop.units) if own is not None and own.rated else ""
        number = own.number if own is not None else ""
        return ToolLine(key, "thing", condition_name(case.machine, key), _joined(number, rated), steps=steps)
    return _plain_tool(shop.tools.get(key) or shop.things.get(key), key, steps)


def _plain_tool(tool: Any, key: str, steps: tuple[int, ...]) -> ToolLine:
    if tool is None:
        return ToolLine(key, "tool", spoken(key), steps=steps)
    insulated = word("plain", "insulated") if getattr(tool, "insulated", False) else ""
    return ToolLine(key, "tool", tool.name.text, _joined(tool.number, insulated), getattr(tool, "count", 1), steps)


def spares(case: Case) -> tuple[PartLine, ...]:
    """The spare parts that the procedure names."""
    lines = []
    for use in case.procedure.spares or ():
        part = case.machine.parts.get(use.part.name)
        name = part.name.text if part is not None else spoken(use.part.name)
        number = part.number if part is not None else ""
        lines.append(PartLine(use.part.name, name, number, f"{use.count}", use.when))
    return tuple(lines)


def supplies(case: Case, stations: Sequence[Station]) -> tuple[PartLine, ...]:
    """What is used up: named by the procedure or by a step, each once."""
    return tuple(_supply(case, use) for use in supply_uses(case, stations))


def supply_uses(case: Case, stations: Sequence[Station]) -> tuple[SupplyUse, ...]:
    """Each supply once, with its amount as far as one is written."""
    uses: dict[str, SupplyUse] = {}
    for use in (*(case.procedure.supplies or ()), *(each for station in stations for each in station.step.supplies)):
        known = uses.get(use.supply.name)
        uses[use.supply.name] = use if known is None or known.amount is None else known
    return tuple(uses.values())


def _supply(case: Case, use: SupplyUse) -> PartLine:
    supply = case.shop.supplies.get(use.supply.name)
    amount = printed(use.amount.quantity, case.shop.units) if use.amount else ""
    if supply is None:
        return PartLine(use.supply.name, spoken(use.supply.name), amount=amount)
    keeps = word("plain", "keeps", time=supply.shelf_life.text) if supply.shelf_life else ""
    disposal = word("plain", "disposal", how=supply.disposal.text) if supply.disposal else ""
    detail = row((_joined(supply.specification, supply.sheet, keeps), disposal), "; ")
    return PartLine(use.supply.name, supply.name.text, amount=amount, detail=detail)


def _joined(*texts: str) -> str:
    return row(texts, ", ")
