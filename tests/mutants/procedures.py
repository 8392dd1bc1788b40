"""What can go wrong with a procedure while it is written: each operator gives the mutants of one, with their place."""

import random
from collections.abc import Callable, Iterator
from typing import Any

from benchleaf.model.actions import actions
from benchleaf.model.basics import Ref, Words
from benchleaf.model.procedure import Leads, Live, Procedure

Mutant = tuple[str, Procedure]
TWO = "change two things at once"
SEED = 7
# So many pairs of changes are drawn for each procedure.
PAIRS = 6
CLOSING = ("close", "fit", "connect", "tighten", "fill")
NAMED = ("clean", "remove", "fit", "swap", "adjust", "loosen", "tighten", "grease", "open", "close")


def with_step(procedure: Procedure, place: int, **changes: Any) -> Procedure:
    steps = list(procedure.steps)
    steps[place] = steps[place]._replace(**changes)
    return procedure._replace(steps=tuple(steps))


def without(procedure: Procedure, at: int) -> Procedure:
    return procedure._replace(steps=(*procedure.steps[:at], *procedure.steps[at + 1 :]))


def moved(procedure: Procedure, at: int, to: int) -> Procedure:
    steps = list(procedure.steps)
    steps.insert(to, steps.pop(at))
    return procedure._replace(steps=tuple(steps))


def on(test: Callable[[Any], bool], change: Callable[[Procedure, int], Procedure]) -> Callable[..., Iterator[Mutant]]:
    """An operator that changes each step of some sort."""

    def mutants(procedure: Procedure) -> Iterator[Mutant]:
        for at, step in enumerate(procedure.steps):
            if test(step):
                yield f"step {at + 1}", change(procedure, at)

    return mutants


def hands(step: Any) -> bool:
    return actions().get(step.action.name) == "hands"


def said(step: Any, action: str) -> dict[str, Any]:
    """The same work told as something done from afar."""
    words = f"{step.action.name.capitalize()} the {step.object.text.replace('-', ' ')}."
    return {"action": Ref(action, step.action.span), "object": Words(words, step.object.span)}


def drop_initial(procedure: Procedure) -> Iterator[Mutant]:
    for at, setting in enumerate(procedure.initial):
        yield setting.condition.name, procedure._replace(initial=procedure.initial[:at] + procedure.initial[at + 1 :])


def drop_final(procedure: Procedure) -> Iterator[Mutant]:
    for at, setting in enumerate(procedure.final):
        yield setting.condition.name, procedure._replace(final=procedure.final[:at] + procedure.final[at + 1 :])


def jump(procedure: Procedure) -> Iterator[Mutant]:
    """Past the next step, to the one behind it."""
    for at in range(len(procedure.steps) - 2):
        there = procedure.steps[at + 2]
        if procedure.steps[at].action.name in ("insert", "ask", "measure") or procedure.steps[at].then:
            continue
        name = there.id.name if there.id else f"there-{at + 2}"
        target = with_step(procedure, at + 2, id=there.id or Ref(name, there.span))
        yield f"step {at + 1}", with_step(target, at, then=Leads(there.span, go=Ref(name, there.span)))


def all_live(procedure: Procedure) -> Iterator[Mutant]:
    for at, step in enumerate(procedure.steps):
        if hands(step):
            live = Live(step.span, (Ref("bus"), Ref("mains"), Ref("pack")), Ref("infeasible"), Words("It is quicker."))
            yield f"step {at + 1}", with_step(procedure, at, live=live)


def leave_ready(procedure: Procedure) -> Iterator[Mutant]:
    for name, outcome in procedure.outcomes.items():
        if outcome.leave == "out-of-service":
            yield name, procedure._replace(outcomes={**procedure.outcomes, name: outcome._replace(leave="as-final")})


def answer_next(procedure: Procedure) -> Iterator[Mutant]:
    for at, step in enumerate(procedure.steps):
        for side in ("below", "above", "outside", "otherwise"):
            lead = getattr(step, side)
            if lead is not None:
                yield f"step {at + 1} {side}", with_step(procedure, at, **{side: Leads(lead.span, way="next")})


def answers_back(procedure: Procedure) -> Iterator[Mutant]:
    """A question's last answer leads back to the first step."""
    first = procedure.steps[0]
    begun = with_step(procedure, 0, id=first.id or Ref("the-first", first.span))
    for at, step in enumerate(begun.steps):
        if at and step.answers:
            name = list(step.answers)[-1]
            back = Leads(step.span, go=begun.steps[0].id, at_most=1)
            yield f"step {at + 1}", with_step(begun, at, answers={**step.answers, name: back})


def answers_swapped(procedure: Procedure) -> Iterator[Mutant]:
    """The first two answers of a question lead where the other does."""
    for at, step in enumerate(procedure.steps):
        if len(step.answers) > 1:
            one, two = list(step.answers)[:2]
            leads = {**step.answers, one: step.answers[two], two: step.answers[one]}
            yield f"step {at + 1}", with_step(procedure, at, answers=leads)


def done_twice(procedure: Procedure) -> Iterator[Mutant]:
    """Work with hands is done once more behind everything else."""
    for at, step in enumerate(procedure.steps):
        if hands(step) and step.then is None:
            again = step._replace(id=None)
            yield f"step {at + 1}", procedure._replace(steps=(*procedure.steps[:-1], again, procedure.steps[-1]))


def two_at_once(procedure: Procedure) -> Iterator[Mutant]:
    """Two of the changes above, one after the other, drawn by chance."""
    drawn = random.Random(f"{SEED} {procedure.id.name}")
    names = [name for name in OPERATORS if name != TWO]
    for _ in range(PAIRS):
        first, second = drawn.sample(names, 2)
        one = list(OPERATORS[first](procedure))
        place, changed = drawn.choice(one) if one else ("", procedure)
        two = list(OPERATORS[second](changed))
        if one and two:
            after, both = drawn.choice(two)
            yield f"{first}, {place}; {second}, {after}", both


OPERATORS: dict[str, Callable[[Procedure], Iterator[Mutant]]] = {
    "drop a requirement of `initial`": drop_initial,
    "turn hands into controls": on(
        lambda s: hands(s) and s.action.name in NAMED and " " not in s.object.text,
        lambda p, at: with_step(p, at, **said(p.steps[at], "operate")),
    ),
    "turn hands into senses": on(
        lambda s: hands(s) and s.action.name in NAMED and " " not in s.object.text,
        lambda p, at: with_step(p, at, **said(p.steps[at], "look")),
    ),
    "jump past a step": jump,
    "cut a final state": drop_final,
    "drop `at`": on(lambda s: s.at is not None, lambda p, at: with_step(p, at, at=None)),
    "skip a take": on(lambda s: s.action.name == "take", without),
    "skip a place": on(lambda s: s.action.name == "place", without),
    "skip what closes": on(lambda s: s.action.name in CLOSING, without),
    "skip what opens": on(lambda s: s.action.name in ("open", "remove", "loosen", "disconnect"), without),
    "close early": on(
        lambda s: s.action.name in CLOSING, lambda p, at: moved(p, at, max(0, at - 1)) if at else without(p, at)
    ),
    "work before its block": on(hands, lambda p, at: moved(p, at, 0)),
    "work after its block": on(hands, lambda p, at: moved(p, at, len(p.steps) - 1)),
    "skip what moves a control": on(lambda s: s.action.name == "operate" and bool(s.sets), without),
    "drop what a step sets": on(lambda s: bool(s.sets), lambda p, at: with_step(p, at, sets=())),
    "drop the right to live work": on(lambda s: s.live is not None, lambda p, at: with_step(p, at, live=None)),
    "claim live work": all_live,
    "drop `access`": on(lambda s: s.access, lambda p, at: with_step(p, at, access=False)),
    "claim `access`": on(lambda s: hands(s) and not s.access, lambda p, at: with_step(p, at, access=True)),
    "want power on": on(
        lambda s: s.power != "on" and (hands(s) or s.action.name == "measure"),
        lambda p, at: with_step(p, at, power="on"),
    ),
    "want power either way": on(
        lambda s: not s.power and (hands(s) or s.action.name == "measure"),
        lambda p, at: with_step(p, at, power="either"),
    ),
    "drop what power a step wants": on(lambda s: bool(s.power), lambda p, at: with_step(p, at, power="")),
    "leave ready what must stay locked": leave_ready,
    "go on after a bad answer": answer_next,
    "lead an answer back": answers_back,
    "drop a hold": on(lambda s: s.hold is not None, lambda p, at: with_step(p, at, hold=None)),
    "drop what is done meanwhile": on(lambda s: s.while_ is not None, lambda p, at: with_step(p, at, while_=None)),
    "keep together what a lockout parts": on(lambda s: not s.together, lambda p, at: with_step(p, at, together="next")),
    "swap two steps": on(lambda s: s.then is None, lambda p, at: moved(p, at, min(at + 1, len(p.steps) - 1))),
    "drop a test of a bypassed device": on(lambda s: bool(s.tests), lambda p, at: with_step(p, at, tests=())),
    "swap two answers": answers_swapped,
    "do it once more": done_twice,
    TWO: two_at_once,
    "skip a wait": on(lambda s: s.action.name == "wait", without),
}
