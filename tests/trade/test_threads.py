"""Designations of threads, classes and friction: what is read, and the nearest right thing where it is not."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.trade.bolts import class_names, hexagon_bearing, parse_class, strength
from benchleaf.trade.stripping import nut_material
from benchleaf.trade.threads import Thread, parse_thread, thread_source, threads
from benchleaf.trade.tightening import Friction, friction_words, parse_friction, scatters
from benchleaf.trade.unread import Unread

ALL = st.sampled_from(sorted(threads()))


# ISO 261 and 262 for metric, ASME B1.1 for inch designations (from memory).
@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("M10x1.5", "M10x1.5"),
        ("M10", "M10x1.5"),
        ("M10×1.25", "M10x1.25"),
        ("M10 x 1.50", "M10x1.5"),
        ("M8x1-6g", "M8x1"),
        ("M8x1-LH", "M8x1"),
        ("M8-6H LH", "M8x1.25"),
        ("M1.6", "M1.6x0.35"),
        ("M64", "M64x6"),
        ("1/2-13 UNC", "1/2-13 UNC"),
        ("1/2-13UNC-2A", "1/2-13 UNC"),
        ('1/2"-20 UNF', "1/2-20 UNF"),
        ("9/16 - 18 UNF", "9/16-18 UNF"),
        ("10-32 UNF", "#10-32 UNF"),
        ("#10-32 UNF", "#10-32 UNF"),
        ("1-1/8-7 UNC", "1 1/8-7 UNC"),
        ("1 1/8-8 UN", "1 1/8-8 UN"),
        ("1 1/8-8 8UN", "1 1/8-8 UN"),
        ("2-4.5 UNC", "2-4.5 UNC"),
    ],
)
def test_threads_that_are_read(text, designation):
    thread = parse_thread(text)
    assert isinstance(thread, Thread) and thread.designation == designation


@pytest.mark.parametrize(
    ("text", "change"),
    [
        ("1/2-13", "1/2-13 UNC"),
        ("9/16-18", "9/16-18 UNF"),
        ("1/2-13 UNF", "1/2-13 UNC"),
        ("1/2-13 unc", "1/2-13 UNC"),
        ("1/2-14 UNC", "1/2-13 UNC"),
        ("½-13 UNC", "1/2-13 UNC"),
        ("0.5-13 UNC", "1/2-13 UNC"),
        (".25-20", "1/4-20 UNC"),
        ("No. 10-32 UNF", "#10-32 UNF"),
        ("m10", "M10x1.5"),
        ("UNC 1/4-20", "1/4-20 UNC"),
        ("M6 x 1 mm", "M6x1"),
        ("ISO M8", "M8x1.25"),
        ("M10X1.25", "M10x1.25"),
        ("M10*1.25", "M10x1.25"),
        ("M10x1,25", "M10x1.25"),
        ("M5.5", "M5.5x0.5"),
    ],
)
def test_threads_of_which_one_was_meant(text, change):
    read = parse_thread(text)
    assert isinstance(read, Unread) and read.change == change
    assert text in read.sentence and change in read.mend


@pytest.mark.parametrize(
    ("text", "nearest"),
    [
        ("M10x2", ("M10x1.5", "M10x1.25", "M10x1")),
        ("M13", ("M12x1.75", "M14x2")),
        ("1/2", ("1/2-13 UNC", "1/2-20 UNF")),
        ("1-14 UNF", ("1-12 UNF",)),
        ("13/32-20 UNF", ("3/8-16 UNC", "3/8-24 UNF")),
    ],
)
def test_threads_near_others(text, nearest):
    read = parse_thread(text)
    assert isinstance(read, Unread)
    assert all(f"`{each}`" in read.mend for each in nearest)


@pytest.mark.parametrize("text", ["G1/2", "1/2 NPT", "R 3/4", "BSP 1/2"])
def test_pipe_threads_have_no_class(text):
    read = parse_thread(text)
    assert isinstance(read, Unread) and "pipe thread" in read.sentence


@given(st.text(max_size=12) | st.from_regex(r"[M#]?[0-9/ .x-]{1,8}(UN[CF])?", fullmatch=True))
def test_no_text_breaks_the_reader(text):
    read = parse_thread(text)
    assert isinstance(read, Thread) or read.sentence
    if isinstance(read, Unread) and read.change:
        assert isinstance(parse_thread(read.change), Thread)


@given(ALL)
def test_every_thread_of_the_table_reads_as_itself(designation):
    thread = threads()[designation]
    assert parse_thread(designation) == thread
    # From the crests to the roots: ISO 724, ISO 898-1.
    assert 0 < thread.root_diameter < thread.minor_diameter < thread.pitch_diameter < thread.diameter
    assert thread.root_diameter**2 < thread.stress_area * 1.274 < thread.pitch_diameter**2
    assert thread_source(thread).startswith("ASME" if thread.inch else "ISO")


def test_a_finer_thread_leaves_a_thicker_core():
    for designation, thread in threads().items():
        for other in threads().values():
            if (other.size, other.inch) == (thread.size, thread.inch) and other.pitch < thread.pitch:
                assert other.stress_area > thread.stress_area, designation


@pytest.mark.parametrize(
    ("text", "change"),
    [
        ("5", "grade 5"),
        ("Grade 8", "grade 8"),
        ("SAE J429 gr. 5", None),
        ("8,8", "8.8"),
        ("88", "8.8"),
        ("A2 70", "A2-70"),
        ("a4-80", "A4-80"),
        ("A2", None),
        ("10.8", None),
        ("hard", None),
        ("", None),
    ],
)
def test_classes_that_are_none(text, change):
    read = parse_class(text)
    assert isinstance(read, Unread) and read.change == change


def test_brass_and_stainless_say_what_stands_for_the_proof_stress():
    thread = parse_thread("M5")
    assert isinstance(thread, Thread)
    for name in ("brass", "A2-70"):
        found = strength(name, thread)
        assert not isinstance(found, Unread)
        assert (found.proof, found.proof_is) == (found.yielding, "0.2 % proof strength")
        assert "common practice, no source" in found.source


@given(st.sampled_from(class_names()), ALL)
def test_a_class_bears_less_than_it_breaks_at(name, designation):
    found = strength(name, threads()[designation])
    if not isinstance(found, Unread):
        assert 0 < found.proof <= found.yielding < found.tensile
        assert found.proof_load(100.0) < found.tensile_load(100.0)
        assert (found.standard == "SAE J429") == threads()[designation].inch


def test_friction_as_number_or_word():
    number = parse_friction("0.16")
    assert isinstance(number, Friction) and (number.low, number.k, number.high) == (0.16, 0.16, 0.16)
    for word in friction_words():
        friction = parse_friction(word)
        assert isinstance(friction, Friction)
        assert 0 < friction.low <= friction.k <= friction.high < 1 and friction.source


@pytest.mark.parametrize(
    ("text", "change"), [("oily", "oiled"), ("Oiled", "oiled"), ("0,16", "0.16"), ("1.6", None), ("wet", None)]
)
def test_friction_that_is_none(text, change):
    read = parse_friction(text)
    assert isinstance(read, Unread)
    assert read.change == change or (change is None and read.mend) or change in read.mend


def test_methods_of_tightening_scatter():
    """VDI 2230 part 1: tightening factors 1.4 to 1.6, 1.6 to 2.5 and 2.5 to 4, as (a - 1)/(a + 1); from memory."""
    for method, low, high in (("torque-tested", 1.4, 1.6), ("torque", 1.6, 2.5), ("impact", 2.5, 4.0)):
        scatter = scatters()[method]
        assert scatter.low == pytest.approx((low - 1) / (low + 1), abs=0.006)
        assert scatter.high == pytest.approx((high - 1) / (high + 1), abs=0.006)
        assert scatter.source and scatter.about


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("cast aluminium, EN AC-44200", "cast aluminium"),
        ("aluminium", "aluminium"),
        ("grey cast iron", "grey cast iron"),
        ("mild steel plate", "steel"),
        ("stainless steel", "stainless steel"),
        ("PA66", "plastic"),
        ("oak", None),
    ],
)
def test_what_a_thread_goes_into(words, name):
    material = nut_material(words)
    assert (material and material.name) == name


def test_heads_rest_on_more_than_their_hole():
    for thread in threads().values():
        bearing = hexagon_bearing(thread)
        if bearing:
            assert thread.diameter < bearing.hole < bearing.head
    metric = parse_thread("M10")
    assert isinstance(metric, Thread) and hexagon_bearing(metric) == (14.63, 11)


def test_a_fastener_may_name_every_method_of_the_table():
    schema = json.loads((Path(__file__).parents[2] / "schema" / "machine.schema.json").read_text("utf-8"))
    assert set(schema["$defs"]["fastener"]["properties"]["method"]["enum"]) == set(scatters())
