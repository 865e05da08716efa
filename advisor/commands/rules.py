"""`advisor rules`: list the rules and show one."""

import click

from advisor.commands.common import asked_for, guarded, known_rule


@click.group()
def rules() -> None:
    """Show the rules."""


@rules.command("list")
@guarded
def rules_list() -> None:
    """List every rule with its title."""
    from advisor.rules import all_rule_modules

    for module in all_rule_modules():
        click.echo(f"{module.RULE.id:<42}{module.RULE.title}")


@rules.command("show")
@click.argument(
    "rule_id",
    metavar="RULE",
    required=False,
    callback=asked_for("name a rule, for example: {command} air-no-holes. `advisor rules list` shows all."),
)
@guarded
def rules_show(rule_id: str) -> None:
    """Show one rule: what it finds, why it matters, what to do, how we know.

    \b
    Example:  advisor rules show air-no-holes
    """
    from advisor.report.rule_page import rule_text

    click.echo(rule_text(known_rule(rule_id)), nl=False)
