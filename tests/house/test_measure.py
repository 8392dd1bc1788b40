"""No module over 300 lines, no function over 60, and a contract in each module's first line."""

import ast

MODULE_LINES = 300
FUNCTION_LINES = 60

# What may be longer, and why it reads better whole: "room/module.py" or "room/module.py:function".
LONGER: dict[str, str] = {}


def functions(module):
    for node in ast.walk(module.tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node, (node.end_lineno or node.lineno) - node.lineno + 1


def over_length(modules):
    found = {module.file: module.lines for module in modules if module.lines > MODULE_LINES}
    for module in modules:
        found |= {f"{module.file}:{node.name}": lines for node, lines in functions(module) if lines > FUNCTION_LINES}
    return found


def test_modules_and_functions_are_short(modules):
    unexcused = {place: lines for place, lines in over_length(modules).items() if place not in LONGER}
    assert not unexcused


def test_each_exception_is_still_needed_and_reasoned(modules):
    assert set(LONGER) <= set(over_length(modules))
    assert all(len(reason.split()) > 4 for reason in LONGER.values())


def test_first_line_is_the_contract(texts):
    """One full sentence at the top of every Python file, tests included."""
    wrong = []
    for name, text in texts.items():
        if name.endswith(".py"):
            first = (ast.get_docstring(ast.parse(text)) or "").partition("\n")[0]
            if len(first.split()) < 4 or not first.endswith("."):
                wrong.append(f"{name}: {first!r}")
    assert not wrong, "\n".join(wrong)
