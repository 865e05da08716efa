"""Where the species profiles and the schemas are, however the package was installed."""

from functools import cache
from pathlib import Path


@cache
def data_folder() -> Path:
    """The folder that holds species/ and schema/: packed into the wheel, or the checkout itself."""
    package = Path(__file__).resolve().parent
    for candidate in (package / "_data", package.parent):
        if (candidate / "species").is_dir() and (candidate / "schema").is_dir():
            return candidate
    raise FileNotFoundError(f"no species/ and schema/ folders in {package / '_data'} or {package.parent}")


def species_folder() -> Path:
    """The folder of the shipped species profiles."""
    return data_folder() / "species"


def schema_file(name: str) -> Path:
    """The path of one schema by its short name, for example "plan"."""
    return data_folder() / "schema" / f"{name}.schema.json"


def examples_folder() -> Path:
    """The folder of the shipped example plans."""
    return data_folder() / "examples"
