"""A theme: a folder of templates, style sheets, scripts and tokens, read once and frozen.

A theme holds `card.html`, `checklist.html` and `index.html` (Jinja2), a style sheet of the same name for each, a
template `sheet_NAME.html` for each of the sheets around the cards with the style sheets that these share, scripts in
`js/` (joined in alphabetical order; those of the index in `js/index/`) and `tokens.json`: the colours and sizes that
the style sheets name as `var(--name)`.
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
SHEETS = ("isolation", "limits", "machine", "picking", "reading", "tag")
_STYLES = (*DOCUMENTS, "sheet", "sheet_limits", "sheet_screen", "sheet_tag")
_VARIABLE = re.compile(r"var\(--([a-z0-9-]+)\)")


@dataclass(frozen=True, slots=True, eq=False)
class Theme:
    """A theme as read. `light` maps token names to CSS values; `dark` and `sunlight` hold only what differs."""

    name: str
    templates: Mapping[str, str]
    styles: Mapping[str, str]
    scripts: Mapping[str, str]
    light: Mapping[str, str]
    dark: Mapping[str, str]
    sunlight: Mapping[str, str]
    index_scripts: Mapping[str, str]

    def style(self, document: str) -> str:
        """The document's style sheet, with the tokens as custom properties: for browsers.

        The browser's scheme counts until the page picks one of its own by `data-look` on its root.
        """
        dark, sunlight = _properties(self.dark), _properties(self.sunlight)
        looks = f"@media screen and (prefers-color-scheme:dark){{:root:not([data-look]){{{dark}}}}}\n" if dark else ""
        looks += f"@media screen{{:root[data-look=dark]{{{dark}}}:root[data-look=sunlight]{{{sunlight}}}}}\n"
        return f":root{{{_properties(self.light)}}}\n{looks}{self.styles[document]}"

    def flat_style(self, document: str) -> str:
        """The document's style sheet with the light tokens written in: for paper."""
        return _VARIABLE.sub(lambda match: self.light[match[1]], self.styles[document])

    @property
    def script(self) -> str:
        """All scripts of the checklist, in alphabetical order of their names."""
        return "\n".join(self.scripts[name] for name in sorted(self.scripts))

    @property
    def index_script(self) -> str:
        """All scripts of the index, in alphabetical order of their names."""
        return "\n".join(self.index_scripts[name] for name in sorted(self.index_scripts))


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
    light, dark, sunlight = _tokens(name, _read(folder, "tokens.json"))
    styles = {document: _read(folder, f"{document}.css") for document in _STYLES}
    for document, text in styles.items():
        unknown = sorted(set(_VARIABLE.findall(text)) - set(light))
        if unknown:
            raise ThemeFault(
                f"theme {name}: {document}.css uses tokens that tokens.json does not have: {', '.join(unknown)}"
            )
    templates = {path.name: _read(folder, path.name) for path in sorted(folder.glob("*.html"))}
    for document in (*DOCUMENTS, *(f"sheet_{sheet}" for sheet in SHEETS)):
        if f"{document}.html" not in templates:
            raise ThemeFault(f"theme {name}: {document}.html is missing")
    tables = (templates, styles, _scripts(folder, "js"), light, dark, sunlight, _scripts(folder, "js/index"))
    return Theme(name, *map(MappingProxyType, tables))


def _scripts(folder: Path, below: str) -> dict[str, str]:
    return {path.name: _read(folder, f"{below}/{path.name}") for path in sorted((folder / below).glob("*.js"))}


def _properties(tokens: Mapping[str, str]) -> str:
    return "".join(f"--{name}:{value};" for name, value in tokens.items())


def _read(folder: Path, name: str) -> str:
    try:
        return (folder / name).read_text(encoding="utf-8")
    except FileNotFoundError:
        raise ThemeFault(f"theme {folder.name}: {name} is missing") from None
    except (OSError, UnicodeDecodeError) as fault:
        raise ThemeFault(f"theme {folder.name}: {name} cannot be read ({fault})") from None


def _tokens(name: str, text: str) -> tuple[dict[str, str], dict[str, str], dict[str, str]]:
    try:
        data = json.loads(text)
    except json.JSONDecodeError as fault:
        raise ThemeFault(f"theme {name}: tokens.json, line {fault.lineno}: {fault.msg}") from None
    tables = []
    for key in ("light", "dark", "sunlight"):
        # Only sunlight may be left out: a theme without it looks in the sun as it does in the light.
        table = data.get(key, {} if key == "sunlight" else None) if isinstance(data, dict) else None
        if not isinstance(table, dict) or not all(isinstance(value, str) for value in table.values()):
            raise ThemeFault(f"theme {name}: tokens.json needs a table '{key}' of names and CSS values")
        tables.append({str(key): str(value) for key, value in table.items()})
    light, dark, sunlight = tables
    for key, table in (("dark", dark), ("sunlight", sunlight)):
        strange = sorted(set(table) - set(light))
        if strange:
            raise ThemeFault(f"theme {name}: tokens.json has {key} tokens with no light one: {', '.join(strange)}")
    return light, dark, sunlight
