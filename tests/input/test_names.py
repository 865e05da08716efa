"""Names of species as the quick list reads them, against the full reader, over styles of YAML."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.cli import main
from advisor.reading import names as quick
from advisor.reading.names import Names, listed_names, names_in, profile_files
from advisor.reading.problems import InputError
from advisor.reading.species import load_species
from advisor.reading.yaml_text import parse_yaml

PROFILES = profile_files()


def block(text: dict[str, Any], **how: Any) -> str:
    return yaml.safe_dump(text, allow_unicode=True, sort_keys=False, **how)


def folded(names: dict[str, Any]) -> str:
    """Lists over several lines, scalars folded, with comments between them."""
    lines = [f"names: # of the species\n  scientific: >-\n    {names['scientific']}\n"]
    for key in ("common", "former"):
        for number, name in enumerate(names.get(key, ())):
            head = "" if number else f"  # {key}: [not, these]\n  {key}:\n"
            lines.append(f"{head}    - |-\n      {name}\n    # another\n")
    if not names["common"]:
        lines.append("  common: []\n")
    return "".join(lines)


STYLES: dict[str, Callable[[dict[str, Any]], str]] = {
    "block": lambda names: block({"names": names}),
    "flow": lambda names: f"names: {block(names, default_flow_style=True, width=1000)}",
    "flow over lines": lambda names: f"names: {block(names, default_flow_style=True, width=20)}",
    "single quotes": lambda names: block({"names": names}, default_style="'"),
    "double quotes": lambda names: block({"names": names}, default_style='"', width=20),
    "folded": folded,
    "json": lambda names: (
        f'"names": {yaml.safe_dump(names, default_flow_style=True, default_style=chr(34), width=1000)}'
    ),
}


@pytest.mark.parametrize("style", STYLES)
def test_names_are_the_same_in_every_style(style: str, tmp_path: Path) -> None:
    for identifier in PROFILES:
        known = load_species(identifier)
        names: dict[str, Any] = {"scientific": known.scientific, "common": list(known.common)}
        if known.former:
            names["former"] = list(known.former)
        path = tmp_path / f"{identifier}.yaml"
        for head in ("", "# a comment\nformat: 1\nnotes: |\n  names: {common: [not this]}\n"):
            path.write_text(f"{head}{STYLES[style](names)}", "utf-8")
            assert names_in(path) == Names(known.scientific, known.common, known.former), path.read_text(
                "utf-8"
            )


def test_shipped_profiles_are_read_without_yaml(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(path: Path) -> Names:
        raise AssertionError(f"{path} is read in full")

    monkeypatch.setattr(quick, "_read_in_full", refused)
    for identifier, path in PROFILES.items():
        known = load_species(identifier)
        assert names_in(path) == Names(known.scientific, known.common, known.former)


texts = st.text(st.sampled_from("abZ é'\"-.,:#[]{}&*!|>%@~\n\t0_()`?"), max_size=12)


@settings(max_examples=400, deadline=None)
@given(texts, texts, texts, st.sampled_from(["true", "null", "no", "1:1", "a b", "O'b"]), st.booleans())
def test_whatever_stands_in_the_plain_form_is_read_as_yaml_reads_it(
    tmp_path_factory: pytest.TempPathFactory, one: str, two: str, head: str, odd: str, put_odd: bool
) -> None:
    scientific = odd if put_odd else one
    text = f"id: {head}\nnames: {{scientific: {scientific}, common: [{two}, {odd}]}}\n"
    path = tmp_path_factory.mktemp("drawn") / "drawn.yaml"
    path.write_text(text, "utf-8")
    try:
        data = parse_yaml(text.encode(), "drawn")
    except InputError:
        assert names_in(path) == Names()
        return
    names = data.data.get("names") if isinstance(data.data, dict) else None
    if not isinstance(names, dict):
        assert names_in(path) == Names()
        return
    common = names.get("common")
    expected = tuple(map(str, common)) if isinstance(common, list) else ()
    assert names_in(path).common == expected
    assert names_in(path).scientific == str(names.get("scientific") or "")


@pytest.mark.parametrize(
    "text",
    [
        "names: &a {scientific: A b, common: [c]}\n",
        "names: {scientific: A b, common: &a [c], former: *a}\n",
        "names: !!map {scientific: A b, common: [c]}\n",
        "names: [c]\n",
        "names: {scientific: A b, common: c}\n",
        "",
        "[",
        "- names",
    ],
)
def test_what_the_full_reader_refuses_gives_no_names(text: str, tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    path.write_text(text, "utf-8")
    assert names_in(path).common == ()
    with pytest.raises(InputError):
        names_in(tmp_path / "none.yaml")


def test_a_block_list_is_listed_and_found(tmp_path: Path) -> None:
    shipped = PROFILES["pantherophis-guttatus"].read_text("utf-8")
    line = next(row for row in shipped.splitlines() if row.startswith("names:"))
    own = shipped.replace("id: pantherophis-guttatus", "id: pantherophis-hortus").replace(
        line, "names:\n  scientific: Pantherophis hortus\n  common:\n    - garden snake\n    - 'hedge snake'"
    )
    (tmp_path / "pantherophis-hortus.yaml").write_text(own, "utf-8")
    assert dict(listed_names(tmp_path))["pantherophis-hortus"] == "garden snake, hedge snake"
    shown = CliRunner().invoke(main, ["species", "show", "hedge snake", "--species", str(tmp_path)])
    assert shown.exit_code == 0
    assert "Pantherophis hortus" in shown.output
