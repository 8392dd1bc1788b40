"""`benchleaf sign`: a person's signature over what a card says, with its meaning; and the keys that this takes."""

import os
from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from pathlib import Path

from benchleaf.edge import home
from benchleaf.edge.commands import sign_keys, sign_work, work
from benchleaf.edge.console import CLEAN, Console, NotDone, UsedWrongly
from benchleaf.edge.progress import Progress
from benchleaf.review.desk import Desk, Ink, Paper, looked_up, roles_for
from benchleaf.review.faults import Damaged, Refused
from benchleaf.review.signature import MEANINGS, RETURNED, WITHDRAWN

_EXAMPLE = """A signature says what its signer means: ready (the writer is done), reviewed, approved, returned (with
remarks on steps), withdrawn (with a reason). It is over everything that the card says, and over the figures: whatever
changes afterwards, in the procedure or in what it uses, is not signed. The signed list of people in procedures/signed
says who may sign as what, and which signatures make a release.

examples:
  benchleaf sign --new-key ~/benchleaf/key.json --label "R. Reviewer"
  benchleaf sign --people --key ~/root.json
  benchleaf sign rc-48/no-drive --meaning ready
  benchleaf sign rc-48/no-drive --meaning returned --reason "Two limits" --remark "rest-voltage=Source?"
  benchleaf sign rc-48/no-drive --meaning withdrawn --reason "The valve is recalled" --urgent
  benchleaf sign --queue
"""


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    parser.add_argument(
        "procedures", nargs="*", metavar="PROCEDURE", help="MACHINE/ID or a file; several go one by one"
    )
    parser.add_argument("--meaning", choices=MEANINGS, help="what the signature says (default: asked for)")
    parser.add_argument("--role", help="the role in which it is signed (default: the one that the rule waits for)")
    parser.add_argument("--reason", default="", help="why, for a card that is returned or withdrawn")
    parser.add_argument("--remark", action="append", default=[], metavar="STEP=TEXT", help="a remark on a step")
    parser.add_argument("--urgent", action="store_true", help="withdrawn because somebody may be hurt")
    parser.add_argument(
        "--valid-from", default="", metavar="DAY", help="the first day on which the release may be used"
    )
    parser.add_argument("--valid-until", default="", metavar="DAY", help="the last day on which it may be used")
    parser.add_argument("--tried", choices=("table-top", "machine"), help="how the card was tried out")
    parser.add_argument("--serial", default="", help="the serial number of the machine on which it was tried")
    parser.add_argument("--queue", action="store_true", help="go through all that waits for you, safety first")
    parser.add_argument(
        "--key", default="", metavar="FILE", help="your key file (default: key.json in your own folder)"
    )
    parser.add_argument("--passphrase-file", default="", metavar="FILE", help="its first line is the pass phrase")
    parser.add_argument("--new-key", default="", metavar="FILE", help="make a key and print its public half")
    parser.add_argument("--label", default="", help="whose key it is")
    parser.add_argument("--people", action="store_true", help="sign people and release rule of shop.yaml as the root")


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    try:
        if asked.new_key:
            return sign_keys.new_key(asked, console)
        root, _ = work.workspace(())
        _keys_stay_out(root, asked)
        if asked.people:
            return sign_keys.people(root, asked, console)
        return _sign(root, asked, console)
    except (Refused, Damaged) as fault:
        raise NotDone(f"{fault}.") from fault


def _keys_stay_out(root: Path, asked: Namespace) -> None:
    path = Path(os.path.realpath(asked.key or home.home(os.environ) / home.KEY))
    if path.is_relative_to(os.path.realpath(root)) and not sign_keys.published(path):
        raise UsedWrongly(f"{path} lies in the workspace; a private key never does. Move it to a folder of your own.")


def _sign(root: Path, asked: Namespace, console: Console) -> int:
    if not asked.queue and not asked.procedures:
        raise UsedWrongly("say which procedure is to be signed, or `--queue` for all that waits for you")
    if asked.queue and (asked.meaning or asked.procedures):
        raise UsedWrongly(
            "`--queue` goes through all that waits, and asks for each; it takes no procedure and no meaning"
        )
    progress = Progress(console)
    people = sign_work.believed(root, console)
    desk = sign_work.desk(root, people, asked, console)
    if asked.queue:
        return sign_work.queue(desk, asked, console, progress)
    for name in asked.procedures:
        _one(desk, name, asked, console, progress)
    return CLEAN


def _one(desk: Desk, name: str, asked: Namespace, console: Console, progress: Progress) -> None:
    meaning = asked.meaning or home.asked(f"meaning ({', '.join(MEANINGS)}):", console)
    if meaning not in MEANINGS:
        raise UsedWrongly(f"`{meaning}` is no meaning of a signature; there are {', '.join(MEANINGS)}")
    if meaning == WITHDRAWN:
        paper = sign_work.released_paper(desk, name)
    else:
        candidate = sign_work.candidate(desk, name, progress)
        sign_work.show(desk, candidate, console)
        paper = sign_work.paper(candidate, asked)
    reason = asked.reason
    if not reason and meaning in (RETURNED, WITHDRAWN):
        reason = home.asked("reason:", console)
    sign_work.put(desk, paper, _ink(desk, paper, meaning, reason, asked), console)


def _ink(desk: Desk, paper: Paper, meaning: str, reason: str, asked: Namespace) -> Ink:
    roles = roles_for(desk.signer, meaning, desk.people)
    _, where = looked_up(desk, paper.procedure)
    waiting = next((each for each in where.waiting if each.content == paper.content), None)
    wanted = [role for role in roles if waiting is None or role in waiting.missing]
    role = asked.role or next(iter((*wanted, *roles)), "")
    more = {"remarks": _remarks(asked.remark, paper)} if asked.remark else {}
    if asked.urgent:
        if meaning != WITHDRAWN:
            raise UsedWrongly("`--urgent` is for a card that is withdrawn")
        return Ink(meaning, role, reason, more={**more, "urgent": True})
    return Ink(meaning, role, reason, _day(asked.valid_from), _day(asked.valid_until), more)


def _day(text: str) -> str:
    if text and not sign_work.is_day(text):
        raise UsedWrongly(f"`{text}` is no day; write it as in 2027-03-01")
    return text


def _remarks(remarks: Sequence[str], paper: Paper) -> list[dict[str, str]]:
    known = sign_work.steps_of(paper)
    made = []
    for remark in remarks:
        step, equals, text = remark.partition("=")
        if not equals or not text.strip() or step not in known:
            raise UsedWrongly(f"`{remark}` is no remark: write STEP=TEXT with the key or the number of a step")
        made.append({"step": known[step], "text": text.strip()})
    return made
