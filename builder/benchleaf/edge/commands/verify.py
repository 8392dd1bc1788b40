"""`benchleaf verify`: whether a document, a signature, a record or a short code is current, with public keys alone."""

import json
import os
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchleaf.edge import home
from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, FAULTY, Console, NotDone, UsedWrongly, visible
from benchleaf.edge.progress import Progress
from benchleaf.source.workspace import find_root

if TYPE_CHECKING:
    from benchleaf.base.finding import Finding
    from benchleaf.build.prove import Court, Said

FORMAT = "benchleaf/verdict/1"
_EXAMPLE = """THING is a workspace, a procedure (MACHINE/ID), a signature, a bench card (PDF), a checklist (HTML), a
card as data, a record, or the short code printed on a card. Without one the whole workspace is meant. Exit code 0 is
for what is current and for nothing else. The root key of a shop must be trusted once, after it was compared on another
way than the workspace came.

examples:
  benchleaf verify
  benchleaf verify out/released/rc-48/no-drive/card.pdf
  benchleaf verify "9f2a 33c1 70be"
  benchleaf verify --trust ed25519:11qYAYKxCrfVS/7TyWQHOg7hcvPapiMlrwIaaPcHURo=
"""


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    parser.add_argument("thing", nargs="?", default="", metavar="THING", help="what is to be verified")
    parser.add_argument("--in", dest="place", default="", metavar="DIR", help="the workspace that signed it")
    parser.add_argument("--root", default="", metavar="KEY", help="a root key to believe this once")
    parser.add_argument("--trust", default="", metavar="KEY", help="believe a root key from now on")
    parser.add_argument("--format", choices=("text", "json"), default="text", help="how the verdict is written")


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    from benchleaf.review.faults import Damaged, Refused

    try:
        if asked.trust:
            return _trust(asked.trust, console)
        return _verify(asked, console)
    except (Refused, Damaged) as fault:
        raise NotDone(f"{fault}.") from fault


def _trust(key: str, console: Console) -> int:
    from benchleaf.review.trust import trust

    trust(home.home(os.environ), key, home.now(os.environ))
    console.put(f"this computer believes {key} from now on.\n")
    return CLEAN


def _verify(asked: Namespace, console: Console) -> int:
    from benchleaf.build import prove
    from benchleaf.build.released import shop_name
    from benchleaf.review.trust import people_of

    root = _root(asked)
    own = home.home(os.environ)
    trust = work.guarded(lambda: people_of(root, own, shop_name(root), asked.root), Progress(console))
    if trust.people is None:
        said: tuple[Said, ...] = (prove.Said("unknown key", trust.findings[-1].sentence, findings=trust.findings),)
    else:
        court = prove.Court(root, own, trust, home.now(os.environ)[:10])
        said = work.guarded(lambda: _judged(court, asked.thing), Progress(console))
        if trust.findings:
            said = (*said, prove.Said(prove.ALTERED, trust.findings[0].sentence, findings=trust.findings))
        for finding in prove.unsigned_changes(court):
            console.say(f"{finding.span.file}: {finding.sentence}")
    _tell(said, console, asked.format)
    whole = not asked.thing or Path(asked.thing).is_dir()
    good = {prove.CURRENT, "in review", prove.NOT_RELEASED, "withdrawn"} if whole else {prove.CURRENT}
    return CLEAN if said and all(each.verdict in good for each in said) else FAULTY


def _root(asked: Namespace) -> Path:
    start = Path(os.path.abspath(asked.place or (asked.thing if os.path.exists(asked.thing) else ".")))
    root = find_root(start) or (None if asked.place else find_root(Path.cwd()))
    if root is None:
        raise UsedWrongly(f"{start} lies in no workspace; name the one that signed it: `--in DIR`")
    return root


def _judged(court: "Court", thing: str) -> "tuple[Said, ...]":
    from benchleaf.build import prove, prove_file

    if not thing or os.path.isdir(thing):
        return prove.of_workspace(court)
    if os.path.exists(thing):
        try:
            return (prove_file.of_file(court, Path(thing)),)
        except OSError as error:
            raise NotDone(f"{thing} could not be read: {(error.strerror or str(error)).lower()}.") from error
    if "/" in thing.partition(" ")[0] and "digest" not in thing:
        procedure = prove.of_workspace(court, thing)
        if procedure:
            return procedure
        raise NotDone(f"`{thing}` is no file, and no procedure of which there are signatures.")
    return (prove.of_code(court, thing),)


def _tell(said: "tuple[Said, ...]", console: Console, form: str) -> None:
    if form == "json":
        told = {"format": FORMAT, "verdicts": [_data(each) for each in said]}
        console.put(json.dumps(told, ensure_ascii=False, indent=2) + "\n")
        return
    for each in said:
        console.put(f"{each.verdict}: {visible(each.sentence)}\n")
        for finding in each.findings:
            if finding.sentence != each.sentence:
                console.put(f"  {finding.severity}: {visible(_line(finding))}\n")


def _line(finding: "Finding") -> str:
    return f"{finding.span.file}: {finding.sentence} [{finding.slug}]"


def _data(said: "Said") -> dict[str, Any]:
    return {
        "verdict": said.verdict,
        "sentence": said.sentence,
        "procedure": said.procedure,
        "revision": said.revision,
        "digest": said.digest,
        "findings": [
            {"slug": each.slug, "severity": str(each.severity), "file": each.span.file, "sentence": each.sentence}
            for each in said.findings
        ],
    }
