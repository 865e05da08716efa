"""Plans and papers that several tests share: examples, US units, hostile text, odd set-ups."""

import datetime
import json
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from advisor.advice.remedies import advised
from advisor.assess import Assessment, assess
from advisor.forecast.for_papers import paper_figures
from advisor.model.papers import PaperFigures
from advisor.papers.cards import Cards, cards_of
from advisor.papers.checklist.checklist import Checklist, checklist_of
from advisor.papers.page import TEMPLATES, render
from advisor.papers.refused import for_paper
from tests.support import ROOT, merged

TICKS = (TEMPLATES / "ticks.js").read_text("utf-8")
EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))
DAY = datetime.date(2027, 4, 1)

_HARM = (
    "<script>alert(1)</script> {{ 7*7 }} {% x %} ![p](http://a.invalid/x.png) [c](javascript:alert(1)) # h | `code` "
    "**b** <!-- --> &amp; \u202egnp.exe \u05d0\u05d1\u05d2 \u0639\u0631\u0628 \U0001f98e\U0001f95a "
    "</style><style>*{display:none} www.example.invalid $x$ ~~s~~ \x1b[31m a@b.invalid "
)
HOSTILE = (_HARM + "n" * 300)[:300]
HOSTILE_NAME = ("<img src=x onerror=alert(1)>\u202e\U0001f98e|`*_#" + "w" * 80)[:80]
HOSTILE_PROBE = ("</svg><script>{{ 7*7 }}" + "m" * 80)[:80]


class _Plain(yaml.SafeDumper):
    """Writes text that looks like a number without quotes, so that fragments keep their numbers."""


_Plain.yaml_implicit_resolvers = {}


def plan_file(path: Path, changes: dict[str, Any], base: str = "first-season") -> Path:
    """An example plan with changes laid over it, written to a file."""
    data = yaml.load((ROOT / "examples" / f"{base}.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    plan = _as_text(merged(data, changes))
    path.write_text(yaml.dump(plan, Dumper=_Plain, allow_unicode=True, sort_keys=False), "utf-8")
    return path


def _as_text(data: Any) -> Any:
    """The data with every number as text, which the plain dumper writes bare."""
    if isinstance(data, dict):
        return {key: _as_text(value) for key, value in data.items()}
    return [_as_text(value) for value in data] if isinstance(data, list) else str(data)


def hostile_plan(path: Path) -> Path:
    """A plan that is whole, with text that wishes harm wherever a plan takes free text."""
    data = yaml.load((ROOT / "examples" / "first-season.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    boxes = data["egg_boxes"]
    boxes[0]["name"], boxes[1]["name"] = HOSTILE_NAME, HOSTILE_PROBE
    data["clutches"][0]["box"] = HOSTILE_NAME
    data |= {
        "title": HOSTILE,
        "people": {"residual_current_device": "no"},
        "accept": [{"rule": "people-no-residual-current-device", "because": HOSTILE}],
    }
    del data["watching"]
    path.write_text(_numbers_bare(data), "utf-8")
    return path


def _numbers_bare(data: Any) -> str:
    """Flow YAML with quoted texts and bare numbers."""
    if isinstance(data, dict):
        return "{" + ", ".join(f"{key}: {_numbers_bare(value)}" for key, value in data.items()) + "}"
    if isinstance(data, list):
        return "[" + ", ".join(_numbers_bare(value) for value in data) + "]"
    text = str(data)
    return text if text.replace(".", "", 1).isdigit() else json.dumps(text, ensure_ascii=False)


ODD: dict[str, dict[str, Any]] = {
    "bath": {
        "title": "Water bath in a glass tank",
        "outer_box": {
            "inside": None,
            "outside": "90 x 50 x 45 cm",
            "wall": {"material": "glass", "thickness": "6 mm"},
        },
        "heat": {"source": "water bath", "place": "in water", "power": "100 W", "size": None},
        "control": {"thermostat": "on-off", "switching_band": "1 °F", "probe": {"sits_in": "air"}},
        "egg_boxes": [
            {
                "name": "a name that goes on and on and on until the eighty signs it may have are full",
                "count": 7,
                "holds": "eggs",
                "inside": "20 x 14 x 9 cm",
                "stands": "on a rack",
                "tier": "two",
                "lid": {"fit": "loose", "thickness": "1 mm", "holes": "none"},
                "medium": {
                    "material": "perlite",
                    "depth": "4 cm",
                    "mix": {"medium": 1, "water": 1, "by": "mass"},
                },
            }
        ],
        "clutches": [
            {
                "species": "pogona-vitticeps",
                "eggs": 20,
                "egg_mass": "3 g",
                "box": "a name that goes on and on and on until the eighty signs it may have are full",
                "placed": "over the medium",
                "laying": {"laid_on": "2027-05-01"},
            },
            {"species": "eublepharis-macularius", "eggs": 2, "wanted": "males"},
        ],
    },
    "tall": {
        "outer_box": {"inside": "30 x 30 x 60 cm", "wall": {"material": "plywood", "thickness": "12 mm"}},
        "heat": {"source": "cable", "place": "all sides", "power": "50 W", "size": "40 x 30 cm"},
        "control": {"probe": {"sits_in": "on heater"}, "cut_out": "none"},
        "power_cut": {"prepared": "nothing", "water": None},
        "clutches": [
            {
                "species": "pantherophis-guttatus",
                "eggs": 14,
                "egg_mass": "11 g",
                "box": "eggs",
                "placed": "on the surface",
                "parted": "left together",
                "laying": {"laid_on": "2027-05-11"},
            }
        ],
    },
    "crowd": {
        "egg_boxes": [
            {
                "name": f"kind {number}",
                "count": number,
                "holds": "eggs",
                "inside": f"{10 + number} x 9 x 8 cm",
                "stands": "on the floor",
                "tier": "one",
                "lid": {"fit": "clip", "thickness": "1 mm", "holes": {"count": number, "diameter": "2 mm"}},
                "medium": {
                    "material": "vermiculite",
                    "grade": "medium",
                    "depth": "4 cm",
                    "mix": {"medium": number, "water": 1, "by": "volume"},
                },
            }
            for number in range(1, 13)
        ],
        "clutches": [
            {
                "species": "pantherophis-guttatus",
                "eggs": 10,
                "egg_mass": "11 g",
                "box": f"kind {number}",
                "laying": {"expected": f"2027-05-{number:02d} to 2027-05-{number + 5:02d}"},
            }
            for number in range(1, 13)
        ],
    },
}

_SEASON = yaml.load((ROOT / "examples" / "first-season.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
# Looked at every three days, with water added each time: a row for each would need a third page.
ODD["often"] = {
    "title": "Looked at often",
    "checks": {"rhythm": [{"every": "3 days"}]},
    "egg_boxes": [{**_SEASON["egg_boxes"][0], "top_up": {"to": "+60 g"}}, _SEASON["egg_boxes"][1]],
}
# A bath may start, for all that it is told to watch: two clutches, and all figures on the leaf.
ODD["two over a bath"] = {
    "title": "Two clutches over a bath",
    "outer_box": {"inside": "60 x 40 x 35 cm"},
    "heat": {"source": "water bath", "place": "in water", "power": "25 W", "size": None, "bath_water": "15 L"},
    "control": {
        "thermostat": "on-off", "switching_band": "0.5 °C", "set_to": "30 °C", "cut_out": {"set_to": "32 °C"},
        "probe": {"sits_in": "water", "fixed": "yes"},
    },
    "egg_boxes": [{**_SEASON["egg_boxes"][0], "count": 1}],
    "clutches": [
        {**_SEASON["clutches"][0], "eggs": 7, "laying": {"expected": "2027-05-09 to 2027-05-16"}},
        {**_SEASON["clutches"][0], "eggs": 6, "laying": {"expected": "2027-05-10 to 2027-05-17"}},
    ],
}  # fmt: skip
# A sound season of six clutches, each in a kind of box of its own, some laid and some not.
ODD["six"] = {
    "title": "Six clutches",
    "outer_box": {"inside": "80 x 60 x 25 cm"},
    "heat": {"power": "25 W", "size": "70 x 50 cm"},
    "egg_boxes": [
        *(
            {
                **_SEASON["egg_boxes"][0],
                "name": f"box {number}",
                "count": 1,
                **({"tare": "142 g"} if number < 3 else {}),
            }
            for number in range(6)
        ),
        _SEASON["egg_boxes"][1],
    ],
    "clutches": [
        {
            **_SEASON["clutches"][0],
            "box": f"box {number}",
            "eggs": 7 + number,
            "laying": {"laid_on": f"2027-05-{9 + 4 * number:02d}"}
            if number < 4
            else {"shed_on": "2027-05-20"},
        }
        for number in range(6)
    ],
}


@dataclass(frozen=True, slots=True)
class Papers:
    """One plan's papers as data."""

    assessment: Assessment
    figures: PaperFigures
    checklist: Checklist
    cards: Cards


def papers_of(path: Path, whole: bool = False, advise: bool = False) -> Papers:
    """Everything that is printed for a plan file; `whole`: as it would be with what the check refuses.

    Trying remedies takes a second a plan, so it is done only where a test reads them.
    """
    assessment = advised(assess(path)) if advise else assess(path)
    assessment = assessment if whole else for_paper(assessment)
    situation = assessment.situation
    figures = paper_figures(situation.plan, situation.species, situation.forecast)
    return Papers(
        assessment, figures, checklist_of(assessment, figures, DAY, True), cards_of(assessment, figures, DAY)
    )


@cache
def example(name: str, whole: bool = False) -> Papers:
    """The papers of an example plan."""
    return papers_of(ROOT / "examples" / f"{name}.yaml", whole, advise=True)


def html_of(papers: Papers, kind: str, paper: str = "a4") -> str:
    """The checklist or the cards as an HTML page."""
    return render(f"{kind}.html", paper, list=getattr(papers, kind))


def markdown_of(papers: Papers, kind: str) -> str:
    """The checklist or the cards as Markdown."""
    return render(f"{kind}.md", "a4", list=getattr(papers, kind))


def without_ticks(html: str) -> str:
    """The page without the one script that may stand on it, with a key of hexadecimal digits."""
    return re.sub(f'<script data-plan="[0-9a-f]{{16}}">{re.escape(TICKS)}</script>', "", html, count=1)
