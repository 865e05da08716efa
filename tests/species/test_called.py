"""A plan names its species as the keeper does, and every product shows that name and examples of that species."""

from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner, Result

from advisor.cli import main
from advisor.reading.names import names_in, profile_files
from advisor.reading.species_by_name import profile_called
from advisor.show import Show
from advisor.wording import profile_examples
from tests.support import ROOT, situation_of

FIRST = (ROOT / "examples" / "first-season.yaml").read_text("utf-8")


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def plan_of(folder: Path, species: str) -> Path:
    target = folder / "plan.yaml"
    target.write_text(FIRST.replace("species: pantherophis-guttatus", f'species: "{species}"'), "utf-8")
    assert target.read_text("utf-8") != FIRST
    return target


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("royal python", "royal python"),
        ("Ball Pythons", "ball python"),
        ("Python regius", "Python regius"),
        ("python-regius", "royal python"),
    ],
)
def test_the_name_in_the_plan_is_the_name_shown(typed: str, shown: str, tmp_path: Path) -> None:
    plan = plan_of(tmp_path, typed)
    other = {"royal python", "ball python"} - {shown}
    for command in (
        ["check", plan],
        ["checklist", plan, "-o", tmp_path / "list.md"],
        ["calendar", plan, "-o", tmp_path / "days.ics"],
    ):
        result = run(*command)
        assert result.exit_code in (0, 1), result.output
    texts = [
        run("check", plan).stdout,
        *((tmp_path / name).read_text("utf-8") for name in ("list.md", "days.ics")),
    ]
    for text in texts:
        plain = " ".join(text.replace("\r\n ", "").split()).lower()
        assert shown.lower() in plain
        assert not any(name in plain for name in other)
    assert "(python-regius)" in texts[0]


@pytest.mark.parametrize("identifier", sorted(profile_files()))
def test_every_name_in_a_plan_is_its_species(identifier: str) -> None:
    """Every name of every profile that is its own: the same figures as by the id, and another name."""
    names = names_in(profile_files()[identifier])
    by_id = situation_of({"clutches": [{"species": identifier}]})
    for name in (names.scientific, *names.common):
        found = situation_of({"clutches": [{"species": name}]})
        assert list(found.species) == [identifier]
        assert found.species[identifier].name == name
        assert found.forecast.clutches == by_id.forecast.clutches or name != by_id.species[identifier].name


def test_a_name_of_two_species_is_asked(tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    for identifier in ("elaphe-exemplaris", "boa-exemplaris"):
        profile = (ROOT / "species" / "python-regius.yaml").read_text("utf-8")
        data = yaml.load(profile, Loader=yaml.BaseLoader)
        data |= {"id": identifier, "names": {"scientific": identifier, "common": ["garden snake"]}}
        (own / f"{identifier}.yaml").write_text(yaml.safe_dump(data), "utf-8")
    result = run("check", plan_of(tmp_path, "garden snake"), "--species", own)
    assert result.exit_code == 2
    assert "'garden snake' is the name of more than one species" in result.stderr
    assert "boa-exemplaris, elaphe-exemplaris" in result.stderr


def test_two_clutches_of_one_species_share_the_first_name() -> None:
    clutches = [{"species": "python-regius"}, {"species": "royal python"}, {"species": "ball python"}]
    found = situation_of({"clutches": clutches})
    assert [clutch.species for clutch in found.plan.clutches] == ["python-regius"] * 3
    assert found.species["python-regius"].name == "royal python"


def test_examples_are_of_the_plans_own_species(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text("format: 1\nclutches: [{species: ball python}, {species: corn snake}]\n", "utf-8")
    for command in (["check", plan], ["check", plan, "--why", "eggs-unlike-species"]):
        shown = run(*command).stdout
        masses = [
            profile_examples(profile_called(name), Show())["clutches[].egg_mass"]
            for name in ("ball python", "corn snake")
        ]
        for index, mass in enumerate(masses):
            assert f"clutches[{index}].egg_mass, for example {mass}" in shown
        assert masses[0] != masses[1]


@pytest.mark.parametrize("identifier", sorted(profile_files()))
@pytest.mark.parametrize("units", ["metric", "us"])
def test_examples_of_a_species_can_be_written_into_a_plan(identifier: str, units: str) -> None:
    """And lie within what the profile says, but for rounding (0.3 K from a whole °F)."""
    species = profile_called(identifier)
    examples = profile_examples(species, Show(units))
    clutch: dict[str, Any] = {"species": identifier}
    for entry in ("eggs", "egg_mass", "placed", "cool_period"):
        if f"clutches[].{entry}" in examples:
            clutch[entry] = yaml.load(examples[f"clutches[].{entry}"], Loader=yaml.BaseLoader)
    plan: dict[str, Any] = {"units": units, "clutches": [clutch]}
    if "control.set_to" in examples:
        plan["control"] = {"set_to": examples["control.set_to"]}
    if "egg_boxes[].medium.mix" in examples:
        mix = yaml.load(examples["egg_boxes[].medium.mix"], Loader=yaml.BaseLoader)
        plan["egg_boxes"] = [
            {"name": "a", "holds": "eggs", "medium": {"material": "vermiculite", "mix": mix}}
        ]
    found = situation_of(plan).plan
    if species.eggs.mass is not None:
        mass = found.clutches[0].egg_mass
        # Rounding to two digits moves a mass by 5 % at most.
        assert mass is not None and 0.95 * species.eggs.mass.low <= mass <= 1.05 * species.eggs.mass.high
    if species.aim is not None:
        assert found.control.set_to is not None
        assert species.aim.low - 0.3 <= found.control.set_to <= species.aim.high + 0.3
