"""A plan file to a `Plan`: schema, quantities, and the faults that need more than one entry to see."""

from collections.abc import Collection, Iterator
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from advisor.model.care import Checks, People, PowerCut, RhythmStep, TrialRun, Watching
from advisor.model.plan import (
    Accept,
    Control,
    Cooler,
    CutOut,
    EggBox,
    Fan,
    FloorHeater,
    Heat,
    Holes,
    Lid,
    Medium,
    Mix,
    OuterBox,
    OuterVents,
    Part,
    Plan,
    Probe,
    Room,
    SecondMedium,
    TopUp,
    Wall,
)
from advisor.model.shelves import on_shelves
from advisor.reading.clutches import clutch_problems, clutches_of
from advisor.reading.convert import converted
from advisor.reading.entry_values import LONGEST_LIST, entries_of, si_value
from advisor.reading.measured import measured_of, measured_problems
from advisor.reading.names import profile_files
from advisor.reading.outer_box import outer_box_problems
from advisor.reading.problems import InputError, Problem
from advisor.reading.programme import programme_of, programme_problems
from advisor.reading.schema import load_schema
from advisor.reading.schema_check import schema_problems
from advisor.reading.species_by_name import named
from advisor.reading.unlike_entries import unlike_entries
from advisor.reading.words import nearest
from advisor.reading.yaml_text import Document, read_yaml

LABEL_IS_OFF = 1.25  # times, more than any label is off; judgement


def read_plan(
    path: Path, known_rules: Collection[str] = (), own_species: Path | None = None
) -> tuple[Plan, Document]:
    """Reads a plan file; raises `InputError` with every fault.

    `known_rules` are the ids that `accept` may name; `own_species` is a folder with the keeper's own profiles.
    """
    return read_document(read_yaml(path), known_rules, own_species)


def read_document(
    document: Document, known_rules: Collection[str] = (), own_species: Path | None = None
) -> tuple[Plan, Document]:
    """The plan in an already parsed document; raises `InputError` with every fault."""
    profiles = profile_files(own_species)
    problems = schema_problems(document, "plan")
    told = {(problem.line, problem.column) for problem in problems}
    problems += [
        problem
        for problem in _joint_problems(document, known_rules, profiles)
        if (problem.line, problem.column) not in told
    ]
    if problems:
        raise InputError(problems)
    return _plan(converted(document.data, load_schema("plan"), unknown="unknown"), profiles), document


def _plan(data: dict[str, Any], profiles: dict[str, Path]) -> Plan:
    """A `Plan` from converted data (`reading.convert.converted`)."""
    trial = data.get("trial_run", {})
    return Plan(
        clutches=tuple(
            clutch
            for entry, written in enumerate(data["clutches"])
            for clutch in clutches_of(written, entry, named(written["species"], profiles))
        ),
        title=data.get("title", "Untitled set-up"),
        units=data.get("units", "metric"),
        room=Room(**data.get("room", {})),
        outer_box=_outer_box(data.get("outer_box", {})),
        heat=_heat(data.get("heat", {})),
        fan=Fan(**data["fan"]) if "fan" in data else None,
        cooling=Cooler(**data["cooling"]) if "cooling" in data else None,
        control=_control(data.get("control", {})),
        watching=_watching(data.get("watching", {})),
        power_cut=PowerCut(**data.get("power_cut", {})),
        egg_boxes=on_shelves(tuple(_egg_box(box) for box in data.get("egg_boxes", ()))),
        checks=_checks(data.get("checks", {})),
        trial_run=TrialRun(from_=trial.get("from"), days=trial.get("days")),
        measured=measured_of(data.get("measured", {})),
        people=People(**data.get("people", {})),
        accept=tuple(Accept(**entry) for entry in data.get("accept", ())),
    )


def _watching(data: dict[str, Any]) -> Watching:
    sensors = data.get("sensors")
    return Watching(**{**data, "sensors": tuple(sensors.items()) if sensors else None})


def _outer_box(data: dict[str, Any]) -> OuterBox:
    vents = data.get("vents")
    return OuterBox(
        **{
            **data,
            "wall": Wall(**data.get("wall", {})),
            "parts": tuple(Part(**part) for part in data.get("parts", ())),
            "vents": OuterVents(**vents) if vents else None,
        }
    )


def _heat(data: dict[str, Any]) -> Heat:
    """The heaters together; the power of a cable without a label follows from its length, the place of a bath's from the bath."""
    second = data.get("floor_heater")
    each = Heat(**{**data, "floor_heater": FloorHeater(**second) if second else None})
    power, length = (None if one is None else each.count * one for one in (each.power, each.length))
    if power is None and length is not None and each.watts_per_metre is not None:
        power = length * each.watts_per_metre
    if power is not None and each.floor_heater is not None:
        power += each.floor_heater.power
    place = each.place or ("in water" if each.source == "water bath" else None)
    return replace(each, power=power, length=length, place=place)


def _control(data: dict[str, Any]) -> Control:
    cut_out = data.get("cut_out")
    if cut_out is not None:
        cut_out = CutOut(False) if cut_out == "none" else CutOut(True, cut_out["set_to"])
    steps = programme_of(data.get("programme", {}))
    warmest = max((step.set_to for step in steps), default=data.get("set_to"))
    probe = Probe(**data.get("probe", {}))
    return Control(**{**data, "set_to": warmest, "programme": steps, "probe": probe, "cut_out": cut_out})


def _egg_box(data: dict[str, Any]) -> EggBox:
    medium, top_up, inside = data.get("medium", {}), data.get("top_up"), data.get("inside")
    lid: dict[str, Any] = {"fitted": False} if data.get("lid") == "none" else data.get("lid", {})
    holes = lid.get("holes")
    if holes is not None:
        holes = Holes(0) if holes == "none" else Holes(**holes)
    if isinstance(top_up, str):
        top_up = TopUp(top_up)
    elif top_up is not None:
        top_up = TopUp("every", top_up["every"]) if "every" in top_up else TopUp("to", gain=top_up["to"])
    mix, second = medium.get("mix"), medium.get("mixed_with")
    parts = {"mix": Mix(**mix) if mix else None, "mixed_with": SecondMedium(**second) if second else None}
    return EggBox(
        **{
            **{entry: value for entry, value in data.items() if entry != "shape"},
            "inside": replace(inside, round=data.get("shape") == "round") if inside else None,
            "lid": Lid(**{**lid, "holes": holes}),
            "medium": Medium(**{**medium, **parts}),
            "top_up": top_up,
        }
    )


def _checks(data: dict[str, Any]) -> Checks:
    rhythm = data.get("rhythm")
    if rhythm == "thirds":
        rhythm = ()
    elif rhythm is not None:
        rhythm = tuple(RhythmStep(**step) for step in rhythm)
    return Checks(**{**data, "rhythm": rhythm})


def _joint_problems(
    document: Document, known_rules: Collection[str], profiles: dict[str, Path]
) -> Iterator[Problem]:
    """Faults that need more than one entry, or another file, to see."""
    data = document.data
    if not isinstance(data, dict):
        return
    yield from _box_problems(document, data)
    yield from clutch_problems(
        document, entries_of(data, "clutches"), entries_of(data, "egg_boxes"), profiles
    )
    yield from _rhythm_problems(document, data)
    yield from outer_box_problems(document, data)
    yield from _cable_problems(document, data)
    yield from _probe_problems(document, data)
    yield from unlike_entries(document, entries_of(data, "egg_boxes"))
    yield from programme_problems(document)
    yield from measured_problems(document)
    yield from _accept_problems(document, data, known_rules)


def _box_problems(document: Document, data: dict[str, Any]) -> list[Problem]:
    problems: list[Problem] = []
    first_line: dict[str, int] = {}
    for index, box in entries_of(data, "egg_boxes"):
        name = box.get("name")
        if isinstance(name, str):
            line, _ = document.place(("egg_boxes", index, "name"))
            if name in first_line:
                problems.append(
                    document.problem(
                        ("egg_boxes", index, "name"),
                        f"egg_boxes[{index}].name: '{name}' is also the name of the box on line {first_line[name]}",
                        "Give each kind of box a name of its own; write `count: 2` for boxes that are alike.",
                    )
                )
            first_line.setdefault(name, line)
        inside, depth = (
            si_value(box, ("egg_boxes", 0), "inside"),
            si_value(box, ("egg_boxes", 0), "medium", "depth"),
        )
        if inside is not None and depth is not None and depth > inside.height + 1e-9:
            problems.append(
                document.problem(
                    ("egg_boxes", index, "medium", "depth"),
                    f"egg_boxes[{index}].medium.depth: the medium is deeper than the box is high",
                    "Check the depth and the inside height (the third number of `inside`).",
                )
            )
    return problems


def _rhythm_problems(document: Document, data: dict[str, Any]) -> list[Problem]:
    checks = data.get("checks")
    rhythm = checks.get("rhythm") if isinstance(checks, dict) else None
    if not isinstance(rhythm, list):
        return []
    problems: list[Problem] = []
    before = 0
    for index, step in enumerate(rhythm[:LONGEST_LIST]):
        if not isinstance(step, dict):
            continue
        to_day = step.get("to_day")
        path = ("checks", "rhythm", index)
        if to_day is None and index < len(rhythm) - 1:
            problems.append(
                document.problem(
                    path, f"checks.rhythm[{index}]: only the last step may leave out to_day", "Add `to_day`."
                )
            )
        elif isinstance(to_day, int) and not isinstance(to_day, bool):
            if to_day <= before:
                problems.append(
                    document.problem(
                        (*path, "to_day"),
                        f"checks.rhythm[{index}].to_day: day {to_day} does not come after day {before}",
                        "List the steps in the order of the days.",
                    )
                )
            before = to_day
    return problems


def _cable_problems(document: Document, data: dict[str, Any]) -> Iterator[Problem]:
    power, length, each = (
        si_value(data, (), "heat", entry) for entry in ("power", "length", "watts_per_metre")
    )
    if (
        None not in (power, length, each)
        and not power / LABEL_IS_OFF <= length * each <= power * LABEL_IS_OFF
    ):
        yield document.problem(
            ("heat", "power"),
            f"heat.power: {power:g} W is not what {length:g} m of {each:g} W/m make, {length * each:.3g} W",
            "Keep the power on the label, and check the length.",
        )


def _probe_problems(document: Document, data: dict[str, Any]) -> Iterator[Problem]:
    """A layer of the probe that none of the boxes which may hold it stands in."""
    control = data.get("control")
    probe = control.get("probe") if isinstance(control, dict) else None
    tier = probe.get("tier") if isinstance(probe, dict) else None
    place = str(probe.get("sits_in")) if isinstance(probe, dict) else ""
    holds = {"probe box medium": ("probe",), "egg box medium": ("eggs", None)}.get(place, ())
    boxes = [box for _, box in entries_of(data, "egg_boxes") if box.get("holds") in holds]
    tiers = {str(box.get("tier", "two")) for box in boxes}
    meant = {"one", "lower"} if tier == "one" else {str(tier)}
    fits = not tiers or tiers & {"two", *meant} or (tier == "lower" and "one" in tiers)
    if isinstance(tier, str) and not fits:
        yield document.problem(
            ("control", "probe", "tier"),
            f"control.probe.tier: '{tier}', but what holds the probe has the tier {' or '.join(sorted(tiers))}",
            "Correct one of the two, or leave out the tier of the probe.",
        )


def _accept_problems(document: Document, data: dict[str, Any], known_rules: Collection[str]) -> list[Problem]:
    problems: list[Problem] = []
    for index, entry in entries_of(data, "accept"):
        rule = entry.get("rule")
        if known_rules and isinstance(rule, str) and rule not in known_rules:
            near = nearest(rule, list(known_rules))
            hint = (f"Did you mean {near}? " if near else "") + "`advisor rules list` shows all rules."
            problems.append(
                document.problem(
                    ("accept", index, "rule"), f"accept[{index}].rule: there is no rule '{rule}'", hint
                )
            )
    return problems
