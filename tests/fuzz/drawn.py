"""Draws plans and profiles that their schemas allow, mostly at the ends of what is allowed.

A damaged good file seldom gets past the schema with an odd number in it; these always do.
"""

import itertools
import random
import re
from typing import Any

import yaml

from advisor.reading.dates import FIRST_YEAR, LAST_YEAR
from advisor.reading.marks import path_key
from advisor.reading.plan import read_document
from advisor.reading.problems import InputError
from advisor.reading.quantities import _limit
from advisor.reading.schema import load_schema
from advisor.reading.schema_check import kind_of
from advisor.reading.sources import shipped_sources
from advisor.reading.yaml_text import parse_yaml
from advisor.rules import ALL_RULE_IDS
from advisor.units import UNITS, celsius_to_fahrenheit
from tests.support import ROOT

EXAMPLES = [path.read_text("utf-8") for path in sorted((ROOT / "examples").glob("*.yaml"))]
SPECIES = sorted(path.stem for path in (ROOT / "species").glob("*-*.yaml"))
SOURCES = sorted(shipped_sources())
EVERYDAY = {
    "days": 60.0,
    "count": 12.0,
    "share": 0.5,
    "temperature": 28.0,
    "length": 0.01,
    "mass": 0.01,
    "size3": 0.2,
}
LONGEST_LIST = 4  # entries, except now and then


MOST_SETTLED = 4  # rounds of taking out what contradicts
CONTRARY = ("measured",)  # entries that hold so much that drawn ones contradict each other


class Draw:
    """Values that fit a schema, from one source of chance."""

    def __init__(self, schema_name: str, chance: random.Random) -> None:
        """`schema_name`: "plan" or "species"."""
        self.root = load_schema(schema_name)
        self.chance = chance

    def value(self, schema: dict[str, Any], key: str = "") -> Any:
        """A value that the schema allows; quantities as text with a unit."""
        if "$ref" in schema:
            schema = self.root["$defs"][schema["$ref"].rsplit("/", 1)[1]]
        if key == "sources":
            return [self.chance.choice(SOURCES)]
        if key == "species":
            return self.chance.choice(SPECIES)
        words = schema.get("enum") or (schema.get("then") or {}).get("enum")
        if words and ("enum" in schema or self.chance.random() < 0.2):
            return self.chance.choice(words)
        if "const" in schema:
            return schema["const"]
        if "x-quantity" in schema:
            return self.quantity(schema)
        both = {**schema, **(schema.get("else") or {})}
        kinds = both.get("type")
        if "properties" in both or kinds == "object":
            return self.block({**both, "required": [*schema.get("required", ()), *both.get("required", ())]})
        if kinds == "array" or "items" in both:
            most = min(both.get("maxItems", LONGEST_LIST), LONGEST_LIST)
            return [
                self.value(both["items"]) for _ in range(self.chance.randint(both.get("minItems", 0), most))
            ]
        if kinds in ("integer", "number"):
            return self.plain_number(both)
        return "word of a keeper '\"><zz-live onzz=1>"  # markup that no page may let live

    def block(self, schema: dict[str, Any]) -> dict[str, Any]:
        """A block with all it needs and most of what it may hold."""
        if "properties" not in schema:  # names of the keeper's own, each with a value of one kind
            return {"T1": self.value(schema["additionalProperties"])}
        drawn = {
            key: self.value(entry, key)
            for key, entry in schema["properties"].items()
            if key in schema["required"] or self.chance.random() < (0.1 if key in CONTRARY else 0.9)
        }
        if {"every", "to"} <= drawn.keys():  # the one or the other
            del drawn[self.chance.choice(("every", "to"))]
        if {"every", "to"} <= schema["properties"].keys() and "to" in drawn:
            drawn["to"] = f"+{drawn['to']}"  # by how much a box is to grow
        return drawn

    def plain_number(self, schema: dict[str, Any]) -> float:
        """A number between the limits, often at one of them; a whole one at times with a decimal point."""
        low = schema.get("minimum", schema.get("exclusiveMinimum", 0))
        high = schema.get("maximum", 1e6)
        if schema["type"] == "integer":
            number = self.chance.choice((low, high, low + 1, 2, 5, self.chance.randint(int(low), int(high))))
            number = min(max(number, low), high)
            return float(number) if self.chance.random() < 0.2 else number
        tiny = 0.0001 if "exclusiveMinimum" in schema else low
        return self.chance.choice((tiny, high, 1, 2, 4.0, round(self.chance.uniform(tiny, high), 4)))

    def quantity(self, schema: dict[str, Any]) -> Any:
        """A quantity as a keeper might type it, one value or a range."""
        kind = kind_of(schema)
        if kind.name == "yes-no":
            return self.chance.choice(("yes", "no"))
        if kind.name in ("date", "date-range"):
            return self.date()
        if kind.name in ("size2", "size3"):
            return " x ".join(
                self.with_unit(
                    "length", self.between(_limit(kind.least, kind), _limit(kind.most, kind), kind.name)
                )
                for _ in range(int(kind.name[-1]))
            )
        low, high = _limit(kind.least, kind), _limit(kind.most, kind)
        numbers = sorted(self.between(low, high, kind.name) for _ in range(2))
        if kind.name in ("count", "days", "share"):
            whole = kind.name == "count"
            texts = [round(number) if whole else round(number, 3) for number in numbers]
            return f"{texts[0]} to {texts[1]}" if kind.range and self.chance.random() < 0.5 else texts[0]
        first, second = (self.with_unit(kind.name, number) for number in numbers)
        return f"{first} to {second}" if kind.range and self.chance.random() < 0.5 else first

    def between(self, low: float, high: float, name: str) -> float:
        """An end, a hair inside one, an everyday value or any other by its magnitude."""
        way = self.chance.random()
        if way < 0.3:
            return self.chance.choice((low, high, low + (high - low) * 1e-6, high - (high - low) * 1e-6))
        if way < 0.7 and name in EVERYDAY:
            return min(max(EVERYDAY[name] * self.chance.uniform(0.5, 2.0), low), high)
        if low > 0:
            return min(max(low * (high / low) ** self.chance.random(), low), high)
        return self.chance.uniform(low, high)

    def with_unit(self, name: str, number: float) -> str:
        """The number in one of the units of its kind."""
        if name == "temperature":
            if self.chance.random() < 0.3:
                return f"{celsius_to_fahrenheit(number):.9f} °F"
            return f"{number:.9f} °C"
        sign, unit = self.chance.choice(list(UNITS[name].items()))
        return f"{number / unit.factor:.18f}".rstrip("0").rstrip(".") + f" {sign}"

    def date(self) -> str:
        """A date near today, or at an end of the calendar."""
        year = self.chance.choice((FIRST_YEAR, LAST_YEAR, 2027, 2027, 2027))
        return f"{year}-{self.chance.randint(1, 12):02}-{self.chance.randint(1, 28):02}"


def drawn_plan(seed: int) -> bytes:
    """A plan that the schema allows and that contradicts itself nowhere; mostly near an everyday plan, in parts far from it."""
    chance = random.Random(seed)
    draw = Draw("plan", chance)
    plan = draw.value(draw.root)
    plan["format"] = 1
    plan["accept"] = []
    box = plan.get("outer_box", {})
    if "inside" in box:
        box.pop("outside", None)
    if chance.random() < 0.6:
        plan = crossed(yaml.safe_load(chance.choice(EXAMPLES)), plan, chance)
        if "inside" in plan.get("outer_box", {}):
            plan["outer_box"].pop("outside", None)
    _settle_boxes_and_clutches(plan, chance)
    rhythm = plan.get("checks", {}).get("rhythm")
    if isinstance(rhythm, list):
        for index, step in enumerate(rhythm):
            step["to_day"] = (index + 1) * 20
        rhythm[-1].pop("to_day")
    return as_yaml(_without_contradictions(plan, chance))


def _without_contradictions(plan: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    """The plan without most of what the reader refuses: of two entries that it names one, else the entry it tells of."""
    for _ in range(MOST_SETTLED):
        try:
            read_document(parse_yaml(as_yaml(plan), "plan.yaml"), ALL_RULE_IDS)
            break
        except InputError as error:
            for problem in error.problems:
                *way, last = path_key(problem.message.split(":")[0].split(" ")[0])
                named = re.findall(r"`(\w+)`", problem.message)
                block = _at(plan, [*way, last] if named else way)
                for key in [chance.choice(named)] if named else [last]:
                    if isinstance(block, dict):
                        block.pop(key, None)
    return plan


def _at(block: Any, way: list[str | int]) -> Any:
    """The block at the end of a way; None where it ends earlier."""
    for part in way:
        inside = isinstance(part, int) == isinstance(block, list) and isinstance(block, dict | list)
        block = (
            block[part]
            if inside and (part in block if isinstance(block, dict) else int(part) < len(block))
            else None
        )
    return block


def _settle_boxes_and_clutches(plan: dict[str, Any], chance: random.Random) -> None:
    """Names for the egg boxes, clutches in them, and no entry that contradicts another."""
    if "length" in plan.get("heat", {}):
        plan["heat"].pop("power", None)
    names = []
    for index, egg_box in enumerate(plan.get("egg_boxes", [])):
        medium = egg_box.get("medium", {})
        if "inside" in egg_box and chance.random() < 0.9:
            medium.pop("depth", None)
            medium["depth"] = "20 mm"
        egg_box["name"] = f"box {index}"
        names.append(egg_box["name"])
    for clutch in plan["clutches"]:
        if names and chance.random() < 0.95:
            clutch["box"] = chance.choice(names)
        else:
            clutch.pop("box", None)
        laying = clutch.get("laying", {})
        if "laid_on" in laying:
            laying.pop("shed_on", None)


def drawn_profile(seed: int) -> bytes:
    """A profile that the schema allows."""
    chance = random.Random(seed)
    draw = Draw("species", chance)
    profile = draw.value(draw.root)
    profile |= {"id": "fictus-exemplum", "reviewed": "2027-01-01", "notes": "Drawn by chance."}
    if chance.random() < 0.9:
        _settle_temperature(profile["temperature"], chance)
    if profile["pause"] == "none" and isinstance(profile["duration"], list):
        for point in profile["duration"]:
            point["counted_from"] = "laying"
    sensitive = profile["sex"].get("sensitive")
    if isinstance(sensitive, dict):
        sensitive["from"], sensitive["to"] = sorted((sensitive["from"], sensitive["to"]))
    if chance.random() < 0.9:
        profile["eggs"].pop("clutches_per_year", None)
    for key, points in (("duration", profile), ("observed", profile["sex"])):
        if isinstance(points.get(key), list):
            for point in points[key]:
                point["note"] = "Drawn by chance."  # a note lets contradictions between points pass
    profile["names"] = {"scientific": "Fictus exemplum", "common": ["drawn gecko"]}
    return as_yaml(profile)


def _settle_temperature(temperature: dict[str, Any], chance: random.Random) -> None:
    """Each band inside the next."""
    wide = sorted(chance.uniform(0, 50) for _ in range(6))
    limits = [f"{one:.3f} °C" for one in wide]
    places = (
        ("harmful", "below"),
        ("tolerated", "low"),
        ("aim", "low"),
        ("aim", "high"),
        ("tolerated", "high"),
        ("harmful", "above"),
    )
    for (band, end), limit in zip(places, limits, strict=True):
        if isinstance(temperature[band], dict):
            temperature[band][end] = limit


def crossed(usual: Any, odd: Any, chance: random.Random) -> Any:
    """A usual plan with some entries of an odd one."""
    if isinstance(usual, dict) and isinstance(odd, dict):
        return {
            key: crossed(usual[key], odd[key], chance)
            if key in usual and key in odd
            else usual.get(key, odd.get(key))
            for key in usual | odd
            if key in usual or chance.random() < 0.3
        }
    if isinstance(usual, list) and isinstance(odd, list):
        both = itertools.zip_longest(usual, odd)
        return [crossed(one, other, chance) if one is not None else other for one, other in both]
    return odd if odd is not None and chance.random() < 0.15 else usual


def holed(data: Any, chance: random.Random) -> Any:
    """The data with a tenth of its entries gone or emptied, also such as have to be there."""
    if chance.random() < 0.03:
        return chance.choice((None, {}, [], "", 0, [{}], "unknown", "none", True))
    if isinstance(data, dict):
        return {key: holed(value, chance) for key, value in data.items() if chance.random() < 0.9}
    return [holed(value, chance) for value in data] if isinstance(data, list) else data


def as_yaml(data: dict[str, Any]) -> bytes:
    """The data as the YAML that a keeper would type."""
    return yaml.safe_dump(data, allow_unicode=True, sort_keys=False).encode()
