"""The demonstration: its signatures are those of its present content, and are believed nowhere else."""

import importlib.util
import json
import shutil
from pathlib import Path

import pytest
from tests.review.conftest import SHOP, people_yaml

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def script():
    spec = importlib.util.spec_from_file_location("sign_demo", ROOT / "builder" / "scripts" / "sign_demo.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def stale(script):
    """The procedures of the demonstration whose signatures are not those of their content."""
    return script.stale()


def test_the_demonstration_is_signed_as_it_stands(stale):
    assert stale == [], "run builder/scripts/sign_demo.py"


def test_the_demonstration_shows_every_state(script):
    assert len(script.RELEASED) >= 6 and script.BEFORE and script.WITHDRAWN_ONE and script.IN_REVIEW


def test_a_stale_signature_is_named(script, stale, tmp_path):
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    assert script.stale(tmp_path) == stale
    path = tmp_path / "procedures/ht-600/no-lift.yaml"
    path.write_text(
        path.read_text("utf-8").replace("title: ", "title: Again: ", 1).replace("Again: ", "Again "), "utf-8"
    )
    assert "ht-600/no-lift" in script.stale(tmp_path)


def test_its_pass_phrase_opens_its_keys(script, bench, monkeypatch):
    """Signed with the key files as they lie there, in the demonstration."""
    shutil.rmtree(bench.root)
    shutil.copytree(ROOT / "procedures", bench.root / "procedures")
    shutil.copytree(ROOT / "tests/review/demo_keys", bench.root / "keys")
    monkeypatch.chdir(bench.root)
    key = ("--key", "keys/m-sedge.json", "--passphrase-file", "keys/phrase")
    ran = bench.run("sign", "pc-9/sensor-adjust", "--meaning", "ready", *key, day="2026-10-01")
    assert ran.code == 0 and "It is in review" in ran.out, ran.err
    told = bench.run("verify", "--format", "json", day="2026-10-01")
    assert "The keys are those of the demonstration, and prove nothing." in told.out


def test_its_keys_count_in_no_other_shop(script, bench):
    """Neither its root key, nor a key of its people on a list that another root signed."""
    shutil.copy(ROOT / "tests/review/demo_keys/root.json", bench.keys / "demo-root.json")
    phrase = ("--passphrase-file", str(ROOT / "tests/review/demo_keys/phrase"))
    refused = bench.run("sign", "--people", "--key", str(bench.keys / "demo-root.json"), *phrase)
    assert refused.code == 3 and "nothing but the demonstration" in refused.err
    refused = bench.run("verify", "--trust", script.key("root").public)
    assert refused.code == 3 and "never believed elsewhere" in refused.err
    bench.edit(people_yaml().partition("key: '")[2].partition("'")[0], script.key("m-sedge").public, SHOP)
    assert bench.list_people("2026-02-02").code == 0
    key = ("--key", str(ROOT / "tests/review/demo_keys/m-sedge.json"))
    assert bench.run("sign", "df-1/filter-clean", "--meaning", "ready", *key, *phrase).code == 0
    told = json.loads(bench.run("verify", "--format", "json").out)["verdicts"]
    assert [each["verdict"] for each in told] == ["not released"]
    assert [finding["slug"] for finding in told[0]["findings"]] == ["approval.key-not-valid"]


def test_a_copied_list_of_the_demonstration_is_not_believed_in_another_shop(script, bench):
    shutil.rmtree(bench.root / "procedures/signed")
    shutil.copytree(ROOT / "procedures/signed", bench.root / "procedures/signed")
    told = bench.run("verify", "--format", "json")
    assert told.code == 1 and "approval.root-not-trusted" in told.out
