"""Each rule against examples: `SLUG.md` holds excerpts laid over the workspace `base`, and what they must give rise to.

A heading of the second level begins an example. A block of YAML belongs to the file that its first line names
(`# file: procedures/rig/trial.yaml`, which is also meant where there is no such line); a second line
`# like: procedures/rig/trial.yaml` starts a new file from a copy of another. Keys of the excerpt take the place of the
same keys of the file; where both hold maps, that goes for the maps' own keys. `# without: key` takes a key out.
`# expect: SLUG` ends each line on which a finding must stand; any finding too many or too few fails the test.
"""

import re
from pathlib import Path
from typing import NamedTuple

import pytest

from benchleaf.base.rules import FAMILIES
from benchleaf.build import pipeline
from benchleaf.build.request import Request, silence
from benchleaf.build.rules import all_rules

HERE = Path(__file__).parent
BASE = HERE / "base"
USUAL = "procedures/rig/trial.yaml"
TODAY = "2026-06-01"
# Findings of these families count only in examples of their own rules: an excerpt about words need not lock out.
ON_THEIR_OWN = {"energy", "torque", "circuit"}

# Families, and single rules, that are held to examples elsewhere: what files must look like before they mean anything
# has its own suite, and some faults come only while documents are drawn.
ELSEWHERE = {
    "approval.broken-chain": "tests/review",
    "approval.chain-cut": "tests/review",
    "approval.clock-runs-back": "tests/review",
    "approval.damaged-envelope": "tests/review",
    "approval.figure-not-signed": "tests/review",
    "approval.key-not-valid": "tests/review",
    "approval.not-read-back": "tests/review",
    "approval.not-rebuilt": "tests/review",
    "approval.people-not-signed": "tests/review",
    "approval.role-not-held": "tests/review",
    "approval.root-not-trusted": "tests/review",
    "approval.run-out": "tests/review",
    "approval.stray-file": "tests/review",
    "approval.theme-not-listed": "tests/review",
    "approval.unknown-key": "tests/review",
    "approval.wrong-place": "tests/review",
    "source": "tests/source",
    "document.broken-theme": "tests/rules/test_drawn.py",
    "document.not-drawn": "tests/rules/test_drawn.py",
    "document.broken-translation": "tests/languages/test_own_texts.py",
    "document.not-translated": "tests/languages/test_own_texts.py",
    "document.stale-translation": "tests/languages/test_own_texts.py",
    "energy.not-confirmed": "tests/build/test_confirm.py",
}


class Example(NamedTuple):
    """Excerpts for files of the workspace under one heading."""

    slug: str
    title: str
    excerpts: tuple[str, ...]


def examples():
    for path in sorted(HERE.glob("*.md")):
        for part in re.split(r"^## ", path.read_text("utf-8"), flags=re.MULTILINE)[1:]:
            excerpts = re.findall(r"^```yaml\n(.*?)^```$", part, flags=re.MULTILINE | re.DOTALL)
            yield Example(path.stem, part.partition("\n")[0], tuple(excerpts))


def sections(text, indent):
    """Keys at this indent, each with its lines; what stands above the first key goes with it."""
    found: dict[str, list[str]] = {}
    waiting: list[str] = []
    key = None
    for line in text.splitlines():
        begins = re.match(rf" {{{indent}}}([\w.-]+|\"[^\"]+\"):(?: |$)", line)
        if begins:
            key = begins[1]
            found[key] = [*waiting, line]
            waiting = []
        elif key is None:
            waiting.append(line)
        else:
            found[key].append(line)
    return found


def is_map(lines):
    """Whether a key's value is a map that stands on lines of its own."""
    body = [line for line in lines[1:] if line.strip() and not line.lstrip().startswith("#")]
    head = lines[0].partition(":")[2].partition("#")[0].strip()
    return not head and bool(body) and re.match(r"  [\w.-]+:(?: |$)", body[0]) is not None


def laid_over(base, excerpt):
    whole, over = sections(base, 0), sections(excerpt, 0)
    for key in re.findall(r"^# without: (\S+)$", excerpt, flags=re.MULTILINE):
        assert whole.pop(key, None), f"the file has no key {key} to be taken out"
    for key, lines in over.items():
        lines = [line for line in lines if not re.match(r"# (file|like|without):", line)]
        if key in whole and is_map(whole[key]) and is_map(lines):
            inner = sections("\n".join(whole[key][1:]), 2) | sections("\n".join(lines[1:]), 2)
            lines = [lines[0], *(line for part in inner.values() for line in part)]
        whole[key] = lines
    return "\n".join(line for part in whole.values() for line in part) + "\n"


def laid_out(example, root):
    """The workspace of an example; returns the text of each of its files."""
    texts = {path.relative_to(BASE).as_posix(): path.read_bytes() for path in BASE.rglob("*") if path.is_file()}
    for excerpt in example.excerpts:
        file = re.match(r"# file: (\S+)", excerpt)
        like = re.search(r"^# like: (\S+)$", excerpt, flags=re.MULTILINE)
        name = file[1] if file else USUAL
        base = texts.get(like[1] if like else name, b"").decode()
        whole = laid_over(base, excerpt) if base else re.sub(r"\A# file: .*\n", "", excerpt)
        texts[name] = whole.encode()
    for name, content in texts.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return {name: content.decode() for name, content in texts.items() if name.endswith(".yaml")}


def expected(texts):
    for name, text in texts.items():
        for number, line in enumerate(text.splitlines(), 1):
            marks = re.search(r"# expect: (.+)$", line)
            for slug in marks[1].split(",") if marks else ():
                yield name, number, slug.strip()


def found(root, slug):
    counted = set(FAMILIES) - (ON_THEIR_OWN - {slug.partition(".")[0]})
    for finding in pipeline.run(Request(root, TODAY), silence).verdict.findings:
        if finding.slug.partition(".")[0] in counted:
            yield finding.span.file, finding.span.line, finding.slug


def shown(places, texts):
    for file, line, slug in sorted(places):
        lines = texts.get(file, "").splitlines()
        yield f"  {slug} at {file}:{line}: {lines[line - 1].strip() if line <= len(lines) else ''}"


@pytest.mark.parametrize("example", tuple(examples()), ids=lambda example: f"{example.slug}: {example.title}")
def test_example(example, tmp_path):
    assert example.excerpts, "this heading has no excerpt"
    texts = laid_out(example, tmp_path)
    due, come = set(expected(texts)), set(found(tmp_path, example.slug))
    told = ["too few:", *shown(due - come, texts), "too many:", *shown(come - due, texts)]
    assert come == due, "\n".join(told)


def changed(text, span, change):
    lines = text.split("\n")
    assert span.line == span.end_line, "a change of several lines"
    line = lines[span.line - 1]
    lines[span.line - 1] = line[: span.column - 1] + change + line[span.end_column - 1 :]
    return "\n".join(lines)


@pytest.mark.parametrize("example", tuple(examples()), ids=lambda example: f"{example.slug}: {example.title}")
def test_proposed_changes_mend(example, tmp_path):
    """Made exactly where the finding stands, a proposed change does away with it."""
    texts = laid_out(example, tmp_path)
    for finding in pipeline.run(Request(tmp_path, TODAY), silence).verdict.findings:
        if finding.change is not None:
            path = tmp_path / finding.span.file
            path.write_text(changed(texts[finding.span.file], finding.span, finding.change), "utf-8")
            left = pipeline.run(Request(tmp_path, TODAY), silence).verdict.findings
            assert (finding.slug, finding.span.line) not in {(each.slug, each.span.line) for each in left}
            path.write_text(texts[finding.span.file], "utf-8")


def test_base_gives_rise_to_nothing(tmp_path):
    laid_out(Example("", "", ()), tmp_path)
    assert not pipeline.run(Request(tmp_path, TODAY), silence).verdict.findings


def elsewhere(rule):
    return ELSEWHERE.get(rule.slug) or ELSEWHERE.get(rule.family)


def test_each_rule_has_its_examples():
    """In the file of its name, and at least one that gives rise to it."""
    shown = {
        slug.strip()
        for example in examples()
        for marks in re.findall(r"# expect: (.+)$", "\n".join(example.excerpts), flags=re.MULTILINE)
        for slug in marks.split(",")
        if slug.strip() == example.slug
    }
    live = {rule.slug for rule in all_rules() if not rule.removed and not elsewhere(rule)}
    assert sorted(live - shown) == [], "rules without an example that gives rise to them"
    assert sorted({path.stem for path in HERE.glob("*.md")} - live) == [], "examples of rules that do not exist"


def test_rules_shown_elsewhere_are_shown_there():
    texts = {}
    for place in ELSEWHERE.values():
        path = HERE.parents[1] / place
        files = sorted(path.rglob("*.py")) if path.is_dir() else [path]
        texts[place] = "".join(file.read_text("utf-8") for file in files)
    shown = [rule for rule in all_rules() if elsewhere(rule) and not rule.removed]
    assert [rule.slug for rule in shown if rule.slug not in texts[elsewhere(rule)]] == []


@pytest.mark.parametrize("rule", all_rules(), ids=lambda rule: rule.slug)
def test_manual_is_written(rule):
    assert re.fullmatch(r"[a-z]+\.[a-z0-9]+(-[a-z0-9]+)*", rule.slug)
    assert rule.family in FAMILIES
    assert rule.why.endswith(".") and rule.mend.strip() and rule.source.strip()
    assert rule.bad.strip() and rule.good.strip() and rule.bad != rule.good


def test_slugs_are_never_given_twice():
    slugs = [rule.slug for rule in all_rules()]
    assert len(slugs) == len(set(slugs))
