"""What lies on the desk of `sign`: the procedures, what is shown of them, and the queue of what waits."""

import os
from argparse import Namespace
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from benchleaf.base.finding import Severity
from benchleaf.build.candidate import Candidate, beside, candidates
from benchleaf.build.candidate import shop_of as shop_file
from benchleaf.edge import home
from benchleaf.edge.commands import work
from benchleaf.edge.commands.sign_keys import key
from benchleaf.edge.console import CLEAN, Console, NotDone, UsedWrongly, visible
from benchleaf.edge.progress import Progress
from benchleaf.review import store
from benchleaf.review.desk import Desk, Ink, Paper, holder, looked_up, sign, waiting_for
from benchleaf.review.difference import compared, in_words
from benchleaf.review.faults import Refused
from benchleaf.review.people import APPROVER, People
from benchleaf.review.signature import APPROVED, READY, RETURNED, REVIEWED, content_of, short
from benchleaf.review.tally import WORDS, steps, tally
from benchleaf.review.trust import demo, people_of, remember


def believed(root: Path, console: Console) -> People:
    """The signed list of people. Raises NotDone where this computer believes none."""
    shop = work.guarded(lambda: shop_file(root, work.today()), Progress(console))
    trust = people_of(root, home.home(os.environ), str(shop.name) if shop else "")
    if trust.people is None:
        fault = trust.findings[-1]
        raise NotDone(f"{fault.span.file}: {fault.sentence} Mend: {fault.mend}.")
    return trust.people


def desk(root: Path, people: People, asked: Namespace, console: Console) -> Desk:
    """The desk with the key that was opened. Raises NotDone, Refused and Damaged."""
    now = home.now(os.environ)
    mine = key(asked, console)
    return Desk(root, home.home(os.environ), people, mine, holder(people, mine.public, now[:10]), now, demo().keys)


def candidate(desk: Desk, name: str, progress: Progress) -> Candidate:
    """The procedure that is meant by MACHINE/ID or by its file. Raises UsedWrongly and NotDone."""
    path = Path(os.path.abspath(name))
    if not path.is_file():
        path = desk.root / store.SOURCES / f"{name}.yaml"
    if not path.is_file():
        raise UsedWrongly(f"`{name}` is no procedure of this workspace; write MACHINE/ID, as in rc-48/no-drive")
    found = work.guarded(lambda: candidates(desk.root, desk.today, (path,), progress), progress)
    if len(found) != 1:
        raise UsedWrongly(f"`{name}` is no procedure")
    if not found[0].cards:
        slugs = ", ".join(sorted({error.slug for error in found[0].errors}))
        raise NotDone(f"{found[0].file} has errors ({slugs}), and what has errors can't be signed.")
    return found[0]


def paper(candidate: Candidate, asked: Namespace) -> Paper:
    """What is signed of a procedure as it stands, with what the checks say of it."""
    tried = {"tried": {"how": asked.tried, "serial": asked.serial}} if asked.tried else {}
    if asked.serial and not asked.tried:
        raise UsedWrongly("`--serial` goes with `--tried machine`")
    told = [
        {"slug": each.slug, "severity": str(each.severity), "place": f"{each.span.file}:{each.span.line}",
         "sentence": each.sentence}
        for each in candidate.findings
    ]  # fmt: skip
    more = {"findings": told, "safety": tally(candidate.cards.values()), "beside": beside(), **tried}
    return Paper(candidate.procedure, candidate.revision, candidate.cards, candidate.sources, candidate.figures, more)


def released_paper(desk: Desk, name: str) -> Paper:
    """The content that is released of a procedure, whatever its file says now. Raises Refused."""
    procedure = name.removesuffix(".yaml").replace(os.sep, "/").removeprefix(f"{store.SOURCES}/")
    _, where = looked_up(desk, procedure)
    release = where.last
    if release is None or release.withdrawn:
        raise Refused(f"nothing of {procedure} is released, and nothing can be withdrawn")
    signature = release.signatures[-1]
    more = {"beside": beside()}
    return Paper(procedure, release.revision, signature.cards, {}, {}, more, signature.figures)


def show(desk: Desk, candidate: Candidate, console: Console) -> None:
    """Tell what is about to be signed: digest, counts, open findings, and what has changed since the last release."""
    content = content_of(candidate.cards)
    _, where = looked_up(desk, candidate.procedure)
    lines = [f"{candidate.procedure} revision {candidate.revision}, digest {short(content)}"]
    counts = {severity: sum(f.severity is severity for f in candidate.findings) for severity in Severity}
    lines.append("  open findings: " + ", ".join(f"{count} {severity}" for severity, count in counts.items()))
    lines += [f"    {each.severity}: {each.sentence} [{each.slug}]" for each in candidate.findings]
    safety = tally(candidate.cards.values())
    lines.append("  safety: " + ", ".join(f"{safety[name]} {words}" for name, words in WORDS.items() if safety[name]))
    if where.last:
        changes = compared(where.last.signatures[-1].cards, candidate.cards)
        touching = [change for change in changes if change.safety]
        lines.append(
            f"  since revision {where.last.revision}: {len(touching)} differences that touch safety, "
            f"{len(changes) - len(touching)} others"
        )
        lines += [f"    {in_words(change)}" for change in touching]
    for line in lines:
        console.put(f"{visible(line)}\n")
    console.out.flush()


def put(desk: Desk, paper: Paper, ink: Ink, console: Console) -> None:
    """Sign, and say what has come of it. Raises Refused."""
    path = sign(desk, paper, ink)
    found, where = looked_up(desk, paper.procedure)
    remember(desk.home, desk.people, {paper.procedure: found.head})
    state = where.state(paper.content)
    waits = next((each.missing for each in where.waiting if each.content == paper.content), ())
    needs = f"; still to sign: {', '.join(waits)}" if waits else ""
    said = f"{ink.meaning} as {ink.role}" if ink.meaning != READY else "ready"
    told = f"{paper.procedure} {paper.revision}, digest {short(paper.content)[:12]}: {said}. It is {state}{needs}."
    console.put(f"{visible(told)}\n{path.relative_to(desk.root).as_posix()}\n")


def steps_of(paper: Paper) -> dict[str, str]:
    """Keys of all steps, by key and by number."""
    every = [step for card in paper.cards.values() for step in steps(card)]
    return {str(step["number"]): str(step["key"]) for step in every} | {str(s["key"]): str(s["key"]) for s in every}


def is_day(text: str) -> bool:
    """Whether a text is a day as in ISO 8601."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def queue(desk: Desk, asked: Namespace, console: Console, progress: Progress) -> int:
    """Go through all that waits for the signer: a yes, a no or a return for each, and never one for all."""
    found = work.guarded(lambda: candidates(desk.root, desk.today, (), progress), progress)
    waits = list(_waits(desk, found))
    if not waits:
        console.say("nothing waits for you.")
    last = ""
    for cause, each, role in waits:
        if cause != last:
            console.put(f"{visible(cause)}\n")
            last = cause
        show(desk, each, console)
        answer = home.asked(f"sign {each.procedure} as {role}? (yes, no, return)", console)
        lying = paper(each, asked)
        if answer == "yes":
            meaning = APPROVED if role == APPROVER else REVIEWED
            put(desk, lying, Ink(meaning, role), console)
        elif answer == "return":
            reason = home.asked("reason:", console)
            put(desk, lying, Ink(RETURNED, role, reason), console)
        else:
            console.say(f"{each.procedure} was left as it is.")
    return CLEAN


def _waits(desk: Desk, found: tuple[Candidate, ...]) -> Iterator[tuple[str, Candidate, str]]:
    """What waits, with what it has in common with its neighbours, and the role: most safety first."""
    rows = []
    for each in found:
        _, where = looked_up(desk, each.procedure)
        waiting = next((one for one in where.waiting if each.cards and one.content == content_of(each.cards)), None)
        role = waiting_for(desk.signer, waiting) if waiting else ""
        if not role:
            continue
        changes = compared(where.last.signatures[-1].cards, each.cards) if where.last else ()
        touching = [change for change in changes if change.safety]
        cause = touching[0].thing if touching else "without a change that touches safety" if changes else "first issue"
        rows.append((-len(touching), cause, each, role))
    worst = {cause: min(row[0] for row in rows if row[1] == cause) for _, cause, _, _ in rows}
    rows.sort(key=lambda row: (worst[row[1]], row[1], row[0], row[2].procedure))
    return ((cause, each, role) for _, cause, each, role in rows)
