"""The runs of inserted steps: which roles each kind of run has, in which order, and what is known within one."""

from typing import NamedTuple

from benchleaf.card.proof_facts import Energy

OUT, BACK, LEAVE = "lockout", "return", "leaving"
HELD, WORN = "held", "worn"
POWER = "power"
LOCKOUT = {
    "tell": 1,
    "safe": 2,
    "shut-down": 3,
    "isolate": 4,
    "lock": 4,
    "relieve": 5,
    "wait": 6,
    "access": 7,
    "prove": 8,
}
RETURN = {"close": 1, "check": 2, "clear": 3, "restore": 5, "unlock": 5, "tell-back": 6}
LEAVING = {"tag": 1, "hand-over": 3}
NAMES = {
    "tell": "telling people",
    "safe": "making safe",
    "shut-down": "shutting down",
    "isolate": "isolating",
    "lock": "locking",
    "relieve": "relieving",
    "wait": "waiting",
    "access": "opening for the proof",
    "prove": "proving",
    "inspect": "inspecting",
    "close": "closing",
    "check": "checking that nothing is left inside",
    "clear": "seeing that everybody stands clear",
    "restore": "restoring",
    "unlock": "taking locks off",
    "tell-back": "telling people that the work is done",
    "tag": "tagging",
    "hand-over": "handing over",
}


class Run(NamedTuple):
    """How far the run of inserted steps has come, whether people know of a lockout, and which breaks are open.

    `tester`: 0, 1 tried, 2 voltage measured since. `done` are the roles of this run, `moved` what it isolated, `shut`
    the controls that it shut down, `shown` what it let go or proved of which energy, `freed` what it unlocked. `valves`
    are what letting go has moved. `tried` is what the tester was tried for, `read` what it has read since. `again` says
    why proving may begin anew: somebody else held the work up just now (HELD), or an energy may have come back (WORN).
    """

    kind: str = ""
    rank: int = 0
    tester: int = 0
    told: bool = False
    opened: frozenset[str] = frozenset()
    done: frozenset[str] = frozenset()
    moved: frozenset[str] = frozenset()
    shut: frozenset[str] = frozenset()
    shown: frozenset[tuple[str, str]] = frozenset()
    again: str = ""
    valves: frozenset[str] = frozenset()
    freed: frozenset[str] = frozenset()
    tried: frozenset[str] = frozenset()
    read: frozenset[str] = frozenset()


class Owed(NamedTuple):
    """What a lockout has to show of an energy, and let go of it, once it has moved any of the breaks."""

    energy: Energy
    breaks: frozenset[str]
    feeds: frozenset[str]
    shown: frozenset[str]
    let_go: frozenset[str]
    wears: bool
