"""The inserted blocks that take energy away: confirm, lock out, prove zero."""

from collections.abc import Iterable

from benchleaf.base.said import capital, number, row
from benchleaf.model.basics import Ref, Setting
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Inserted, Proof, Why
from benchleaf.model.procedure import Procedure
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant, options_text, serials_text
from benchleaf.safety.locking import Lockout, Wait
from benchleaf.safety.naming import condition_name, condition_place, energy_name, part_name, spoken
from benchleaf.safety.presence import isolation
from benchleaf.safety.sentences import say
from benchleaf.safety.valuation import Values
from benchleaf.trade.discharge import rounded_up


def confirm(machine: Machine, procedure: Procedure, why: Why, variant: Variant = EVERY) -> Inserted:
    """The first step: the machine, its class and every condition of `initial` are confirmed, not trusted."""
    settings = row(
        say(
            "confirm-setting",
            condition=capital(condition_name(machine, s.condition.name)),
            value=spoken(s.value.name),
        )
        for s in procedure.initial
    )
    options = options_text(variant)
    numbers = row((serials_text(variant, machine), options), ", ")
    info = say("confirm-info", machine=machine.name.text, serials=numbers, settings=settings)
    others = say("confirm-others") if variant.text else ""
    return Inserted(
        "confirm",
        "look",
        "senses",
        say("confirm"),
        why,
        info=row((info, say("confirm-otherwise"), others)),
        sets=procedure.initial,
    )


def serials(machine: Machine) -> str:
    """All serial numbers of the machine file as text."""
    return serials_text(EVERY, machine)


def lock_steps(machine: Machine, plan: Lockout, values: Values, why: Why, for_hands: bool = True) -> list[Inserted]:
    """Tell people, make safe, shut down, isolate, lock and tag, relieve, wait (29 CFR 1910.147(d)(1) to (5)).

    Nobody has to wait where no hands follow (`for_hands`).
    """
    steps = [Inserted("tell", "operate", "senses", say("tell"), why, info=say("tell-info"))] if plan.isolators else []
    for setting in plan.things:
        name = setting.condition.name
        if values.get(name) != frozenset((setting.value.name,)):
            sets = (setting, *machine.things[name].sets)
            steps.append(Inserted("safe", "place", "hands", _placing(machine, name), why, sets=sets))
    for setting in plan.controls:
        steps.append(setting_step(machine, "shut-down", setting, values, why))
    for setting in plan.isolators:
        steps.append(setting_step(machine, "isolate", setting, values, why))
        steps.append(_lock_step(machine, setting, why))
    steps += relief(machine, plan.relieve, why)
    if plan.waits and for_hands:
        steps.append(_wait_step(machine, plan.waits, why))
    return steps


def let_go_steps(machine: Machine, plan: Lockout, keys: Iterable[str], why: Why) -> list[Inserted]:
    """Some energies of a lockout that stands let go once more, with the time that this takes."""
    wanted = frozenset(keys)
    steps = relief(machine, [key for key in plan.relieve if key in wanted], why)
    waits = tuple(wait for wait in plan.waits if wait.energy in wanted)
    return [*steps, _wait_step(machine, waits, why)] if waits else steps


def relief(machine: Machine, keys: Iterable[str], why: Why) -> list[Inserted]:
    """The steps that let stored energies go."""
    steps = []
    for key in keys:
        relieve = machine.energy[key].relieve
        if relieve is not None:
            where = part_name(machine, relieve.at.name) if relieve.at else ""
            own = why._replace(energy=key)
            words, sets = relieve.operate.text, relieve.sets
            steps.append(
                Inserted("relieve", "operate", "controls", words, own, sets=sets, place=where, energies=(key,))
            )
    return steps


def setting_step(machine: Machine, role: str, setting: Setting, values: Values, why: Why) -> Inserted:
    """A step that brings a condition to a value, or checks that it stands there already."""
    name, value = setting.condition.name, setting.value.name
    place = condition_place(machine, name)
    how = machine.conditions[name].how.get(value)
    stands = values.get(name) == frozenset((value,))
    if stands and role in ("isolate", "shut-down"):
        key = "isolate-check"
    elif how is not None:
        return Inserted(role, "operate", "controls", how.text, why, sets=(setting,), place=place)
    else:
        key = "restore" if role == "restore" else "isolate"
    text = say(key, condition=condition_name(machine, name), value=spoken(value))
    return Inserted(role, "operate", "controls", text, why, sets=(setting,), place=place)


def _placing(machine: Machine, name: str) -> str:
    place = condition_place(machine, name)
    if place:
        return say("safe-place-at", thing=condition_name(machine, name), place=place)
    return say("safe-place", thing=condition_name(machine, name))


def _lock_step(machine: Machine, setting: Setting, why: Why) -> Inserted:
    name = setting.condition.name
    lock = machine.conditions[name].lock
    called = condition_name(machine, name)
    if lock is None:
        return Inserted(
            "lock",
            "place",
            "controls",
            say("tag-only", condition=called),
            why,
            info=say("tag-only-info"),
            locks=(name,),
        )
    return Inserted(
        "lock",
        "place",
        "controls",
        say("lock", condition=called, lock=lock.text),
        why,
        info=say("lock-info"),
        locks=(name,),
    )


def _wait_step(machine: Machine, waits: tuple[Wait, ...], why: Why) -> Inserted:
    longest = max(rounded_up(wait.seconds) for wait in waits)
    info = []
    for wait in waits:
        name = energy_name(machine, wait.energy)
        if wait.kind == "capacitor":
            info.append(
                say("wait-info", Energy=capital(name), exact=number(f"{wait.seconds:.0f}\u202fs"), below=wait.below)
            )
        else:
            info.append(say(f"wait-{wait.kind}-info", Energy=capital(name)))
    energies = tuple(wait.energy for wait in waits)
    return Inserted(
        "wait",
        "wait",
        "controls",
        say("wait", time=clock(longest)),
        why._replace(energy=energies[0]),
        info=row(info),
        wait=longest,
        energies=energies,
    )


def clock(seconds: int) -> str:
    """A waiting time as printed."""
    return number(f"{seconds}\u202fs" if seconds <= 120 else f"{seconds // 60}\u202fmin")


def access_steps(machine: Machine, plan: Lockout, values: Values, why: Why) -> list[Inserted]:
    """Open the covers behind which the points of the proof lie, unless they surely stand open."""
    steps = []
    for name in plan.covers:
        condition = machine.conditions[name]
        opened = condition.values[-1]
        if values.get(name) != frozenset((opened.name,)):
            how = condition.how.get(opened.name)
            text = how.text if how is not None else say("access", condition=condition_name(machine, name))
            sets = (Setting(Ref(name), opened),)
            steps.append(
                Inserted(
                    "access",
                    "open",
                    "hands",
                    text,
                    why,
                    info=say("access-info"),
                    sets=sets,
                    place=condition_place(machine, name),
                )
            )
    return steps


def proof_steps(machine: Machine, shop: Shop, plan: Lockout, why: Why) -> list[Inserted]:
    """Prove zero: by voltmeter live-dead-live (29 CFR 1910.333(b)(2)(iv)), by gauge, by look and by try."""
    steps: list[Inserted] = []
    volts = [key for key in plan.proofs if _by_voltage(machine, key)]
    unit = shop.proving_unit.name.text if shop.proving_unit else say("tester-no-unit")
    if volts:
        steps.append(Inserted("prove", "read", "controls", say("tester-before", unit=unit), why, energies=tuple(volts)))
    for key in volts:
        steps.append(_reading(machine, key, "prove-volts", why))
    if volts:
        steps.append(Inserted("prove", "read", "controls", say("tester-after", unit=unit), why, energies=tuple(volts)))
    for key in plan.proofs:
        prove = machine.energy[key].prove
        if prove is None:
            continue
        own = why._replace(energy=key)
        if prove.measure and key not in volts:
            steps.append(_reading(machine, key, "prove-gauge", why))
        if prove.gauge is not None and not prove.measure:
            shown = say("prove-gauge-look", shown=prove.gauge.text[:1].lower() + prove.gauge.text[1:])
            steps.append(Inserted("prove", "look", "senses", shown, own, energies=(key,)))
        if prove.look is not None:
            steps.append(Inserted("prove", "look", "senses", prove.look.text, own, energies=(key,)))
        if prove.try_ is not None:
            steps.append(Inserted("prove", "operate", "controls", prove.try_.text, own, energies=(key,)))
    moving = any(
        machine.energy[key].kind.name == "motion"
        and any(setting.condition.name in machine.conditions for setting in isolation(machine, key))
        for key in plan.energies
    )
    if moving and not any(machine.energy[k].prove.try_ for k in plan.proofs):  # type: ignore[union-attr]
        steps.append(Inserted("prove", "operate", "controls", say("prove-try-default"), why, energies=plan.energies))
    return steps


def inspection(machine: Machine, batteries: Iterable[str], why: Why) -> list[Inserted]:
    """A look at each battery before hands come to it: one that is swollen, leaking or hot ends the card."""
    return [
        Inserted(
            "inspect",
            "look",
            "senses",
            say("inspect-battery", energy=energy_name(machine, key)),
            why._replace(rule="energy.battery-unsafe", energy=key),
            energies=(key,),
        )
        for key in batteries
    ]


def polarity_steps(machine: Machine, batteries: Iterable[str], why: Why) -> list[Inserted]:
    """Proof of polarity before a link or a break joins what was moved: a part the wrong way round draws an arc."""
    return [
        Inserted(
            "polarity",
            "measure",
            "probe",
            say("polarity", energy=energy_name(machine, key)),
            why._replace(rule="energy.polarity", sentence=say("polarity-why"), energy=key),
            info=say("polarity-info"),
            energies=(key,),
        )
        for key in batteries
    ]


def _by_voltage(machine: Machine, key: str) -> bool:
    prove = machine.energy[key].prove
    return prove is not None and prove.measure in ("dc-voltage", "ac-voltage")


def _reading(machine: Machine, key: str, sentence: str, why: Why) -> Inserted:
    prove = machine.energy[key].prove
    assert prove is not None
    pairs = tuple((pair[0].name, pair[1].name) for pair in prove.between if len(pair) == 2)
    below = prove.below.quantity if prove.below is not None else None
    text = number(below.text) if below is not None else "0"
    gauge = prove.gauge.text if prove.gauge is not None else spoken(prove.measure)
    command = say(sentence, energy=energy_name(machine, key), below=text, gauge=gauge)
    proof = Proof(prove.measure, pairs, str(below.value) if below else "0", below.unit.symbol if below else "", gauge)
    near = "probe" if sentence == "prove-volts" else "controls"
    return Inserted("prove", "measure", near, command, why._replace(energy=key), proof=proof, energies=(key,))
