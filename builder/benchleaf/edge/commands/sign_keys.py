"""Keys and the list of people: what has to be there before anybody can sign."""

import os
from argparse import Namespace
from pathlib import Path

from benchleaf.build.candidate import shop_of, typed
from benchleaf.card.digest import of_bytes
from benchleaf.edge import home
from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, Console, NotDone, UsedWrongly
from benchleaf.edge.progress import Progress
from benchleaf.review import store
from benchleaf.review.chain import chain
from benchleaf.review.envelope import opened as envelope
from benchleaf.review.envelope import seal
from benchleaf.review.faults import Damaged, Refused
from benchleaf.review.keys import SigningKey, label, opened, sealed
from benchleaf.review.people import rule, to_statement
from benchleaf.review.trust import demo
from benchleaf.source.workspace import find_root

_SHORTEST = 8


def new_key(asked: Namespace, console: Console) -> int:
    """Make a key file that nobody else can read, and print its public half."""
    path = Path(os.path.abspath(asked.new_key))
    if find_root(path.parent):
        raise UsedWrongly(f"{path} would lie in a workspace; a private key never does. Name a folder of your own.")
    if not asked.label:
        raise UsedWrongly("say whose key it is: `--label NAME`")
    phrase = home.secret("pass phrase for the new key:", asked.passphrase_file, console)
    if len(phrase) < _SHORTEST:
        raise NotDone(f"a pass phrase has at least {_SHORTEST} characters; four words by chance are better.")
    if not asked.passphrase_file and home.secret("once more:", "", console) != phrase:
        raise NotDone("the two pass phrases differ; no key was made.")
    content = sealed(asked.label, phrase)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as stream:
            stream.write(content)
            os.fsync(stream.fileno())
    except FileExistsError:
        raise NotDone(f"{path} exists; a key is never overwritten.") from None
    except OSError as error:
        raise NotDone(f"{path} could not be written: {(error.strerror or str(error)).lower()}.") from error
    console.put(f"{label(content).public}\n")
    console.say(
        "this is the public half. A person's stands under `keys` in shop.yaml, in the list that the root key signs; "
        "that of a root key is what others trust with `benchleaf verify --trust`."
    )
    return CLEAN


def published(path: Path) -> bool:
    """Whether a file holds a key of the demonstration, which is no secret."""
    try:
        return label(path.read_bytes()).public in demo().keys
    except (OSError, Damaged):
        return False


def key(asked: Namespace, console: Console) -> SigningKey:
    """The key that the command line names, opened with its pass phrase. Raises NotDone, Damaged and Refused."""
    path = Path(asked.key or home.home(os.environ) / home.KEY)
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        raise NotDone(f"there is no key {path}; make one with `benchleaf sign --new-key FILE`.") from None
    except OSError as error:
        raise NotDone(f"{path} could not be read: {(error.strerror or str(error)).lower()}.") from error
    whose = label(content).label
    return opened(content, home.secret(f"pass phrase of {whose}:", asked.passphrase_file, console))


def people(root: Path, asked: Namespace, console: Console) -> int:
    """Sign people and release rule of shop.yaml with the root key, and how far each chain has come."""
    shop = work.guarded(lambda: shop_of(root, work.today()), Progress(console))
    if shop is None:
        raise NotDone("procedures/shop.yaml has errors; `benchleaf check procedures/shop.yaml` says which.")
    if not shop.people:
        raise NotDone("procedures/shop.yaml names no people; add `people` with name, roles and keys.")
    data = typed(shop)
    rule(data["release"])
    mine = key(asked, console)
    known = demo()
    if mine.public in known.keys and str(shop.name) != known.shop:
        raise Refused(
            "this is a key of the demonstration, which anybody can use; it signs nothing but the demonstration"
        )
    before = store.people(root)
    if before.files:
        first = envelope(before.files[0].content).key
        if first != mine.public:
            raise Refused(f"the list of people here is signed with {first}, and this is another key")
    previous = of_bytes(before.files[-1].content) if before.files else ""
    heads = {name: chain(root, name).head for name in store.procedures(root)}
    number = len(before.files) + 1
    said = to_statement(str(shop.name), number, previous, home.now(os.environ), data, heads)
    path = store.keep_people(root, number, seal(said, mine))
    console.put(f"{path.relative_to(root).as_posix()}: {len(shop.people)} people, root key {mine.public}\n")
    console.say("tell the root key to those who verify; they trust it with `benchleaf verify --trust KEY`.")
    return CLEAN
