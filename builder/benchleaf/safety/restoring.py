"""The inserted blocks that give a machine back: power for a test, put back and restore, leave out of service."""

from benchleaf.model.basics import Ref, Setting
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Inserted, Why
from benchleaf.model.procedure import Procedure
from benchleaf.safety.blocks import setting_step
from benchleaf.safety.effects import working_value
from benchleaf.safety.locking import Lockout
from benchleaf.safety.naming import condition_name
from benchleaf.safety.sentences import say
from benchleaf.safety.valuation import IN_PLACE, OUT, Values


def power_steps(
    machine: Machine,
    procedure: Procedure,
    plan: Lockout,
    covers: tuple[str, ...],
    why: Why,
    own: frozenset[str] = frozenset(),
) -> list[Inserted]:
    """Covers shut, tools out, people clear, locks off, isolators back (29 CFR 1910.147(e) and (f)(1)).

    `plan` is what is unlocked, `covers` are those that only the proof opened; `own` moves by the step that follows.
    """
    taking = [_taking(machine, s.condition.name, procedure, why) for s in plan.things]
    if not plan.isolators:
        return [*_watch(why), *taking]
    return [
        *_closing_covers(machine, covers, why),
        *_relief_undone(machine, procedure, plan, why),
        *_watch(why),
        *taking,
        *_unlock(machine, procedure, plan, why, own),
        Inserted("tell-back", "operate", "senses", say("tell-back"), why),
    ]


def _relief_undone(machine: Machine, procedure: Procedure, plan: Lockout, why: Why) -> list[Inserted]:
    """Valves and the like that let an energy go stand at their working value again before power returns."""
    steps = []
    for key in plan.relieve:
        relieve = machine.energy[key].relieve
        for setting in relieve.sets if relieve is not None else ():
            value = working_value(machine, procedure, setting.condition.name)
            if value and value != setting.value.name:
                steps.append(setting_step(machine, "close", Setting(setting.condition, Ref(value)), {}, why))
    return steps


def _unlock(
    machine: Machine, procedure: Procedure, plan: Lockout, why: Why, own: frozenset[str] = frozenset()
) -> list[Inserted]:
    steps = []
    for setting in reversed(plan.isolators):
        name = setting.condition.name
        value = working_value(machine, procedure, name)
        steps.append(
            Inserted(
                "unlock", "take", "controls", say("unlock", condition=condition_name(machine, name)), why, locks=(name,)
            )
        )
        if value != setting.value.name and name not in own:
            back = Setting(Ref(name), Ref(value))
            steps.append(setting_step(machine, "restore", back, {}, why))
    return steps


def _taking(machine: Machine, name: str, procedure: Procedure, why: Why) -> Inserted:
    sets = [Setting(Ref(name), Ref(OUT))]
    for setting in machine.things[name].sets:
        sets.append(Setting(setting.condition, Ref(working_value(machine, procedure, setting.condition.name))))
    return Inserted("restore", "take", "hands", say("take", thing=condition_name(machine, name)), why, sets=tuple(sets))


def put_back_steps(
    machine: Machine, procedure: Procedure, plan: Lockout, values: Values, covers: tuple[str, ...], why: Why
) -> list[Inserted]:
    """The end that leaves the machine ready: covers closed, tools out, people clear, locks off, `final` set.

    `plan` is the lockout that stands (empty where nothing is locked); `covers` are those that the compiler opened.
    """
    steps = _closing_covers(machine, covers, why)
    after = dict(values)
    if plan.isolators or plan.things:
        undone = _relief_undone(machine, procedure, plan, why)
        steps += undone
        after.update({s.condition.name: frozenset((s.value.name,)) for step in undone for s in step.sets})
        steps += _watch(why)
        placed = [
            s.condition.name for s in plan.things if IN_PLACE in values.get(s.condition.name, frozenset((IN_PLACE,)))
        ]
        steps += [_taking(machine, name, procedure, why) for name in placed]
        back = _unlock(machine, procedure, plan, why)
        steps += back
        after.update({s.condition.name: frozenset((s.value.name,)) for step in back for s in step.sets})
    due = [
        setting
        for setting in procedure.final
        if after.get(setting.condition.name) != frozenset((setting.value.name,))
        and setting.condition.name in machine.conditions
        and not _plain_cover(machine, setting.condition.name)
    ]
    locked = bool(plan.isolators or plan.things)
    if not locked and any(machine.conditions[setting.condition.name].isolates for setting in due):
        steps += _watch(why)
    steps += [setting_step(machine, "restore", setting, after, why) for setting in due]
    if steps:
        steps.append(Inserted("tell-back", "operate", "senses", say("tell-end"), why))
    return steps


def _watch(why: Why) -> list[Inserted]:
    """What is looked at before anything is given back (29 CFR 1910.147(e)(1) and (2))."""
    return [
        Inserted("check", "look", "senses", say("check"), why),
        Inserted("clear", "look", "senses", say("clear"), why),
    ]


def _closing_covers(machine: Machine, covers: tuple[str, ...], why: Why) -> list[Inserted]:
    steps = []
    for name in covers:
        shut = machine.conditions[name].values[0]
        how = machine.conditions[name].how.get(shut.name)
        text = how.text if how is not None else say("close", condition=condition_name(machine, name))
        steps.append(Inserted("close", "close", "hands", text, why, sets=(Setting(Ref(name), shut),)))
    return steps


def _plain_cover(machine: Machine, name: str) -> bool:
    return machine.conditions[name].cover


def leave_steps(locked: bool, why: Why) -> list[Inserted]:
    """Leave the machine out of service: locks stay, danger tag, hand-over line."""
    steps = [Inserted("tag", "look", "senses", say("locks-stay"), why)] if locked else []
    steps.append(Inserted("tag", "place", "controls", say("danger-tag"), why))
    steps.append(Inserted("hand-over", "operate", "senses", say("hand-over"), why))
    return steps
