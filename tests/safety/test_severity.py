"""How bad an energy may become, by its size and by the shop's own limits; a size that nobody knows counts as large."""

import pytest
from tests.safety.workspace import record

from benchleaf.model.machine import Machine
from benchleaf.model.quantity import make
from benchleaf.safety.thresholds import all_tightened, stricter, tightened
from benchleaf.safety.warnings import Context, Exposure, severity
from benchleaf.trade.hazards import limits

MACHINE = """format: benchleaf/machine/1
id: rig
name: rig
maker: Marram Works
serials: {{prefix: R-, from: 1}}
energy:
  e: {{{energy}}}
"""
SHOP = "format: benchleaf/shop/1\nname: shop\nthresholds: {{{own}}}\n"


def shop(own=""):
    return record(SHOP.format(own=own) if own else "format: benchleaf/shop/1\nname: shop\n", "shop")


def how_bad(energy, occasion, own=""):
    machine = record(MACHINE.format(energy=energy), "machine")
    assert isinstance(machine, Machine)
    context = Context(machine, lambda quantity: quantity.text, {}, {}, all_tightened(shop(own)))
    return severity(context, Exposure(f"{occasion}:e", "e", occasion))


@pytest.mark.parametrize(
    ("energy", "occasion", "expected"),
    [
        # 50 V: 29 CFR 1910.333(a)(1).
        ("kind: dc, highest: 49 V", "live", "slight"),
        ("kind: dc, highest: 50 V", "live", "grave"),
        ("kind: dc", "live", "grave"),
        ("kind: capacitor, highest: 24 V", "stays", "slight"),
        # The arc of a bank burns at any voltage: common practice, no source.
        ("kind: battery, highest: 12 V", "stays", "grave"),
        # ISO 13732-1, from memory.
        ("kind: heat, temperature: 55 °C", "hands", ""),
        ("kind: heat, temperature: 65 °C", "hands", "grave"),
        ("kind: heat", "hands", "grave"),
        # NIOSH lifting equation: 23 kg.
        ("kind: battery, blocks: {count: 1, cells: 6, mass: 22 kg}", "lift", ""),
        ("kind: battery, blocks: {count: 1, cells: 6, mass: 24 kg}", "lift", "slight"),
        # Jets through skin: common practice, no source.
        ("kind: hydraulic, pressure: 5 bar", "relieving", "slight"),
        ("kind: hydraulic, pressure: 160 bar", "relieving", "grave"),
        ("kind: mains, voltage: 230 V", "live", "grave"),
        ("kind: motion", "no-such-occasion", ""),
    ],
)
def test_severity_follows_from_size(energy, occasion, expected):
    assert how_bad(energy, occasion) == expected


def test_a_shop_may_be_stricter():
    assert how_bad("kind: dc, highest: 49 V", "live", "shock: 30 V") == "grave"
    assert how_bad("kind: battery, blocks: {count: 1, cells: 6, mass: 16 kg}", "lift", "lift: 15 kg") == "slight"
    assert how_bad("kind: heat, temperature: 50 °C", "hands", "burn: 48 °C") == "grave"
    assert how_bad("kind: hydraulic, pressure: 5 bar", "live", "injection: 3 bar") == "grave"
    assert tightened(shop("rest-after-charge: 2 h"), "rest-after-charge") == (7200.0, "2 h")


@pytest.mark.parametrize("name", sorted(limits()))
def test_nothing_laxer_counts(name):
    limit = limits()[name]
    laxer = {"lower": "1000", "higher": "1"}[limit.tighter]
    unit = {"temperature": "°C", "voltage": "V", "mass": "kg", "pressure": "bar", "time": "s"}[limit.dimension]
    assert tightened(shop(f"{name}: {laxer} {unit}"), name) == (limit.size, limit.text)
    assert not stricter(limit, make(1, "ohm"))
