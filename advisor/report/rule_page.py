"""The manual page of a rule; `advisor rules show`, docs/rules.md and the papers print the same text."""

from advisor.rules.engine import Rule


def rule_text(rule: Rule) -> str:
    """The page as Markdown."""
    needs = ", ".join(f"`{entry}`" for entry in rule.needs) or "nothing in particular"
    follows = (
        f"\nNot told when one of these tells the cause: {', '.join(rule.implied_by)}.\n"
        if rule.implied_by
        else ""
    )
    return (
        f"## {rule.id}\n\n{rule.title}.\n\n{rule.explanation}\n\n"
        f"**What to do.** {rule.remedy}\n\n"
        f"Asked for: each {rule.about}.  \nNeeds: {needs}.  \nSources: {', '.join(rule.sources)}.\n{follows}\n"
        f"Fires on:\n\n```yaml\n{rule.bad.strip()}\n```\n\nSilent on:\n\n```yaml\n{rule.good.strip()}\n```\n"
    )
