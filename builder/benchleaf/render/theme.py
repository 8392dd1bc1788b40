"""A theme: a folder of templates, style sheets, scripts and tokens, read once and frozen.

A theme holds `card.html`, `checklist.html` and `index.html` (Jinja2), a style sheet of the same name for each,
scripts in `js/` (joined in alphabetical order) and `tokens.json`: the colours and sizes that the style sheets
name as `var(--name)`.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from benchleaf.base.resources import theme_names, themes_root
from benchleaf.render.fault import ThemeFault

DOCUMENTS = ("card", "checklist", "index")
_VARIABLE = re.compile(r"var\(--([a-z0-9-]+)\)")


@dataclass(frozen=True, slots=True, eq=False)
class Theme:
    """A theme as read. `light` and `dark` map token names to CSS values; `dark` holds only what differs."""

    name: str
    templates: Mapping[str, str]
    styles: Mapping[str, str]
    scripts: Mapping[str, str]
    light: Mapping[str, str]
    dark: Mapping[str, str]

    def style(self, document: str) -> str:
        """The document's style sheet, with the tokens as custom properties: for browsers."""
        properties = "".join(f"--{name}:{value};" for name, value in self.light.items())
        dark = "".join(f"--{name}:{value};" for name, value in self.dark.items())
        scheme = f"@media screen and (prefers-color-scheme:dark){{:root{{{dark}}}}}\n" if dark else ""
        return f":root{{{properties}}}\n{scheme}{self.styles[document]}"

    def flat_style(self, document: str) -> str:
        """The document's style sheet with the light tokens written in: for paper."""
        return _VARIABLE.sub(lambda match: self.light[match[1]], self.styles[document])

    @property
    def script(self) -> str:
        """All scripts, in alphabetical order of their names."""
        return "\n".join(self.scripts[name] for name in sorted(self.scripts))


def load(name: str = "daylight") -> Theme:
    """The theme of this name among those that travel with the package.

    Raises ThemeFault with the known names when there is none, or when it is broken.
    """
    known = theme_names()
    if name not in known:
        raise ThemeFault(f"there is no theme {name}; there are: {', '.join(known)}")
    return load_folder(themes_root() / name)


def load_folder(folder: Path) -> Theme:
    """The theme in this folder. Raises ThemeFault when a file is missing, unreadable or names an unknown token."""
    name = folder.name
    light, dark = _tokens(name, _read(folder, "tokens.json"))
    styles = {document: _read(folder, f"{document}.css") for document in DOCUMENTS}
    for document, text in styles.items():
        unknown = sorted(set(_VARIABLE.findall(text)) - set(light))
        if unknown:
            raise ThemeFault(
                f"theme {name}: {document}.css uses tokens that tokens.json does not have: {', '.join(unknown)}"
            )
    templates = {path.name: _read(folder, path.name) for path in sorted(folder.glob("*.html"))}
    for document in DOCUMENTS:
        if f"{document}.html" not in templates:
            raise ThemeFault(f"theme {name}: {document}.html is missing")
    scripts = {path.name: _read(folder, f"js/{path.name}") for path in sorted((folder / "js").glob("*.js"))}
    return Theme(name, *map(MappingProxyType, (templates, styles, scripts, light, dark)))


def _read(folder: Path, name: str) -> str:
    try:
        return (folder / name).read_text(encoding="utf-8")
    except FileNotFoundError:
        raise ThemeFault(f"theme {folder.name}: {name} is missing") from None
    except (OSError, UnicodeDecodeError) as fault:
        raise ThemeFault(f"theme {folder.name}: {name} cannot be read ({fault})") from None


def _tokens(name: str, text: str) -> tuple[dict[str, str], dict[str, str]]:
    try:
        data = json.loads(text)
    except json.JSONDecodeError as fault:
        raise ThemeFault(f"theme {name}: tokens.json, line {fault.lineno}: {fault.msg}") from None
    tables = [data.get(key) if isinstance(data, dict) else None for key in ("light", "dark")]
    for key, table in zip(("light", "dark"), tables, strict=True):
        if not isinstance(table, dict) or not all(isinstance(value, str) for value in table.values()):
            raise ThemeFault(f"theme {name}: tokens.json needs a table '{key}' of names and CSS values")
    light, dark = ({str(key): str(value) for key, value in (table or {}).items()} for table in tables)
    strange = sorted(set(dark) - set(light))
    if strange:
        raise ThemeFault(f"theme {name}: tokens.json has dark tokens with no light one: {', '.join(strange)}")
    return light, dark
