"""What this computer believes and remembers outside any workspace: root keys, and how far it has seen each chain.

Both lie in a folder of the person's own, which whoever edits the workspace can't reach: a root key that was put into
shop.yaml proves nothing, and a signature that was here yesterday and is gone today is missed.
"""

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.resources import table_text
from benchleaf.base.span import Span
from benchleaf.card.digest import of_bytes
from benchleaf.review import rules, store
from benchleaf.review.chain import Chain
from benchleaf.review.envelope import opened
from benchleaf.review.faults import Damaged, Refused
from benchleaf.review.keys import public_bytes
from benchleaf.review.people import People, read

ROOTS, SEEN = "roots.json", "seen.json"


class Demo(NamedTuple):
    """The published keys of the demonstration, with the only shop in which they count."""

    shop: str
    root: str
    keys: frozenset[str]


class Trust(NamedTuple):
    """The list of people of a workspace that this computer believes (None: it believes none), and why not."""

    people: People | None
    findings: tuple[Finding, ...]
    demonstration: bool = False


def demo() -> Demo:
    """The published keys."""
    data = json.loads(table_text("review", "demo.json"))
    return Demo(data["shop"], data["root"], frozenset((data["root"], *data["keys"])))


def roots(home: Path) -> tuple[str, ...]:
    """The root keys that this computer believes. Refused where the file is damaged."""
    return tuple(_load(home / ROOTS))


def trust(home: Path, root: str, note: str) -> None:
    """Believe a root key from now on. Damaged for what is no key; Refused where that can't be written."""
    public_bytes(root)
    if root in demo().keys:
        raise Refused("this is a key of the demonstration, which anybody can use; it is never believed elsewhere")
    _save(home / ROOTS, {**_load(home / ROOTS), root: note})


def people_of(root: Path, home: Path | None, shop: str, extra: str = "") -> Trust:
    """The signed list of people of the workspace at `root`; `shop` is its name, `extra` a root key to believe as well.

    Without a `home` only the demonstration is believed.

    Raises Refused.
    """
    found = store.people(root)
    strays = tuple(rules.STRAY.at(Span(file), "This is no list of people under its own name.") for file in found.strays)
    if not found.files:
        sentence = "No list of people is signed here, so that nothing can be released."
        return Trust(None, (*strays, rules.PEOPLE_NOT_SIGNED.at(Span("procedures/shop.yaml"), sentence)))
    last = found.files[-1]
    try:
        people = read([(opened(each.content), of_bytes(each.content)) for each in found.files])
        if [each.number for each in found.files] != list(range(1, len(found.files) + 1)):
            raise Damaged("a list of people is missing")
    except Damaged as fault:
        return Trust(None, (*strays, rules.DAMAGED.at(Span(last.file), f"The list of people does not count: {fault}.")))
    known = demo()
    demonstration = people.root == known.root and shop == people.shop == known.shop
    if not demonstration and (people.root in known.keys or people.root not in (*(roots(home) if home else ()), extra)):
        sentence = f"This computer does not believe the root key {people.root} that signed the list of people."
        return Trust(None, (*strays, rules.ROOT_NOT_TRUSTED.at(Span(last.file), sentence)))
    cut = home is not None and _cut(
        home, people, "people", people.number, people.digest, [of_bytes(each.content) for each in found.files]
    )
    if cut:
        return Trust(None, (*strays, rules.CUT.at(Span(last.file), "A later list of people was here and is gone.")))
    return Trust(people, strays, demonstration)


def expected(home: Path, people: People) -> frozenset[str]:
    """The procedures of which this computer or the signed list has seen signatures, as machine/id."""
    seen = _load(home / SEEN).get(people.root, {}) if people.root not in demo().keys else {}
    return frozenset(name for name in (*people.heads, *seen) if name != "people")


def missed(home: Path, people: People, chain: Chain) -> tuple[Finding, ...]:
    """What this computer or the signed list has seen of a chain and is here no more."""
    digests = [each.digest for each in chain.signatures]
    number, digest = people.heads.get(chain.procedure, (0, ""))
    listed = number and (len(digests) < number or digests[number - 1] != digest)
    if not listed and not _cut(home, people, chain.procedure, *chain.head, digests):
        return ()
    place = chain.signatures[-1].file if chain.signatures else f"procedures/{chain.procedure}.yaml"
    return (
        rules.CUT.at(Span(place), f"Signatures of {chain.procedure} that were here are gone, or others stand there."),
    )


def remember(home: Path, people: People, heads: Mapping[str, tuple[int, str]]) -> None:
    """Keep how far the list and the chains have come. A folder that can't be written keeps nothing."""
    if people.root in demo().keys:
        return
    seen = _load(home / SEEN)
    mine = dict(seen.get(people.root, {}))
    mine |= {"people": [people.number, people.digest]} | {name: list(head) for name, head in heads.items() if head[0]}
    if mine != seen.get(people.root):
        with suppress(Refused):
            _save(home / SEEN, {**seen, people.root: mine})


def _cut(home: Path, people: People, name: str, number: int, digest: str, digests: list[str]) -> bool:
    """Whether what was seen last is not among what is here; the demonstration is made anew with each version."""
    if people.root in demo().keys:
        return False
    seen_number, seen = _load(home / SEEN).get(people.root, {}).get(name, (0, ""))
    return bool(seen_number) and (number < seen_number or digests[seen_number - 1] != seen)


def _load(path: Path) -> dict[str, Any]:
    try:
        data = json.loads(path.read_bytes())
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as error:
        raise Refused(f"{path} could not be read: {error}") from error
    if not isinstance(data, dict):
        raise Refused(f"{path} is damaged")
    return data


def _save(path: Path, data: Mapping[str, Any]) -> None:
    draft = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        draft.write_text(json.dumps(data, indent=1) + "\n", "utf-8")
        os.replace(draft, path)
    except OSError as error:
        raise Refused(f"{path} could not be written: {error.strerror}") from error
