"""The script that gathers fixed words, as a module."""

import importlib.util
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def loaded():
    spec = importlib.util.spec_from_file_location("refresh_wording", ROOT / "builder/scripts/refresh_wording.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


refresh_wording = loaded()
