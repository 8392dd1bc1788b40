"""What a file's name gives away: whether it is read, a copy that a shared folder made, or a backup."""

import re
from collections.abc import Collection

# All but the first are needed for odd names only; `re` compiles and keeps them when they are.
_NAME = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")
_YAML = r"(?i)\.ya?ml(?![a-z0-9])"
_BACKUP = r"(?i).*(?:~|\.(?:orig|bak|old|rej|tmp|save|swp))|#.*#"
_COPY = (
    r"(?is).*(?:\(\d+\)|\([^()]*(?:conflict|copy)[^()]*\)|[ ._-]conflict(?:ed)?[ ._-].*| copy(?: \d+)?\.| - copy.*"
    r"|[.-]sync-conflict-.*)|copy of .*"
)
# Names that Windows keeps for its devices, with any ending.
_DEVICES = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}


def is_yaml(name: str) -> bool:
    """Whether a name says anywhere that the file is, or was, YAML."""
    return name.endswith(".yaml") or bool(re.search(_YAML, name))


def is_backup(name: str) -> bool:
    """Whether an editor or a merge left the file: `no-drive.yaml~`, `no-drive.yaml.orig`."""
    return not name.endswith(".yaml") and bool(re.fullmatch(_BACKUP, name))


def is_copy(name: str, stems: Collection[str]) -> bool:
    """Whether a shared folder or a hand made the file beside another: `no-drive (1).yaml`, `no-drive-LAPTOP.yaml`.

    `stems` are the names, without ending, that stand in the same folder.
    """
    if _NAME.fullmatch(name.removesuffix(".yaml")):
        return False
    if re.match(_COPY, name):
        return True
    words = re.split(_YAML, name, maxsplit=1)[0].split("-")
    return any(
        "-".join(words[:cut]) in stems and "-".join(words[cut:]) != "-".join(words[cut:]).lower()
        for cut in range(1, len(words))
    )


def complaint(stem: str) -> str:
    """What is wrong with the name of a file or folder, as a clause; empty if nothing is."""
    if stem in _DEVICES:
        return "is a name that Windows keeps for itself"
    if _NAME.fullmatch(stem):
        return ""
    return "is not made of lower-case words joined by hyphens"


def proposed(stem: str) -> str:
    """A good name like the bad one; empty if nothing is left of it."""
    name = re.sub(r"[^a-z0-9]+", "-", stem.lower()).lstrip("-0123456789").rstrip("-")
    return name if _NAME.fullmatch(name) and name not in _DEVICES else ""
