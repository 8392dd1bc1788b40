"""A theme: a folder of templates, style sheets, scripts and tokens, read once and frozen.

A theme holds `card.html`, `checklist.html` and `index.html` (Jinja2), a style sheet of the same name for each, a
template `sheet_NAME.html` for each of the sheets around the cards with the style sheets that these share, scripts in
`js/` (joined in alphabetical order; those of the index in `js/index/`) and `tokens.json`: the colours and sizes that
the style sheets name as `var(--name)`.

A theme that stands over another one (`"over": "daylight"` in its tokens.json) holds only what differs: tokens, whole
templates and scripts take the place of those below, style sheets are added behind them.
"""

import json
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from benchleaf.base.resources import theme_names, themes_root
from benchleaf.render.fault import ThemeFault

# Where a workspace keeps themes of its own.
THEMES = "themes"
DOCUMENTS = ("card", "checklist", "index")
# The script by which the others say fixed words.
SAY = "say.js"
SHEETS = ("isolation", "limits", "machine", "picking", "reading", "tag")
_STYLES = (*DOCUMENTS, "sheet", "sheet_limits", "sheet_screen", "sheet_tag")
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_VARIABLE = re.compile(r"var\(--([a-z0-9-]+)\)")


@dataclass(frozen=True, slots=True, eq=False)
class Theme:
    """A theme as read; `name` is what `load` takes, the path of its folder for one from outside the package.

    `light` maps token names to CSS values; `dark` and `sunlight` hold only what differs."""

    name: str
    templates: Mapping[str, str]
    styles: Mapping[str, str]
    scripts: Mapping[str, str]
    light: Mapping[str, str]
    dark: Mapping[str, str]
    sunlight: Mapping[str, str]
    index_scripts: Mapping[str, str]

    @property
    def label(self) -> str:
        """The name that people know it by."""
        return Path(self.name).name

    @property
    def foreign(self) -> bool:
        """Whether it comes from outside the package."""
        return os.sep in self.name

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
        """All scripts of the index, in alphabetical order of their names, with the one that says fixed words."""
        scripts = {**self.index_scripts, SAY: self.scripts[SAY]} if SAY in self.scripts else self.index_scripts
        return "\n".join(scripts[name] for name in sorted(scripts))


def load(name: str = "daylight") -> Theme:
    """The theme of this name among those that travel with the package, or in the folder of this path.

    Raises ThemeFault with the known names when there is none, or when it is broken.
    """
    if os.sep in name:
        return load_folder(Path(name))
    known = theme_names()
    if name not in known:
        raise ThemeFault(f"there is no theme {name}; there are: {', '.join(known)}")
    return load_folder(themes_root() / name)


def find(name: str, themes: Path) -> str:
    """What `load` takes for this theme: a theme in the folder `themes` comes before one of the package."""
    own = themes / name
    is_own = name not in ("", ".", "..") and not {"/", "\\"} & set(name) and own.is_dir()
    return str(own.resolve()) if is_own else name


def load_folder(folder: Path) -> Theme:
    """The theme in this folder. Raises ThemeFault when a file is missing, unreadable or names an unknown token."""
    return _loaded(folder, ())


def _loaded(folder: Path, above: tuple[Path, ...]) -> Theme:
    name = folder.name
    data = _data(folder)
    base = _below(folder, data, above)
    light, dark, sunlight = _tokens(folder, data, base)
    styles = {document: _style(folder, document, base) for document in _STYLES}
    for document, text in styles.items():
        unknown = sorted(set(_VARIABLE.findall(text)) - set(light))
        if unknown:
            raise ThemeFault(
                f"theme {name}: {document}.css uses tokens that tokens.json does not have: {', '.join(unknown)}",
                folder / f"{document}.css",
            )
    templates = dict(base.templates) if base else {}
    templates |= {path.name: _read(folder, path.name) for path in sorted(folder.glob("*.html"))}
    for document in (*DOCUMENTS, *(f"sheet_{sheet}" for sheet in SHEETS)):
        if f"{document}.html" not in templates:
            raise ThemeFault(f"theme {name}: {document}.html is missing", folder / f"{document}.html")
    scripts = (dict(base.scripts) if base else {}) | _scripts(folder, "js")
    of_index = (dict(base.index_scripts) if base else {}) | _scripts(folder, "js/index")
    tables = (templates, styles, scripts, light, dark, sunlight, of_index)
    ours = folder.parent.resolve() == themes_root().resolve()
    return Theme(name if ours else str(folder), *map(MappingProxyType, tables))


def _below(folder: Path, data: Mapping[str, object], above: tuple[Path, ...]) -> Theme | None:
    """The theme that this one stands over: one beside it, otherwise one of the package."""
    over = data.get("over")
    if over is None:
        return None
    if not isinstance(over, str) or not _NAME.fullmatch(over):
        raise ThemeFault(f"theme {folder.name}: 'over' names a theme, as in \"daylight\"", folder / "tokens.json")
    beside = folder.parent / over
    if beside.is_dir() and beside != folder:
        place = beside
    elif over in theme_names() and themes_root() / over != folder:
        place = themes_root() / over
    else:
        known = ", ".join(theme_names())
        raise ThemeFault(
            f"theme {folder.name}: there is no theme {over} below it; there are: {known}", folder / "tokens.json"
        )
    if place in above:
        raise ThemeFault(f"theme {folder.name}: it stands over itself", folder / "tokens.json")
    return _loaded(place, (*above, folder))


def _style(folder: Path, document: str, base: Theme | None) -> str:
    if base is None:
        return _read(folder, f"{document}.css")
    below = base.styles[document]
    return f"{below}\n{_read(folder, f'{document}.css')}" if (folder / f"{document}.css").exists() else below


def _scripts(folder: Path, below: str) -> dict[str, str]:
    return {path.name: _read(folder, f"{below}/{path.name}") for path in sorted((folder / below).glob("*.js"))}


def _properties(tokens: Mapping[str, str]) -> str:
    return "".join(f"--{name}:{value};" for name, value in tokens.items())


def _read(folder: Path, name: str) -> str:
    try:
        return (folder / name).read_text(encoding="utf-8")
    except FileNotFoundError:
        raise ThemeFault(f"theme {folder.name}: {name} is missing", folder / name) from None
    except (OSError, UnicodeDecodeError) as fault:
        raise ThemeFault(f"theme {folder.name}: {name} cannot be read ({fault})", folder / name) from None


def _data(folder: Path) -> dict[str, object]:
    text = _read(folder, "tokens.json")
    try:
        data = json.loads(text)
    except json.JSONDecodeError as fault:
        sentence = f"theme {folder.name}: tokens.json, line {fault.lineno}: {fault.msg}"
        raise ThemeFault(sentence, folder / "tokens.json", fault.lineno) from None
    except RecursionError:
        raise ThemeFault(f"theme {folder.name}: tokens.json is nested too deeply", folder / "tokens.json") from None
    return data if isinstance(data, dict) else {}


def _tokens(folder: Path, data: Mapping[str, object], base: Theme | None) -> tuple[dict[str, str], ...]:
    """The tables light, dark and sunlight, those of the theme below them included."""
    file = folder / "tokens.json"
    tables = []
    for key in ("light", "dark", "sunlight"):
        # Only sunlight may be left out: a theme without it looks in the sun as it does in the light.
        table = data.get(key, {} if key == "sunlight" or base else None)
        if not isinstance(table, dict) or not all(isinstance(value, str) for value in table.values()):
            raise ThemeFault(f"theme {folder.name}: tokens.json needs a table '{key}' of names and CSS values", file)
        below = getattr(base, key) if base else {}
        tables.append({**below, **{str(name): str(value) for name, value in table.items()}})
    for key, table in zip(("dark", "sunlight"), tables[1:], strict=True):
        strange = sorted(set(table) - set(tables[0]))
        if strange:
            sentence = f"theme {folder.name}: tokens.json has {key} tokens with no light one: {', '.join(strange)}"
            raise ThemeFault(sentence, file)
    return tuple(tables)
