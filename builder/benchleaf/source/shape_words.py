"""What a failed keyword of the schema means to a writer: our sentence, at the place of the deepest relevant cause."""

from collections.abc import Callable, Iterable, Iterator
from itertools import islice, pairwise
from typing import Any

from benchleaf.base.finding import Finding, Related
from benchleaf.base.rules import Rule
from benchleaf.source import rules_shape as rules
from benchleaf.source import shape_values
from benchleaf.source.nodes import Entry, Node, brief
from benchleaf.source.shape_complaint import Complaint
from benchleaf.source.shape_terms import as_mend, first_sentence, flow, listed, nearest, of_what, owner

MOST_UNKNOWN = 100

_Path = tuple[str | int, ...]


def told(schema: dict[str, Any], root: Node, complaints: Iterable[Complaint]) -> Iterator[Finding]:
    """Findings for all complaints about the tree of one file; what only follows from another one is left out."""
    step = schema.get("$defs", {}).get("step", {})
    by_value: dict[_Path, list[Complaint]] = {}
    for complaint in complaints:
        # A field that excludes another one concerns the map that holds both.
        path = complaint.path[:-1] if complaint.keyword == "falseSchema" else complaint.path
        by_value.setdefault(path, []).append(complaint)
    for group in by_value.values():
        types = [one for one in group if one.keyword == "type"]
        if types:
            yield shape_values.wrong_type(types[0])
        else:
            yield from _Map(group, step).told()


class _Map:
    """The complaints about one value; for a map they belong together."""

    def __init__(self, group: list[Complaint], step: dict[str, Any]) -> None:
        self.group = group
        self.first = group[0]
        self.node = self.first.parent if self.first.keyword == "falseSchema" else self.first.node
        begin: dict[str, Any] = next((one for one in step.get("allOf", ()) if "not" in one), {})
        self.begins = as_mend(begin.get("errorMessage", ""))
        self.actions = tuple(begin.get("not", {}).get("properties", {}))
        self.is_step = any(step is schema for one in group for schema in one.schemas)
        keys = self.node.keys() if self.node else ()
        self.present = frozenset(keys)
        self.unknown = self._unknown_entries()
        self.meant = self._meant()
        self.no_action = self.is_step and not any(key in self.actions for key in keys)

    def told(self) -> Iterator[Finding]:
        tellers: dict[str, Callable[[Complaint], Iterator[Finding]]] = {
            "required": self._missing,
            "dependentRequired": self._companion,
            "additionalProperties": self._unknown,
            "not": self._none_of,
        }
        keywords = {complaint.keyword for complaint in self.group}
        for complaint in self.group:
            if complaint.keyword == "format" and "pattern" in keywords:
                continue
            if complaint.keyword in tellers:
                yield from tellers[complaint.keyword](complaint)
            elif complaint.keyword != "falseSchema":
                yield from shape_values.told(complaint)
        yield from self._excluded([one for one in self.group if one.keyword == "falseSchema"])

    def _unknown_entries(self) -> dict[str, tuple[Entry, Entry | None]]:
        """The first unknown keys of the map: each entry, and the one before it."""
        names = {key for one in self.group for key in one.facts.get("unexpected", ())}
        entries = self.node.value if self.node is not None and names else ()
        found = ((entry, before) for before, entry in pairwise((None, *entries)) if entry.key in names)
        return {entry.key: (entry, before) for entry, before in islice(found, MOST_UNKNOWN)}

    def _meant(self) -> dict[str, str]:
        """For each unknown key of the map the known one that was most likely meant."""
        found: dict[str, str] = {}
        for complaint in self.group:
            if complaint.keyword == "additionalProperties":
                free = [name for name in complaint.schema.get("properties", {}) if name not in self.present]
                for key in self.unknown:
                    near = nearest(key.partition(":")[0].lower().replace("-", "_"), free)
                    if near:
                        found[key] = near
        return found

    def _missing(self, complaint: Complaint) -> Iterator[Finding]:
        key = complaint.facts["property"]
        # What a condition asks for may change once fields that exclude each other are sorted out.
        unsettled = "falseSchema" in {one.keyword for one in self.group} and not _always(complaint)
        if key not in self.meant.values() and not unsettled:
            yield _add(complaint, key, _condition(complaint))

    def _companion(self, complaint: Complaint) -> Iterator[Finding]:
        """A field without the one that it belongs to."""
        missing = complaint.facts["property"]
        if missing in self.meant.values() or self.no_action:
            return
        for entry in complaint.node.value:
            if missing not in complaint.schema["dependentRequired"].get(entry.key, ()):
                continue
            about = first_sentence(_field(complaint, missing).get("description", ""))
            sentence = f"`{entry.key}` needs `{missing}` beside it: {about}"
            yield rules.MISSING_FIELD.at(entry.key_span, sentence, mend=f"add `{missing}`, or take `{entry.key}` out")

    def _unknown(self, complaint: Complaint) -> Iterator[Finding]:
        for entry, before in self.unknown.values():
            yield self._unknown_field(complaint, entry, before)

    def _unknown_field(self, complaint: Complaint, entry: Entry, before: Entry | None) -> Finding:
        name, span, near = brief(entry.key), entry.key_span, self.meant.get(entry.key)
        if ":" in entry.key and entry.node.kind == "nothing":
            change = ": ".join(entry.key.split(":", 1))
            sentence = f"After the colon in `{name}` a space is missing."
            return rules.UNKNOWN_FIELD.at(span, sentence, mend=f"write `{brief(change)}`", change=change)
        if entry.node.kind == "nothing" and near is None and before is not None and _is_bare_text(before.node):
            sentence = f"A comma ends the text before it, so that `{name}` is read as a field of {of_what(complaint)}."
            related = (Related(before.node.span, "This text most likely goes on behind its comma."),)
            return rules.UNKNOWN_FIELD.at(span, sentence, mend="put the whole text in quotes", related=related)
        mend = f"write `{near}`" if near else self._choice(complaint)
        if self.no_action and entry is complaint.node.value[0] and (near is None or near in self.actions):
            sentence = f"`{name}` is no action that a step can begin with."
            return rules.UNKNOWN_ACTION.at(span, sentence, mend=mend if near else self.begins, change=near)
        return rules.UNKNOWN_FIELD.at(span, f"`{name}` is no field of {of_what(complaint)}.", mend=mend, change=near)

    def _choice(self, complaint: Complaint) -> str:
        """The fields that may still be written, where they are few enough to be read."""
        known = complaint.schema.get("properties", {})
        free = [name for name in known if name not in self.present and name not in self.actions]
        return f"take it out, or use one of: {listed(free)}" if 0 < len(free) <= 12 else ""

    def _none_of(self, complaint: Complaint) -> Iterator[Finding]:
        """A map in which one of several fields must stand, and none does."""
        choices = complaint.schema["not"].get("properties", {})
        if any(near in choices for near in self.meant.values()):
            return
        if self.no_action:
            first = complaint.node.value[0].key if complaint.node.value else ""
            if first in self.unknown:
                return
            yield rules.NO_ACTION.at(owner(complaint), complaint.message or "A step begins with its action.")
        else:
            fields = listed(f"`{name}`" for name in choices)
            sentence = complaint.message or f"One of {fields} is missing."
            yield rules.INCOMPLETE.at(owner(complaint), sentence, mend=f"add one of {fields}")

    def _excluded(self, complaints: list[Complaint]) -> Iterator[Finding]:
        """Fields that cannot stand together: the first in the file stays, each other one is told once."""
        if not complaints or self.node is None:
            return
        names: dict[str, str] = {}
        for complaint in complaints:
            names[str(complaint.path[-1])] = complaint.message
            if "dependentSchemas" in complaint.through:
                names.setdefault(str(complaint.through[-3]), complaint.message)
        entries = [entry for entry in self.node.value if entry.key in names]
        first, others = (entries[0], entries[1:]) if len(entries) > 1 else (None, entries)
        for entry in others:
            yield self._one_too_many(entry, names[entry.key], first)

    def _one_too_many(self, entry: Entry, message: str, first: Entry | None) -> Finding:
        both_actions = self.is_step and first is not None and {entry.key, first.key} <= set(self.actions)
        rule: Rule = rules.SEVERAL_ACTIONS if both_actions else rules.EXCLUDED_FIELD
        cause, _, cure = message.rstrip(".").partition("; ")
        if first is None:
            return rule.at(entry.key_span, f"`{entry.key}` cannot stand here: {as_mend(cause)}.", mend=cure)
        sentence = f"`{entry.key}` cannot stand beside `{first.key}`: {as_mend(cause)}."
        return rule.at(
            entry.key_span, sentence, mend=cure, related=(Related(first.key_span, "This one stands first."),)
        )


def _is_bare_text(node: Node) -> bool:
    return node.kind == "text" and not node.quoted


def _add(complaint: Complaint, key: str, condition: str) -> Finding:
    field = _field(complaint, key)
    about = first_sentence(field.get("description", ""))
    example = next((flow(one) for one in field.get("examples", ()) if len(flow(one)) <= 60), "")
    mend = f"add `{key}: {example}`, or what holds here" if example else f"add `{key}:`"
    sentence = f"`{key}` is missing{condition}" + (f": {about}" if about else ".")
    return rules.MISSING_FIELD.at(owner(complaint), sentence, mend=mend)


def _always(complaint: Complaint) -> bool:
    """Whether a field is due whatever else the map holds."""
    return not {"then", "else", "dependentSchemas"} & set(complaint.through[-3:])


def _condition(complaint: Complaint) -> str:
    """What makes a field necessary that otherwise would not be."""
    if "dependentSchemas" in complaint.through[-3:]:
        return f", which `{complaint.through[-2]}` needs"
    for schema in complaint.schemas:
        for key, value in schema.get("if", {}).get("properties", {}).items():
            if "then" in complaint.through and schema.get("then") is complaint.schema and "const" in value:
                return f", which `{key}: {value['const']}` needs"
    return ""


def _field(complaint: Complaint, key: str) -> dict[str, Any]:
    """The schema of a field of the map complained of."""
    for schema in reversed(complaint.schemas):
        field = schema.get("properties", {}).get(key)
        if isinstance(field, dict) and "description" in field:
            return field
    return {}
