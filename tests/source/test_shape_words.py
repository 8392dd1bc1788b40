"""Where a file has not the shape of its kind: what is said, where, and what is proposed."""

import copy
import json

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.base.resources import schema_text
from benchleaf.source.rules_shape import RULES
from benchleaf.source.shape import KINDS, check
from benchleaf.source.tree import read

PROCEDURE = """\
format: benchleaf/procedure/1
id: no-drive
title: Powers up but will not drive
kind: inspection
machine: rc-48
revision: C
changed: {kind: technical, reason: First issue.}
purpose: Find the fault.
crew: {technician: any}
outcomes: {good: {text: It works.}}
"""
STEPS = "steps:\n  - open: deck\n"
MACHINE = """\
format: benchleaf/machine/1
id: rc-48
name: RC-48 row carrier
maker: Marram Works
serials: {prefix: RC48-, from: 400}
"""
SHOP = "format: benchleaf/shop/1\nname: Marram Works service\n"


def told(text, kind):
    node, findings = read(text, "a.yaml")
    assert findings == ()
    assert node is not None
    return check(node, kind)


def one(text, kind):
    (finding,) = told(text, kind)
    return finding


def place(finding, text):
    """The text at a finding's place, with its line."""
    span = finding.span
    assert span.line == span.end_line
    return span.line, text.split("\n")[span.line - 1][span.column - 1 : span.end_column - 1]


def step(*lines):
    return PROCEDURE + "steps:\n  - " + "\n    ".join(lines) + "\n"


@pytest.mark.parametrize(("text", "kind"), [(PROCEDURE + STEPS, "procedure"), (MACHINE, "machine"), (SHOP, "shop")])
def test_right_files_are_silent(text, kind):
    assert told(text, kind) == ()


# What is missing


def test_missing_field_says_what_it_is_for():
    text = PROCEDURE.replace("kind: inspection", "kind: fault-finding") + STEPS
    finding = one(text, "procedure")
    assert finding.slug == "source.missing-field"
    assert finding.sentence == (
        "`complaint` is missing, which `kind: fault-finding` needs: what the user of the machine complains of."
    )
    assert place(finding, text) == (1, "format")


def test_missing_field_is_told_at_the_key_that_holds_the_map():
    text = SHOP + "meters:\n  meter-1:\n    name: bench multimeter\n"
    finding = one(text, "shop")
    assert (finding.slug, place(finding, text)) == ("source.missing-field", (4, "meter-1"))
    assert finding.sentence.startswith("`ranges` is missing: ")


def test_missing_field_in_a_list_is_told_at_the_first_key():
    text = PROCEDURE + STEPS + "references:\n  - document: MW-0040\n"
    finding = one(text, "procedure")
    assert (finding.slug, place(finding, text)) == ("source.missing-field", (14, "document"))
    assert finding.mend.startswith("add `edition: ")


def test_field_without_its_companion():
    text = step("look: Is the lead whole?", "meter: meter-1")
    finding = one(text, "procedure")
    assert (finding.slug, place(finding, text)) == ("source.missing-field", (13, "meter"))
    assert finding.sentence.startswith("`meter` needs `measure` beside it: ")


def test_limit_without_a_form():
    text = MACHINE + "limits:\n  rest: {measure: dc-voltage}\n"
    finding = one(text, "machine")
    assert (finding.slug, place(finding, text)) == ("source.incomplete", (7, "rest"))


# What is too much


@pytest.mark.parametrize(
    ("text", "wrong", "right"),
    [
        (PROCEDURE.replace("title:", "titel:") + STEPS, "titel", "title"),
        (PROCEDURE.replace("kind: tech", "knd: tech") + STEPS, "knd", "kind"),
        (PROCEDURE + STEPS.replace("steps", "stepps"), "stepps", "steps"),
        (step("measure: rest", "betwen: [A, B]"), "betwen", "between"),
        (step("measure: rest", "too-close: next"), "too-close", "too_close"),
    ],
)
def test_misspelt_field_is_told_alone_with_the_right_name(text, wrong, right):
    """That the right one is missing would only be said twice."""
    finding = one(text, "procedure")
    assert (finding.slug, finding.change) == ("source.unknown-field", right)
    assert place(finding, text)[1] == wrong
    assert finding.mend == f"write `{right}`"


def test_unknown_field_far_from_all_others():
    finding = one(PROCEDURE + STEPS + "weather: fine\n", "procedure")
    assert finding.sentence == "`weather` is no field of a procedure file."
    assert finding.change is None


def test_space_missing_behind_a_colon():
    text = PROCEDURE.replace("kind: technical,", "kind:technical,") + STEPS
    finding = one(text, "procedure")
    assert finding.sentence == "After the colon in `kind:technical` a space is missing."
    assert finding.change == "kind: technical"


def test_text_cut_at_its_comma():
    text = MACHINE + "parts:\n  pump: {name: pump, place: left, under the cap, mass: 3 kg}\n"
    finding = one(text, "machine")
    assert finding.slug == "source.unknown-field"
    assert place(finding, text) == (7, "under the cap")
    assert "A comma ends the text before it" in finding.sentence
    assert finding.related[0].span.column == text.split("\n")[6].index("left") + 1


def test_fields_that_exclude_each_other_are_told_once_at_the_later_one():
    text = MACHINE + "limits:\n  rest: {measure: dc-voltage, drop: {from: a, at_most: 2 V}, low: 5 V}\n"
    finding = one(text, "machine")
    assert (finding.slug, place(finding, text)) == ("source.excluded-field", (7, "low"))
    assert finding.sentence == "`low` cannot stand beside `drop`: a limit has one form."
    assert finding.mend == "write a limit of its own for this one"
    assert finding.related[0].span.column == text.split("\n")[6].index("drop") + 1


def test_misspelt_form_of_a_limit_is_told_alone():
    finding = one(MACHINE + "limits:\n  rest: {measure: dc-voltage, lwo: 5 V}\n", "machine")
    assert (finding.slug, finding.change) == ("source.unknown-field", "low")


def test_what_depends_on_fields_that_exclude_each_other_is_not_asked_for():
    text = MACHINE + "limits:\n  rest: {measure: dc-voltage, high: 6 V, tolerance: 5 %}\n"
    finding = one(text, "machine")
    assert (finding.slug, place(finding, text)) == ("source.excluded-field", (7, "tolerance"))


# Actions


def test_step_without_action():
    text = step("id: rest", "at: throttle-pot")
    finding = one(text, "procedure")
    assert (finding.slug, place(finding, text)) == ("source.no-action", (12, "id"))


@pytest.mark.parametrize(
    ("wrong", "right"), [("mesure", "measure"), ("tigthen", "tighten"), ("Remove", "remove"), ("torque", None)]
)
def test_unknown_action(wrong, right):
    text = step(f"{wrong}: motor-mount", "meter: meter-1", "for: 10 s")
    finding = one(text, "procedure")
    assert (finding.slug, finding.change, place(finding, text)) == ("source.unknown-action", right, (12, wrong))


def test_several_actions_are_told_at_each_but_the_first():
    """In the order of the file, whatever the order of the schema."""
    text = step("remove: deck", "open: deck", "look: It is off.")
    findings = told(text, "procedure")
    assert [(finding.slug, place(finding, text)) for finding in findings] == [
        ("source.several-actions", (13, "open")),
        ("source.several-actions", (14, "look")),
    ]
    assert findings[0].sentence == "`open` cannot stand beside `remove`: a step has one action."
    assert {finding.related[0].span.line for finding in findings} == {12}


# Values


@pytest.mark.parametrize(
    ("value", "example"),
    [("42", "42 min"), ("0.5", "0.5 min"), ('"42"', "42 min"), ("-3", "-3 min"), ("1e3", "1000 min")],
)
def test_bare_numbers_need_a_unit(value, example):
    text = PROCEDURE + STEPS + f"time: {value}\n"
    finding = one(text, "procedure")
    assert finding.slug == "source.needs-unit"
    assert finding.sentence == f"`time` needs a unit, as in `{example}`."
    assert place(finding, text) == (13, value)


def test_torque_needs_its_own_unit():
    fasteners = "fasteners:\n  mount: {holds: pump, thread: M10, class: 8.8, count: 4, torque: 36, friction: 0.16}\n"
    assert one(MACHINE + fasteners, "machine").sentence == "`torque` needs a unit, as in `36 N·m`."


@pytest.mark.parametrize("name", ["quantity", "time", "torque", "mass", "voltage", "temperature", "ratio"])
def test_each_quantity_of_the_schema_is_known_as_one(name):
    """The pattern is the mark by which a missing unit is told from other wrong forms."""
    schema = json.loads(schema_text("machine"))["$defs"][name]
    assert schema["pattern"].startswith("^[-+−]?[0-9.]")
    assert " " in schema["examples"][0]


@pytest.mark.parametrize(
    ("value", "what"), [("12", "a number"), ("3.5", "a number"), ("true", "the truth value `true`")]
)
def test_numbers_and_truth_values_where_text_is_due(value, what):
    text = PROCEDURE.replace("Powers up but will not drive", value) + STEPS
    finding = one(text, "procedure")
    assert (finding.slug, finding.change, place(finding, text)) == ("source.wrong-type", f'"{value}"', (3, value))
    assert finding.sentence == f"`title` holds {what}, where text is due."


@pytest.mark.parametrize(("value", "line_text"), [("", "title"), ("~", "title"), ('"  "', '"  "')])
def test_field_without_a_value(value, line_text):
    text = PROCEDURE.replace("Powers up but will not drive", value) + STEPS
    finding = one(text, "procedure")
    assert (finding.slug, place(finding, text)) == ("source.no-value", (3, line_text))


def test_a_key_of_digits_alone_is_found_as_any_other():
    text = MACHINE + "figure: {file: figures/machine.svg, alt: The whole machine., callouts: {1: deck, 13: [a, b]}}\n"
    finding = one(text, "machine")
    assert (finding.slug, place(finding, text)) == ("source.wrong-type", (6, "[a, b]"))


def test_list_where_a_map_is_due():
    finding = one(PROCEDURE.replace("{technician: any}", "[any]") + STEPS, "procedure")
    assert finding.sentence == "`crew` holds a list, where a map of keys is due."
    assert finding.mend.startswith("write for example `{technician: ")


def test_item_of_a_list_is_counted():
    finding = one(PROCEDURE + STEPS + "  - deck\n", "procedure")
    assert finding.sentence == "Item 2 of `steps` holds text, where a map of keys is due."


def test_part_of_a_whole():
    assert (
        "is 4.5, where a whole number is due"
        in one(
            MACHINE + "fasteners:\n  m: {holds: a, thread: M10, class: 8.8, count: 4.5, torque: 3 N·m}\n", "machine"
        ).sentence
    )


@pytest.mark.parametrize(
    ("value", "near"), [("inspecton", "inspection"), ("Inspection", "inspection"), ("cooking", None)]
)
def test_unknown_words(value, near):
    text = PROCEDURE.replace("kind: inspection", f"kind: {value}") + STEPS
    finding = one(text, "procedure")
    assert (finding.slug, finding.change, place(finding, text)) == ("source.unknown-value", near, (4, value))
    assert "it is one of: fault-finding, inspection, adjustment" in finding.sentence


def test_only_word():
    finding = one(PROCEDURE + STEPS + "spares: nix\n", "procedure")
    assert finding.sentence == "`spares` says `nix`, which has no meaning here; only `none` is known here."
    assert finding.mend == "write none, or a list of parts, as in [{part: throttle-pot, when: needed}]"


def test_identifiers_as_values_and_as_keys():
    text = PROCEDURE.replace("id: no-drive", "id: No Drive").replace("technician: any", "Tech Nician: any") + STEPS
    findings = told(text, "procedure")
    assert [(finding.slug, place(finding, text), finding.change) for finding in findings] == [
        ("source.bad-identifier", (2, "No Drive"), "no-drive"),
        ("source.bad-identifier", (9, "Tech Nician"), "tech-nician"),
    ]


def test_letters_that_only_look_like_plain_ones():
    finding = one(PROCEDURE.replace("id: no-drive", "id: n\u043e-drive") + STEPS, "procedure")
    assert finding.sentence == "`n\u043e-drive` is no identifier: it holds `\u043e` (U+043E)."
    assert finding.change is None


@pytest.mark.parametrize("value", ["2027-02-30", "2027-13-01", "04.05.2026", "tomorrow"])
def test_dates(value):
    text = PROCEDURE + STEPS + f"review_by: {value}\n"
    finding = one(text, "procedure")
    assert (finding.slug, place(finding, text)) == ("source.wrong-form", (13, value))
    assert finding.mend == "a date is written year-month-day, as in 2027-03-01"


def test_words_before_the_number():
    finding = one(step("wait: for the fan", "for: about 5 min"), "procedure")
    assert finding.sentence == "`about 5 min` is no quantity: number first, then its unit."


@pytest.mark.parametrize(
    ("text", "kind", "slug", "sentence"),
    [
        (PROCEDURE + "steps: []\n", "procedure", "source.empty", "`steps` is an empty list."),
        (PROCEDURE.replace("{technician: any}", "{}") + STEPS, "procedure", "source.empty", "`crew` is an empty map."),
        (
            SHOP + "units: {torque: [a, b, c]}\n",
            "shop",
            "source.wrong-count",
            "`torque` has 3 entries, and at most 2 are due.",
        ),
        (SHOP + "energized_work: {crew: 0}\n", "shop", "source.out-of-bounds", "`crew` is 0, and at least 2 is due."),
        (SHOP + "languages: [en, de, en]\n", "shop", "source.repeated-item", "`en` stands twice in `languages`."),
    ],
)
def test_counts_and_bounds(text, kind, slug, sentence):
    finding = one(text, kind)
    assert (finding.slug, finding.sentence) == (slug, sentence)


def test_repeated_item_shows_the_first():
    text = SHOP + "languages: [en, de, en]\n"
    finding = one(text, "shop")
    assert (finding.span.column, finding.related[0].span.column) == (21, 13)


@pytest.mark.parametrize(
    ("text", "words"),
    [("- a\n", "holds a list"), ("text\n", "holds text"), ("key:value\n", "After each colon a space is due")],
)
def test_whole_file_of_the_wrong_type(text, words):
    finding = one(text, "shop")
    assert finding.slug == "source.wrong-type"
    assert words in finding.sentence


def test_all_findings_come_in_one_go_in_file_order():
    text = (
        PROCEDURE.replace("title: P", "titel: P").replace("revision: C", "revision: -1")
        + step("open: deck", "for: 5")[len(PROCEDURE) :]
    )
    findings = told(text, "procedure")
    assert [finding.span.line for finding in findings] == [3, 6, 13]
    assert findings == told(text, "procedure")


def test_thousands_of_errors_take_no_minutes():
    """Each kind of flood that once took its square: keys that are wrong, unknown, or hold something wrong."""
    bad_names = "".join(f"  Bad {number}: {{txt: x}}\n" for number in range(4000))
    unknown = "".join(f"key-{number}: x\n" for number in range(4000))
    steps = "".join(f"  - opn: x{number}\n" for number in range(4000))
    for text in (
        PROCEDURE.replace(" {good: {text: It works.}}\n", "\n" + bad_names) + STEPS,
        PROCEDURE + STEPS + unknown,
        PROCEDURE + "steps:\n" + steps,
    ):
        assert 100 <= len(told(text, "procedure")) <= 200


# The manual

WRAPS = {
    "source.no-action": (PROCEDURE, "procedure"),
    "source.unknown-action": (PROCEDURE, "procedure"),
    "source.several-actions": (PROCEDURE, "procedure"),
    "source.empty": (PROCEDURE, "procedure"),
    "source.excluded-field": (PROCEDURE + "steps:\n  - ask: Is it so?\n", "procedure"),
    "source.incomplete": (MACHINE, "machine"),
}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_examples_of_the_manual_are_true(rule):
    around, kind = WRAPS.get(rule.slug, (SHOP, "shop"))
    for example, slugs in ((rule.bad, {rule.slug}), (rule.good, set())):
        text = "\n".join(f"    {line}" for line in example.split("\n")) if example.startswith("answers") else example
        if example.startswith("name:"):
            around = around.replace("name: Marram Works service\n", "")
        if example.startswith("answers"):
            text = text.replace("yes: {", "no: next\n      yes: {")
        assert {finding.slug for finding in told(around + text.rstrip(" "), kind)} == slugs


# Against another validator

EXAMPLES = {kind: json.loads(schema_text(kind))["examples"] for kind in KINDS}
ODD = st.sampled_from(
    [
        None,
        True,
        5,
        4.5,
        -1,
        "",
        " ",
        "5",
        "5 V",
        "next",
        "no-drive",
        "No Drive",
        [],
        {},
        ["a", "a"],
        {"a": 1},
        {"go": "a"},
    ]
)


@st.composite
def damaged(draw):
    """An example of a schema with one to three values replaced, taken out, added or renamed."""
    kind = draw(st.sampled_from(KINDS))
    data = copy.deepcopy(draw(st.sampled_from(EXAMPLES[kind])))
    for _ in range(draw(st.integers(1, 3))):
        holder = draw(st.sampled_from(list(holders(data))))
        places = list(holder) if isinstance(holder, dict) else list(range(len(holder)))
        action = draw(st.sampled_from(["replace", "take out", "add", "rename"]))
        if action == "add" and isinstance(holder, dict):
            key = draw(st.sampled_from(["extra", "titel", "below", "look", "go", "at_most"]))
            holder[key] = copy.deepcopy(draw(ODD))
        elif places and action == "replace":
            holder[draw(st.sampled_from(places))] = copy.deepcopy(draw(ODD))
        elif places and action == "take out":
            del holder[draw(st.sampled_from(places))]
        elif places and isinstance(holder, dict):
            key = draw(st.sampled_from(places))
            holder[key + "x"] = holder.pop(key)
    return kind, data


def holders(data):
    if isinstance(data, dict | list):
        yield data
        for inner in data.values() if isinstance(data, dict) else data:
            yield from holders(inner)


@given(damaged())
def test_findings_come_where_another_validator_finds_errors(kind_and_data):
    """No invalid file is passed, no right one told; jsonschema is the reference, and its words are never used."""
    kind, data = kind_and_data
    validator = jsonschema.Draft202012Validator(
        json.loads(schema_text(kind)), format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    )
    errors = list(validator.iter_errors(data))
    node, found = read(json.dumps(data, ensure_ascii=False, indent=1), "a.json")
    assert found == ()
    assert node is not None
    findings = check(node, kind)
    assert bool(findings) == bool(errors)
    assert findings == check(node, kind)
    assert len(set(findings)) == len(findings)
    for finding in findings:
        assert finding.sentence.endswith(".")
        assert finding.mend
        assert not any(error.message in finding.sentence for error in errors)
        assert finding.span.line >= 1
