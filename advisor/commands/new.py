"""`advisor new`: asks, proposes what is left, then writes a plan."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.commands.common import (
    NamedPath,
    check_ending,
    force_option,
    guarded,
    own_species,
    print_lines,
    printed_on,
    screen_width,
    today_option,
)
from advisor.reading.problems import printable

if TYPE_CHECKING:
    from advisor.advice.suggest import Suggestion
    from advisor.assess import Assessment


@click.command()
@click.argument("plan", type=NamedPath(), required=False)
@click.option("--questions", "listed", is_flag=True, help="Print the questions, ask nothing.")
@click.option(
    "--fill", is_flag=True, help="Propose all that is left out and write the whole plan, without asking."
)
@force_option
@today_option
@own_species
@guarded
def new(plan: Path | None, listed: bool, fill: bool, force: bool, day: str | None, own: Path | None) -> None:
    """Ask about your set-up and write a plan.

    \b
    Example:  advisor new my-box.yaml

    Every question has help and an example. At a terminal, answer the first few. Then only what still matters is
    asked, and what you leave out is proposed. At the end you see the verdict of the whole plan, and you choose
    whether it is written or only what you told. What you told is never changed unless you agree.

    Answers can also come from a pipe, one a line, in the order of --questions; an empty line or d stands for don't
    know, and the last two may be left away. Without --fill those entries are left out, and a comment in the plan says what to add. Nothing is written
    when you break off.
    """
    from advisor.assess import assess_document
    from advisor.commands.asking import answers_to, keep_existing, print_questions, show_path
    from advisor.interview.box_answers import EXTRA_ENTRIES, EXTRAS
    from advisor.interview.new_plan import plan_check, plan_questions, plan_text, told_alone
    from advisor.interview.second_round import in_rounds
    from advisor.papers.files import write_file
    from advisor.report.suggestion import whole_plan

    printed_on(day)  # refused before anything is asked
    questions = plan_questions(own)
    if listed:
        print_questions(questions)
        return
    if plan is None:
        raise click.UsageError("name the plan to write, for example my-box.yaml.")
    check_ending(plan, ".yaml", ".yml")
    keep_existing(plan, force)
    check = plan_check(own)
    answers, answered = answers_to(
        questions,
        check,
        lambda answers: in_rounds(
            questions, answers, lambda told: assess_document(check(told), own).report, own
        ),
    )
    document = check(answers)
    whole = None
    if fill or sys.stdin.isatty():
        base = assess_document(told_alone(document, answers), own)
        keep = (*answers, *(EXTRA_ENTRIES if EXTRAS in answered else ()))
        whole = _whole(base, keep, own, day, not fill)
    run_next = f"advisor check {show_path(plan)}" + (f" --species {show_path(own)}" if own else "")
    write_file(plan, plan_text(answers, run_next, own, whole_plan(whole) if whole else None), force)
    if whole is not None:
        click.echo(f"Wrote {printable(str(plan))}: the whole plan. What was proposed is marked in it.")
    else:
        asked = [one.path for one in questions if not one.seldom or one.path in answered]
        missing = [path for path in asked if path not in answered]
        told = len(asked) - len(missing)
        click.echo(f"Wrote {printable(str(plan))}: {told} of {len(asked)} questions answered.")
        if missing:
            click.echo(f"Left out, with a comment that says what to add: {', '.join(missing)}.")
        click.echo("More entries stand in the file behind a #. The check tells which of them matter most.")
    click.echo(f"Run next:  {run_next}")


def _whole(
    base: "Assessment", told: tuple[str, ...], own: Path | None, day: str | None, asks: bool
) -> "Suggestion | None":
    """The plan with all that is missing proposed; None where the keeper wants only what was told."""
    from advisor.advice.suggest import Bounds, suggestion_for
    from advisor.advice.trials import open_in
    from advisor.commands.asking import agreed
    from advisor.report.suggestion import change_lines, whole_plan_lines

    click.echo("\nProposing what is left ...")
    found = suggestion_for(base, Bounds(told, today=printed_on(day)), True, own)
    other = found
    for room in (False, True):  # another place for the box only where nothing else does
        if other.obstacle:
            other = suggestion_for(base, Bounds(room=room, today=printed_on(day)), True, own)
    if len(open_in(other.after.report)) < len(open_in(found.after.report)):
        heading = "What you told does not work. This would have to change:"
        print_lines(change_lines(other, screen_width(), heading))
        if asks and agreed("Change what you told in this way?", False):
            found = other
    if found is not other and any(not row.proposed for row in found.rows):
        print_lines(change_lines(found, screen_width(), "Change beside what you told:"))
    print_lines(whole_plan_lines(found, screen_width()))
    if asks and not agreed("Write the whole plan? (No: only what you told)", True):
        return None
    return found
