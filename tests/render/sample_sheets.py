"""The sheets of the demo's machines, and of cards of the demo, to be looked at from outside."""

from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

import yaml
from tests.render.sample_cards import CARDS

from benchleaf.build import figures
from benchleaf.build.gather import gather
from benchleaf.build.picking import picking
from benchleaf.build.request import Request, silence
from benchleaf.card.sheet_classes import sheet_classes
from benchleaf.card.sheet_isolation import isolation_sheet
from benchleaf.card.sheet_limits import limits_sheet
from benchleaf.card.sheet_machine import machine_sheet
from benchleaf.card.sheet_reading import reading_sheet
from benchleaf.card.sheet_tag import out_of_service_tag

ROOT = Path(__file__).resolve().parents[2]
TODAY = "2026-06-01"
MACHINES = ("ht-600", "pc-9", "rc-48")
KINDS = ("isolation", "tag", "machine", "limits")
JOBS = ("procedures/rc-48/motor-replace.yaml", "procedures/ht-600/yearly-service.yaml",
        "procedures/ht-600/lowering-valve-replace.yaml")  # fmt: skip


class Sample(NamedTuple):
    """A sheet with its pictures."""

    name: str
    sheet: object
    pictures: dict[str, bytes]


def written(machine):
    """The machine file as plain data, read without any of our readers."""
    text = (ROOT / "procedures" / machine / "machine.yaml").read_text("utf-8")
    # Off and on are words in the files (YAML 1.2), which the library takes for truths (YAML 1.1).
    return yaml.load(text, yaml.BaseLoader)


@cache
def shelf():
    return gather(Request(ROOT, TODAY))


@cache
def of_machine(machine):
    """The four sheets of a machine, by kind."""
    found = shelf()
    ((_, record),) = sheet_classes(found.machines[machine].record)
    shop = found.shop.record
    folder = next(each for each in found.survey.machines if each.name == machine)
    pictures = figures.contents(folder, (record.figure.file.name,))
    digests = {name: sha256(content).hexdigest() for name, content in pictures.items()}
    return {
        "isolation": Sample(f"isolation {machine}", isolation_sheet(record, shop, digests), pictures),
        "tag": Sample(f"tag {machine}", out_of_service_tag(record, shop), {}),
        "machine": Sample(f"machine {machine}", machine_sheet(record, shop, digests), pictures),
        "limits": Sample(f"limits {machine}", limits_sheet(record, shop), {}),
    }


@cache
def picking_sample():
    """The picking list of three jobs at two machines."""
    return Sample("picking", picking(Request(ROOT, TODAY, tuple(ROOT / job for job in JOBS)), silence), {})


def reading_samples():
    """The reading sheets of the sample cards."""
    return tuple(Sample(f"reading {card.id}", reading_sheet(card), {}) for card in CARDS)


def all_samples():
    """One of each kind and machine."""
    return (
        *(each for machine in MACHINES for each in of_machine(machine).values()),
        picking_sample(),
        *reading_samples(),
    )
