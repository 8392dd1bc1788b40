"""Published values as test cases: each row of a module's data file, with its source and why its tolerance."""

from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

DATA = Path(__file__).parents[1] / "data"


class Published(NamedTuple):
    """One published value: what it is `of`, what it follows from, and how near a recomputation must come."""

    of: str
    id: str
    given: dict[str, Any]
    expected: Any
    within: float
    share: float
    source: str
    known: str
    why: str

    def agrees(self, value):
        """Whether a value, a list of values or a map of them comes near enough."""
        if isinstance(self.expected, dict):
            return set(value) == set(self.expected) and all(self.near(value[key], self.expected[key]) for key in value)
        if isinstance(self.expected, list):
            return len(value) == len(self.expected) and all(map(self.near, value, self.expected))
        return self.near(value, self.expected)

    def near(self, value, expected):
        return abs(value - expected) <= self.within + self.share * abs(expected) + 1e-12 * abs(expected)


def rows_of(file):
    for group in yaml.safe_load((DATA / file).read_text("utf-8")):
        for row in group["rows"]:
            told = {**group, **row}
            assert told["known"] in ("public reproduction", "from memory"), told["id"]
            assert "within" in told or "share" in told, told["id"]
            yield Published(
                told["of"],
                told["id"],
                told["given"],
                told["is"],
                told.get("within", 0.0),
                told.get("share", 0.0),
                told["source"],
                told["known"],
                told["why"],
            )


def pytest_generate_tests(metafunc):
    if "published" in metafunc.fixturenames:
        rows = list(rows_of(metafunc.module.PUBLISHED))
        metafunc.parametrize("published", rows, ids=[f"{row.of}-{row.id}" for row in rows])


@pytest.fixture
def rows(request):
    """All rows of the module's data file."""
    return list(rows_of(request.module.PUBLISHED))
