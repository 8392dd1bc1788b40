"""Package data is found in the checkout by name and nowhere else."""

import json
from pathlib import Path

import pytest

from benchleaf.base import resources

ROOT = Path(__file__).resolve().parents[2]


def test_checkout_is_recognised() -> None:
    assert resources.checkout_root() == ROOT
    assert resources.schema_root() == ROOT / "schema"


def test_each_schema_is_named_and_read() -> None:
    names = resources.schema_names()
    assert {f"{name}.schema.json" for name in names} == {path.name for path in (ROOT / "schema").glob("*.schema.json")}
    assert names and all(json.loads(resources.schema_text(name))["$schema"] for name in names)


def test_default_theme_stands_with_the_themes() -> None:
    assert "daylight" in resources.theme_names()


def test_what_is_missing_is_an_error() -> None:
    with pytest.raises(FileNotFoundError):
        resources.schema_text("no-such")
    with pytest.raises(FileNotFoundError):
        resources.theme_file("daylight", "no-such.css")
    with pytest.raises(FileNotFoundError):
        resources.table_text("trade", "no-such.json")
