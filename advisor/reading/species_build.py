"""A checked species document to a `Species`, with every figure's grade from the bibliography."""

from typing import Any

from advisor.constants import DAY
from advisor.model.plan import Mix, Range
from advisor.model.species import (
    Band,
    Caution,
    Climate,
    CoolPeriod,
    Eggs,
    Limits,
    Observation,
    Pause,
    Reversal,
    Sex,
    Species,
    SpeciesLaying,
    SpeciesMedium,
    Support,
    UsedMix,
)
from advisor.reading.convert import converted
from advisor.reading.dates import YES_NO
from advisor.reading.schema import load_schema
from advisor.reading.sources import Source, shipped_sources
from advisor.reading.yaml_text import Document


def build_species(
    document: Document, origin: str = "shipped", sources: dict[str, Source] | None = None
) -> Species:
    """A `Species` from a document that passed its schema."""
    data: dict[str, Any] = converted(document.data, load_schema("species"))
    graded = _Grades(sources or shipped_sources())
    raw = document.data
    return Species(
        id=data["id"],
        scientific=data["names"]["scientific"],
        common=tuple(data["names"]["common"]),
        former=tuple(data["names"].get("former", ())),
        group=data["group"],
        climate=graded.climate(data.get("climate")),
        reviewed=str(data["reviewed"]),
        aim=graded.band(data["temperature"]["aim"]),
        tolerated=graded.band(data["temperature"]["tolerated"]),
        harmful=graded.limits(data["temperature"]["harmful"]),
        duration=graded.observations(data["duration"], "days"),
        pause=graded.pause(data["pause"]),
        pause_known=raw["pause"] != "unknown",
        sex=graded.sex(data["sex"]),
        eggs=graded.eggs(data["eggs"]),
        medium=graded.medium(data["medium"]),
        hatched=graded.observations(data.get("hatched"), "share"),
        hatch_spread=graded.days_band(data.get("hatch_spread")),
        cool_period=graded.cool_period(data["cool_period"]),
        cool_period_known=raw["cool_period"] != "unknown",
        laying=graded.laying(data["laying"]),
        cautions=tuple(Caution(**entry) for entry in data["cautions"]),
        notes=data["notes"],
        origin=origin,
    )


class _Grades:
    """Builds the parts of a profile, looking up how each figure is known in the bibliography."""

    def __init__(self, sources: dict[str, Source]) -> None:
        self._sources = sources

    def support(self, block: dict[str, Any]) -> Support:
        keys = tuple(block.get("sources", ()))
        grades = [self._sources[key].known for key in keys if key in self._sources]
        order = ("published", "from memory", "common practice")
        weakest = max(grades, key=order.index, default="common practice")
        return Support(keys, block.get("known", weakest), block.get("note", ""))

    def climate(self, block: dict[str, Any] | None) -> Climate | None:
        return Climate(block["kind"], self.support(block)) if block else None

    def band(self, block: dict[str, Any] | None) -> Band | None:
        return Band(block["low"], block["high"], self.support(block)) if block else None

    def range_band(self, block: dict[str, Any] | None) -> Band | None:
        return Band(block["range"].low, block["range"].high, self.support(block)) if block else None

    def days_band(self, block: dict[str, Any] | None) -> Band | None:
        return Band(block["days"].low, block["days"].high, self.support(block)) if block else None

    def limits(self, block: dict[str, Any] | None) -> Limits | None:
        return Limits(block.get("below"), block.get("above"), self.support(block)) if block else None

    def observations(self, blocks: list[dict[str, Any]] | None, key: str) -> tuple[Observation, ...]:
        return tuple(
            Observation(
                block["at"],
                block[key],
                int(block["eggs"]) if block.get("eggs") is not None else None,
                block.get("swing"),
                self.support(block),
                block.get("potential"),
                block.get("counted_from", "laying"),
                block.get("group", ""),
            )
            for block in blocks or ()
        )

    def pause(self, block: Any) -> Pause | None:
        return (
            Pause(block["days"], block["ended_by"] or "unknown", self.support(block))
            if isinstance(block, dict)
            else None
        )

    def sex(self, block: dict[str, Any]) -> Sex:
        sensitive, reversal = block.get("sensitive"), block.get("reversal")
        return Sex(
            set_by=block["set_by"],
            pattern=block.get("pattern"),
            observed=self.observations(block.get("observed"), "male_share"),
            sensitive=Band(sensitive["from"], sensitive["to"], self.support(sensitive))
            if sensitive
            else None,
            reversal=Reversal(reversal["above"], reversal["toward"], self.support(reversal))
            if reversal
            else None,
            support=self.support(block) if block.get("sources") else None,
        )

    def eggs(self, block: dict[str, Any]) -> Eggs:
        return Eggs(
            shell=block["shell"],
            clutch=block.get("clutch"),
            clutches_a_year=block.get("clutches_per_year"),
            mass=block.get("mass"),
            length=block.get("length"),
            width=block.get("width"),
            gain=block.get("gain"),
            cling=_yes_no(block.get("cling")),
            glued_to_surface=_yes_no(block.get("glued_to_surface")),
            support=self.support(block),
        )

    def medium(self, block: dict[str, Any]) -> SpeciesMedium:
        return SpeciesMedium(
            mixes=tuple(
                UsedMix(Mix(mix["medium"], mix["water"], mix["by"]), self.support(mix))
                for mix in block["mixes"] or ()
            ),
            water=self.range_band(block["water"]),
            potential=self.range_band(block.get("potential")),
            humidity=self.range_band(block.get("humidity")),
            top_up=block["top_up"],
        )

    def cool_period(self, block: Any) -> CoolPeriod | None:
        if not isinstance(block, dict):
            return None
        return CoolPeriod(
            block["at"], block["days"], block["when"], self.support(block), block.get("needed_by", "all")
        )

    def laying(self, block: dict[str, Any] | None) -> SpeciesLaying | None:
        if not block:
            return None
        in_days = {
            key: Range(block[key].low / DAY, block[key].high / DAY) if block.get(key) else None
            for key in ("shed_to_laying", "mating_to_laying", "ovulation_to_laying")
        }
        return SpeciesLaying(
            **in_days,
            support=self.support(block) if block.get("sources") else None,
            next_clutch=self.days_band(block.get("next_clutch")),
        )


def _yes_no(value: Any) -> bool | None:
    return value if isinstance(value, bool) or value is None else YES_NO.get(str(value).lower())
