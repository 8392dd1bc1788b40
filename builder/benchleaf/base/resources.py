"""Where the data that travels with the package lies: in a checkout or in a wheel; nobody else needs to know."""

from functools import cache
from pathlib import Path

# Paths rather than importlib.resources, which alone costs a third of the time that `check` may take; the fonts and
# pictures among the data need real files anyway, so the package never runs from inside a zip.
_PACKAGE = Path(__file__).resolve().parents[1]
_SUFFIX = ".schema.json"


@cache
def checkout_root() -> Path | None:
    """The folder of the checkout that this package runs from; None for an installed wheel."""
    root = _PACKAGE.parents[1]
    return root if _PACKAGE.parent.name == "builder" and (root / "pyproject.toml").is_file() else None


def _data_root() -> Path:
    return checkout_root() or _PACKAGE / "_data"


def package_root() -> Path:
    """The folder of the package's own modules and tables."""
    return _PACKAGE


def schema_root() -> Path:
    """The folder of the JSON Schemas."""
    return _data_root() / "schema"


def schema_names() -> tuple[str, ...]:
    """Names of all schemas, such as `machine`, in alphabetical order."""
    return tuple(sorted(path.name.removesuffix(_SUFFIX) for path in schema_root().glob("*" + _SUFFIX)))


def schema_text(name: str) -> str:
    """Text of the schema `schema/NAME.schema.json`.

    Raises FileNotFoundError for a name that is not among `schema_names`.
    """
    return (schema_root() / (name + _SUFFIX)).read_text(encoding="utf-8")


def themes_root() -> Path:
    """The folder that holds one folder per theme."""
    return _data_root() / "themes"


def theme_names() -> tuple[str, ...]:
    """Names of all themes, in alphabetical order."""
    return tuple(sorted(path.name for path in themes_root().iterdir() if path.is_dir()))


def theme_file(theme: str, name: str) -> Path:
    """Path of a theme's file; `name` may hold forward slashes.

    Raises FileNotFoundError if there is no such file.
    """
    path = themes_root() / theme / name
    if not path.is_file():
        raise FileNotFoundError(f"the theme {theme} has no file {name}")
    return path


def table_text(room: str, name: str) -> str:
    """Text of a data table inside the package: `table_text("trade", "threads.json")`; `room` may be `trade/energy`.

    Raises FileNotFoundError if the room has no such table.
    """
    return (_PACKAGE / room / name).read_text(encoding="utf-8")
