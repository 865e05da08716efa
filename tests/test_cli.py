"""The command as its users meet it: output, exit status, JSON by its schema, text that wishes harm."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator

from advisor.cli import main
from advisor.rules import RULE_IDS
from tests.fuzz.commands import COMMANDS
from tests.papers.pages import without_ticks
from tests.support import ROOT

EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))
FIRST = ROOT / "examples" / "first-season.yaml"
SCHEMA = json.loads((ROOT / "schema" / "report.schema.json").read_text("utf-8"))
HOSTILE = [
    "\x1b[31mred\x1b[0m",
    "<script>alert(1)</script>",
    "{{ 7 * 7 }} {% for x in y %}",
    "![x](http://nowhere.invalid/x.png) [click](javascript:alert(1))",
    "# heading | `code` **bold** <!-- -->",
    "\u202egnp.exe",
    "n" * 300,
    "🦎🥚",
    "'; DROP TABLE eggs; --",
    "&amp; &lt;",
]


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_json_report_follows_its_schema(path: Path) -> None:
    Draft202012Validator.check_schema(SCHEMA)
    report = json.loads(run("check", path, "--json").stdout)
    assert [error.message for error in Draft202012Validator(SCHEMA).iter_errors(report)] == []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_rule_is_answered_for(path: Path) -> None:
    report = json.loads(run("check", path, "--json").stdout)
    answered = {*report["clear"]}
    for part in ("findings", "not_judged", "accepted", "follows"):
        answered |= {entry["rule"] for entry in report[part]}
    assert set(RULE_IDS) <= answered
    assert set(report["clear"]).isdisjoint(
        entry["rule"] for entry in report["not_judged"] + report["findings"]
    )


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_finding_points_at_a_line_of_its_entry(path: Path) -> None:
    lines = path.read_text("utf-8").splitlines()
    for finding in json.loads(run("check", path, "--json").stdout)["findings"]:
        assert 1 <= finding["line"] <= len(lines)
        assert finding["message"] and finding["evidence"] and finding["sources"]
        assert finding["remedy"] or finding["obstacle"]


@pytest.mark.parametrize(("fail_on", "status"), [("stop", 0), ("fix", 0), ("never", 0)])
def test_a_sound_plan_ends_with_status_0(fail_on: str, status: int) -> None:
    assert run("check", FIRST, "--fail-on", fail_on).exit_code == status


def severities(path: Path) -> set[str]:
    return {finding["severity"] for finding in json.loads(run("check", path, "--json").stdout)["findings"]}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("fail_on", ["stop", "fix", "watch", "never"])
def test_status_follows_fail_on(path: Path, fail_on: str) -> None:
    order = ["stop", "fix", "watch"]
    bad = set(order[: order.index(fail_on) + 1]) if fail_on != "never" else set()
    assert run("check", path, "--fail-on", fail_on).exit_code == (1 if severities(path) & bad else 0)


def test_a_nearly_empty_plan_never_reads_as_safe(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text("format: 1\nclutches: [{species: pantherophis-guttatus}]\n")
    report = json.loads(run("check", plan, "--json").stdout)
    assert report["verdict"] != "clear"
    unjudged = {entry["rule"] for entry in report["not_judged"]}
    assert len(unjudged) > len(RULE_IDS) / 2
    last = run("check", plan).stdout.strip().splitlines()[-2:]
    assert f"{len(unjudged)} rules could not be judged" in " ".join(last)


def test_wrong_command_lines_end_with_status_2() -> None:
    for arguments in (
        ["check"],
        ["check", "a.yaml", "--fail-on", "never-ever"],
        ["rules", "show", "air-no-hole"],
        ["chek"],
    ):
        assert run(*arguments).exit_code == 2


def test_a_misspelt_rule_is_asked_back() -> None:
    assert "air-no-holes" in run("rules", "show", "air-no-hole").stderr


def test_our_own_fault_ends_with_status_3_and_no_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("broken on purpose")

    monkeypatch.setattr("advisor.advice.judged.assess_document", broken)
    result = run("check", FIRST)
    assert result.exit_code == 3
    assert "report" in result.stderr and "Traceback" not in result.stderr


@pytest.mark.parametrize("identifier", RULE_IDS)
def test_rules_show_prints_the_page(identifier: str) -> None:
    shown = run("rules", "show", identifier).stdout
    assert shown.startswith(f"## {identifier}\n")


def test_us_units_are_shown(tmp_path: Path) -> None:
    data = yaml.load(FIRST.read_text("utf-8"), Loader=yaml.BaseLoader)
    data.update(units="us", control={**data["control"], "set_to": "95 °F"})
    plan = tmp_path / "plan.yaml"
    plan.write_text(yaml.safe_dump(data, allow_unicode=True).replace("'1'", "1"), "utf-8")
    shown = run("check", plan).stdout
    if shown:
        assert "95 °F" in shown and "35 °C" not in shown


def hostile_plan(text: str, folder: Path) -> Path:
    plan = folder / "plan.yaml"
    quoted = json.dumps(text, ensure_ascii=False)
    plan.write_text(
        f"format: 1\ntitle: {quoted}\negg_boxes: [{{name: {json.dumps(text[:80], ensure_ascii=False)}, holds: eggs}}]\n"
        f"clutches: [{{species: pantherophis-guttatus, box: {json.dumps(text[:80], ensure_ascii=False)}}}]\n"
        f"accept: [{{rule: people-no-residual-current-device, because: {quoted}}}]\n"
        "people: {residual_current_device: no}\n",
        "utf-8",
    )
    return plan


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_inert_on_the_screen(text: str, tmp_path: Path) -> None:
    result = run("check", hostile_plan(text, tmp_path))
    assert result.exit_code in (0, 1), result.output
    assert all(character.isprintable() or character == "\n" for character in result.stdout)


@pytest.mark.parametrize("way", [*COMMANDS, ()], ids=" ".join)
def test_hostile_words_of_a_command_line_are_inert_on_the_screen(
    way: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    steers = "\u202e\x1b[2J\x9b"
    for words in (
        (f"--{steers}",),
        (steers, steers),
        (f"{steers}.csv", "no.yaml", steers, steers),
        ("-o", steers),
    ):
        told = CliRunner().invoke(main, [*way, *words])
        assert told.exit_code in (0, 1, 2)
        assert all(character.isprintable() or character == "\n" for character in told.output), told.output


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_inert_on_paper(text: str, tmp_path: Path) -> None:
    plan = hostile_plan(text, tmp_path)
    page = tmp_path / "list.html"
    assert run("checklist", plan, "-o", page).exit_code == 0
    html = page.read_text("utf-8")
    assert (
        "<script" not in without_ticks(html)
        and "<img" not in html
        and "javascript:alert" not in html.split("&#")[0].split("[click]")[0]
    )
    assert "\x1b" not in html and "\u202e" not in html
    assert " 49 " not in html
    markdown = run("checklist", plan).stdout
    assert "\x1b" not in markdown and "<script" not in markdown.replace("\\<script", "")


def test_an_existing_file_is_replaced_only_with_force(tmp_path: Path) -> None:
    page = tmp_path / "list.md"
    page.write_text("mine")
    assert run("checklist", FIRST, "-o", page).exit_code == 2
    assert page.read_text() == "mine"
    assert run("checklist", FIRST, "-o", page, "--force").exit_code == 0
    assert page.read_text("utf-8").startswith("# Checklist")
    assert [path.name for path in tmp_path.iterdir()] == ["list.md"]


def test_a_folder_that_cannot_be_written_leaves_nothing(tmp_path: Path) -> None:
    result = run("checklist", FIRST, "-o", tmp_path / "no-such-folder" / "list.md")
    assert result.exit_code == 2
    assert "cannot be written" in result.stderr


def test_the_same_plan_and_date_give_the_same_bytes(tmp_path: Path) -> None:
    pages = [tmp_path / "a.html", tmp_path / "b.html"]
    for page in pages:
        run("checklist", FIRST, "-o", page, "--date", "2027-04-01")
    assert pages[0].read_bytes() == pages[1].read_bytes()


def test_the_command_runs_as_a_process() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "advisor", "check", "examples/first-season.yaml"],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0
    assert done.stdout.rstrip().splitlines()[-1]


METRIC = re.compile(r"\d ?(?:°C|mm|cm|g|kg|ml|litres?)\b(?!/g)")  # "g/g" is a ratio, the same in both systems


@pytest.mark.parametrize("name", [path.stem for path in EXAMPLES if path.stem != "nearly-empty"])
@pytest.mark.parametrize("command", [["check"], ["check", "--numbers"], ["checklist"]], ids=" ".join)
def test_a_plan_in_us_units_is_told_nothing_in_metric(command: list[str], name: str, tmp_path: Path) -> None:
    text = (ROOT / "examples" / f"{name}.yaml").read_text("utf-8")
    path = tmp_path / "plan.yaml"
    path.write_text(text.replace("units: metric", "units: us"), "utf-8")
    assert METRIC.findall(run(command[0], path, *command[1:]).stdout) == []


def test_examples_of_missing_entries_come_in_the_units_of_the_plan(tmp_path: Path) -> None:
    path = tmp_path / "plan.yaml"
    path.write_text("format: 1\nunits: us\nclutches: [{species: pantherophis-guttatus}]\n", "utf-8")
    shown = run("check", path).stdout
    assert METRIC.findall(shown) == [] and "22 x 14 x 9 in" in shown and "{set_to: 90 °F}" in shown


@pytest.mark.parametrize(
    ("arguments", "example"),
    [
        (["check"], "advisor check my-box.yaml"),
        (["calendar"], "advisor calendar my-box.yaml"),
        (["cards", FIRST], "-o cards.html"),
        (["calendar", FIRST], "-o dates.ics"),
        (["lesson"], "-o club-night"),
        (["mix"], "--ratio 4:1"),
        (["weigh", FIRST, "--box", "eggs", "--day", "3"], "--mass '640 g'"),
        (["rules", "show"], "advisor rules show air-no-holes"),
        (["species", "show"], "advisor species show pantherophis-guttatus"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_left_out_of_a_command_is_asked_for_with_an_example(
    arguments: list[str | Path], example: str
) -> None:
    result = CliRunner().invoke(main, [str(part) for part in arguments], prog_name="advisor")
    assert result.exit_code == 2
    assert f"example: {example}" in result.stderr


def test_a_reason_is_told_once(tmp_path: Path) -> None:
    shown = run("check", ROOT / "examples" / "two-species.yaml").stdout
    assert shown.count("More: advisor rules show profile-thin-evidence") == 2
    assert shown.count("Why: Nobody has tested") == 1 and shown.count("Why: as told above.") == 1


def test_the_reason_of_a_note_is_a_sentence_but_where_people_are_at_risk() -> None:
    shown = run("check", ROOT / "examples" / "two-species.yaml").stdout
    notes = [part for part in re.split(r"\n(?=[A-Z]{3,5} )", shown) if part.startswith("NOTE")]
    assert notes
    for note in notes:
        reason = " ".join(note.partition("Why: ")[2].partition("Known by: ")[0].split())
        assert reason.endswith(".")
        assert (". " in reason) is ("rules show people-" in " ".join(note.split())), note


def test_what_a_profile_lacks_is_not_asked_of_the_plan() -> None:
    shown = run("check", ROOT / "examples" / "two-species.yaml").stdout
    assert "The profile of the species lacks these." in shown
    assert "Add these entries to the plan." not in shown


def test_a_species_is_shown_by_its_common_name() -> None:
    assert (
        run("species", "show", "bearded dragon").stdout == run("species", "show", "pogona-vitticeps").stdout
    )
