"""What a parser's complaint means to a writer: our own sentence at the place where the mend is due.

The parser's wording only tells the sort of trouble; what was most likely meant is read from the text around it.
"""

import re
from collections.abc import Callable

from yaml.error import Mark, YAMLError

from benchleaf.base.finding import Finding
from benchleaf.source import rules_tree as rules
from benchleaf.source.nodes import brief
from benchleaf.source.trouble import LEAD, Trouble, indent_of, tab, word

_CLOSED_BY = {"[": "]", "{": "}"}


def told(error: YAMLError, text: str, file: str) -> Finding:
    """The finding for an error of either parser in `text`."""
    lines = text.split("\n")
    began, at = (_inside(getattr(error, name, None), lines) for name in ("context_mark", "problem_mark"))
    at = at or began or (0, 0)
    doing, problem = ((getattr(error, name, None) or "").lower() for name in ("context", "problem"))
    trouble = Trouble(text, file, lines, doing, problem, began, at)
    if "nesting" in problem:
        return rules.TOO_DEEP.at(word(text, file, *at), "Here the nesting grows deeper than 64 levels.")
    lead = LEAD.match(trouble.line)
    if "tab" in problem.split() or (lead and "\t" in lead.group()[: at[1] + 1]):
        # The place may have been drawn back from an empty line that holds the tab.
        number = next((row for row in range(at[0], len(lines)) if "\t" in lines[row]), at[0])
        return tab(lines[number], number + 1, file)
    for key, teller in _TELLERS:
        if key in doing or key in problem:
            return teller(trouble)
    return trouble.tell("From here on this is not readable as YAML.")


def _inside(mark: Mark | None, lines: list[str]) -> tuple[int, int] | None:
    """A mark as line and column; the end of the text is drawn back to the last line that holds something."""
    if mark is None:
        return None
    line, column = mark.line, mark.column
    if line >= len(lines) or not any(rest.strip() for rest in (lines[line][column:], *lines[line + 1 :])):
        line = min(line, len(lines) - 1)
        while line > 0 and not lines[line].strip():
            line -= 1
        column = len(lines[line].rstrip())
    return line, min(column, len(lines[line]))


def _quoted(trouble: Trouble) -> Finding:
    if "escape" in trouble.problem or "hex" in trouble.problem:
        line, column = trouble.at
        return trouble.tell(
            "Between double quotes `\\` begins a code such as `\\n`, and this one does not exist.",
            "write `\\\\` for a backslash, or put the text in single quotes",
            place=(line, trouble.line.rfind("\\", 0, column + 1) if "\\" in trouble.line[: column + 1] else column),
        )
    return trouble.tell(
        "The quotation mark that opens here is never closed.",
        "close it at the end of the text; within single quotes write an apostrophe as `''`",
        place=trouble.start,
    )


def _no_colon(trouble: Trouble) -> Finding:
    return _half_a_key(trouble, trouble.start)


def _half_a_key(trouble: Trouble, place: tuple[int, int]) -> Finding:
    """A line that would be a key and its value, but for the colon or the space behind it."""
    rest = trouble.lines[place[0]][place[1] :]
    if re.match(r"[^:\[\]{},]+:\S", rest):
        return trouble.tell(
            f"After the colon in `{brief(rest)}` a space is missing.", "write `key: value`", place=place
        )
    return trouble.tell(
        f"`{brief(rest)}` stands among keys, but has no colon after its name.",
        "write `key: value`, or indent the line if it carries on the text above",
        place=place,
    )


def _first_character(trouble: Trouble) -> Finding:
    if trouble.here == "\t":
        return rules.TAB.at(
            word(trouble.text, trouble.file, *trouble.at), "A tab stands here where a space is due.", mend="use a space"
        )
    character = "a backtick" if trouble.here == "`" else f"`{trouble.here}`"
    return trouble.tell(f"A text cannot begin with {character} unless it stands in quotes.", "put the text in quotes")


def _second_colon(trouble: Trouble) -> Finding:
    if re.search(r":\s", trouble.before + " "):
        return trouble.tell(
            "A second `: ` in one line: a text that holds a colon and a space needs quotes.", "put the text in quotes"
        )
    number = trouble.at[0]
    above = next((row for row in range(number - 1, -1, -1) if trouble.lines[row].strip()), None)
    if above is not None and not re.search(r":(\s|$)", trouble.lines[above]):
        return _half_a_key(trouble, (above, indent_of(trouble.lines[above])))
    return trouble.tell(
        f"`{brief(trouble.line)}` is indented below a line that already has its value.",
        "give it the same indentation as its neighbours, or take the value from the line above",
        place=(number, indent_of(trouble.line)),
    )


def _item(trouble: Trouble) -> Finding:
    return trouble.tell(
        "A list item cannot begin in the middle of a line.",
        "begin each `- ` on a line of its own, or put the text in quotes",
    )


def _question_mark(trouble: Trouble) -> Finding:
    return trouble.tell("A text cannot begin with `? ` unless it stands in quotes.", "put the text in quotes")


def _bracket(trouble: Trouble) -> Finding:
    """An inline list or map that does not go on as it should."""
    line, column = trouble.start
    opened = trouble.lines[line][column : column + 1]
    closing = _CLOSED_BY.get(opened, "]")
    if trouble.here and trouble.here in "]}" and trouble.here != closing:
        return trouble.tell(
            f"`{trouble.here}` closes here what `{opened}` opened.",
            f"close it with `{closing}`",
            since="It opens here.",
        )
    if "unexpected ':'" in trouble.problem:
        return trouble.tell("A text in an inline list or map that holds a colon needs quotes.", "put it in quotes")
    if _is_closed(trouble, opened, closing):
        return trouble.tell(
            f"Before this, a comma or the closing `{closing}` is missing.",
            f"part the items of `{opened}{closing}` by commas; a text that holds one of `,[]{{}}` needs quotes",
            since=f"The `{opened}` opens here.",
        )
    return trouble.tell(f"The `{opened}` that opens here is never closed.", f"add `{closing}`", place=trouble.start)


def _is_closed(trouble: Trouble, opened: str, closing: str) -> bool:
    """Whether a bracket is closed before the text returns to the indentation of the line that opened it."""
    line, column = trouble.start
    indent = len(trouble.lines[line]) - len(trouble.lines[line].lstrip())
    depth = 0
    for number in range(line, len(trouble.lines)):
        row = trouble.lines[number]
        if number > line and row.strip() and len(row) - len(row.lstrip()) <= indent and row.strip()[0] not in "]}":
            return False
        for character in row[column if number == line else 0 :]:
            depth += (character == opened) - (character == closing)
            if depth == 0:
                return True
    return False


def _nothing_there(trouble: Trouble) -> Finding:
    if trouble.here and trouble.here in ",]}":
        return trouble.tell(
            f"Before this `{trouble.here}` something is missing.", "take it away, or put the text in quotes"
        )
    if trouble.here == ":":
        return trouble.tell("A text that begins with a colon needs quotes here.", "put the text in quotes")
    if not any(line.strip() for line in (trouble.line[trouble.at[1] :], *trouble.lines[trouble.at[0] + 1 :])):
        return _never_closed(trouble)
    return trouble.tell("Here a value is missing.", "write the value, or put the text in quotes")


def _never_closed(trouble: Trouble) -> Finding:
    """The text ends within brackets: tell the innermost one."""
    opened: list[tuple[int, int]] = []
    for number, row in enumerate(trouble.lines):
        for column, character in enumerate(row):
            if character in "[{":
                opened.append((number, column))
            elif character in "]}" and opened:
                opened.pop()
    line, at = opened[-1] if opened else trouble.at
    bracket = trouble.lines[line][at : at + 1]
    return trouble.tell(
        f"The `{bracket}` that opens here is never closed.",
        f"add `{_CLOSED_BY.get(bracket, ']')}`",
        place=(line, at),
    )


def _list_line(trouble: Trouble) -> Finding:
    if trouble.before:
        return _left_over(trouble)
    return trouble.tell(
        f"`{brief(trouble.line)}` stands among the items of a list, but does not begin with `- `.",
        "indent it under the item that it belongs to, or begin it with `- `",
        since="The list begins here.",
    )


def _map_line(trouble: Trouble) -> Finding:
    if trouble.before.strip("- "):
        return _left_over(trouble)
    if trouble.here == ":":
        return trouble.tell("Before this colon a key is missing.", "write `key: value`, or put the text in quotes")
    if trouble.here == "-":
        return trouble.tell(
            "A list item stands here among keys.",
            "indent the list under its key, and all its items alike",
            since="The keys begin here.",
        )
    return trouble.tell(
        f"The indentation of `{brief(trouble.line)}` fits no line above.",
        "give lines that belong together exactly the same indentation",
        since="The keys that this line should stand below begin here.",
    )


def _left_over(trouble: Trouble) -> Finding:
    """Something in the line behind a value that had ended."""
    last = trouble.before[-1:]
    if last and last in "\"'":
        return trouble.tell(
            "Nothing may follow in the line after a closing quotation mark.", "put the whole text in quotes"
        )
    if trouble.here and trouble.here in ",]}":
        return trouble.tell(
            f"Nothing is open that this `{trouble.here}` could belong to.", "take it away, or put the text in quotes"
        )
    if last and last in "]}":
        return trouble.tell("Nothing may follow in the line after a closing bracket.", "put the text in quotes")
    return trouble.tell("From here on this line is not readable as YAML.", "put the text in quotes")


def _star(trouble: Trouble) -> Finding:
    line, column = trouble.start
    first = trouble.lines[line][column : column + 1]
    return trouble.tell(
        f"A text cannot begin with `{first}` unless it stands in quotes.", "put the text in quotes", place=trouble.start
    )


def _block_text(trouble: Trouble) -> Finding:
    return trouble.tell(
        "After `|` or `>` the text begins on the next line, indented.", "move the text down, or put it in quotes"
    )


def _percent(trouble: Trouble) -> Finding:
    if trouble.lines[trouble.start[0]].startswith(("%YAML", "%TAG")):
        span = word(trouble.text, trouble.file, *trouble.start)
        return rules.DIRECTIVE.at(span, "This directive asks for another reading than YAML 1.2.")
    return trouble.tell(
        "A line cannot begin with `%` unless the text stands in quotes.", "put it in quotes", place=trouble.start
    )


def _after_end(trouble: Trouble) -> Finding:
    if trouble.before.strip("- ") or (trouble.here and trouble.here in ",]}"):
        return _left_over(trouble)
    first = next((number for number, line in enumerate(trouble.lines) if line.strip(" -") and line[0] != "#"), 0)
    if first < trouble.at[0] and trouble.lines[first].startswith(" "):
        return trouble.tell(
            f"`{brief(trouble.line)}` stands further left than the first line.",
            "give lines that belong together exactly the same indentation",
        )
    return trouble.tell(
        f"`{brief(trouble.line)}` stands behind the end of the data.",
        "a file is one map of keys: each line at the left edge is `key: value` or `key:`",
    )


# The first key found in what the parser was doing or what stopped it decides.
_TELLERS: tuple[tuple[str, Callable[[Trouble], Finding]], ...] = (
    ("cannot start any token", _first_character),
    ("values are not allowed", _second_colon),
    ("entries are not allowed", _item),
    ("keys are not allowed", _question_mark),
    ("expected ':'", _no_colon),
    ("block scalar", _block_text),
    ("quoted scalar", _quoted),
    ("double-quoted", _quoted),
    ("anchor", _star),
    ("alias", _star),
    ("tag", _star),
    ("directive", _percent),
    ("yaml document", _percent),
    ("document start", _after_end),
    ("node", _nothing_there),
    ("flow", _bracket),
    ("unexpected ':'", _bracket),
    ("collection", _list_line),
    ("block mapping", _map_line),
)
