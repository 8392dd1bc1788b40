"""The watch over logs and warnings is itself seen to turn red."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

NOISY = """
import logging
import warnings
import pytest

@pytest.fixture
def loud():
    logging.error("from a fixture")

def test_logged():
    logging.getLogger("any").warning("plainly")

def test_logged_apart():
    log = logging.getLogger("apart")
    log.propagate = False
    log.error("apart")

def test_logged_by_fixture(loud):
    pass

def test_warned():
    warnings.warn("boo")

def test_asked_in_vain(heard):
    pass

def test_asked(heard):
    logging.error("boo")
    assert heard[0].getMessage() == "boo"

def test_quiet():
    logging.getLogger("any").info("fine")
"""

COMPLAINTS = {
    "test_logged": "any: WARNING: plainly",
    "test_logged_apart": "apart: ERROR: apart",
    "test_logged_by_fixture": "root: ERROR: from a fixture",
    "test_warned": "UserWarning: boo",
    "test_asked_in_vain": "the test asks for log records, and none came",
    "test_asked": "",
    "test_quiet": "",
}


@pytest.fixture(scope="module")
def said(tmp_path_factory):
    """Runs the noisy tests under the house's own conftest and settings; gives what pytest printed."""
    folder = tmp_path_factory.mktemp("noisy")
    (folder / "conftest.py").write_text((ROOT / "tests" / "conftest.py").read_text("utf-8"), "utf-8")
    (folder / "test_noisy.py").write_text(NOISY, "utf-8")
    command = [sys.executable, "-m", "pytest", "-rA", "--color=no", "-p", "no:cacheprovider"]
    command += ["-c", str(ROOT / "pyproject.toml"), "--rootdir", str(folder), str(folder)]
    return subprocess.run(command, capture_output=True, text=True, cwd=folder).stdout


@pytest.mark.parametrize("test", COMPLAINTS)
def test_unasked_noise_fails_a_test(test, said):
    complaint = COMPLAINTS[test]
    assert re.search(rf"^{'FAILED' if complaint else 'PASSED'} \S+::{test}\b", said, re.MULTILINE), said
    assert complaint in said
