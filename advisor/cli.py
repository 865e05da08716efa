"""The command `advisor`: registers the commands of `advisor.commands`."""

from typing import Any

import click

from advisor import __version__
from advisor.commands.check import check
from advisor.commands.common import guarded, ready_for_any_text
from advisor.commands.lesson import lesson
from advisor.commands.log import follow, trial
from advisor.commands.new import new
from advisor.commands.papers import calendar, cards, checklist
from advisor.commands.rules import rules
from advisor.commands.serve import serve
from advisor.commands.species import species
from advisor.commands.suggest import suggest
from advisor.commands.water import mix, weigh


class Advisor(click.Group):
    """All commands; what fails before any of them runs (help on a full disk) is told like the rest."""

    @guarded
    def main(self, *args: Any, **kwargs: Any) -> Any:
        """As click's own."""
        return super().main(*args, **kwargs)


@click.group(cls=Advisor, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="clutch-advisor %(version)s")
@click.pass_context
def main(context: click.Context) -> None:
    """Checks a planned reptile-egg incubator before the eggs arrive.

    \b
    Start with:  advisor check examples/first-season.yaml
    """
    ready_for_any_text(context)


for command in (
    new,
    check,
    suggest,
    serve,
    trial,
    follow,
    checklist,
    cards,
    calendar,
    rules,
    species,
    mix,
    weigh,
    lesson,
):
    main.add_command(command)
