"""The command `advisor`: registers the commands of `advisor.commands`."""

import click

from advisor import __version__
from advisor.commands.check import check
from advisor.commands.papers import checklist
from advisor.commands.rules import rules
from advisor.commands.species import species


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="clutch-advisor %(version)s")
def main() -> None:
    """Checks a planned reptile-egg incubator before the eggs arrive.

    \b
    Start with:  advisor check examples/first-season.yaml
    """


for command in (check, checklist, rules, species):
    main.add_command(command)
