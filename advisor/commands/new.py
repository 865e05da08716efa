"""`advisor new`: asks, then writes a first plan."""

from pathlib import Path

import click

from advisor.commands.common import NamedPath, force_option, guarded, own_species
from advisor.reading.problems import printable


@click.command()
@click.argument("plan", type=NamedPath(), required=False)
@click.option("--questions", "listed", is_flag=True, help="Print the questions, ask nothing.")
@force_option
@own_species
@guarded
def new(plan: Path | None, listed: bool, force: bool, own: Path | None) -> None:
    """Ask about your set-up and write a first plan.

    \b
    Example:  advisor new my-box.yaml

    Every question has help and an example. "Don't know" is an answer: press Enter alone or type d. The entry is
    then left out, and a comment in the plan says what to add. Answers can also come from a pipe, one a line, in
    the order of --questions. Nothing is written when you break off.
    """
    from advisor.commands.asking import answers_to, keep_existing, print_questions, show_path
    from advisor.interview.new_plan import left_out, plan_check, plan_questions, plan_text
    from advisor.papers.files import write_file

    questions = plan_questions(own)
    if listed:
        print_questions(questions)
        return
    if plan is None:
        raise click.UsageError("name the plan to write, for example my-box.yaml.")
    if plan.suffix.lower() not in (".yaml", ".yml"):
        raise click.UsageError(f"'{printable(plan.name)}' ends neither in .yaml nor in .yml.")
    keep_existing(plan, force)
    check = plan_check(own)
    answers = answers_to(questions, check)
    check(answers)
    run_next = f"advisor check {show_path(plan)}" + (f" --species {show_path(own)}" if own else "")
    write_file(plan, plan_text(answers, run_next, own), force)
    missing = left_out(questions, answers)
    click.echo(
        f"Wrote {printable(str(plan))}: {len(questions) - len(missing)} of {len(questions)} questions answered."
    )
    if missing:
        click.echo(f"Left out, with a comment that says what to add: {', '.join(missing)}.")
    click.echo("More entries stand in the file behind a #. The check tells which of them matter most.")
    click.echo(f"Run next:  {run_next}")
