"""Every path of every demo card, walked as an honest technician would; what stands on it, in which order."""

import pytest
from tests.safety.walker import unprotected, walks
from tests.safety.workspace import demo_names, plan_of_demo

from benchleaf.build.rules import all_rules
from benchleaf.model.flow import outcome_of
from benchleaf.safety.reasons import reasons

# In time order: notify, shut down, isolate, lock, relieve, verify: 29 CFR 1910.147(d)(1) to (6), (c)(9).
LOCK_ORDER = ["tell", "safe", "shut-down", "isolate", "lock", "relieve", "wait", "access", "prove", "inspect"]
# 1910.147(e): inspect, clear people, remove devices, restore; then tell people: (e)(2)(ii).
POWER_ORDER = ["close", "check", "clear", "unlock", "restore", "tell-back"]


@pytest.mark.parametrize("name", demo_names())
def test_no_hands_before_locks_and_proof_on_any_path(name: str) -> None:
    assert unprotected(plan_of_demo(name)) == []


@pytest.mark.parametrize("name", demo_names())
def test_blocks_stand_in_the_order_of_the_law(name: str) -> None:
    for section in plan_of_demo(name).plan.sections:
        order = {"isolation": LOCK_ORDER, "power": POWER_ORDER}.get(section.kind)
        if order is None:
            continue
        roles = [step.inserted.role for step in section.steps if step.inserted]
        # Each isolator is moved and locked in turn, and restored in turn.
        flat = ["isolate" if role == "lock" else "restore" if role == "unlock" else role for role in roles]
        places = [order.index(role) for role in flat]
        if section.kind == "isolation":
            assert places == sorted(places), (name, roles)
            assert all(roles[at - 1] == "isolate" for at, role in enumerate(roles) if role == "lock")
        else:
            moves = [at for at, role in enumerate(roles) if role in ("unlock", "restore")]
            assert roles.index("clear") < min(moves), roles
            assert "unlock" not in roles or roles[-1] == "tell-back", roles


@pytest.mark.parametrize("name", demo_names())
def test_each_voltage_proof_is_live_dead_live_to_every_pair(name: str) -> None:
    # 29 CFR 1910.333(b)(2)(iv)(B): the tester is tried before and after; done here at every voltage.
    planned = plan_of_demo(name)
    steps = planned.steps
    for place, step in enumerate(steps):
        proof = step.inserted.proof if step.inserted else None
        if proof is None or proof.measure not in ("dc-voltage", "ac-voltage"):
            continue
        prove = planned.case.machine.energy[step.inserted.energies[0]].prove
        assert prove is not None
        assert set(proof.pairs) == {(pair[0].name, pair[1].name) for pair in prove.between}
        around = [steps[place + gap].inserted for gap in (-2, -1, 1, 2) if 0 <= place + gap < len(steps)]
        tried = [each for each in around if each is not None and each.role == "prove" and each.action == "read"]
        assert tried, "no trial of the tester beside the proof"
        assert any(outcome_of(way.to) == "not-zero" for way in step.ways), "a proof without a second exit"


@pytest.mark.parametrize("name", demo_names())
def test_every_warning_comes_first_on_every_path_and_none_twice_in_a_row(name: str) -> None:
    planned = plan_of_demo(name)
    steps = {step.key: step for step in planned.steps}
    for step in planned.steps:
        for warned in step.warnings:
            assert warned.why.rule.startswith("energy.")
            assert warned.why.sentence
            assert warned.hazard and warned.consequence and warned.avoidance
            # ANSI Z535.6: danger will, warning could, result in death or serious injury; from memory.
            assert warned.word in ("danger", "warning", "caution", "notice")
        followers = [steps[way.to] for way in step.ways if way.to in steps and way.to != step.key]
        for after_it in followers:
            if len([s for s in planned.steps if any(w.to == after_it.key for w in s.ways)]) == 1:
                again = {w.key for w in step.warnings} & {w.key for w in after_it.warnings}
                assert not again, f"{again} warned of twice running"


def test_the_walk_meets_hands_that_need_locks() -> None:
    """The walk above would pass over an empty set of steps."""
    protected = [
        key
        for name in demo_names()
        for key, here in walks(plan_of_demo(name)).items()
        if any(each.locked and each.proved for each in here)
    ]
    assert len(protected) > 20


def test_the_demo_warns_and_locks_at_all() -> None:
    plans = [plan_of_demo(name).plan for name in demo_names()]
    assert any(section.kind == "isolation" for plan in plans for section in plan.sections)
    assert any(step.warnings for plan in plans for section in plan.sections for step in section.steps)


@pytest.mark.parametrize("name", demo_names())
def test_every_reason_on_a_card_can_be_explained(name: str) -> None:
    for step in plan_of_demo(name).steps:
        whys = [warned.why for warned in step.warnings] + ([step.inserted.why] if step.inserted else [])
        assert {why.rule for why in whys} <= set(reasons())


def test_no_reason_has_the_slug_of_a_finding() -> None:
    assert not set(reasons()) & {rule.slug for rule in all_rules()}
