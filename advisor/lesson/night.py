"""A whole club night for one species: the pages of the pack, the list to take home, the plans, worked out from a seed."""

import datetime
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from advisor.assess import Assessment, situation_for
from advisor.drawings.canvas import WIDTH
from advisor.forecast.clutch.curves import expected_at
from advisor.forecast.for_papers import egg_sizes_of, paper_figures
from advisor.lesson.faults import SET_UPS, Fault, set_ups, with_faults
from advisor.lesson.pages import Judged, Lesson, Pack, about_the_box, pack_of, take_home_pictures
from advisor.lesson.sound_plan import Data, plan_yaml, sound_plan, without_dates
from advisor.model.findings import Report
from advisor.model.papers import EggSizes
from advisor.model.species import Species
from advisor.papers.checklist.checklist import Checklist, checklist_of
from advisor.papers.page import render
from advisor.reading.plan import read_document
from advisor.reading.quantities import Refusal
from advisor.reading.yaml_text import parse_yaml
from advisor.rules import rule_modules
from advisor.rules.engine import judge
from advisor.show import Show

OFF_BY = (-1.0, 0.0, 1.0)  # K; what a thermostat that nobody checked is off by; judgement


class Night(Struct, frozen=True):
    """The pages, the list to take home with its pictures, and the plan files by name."""

    pack: Pack
    take_home: Checklist
    pictures: tuple[str, ...]
    plans: dict[str, str]

    def files(self, paper: str) -> dict[str, str]:
        """Every file of the pack by its name."""
        pages = [
            "talk",
            "comparison",
            "set-ups",
            "answers",
            "take-home",
            *(["sexes"] if self.pack.sexes else []),
        ]
        return {
            f"{number}-{name}.html": render(
                f"lesson/{name}.html",
                paper,
                list=self.take_home if name == "take-home" else self.pack,
                pictures=self.pictures,
            )
            for number, name in enumerate(pages, start=1)
        } | self.plans


def night_of(
    species: Species,
    seed: int,
    units: str,
    today: datetime.date,
    own_species: Path | None = None,
    width: float = WIDTH,
) -> Night:
    """The night of a species, its pictures `width` wide; raises `Refusal` where its profile allows no sound plan, or too few faults to judge."""

    def judged(data: Data, name: str) -> Assessment:
        text = plan_yaml(data, name)
        plan, document = read_document(parse_yaml(text.encode(), name), own_species=own_species)
        situation = situation_for(plan, own_species)
        return Assessment(document, situation, about_the_box(judge(situation, rule_modules())))

    sound = sound_plan(species, units, today, judged, own_species)
    if sound is None:
        raise Refusal(f"the profile of {species.name} does not allow a sound plan", "Choose another species.")
    data, judged_sound = sound
    lid = _with_figures(judged_sound)
    usual = frozenset(finding.rule for finding in judged_sound.report.findings)
    drawn = lid.figures.egg_sizes[0] is not None
    found = set_ups(data, species, seed, today, judged, usual, drawn)
    if len(found) < SET_UPS:
        raise Refusal(f"for {species.name} the rules cannot judge enough faults", "Choose another species.")
    below = with_faults(
        data, (Fault("heat-from-below-wet-medium", {"heat.place": "floor"}),), "Heat from the floor"
    )
    floor = judged(below, "floor-heat")
    set_to = judged_sound.situation.plan.control.set_to
    by_warmth = species.sex.set_by not in ("chromosomes", None)
    around = [set_to + off for off in OFF_BY] if by_warmth and set_to is not None else []
    pack = pack_of(
        Lesson(
            species,
            Show(units),
            seed,
            today,
            lid,
            _with_figures(floor),
            tuple((set_up, _egg_sizes(set_up.assessment)) for set_up in found),
            tuple(expected_at(species, celsius) for celsius in around),
            width,
        )
    )
    home = _with_figures(judged(without_dates(data), "take-home"))
    quiet = replace(home.assessment, report=Report((), (), (), ()))
    told = [
        ("sound-box.yaml", data, "The sound box of the club night."),
        ("floor-heat.yaml", below, "The same box with the heat from the floor."),
        *(
            (f"set-up-{set_up.letter.lower()}.yaml", set_up.data, "What is wrong with this set-up?")
            for set_up in found
        ),
    ]
    plans = {
        name: plan_yaml(plan, f"{about} Run: advisor check {name}{pack.also}") for name, plan, about in told
    }
    shown = take_home_pictures(home, Show(units))
    return Night(pack, checklist_of(quiet, home.figures, today, True), shown, plans)


def _with_figures(assessment: Assessment) -> Judged:
    situation = assessment.situation
    return Judged(assessment, paper_figures(situation.plan, situation.species, situation.forecast))


def _egg_sizes(assessment: Assessment) -> EggSizes:
    return egg_sizes_of(assessment.situation.plan, assessment.situation.species)
