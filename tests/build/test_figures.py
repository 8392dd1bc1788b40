"""Pictures are looked at before a card shows them."""

import pytest

from benchleaf.build import figures
from benchleaf.build.fingerprint import LARGEST
from benchleaf.source.workspace import MachineFolder

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><path d="M0 0h1v1z"/></svg>'
# The first bytes of the formats: PNG (ISO/IEC 15948, 5.2), JPEG (ISO/IEC 10918-1, B.1.1.3: SOI and the next marker).
PNG = b"\x89PNG\r\n\x1a\n" + bytes(20)
JPEG = b"\xff\xd8\xff\xe0" + bytes(20)


@pytest.fixture
def asset(tmp_path):
    def make(name, content, shown=True):
        path = tmp_path / "figures" / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(content)
        folder = MachineFolder("df-1", None, (), (path,))
        return figures.Album([folder]).assets("df-1", [f"figures/{name}"] if shown else [])[f"figures/{name}"]

    return make


@pytest.mark.parametrize(
    ("name", "content"), [("a.svg", SVG), ("a.png", PNG), ("a.jpg", JPEG), ("a.JPEG", JPEG), ("a.svg", b"\n" + SVG)]
)
def test_pictures_that_a_card_can_hold(asset, name, content):
    found = asset(name, content)
    assert (found.fault, found.size) == ("", len(content))
    assert len(found.digest) == 64


@pytest.mark.parametrize(
    ("name", "content", "fault"),
    [
        ("a.bmp", b"BM", "is no picture of a kind"),
        ("a", SVG, "is no picture of a kind"),
        ("a.png", JPEG, "does not hold what its ending .png says"),
        ("a.svg", b"", "does not hold what its ending .svg says"),
        ("a.svg", b"<?xml version='1.0'?><html/>", "is no drawing"),
        ("a.svg", SVG.replace(b"<path", b"<SCRIPT/><path"), "holds `<script`"),
        ("a.svg", b'<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "b">]>' + SVG, "holds `<!doctype`"),
        ("a.svg", SVG.replace(b"<path", b'<image href="http:'), "loads something from elsewhere"),
        ("a.png", PNG + bytes(LARGEST), "is larger than 5 MiB"),
    ],
)
def test_faults(asset, name, content, fault):
    assert asset(name, content).fault.startswith(fault)


def test_a_picture_that_nobody_shows_is_listed_and_not_opened(asset, monkeypatch):
    monkeypatch.setattr(figures, "_read", None)
    assert asset("a.svg", SVG, shown=False) == ("figures/a.svg", "", 0, "")


def test_a_name_that_leads_round_means_the_same_picture(tmp_path):
    path = tmp_path / "figures" / "a.svg"
    path.parent.mkdir()
    path.write_bytes(SVG)
    folder = MachineFolder("df-1", None, (), (path,))
    names = ("figures/a.svg", "../df-1/figures/a.svg", "../df-2/figures/a.svg", "figures/none.svg")
    assert figures.contents(folder, names) == dict.fromkeys(names[:2], SVG)
    found = figures.Album([folder]).assets("df-1", names)
    assert found[names[0]] == found[names[1]] and found.keys() == set(names[:2])
