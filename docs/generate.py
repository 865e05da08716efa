"""Writes the generated pages of docs/ and the runs shown in README.md: `python docs/generate.py --write`.

Without --write it compares, prints the difference and ends with status 1 when a page is behind; the tests do that.
"""

import ast
import difflib
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
KINDS = {"object": "a block", "array": "a list", "number": "a number", "integer": "a whole number"}
sys.path.insert(0, str(ROOT))

NOTE = (
    "<!-- Written by docs/generate.py: change the code, then run `python docs/generate.py --write`. -->\n\n"
)


def rules_page() -> str:
    """Every rule's manual page."""
    from advisor.report.rule_page import rule_text
    from advisor.rules import follow_rule_modules, rule_modules, trial_rule_modules
    from advisor.rules.engine import ENGINE_RULES

    rules = [
        *(module.RULE for module in rule_modules()),
        *ENGINE_RULES,
        *(module.RULE for module in (*trial_rule_modules(), *follow_rule_modules())),
    ]
    index = "\n".join(f"- [{rule.id}](#{rule.id}): {rule.title}" for rule in rules)
    pages = "\n".join(rule_text(rule) for rule in rules)
    return (
        f"# The rules\n\n{NOTE}Severities: **stop** (do not start), **fix** (put right before the eggs come), **watch** (can go wrong), "
        f"**note** (worth knowing). Rules that begin with `trial` judge the log of a trial run (`advisor trial`), those that begin with `follow` a log with eggs inside (`advisor follow`). `practice` as a source means common practice, no source; `judgement` means our own choice.\n\n"
        f"{index}\n\n{pages}"
    )


def commands_page() -> str:
    """The help of every command."""
    import click

    from advisor.cli import main

    def walk(command: click.Command, path: str) -> Iterator[str]:
        context = click.Context(
            command,
            info_name=path,
            max_content_width=100,
            terminal_width=100,
            help_option_names=["-h", "--help"],
        )
        yield f"## {path}\n\n```text\n{command.get_help(context)}\n```\n"
        if isinstance(command, click.Group):
            for name in sorted(command.commands):
                yield from walk(command.commands[name], f"{path} {name}")

    return f"# The commands\n\n{NOTE}" + "\n".join(walk(main, "advisor"))


def format_page(name: str, heading: str) -> str:
    """Every key of a schema with description, unit and example."""
    from advisor.reading.schema import load_schema

    schema = load_schema(name)
    rows = "\n".join(_format_rows(schema, "", schema))
    also = "\n".join(_also_rows(schema, ""))
    names = (
        "\n## What else the words are called\n\n"
        "`advisor new` takes these names too, where a name stands at one word only. A file takes the word; the message "
        f"about a file tells which.\n\n| entry | word | also called |\n|---|---|---|\n{also}\n"
    )
    return (
        f"# {heading}\n\n{NOTE}{schema['description']}\n\n"
        "Every quantity is a number with its unit, as text. A range is written `16 to 24 °C`.\n\n"
        f"| entry | what it says | written as | example |\n|---|---|---|---|\n{rows}\n"
        f"{names if also else ''}"
    )


def _also_rows(schema: dict[str, Any], path: str) -> Iterator[str]:
    for key, entry in {
        **schema.get("properties", {}),
        **schema.get("else", {}).get("properties", {}),
    }.items():
        here = f"{path}.{key}" if path else key
        for word, names in (entry.get("x-also") or entry.get("then", {}).get("x-also") or {}).items():
            yield f"| `{here}` | `{word}` | {names} |"
        yield from _also_rows(entry, here)
        if "items" in entry:
            yield from _also_rows(entry["items"], f"{here}[]")


def _format_rows(schema: dict[str, Any], path: str, root: dict[str, Any]) -> Iterator[str]:
    from advisor.reading.schema import entries_in, items_of, resolved
    from advisor.reading.schema_check import flow_text

    for key, unresolved in entries_in(schema).items():
        entry = resolved(unresolved, root)
        here = f"{path}.{key}" if path else key
        example = flow_text(entry["examples"][0]) if entry.get("examples") else ""
        example = example if len(example) <= 70 else example[:67] + "…"
        example = example.replace("\n", " ")
        yield f"| `{here}` | {entry.get('description', '').replace('|', '/')} | {_written_as(entry)} | `{example}` |"
        yield from _format_rows(entry, here, root)
        yield from _format_rows(items_of(entry), f"{here}[]", root)


def _written_as(entry: dict[str, Any]) -> str:
    words = entry.get("enum") or entry.get("then", {}).get("enum")
    types = entry.get("type", "integer" if "const" in entry else "string")
    kinds = [KINDS[kind] for kind in KINDS if kind in types]
    if words:
        return " or ".join((", ".join(str(word) for word in words if not isinstance(word, bool)), *kinds[:1]))
    unit = str(entry.get("x-unit", entry.get("x-quantity", kinds[0] if kinds else "text")))
    return unit + (", one value or a range" if entry.get("x-range") else "")


def formulas_page() -> str:
    """Every public function of the formulas with its docstring."""
    parts = []
    for folder in ("heat", "air", "water", "days", "sexes", "logs", "measured", "numerics"):
        for path in sorted((ROOT / "advisor" / "formulas" / folder).glob("*.py")):
            module = ast.parse(path.read_text(encoding="utf-8"))
            functions = [
                node
                for node in module.body
                if isinstance(node, ast.FunctionDef)
                and not node.name.startswith("_")
                and ast.get_docstring(node)
            ]
            if not functions:
                continue
            parts.append(f"## {folder}/{path.name}\n\n{ast.get_docstring(module)}\n")
            for node in functions:
                signature = f"{node.name}({ast.unparse(node.args)})"
                parts.append(f"### {node.name}\n\n```text\n{signature}\n\n{ast.get_docstring(node)}\n```\n")
    return (
        f"# The formulas\n\n{NOTE}Each function with its units, its range and its reference, from the code.\n\n"
        + "\n".join(parts)
    )


def sources_page() -> str:
    """The bibliography."""
    from advisor.reading.sources import shipped_sources

    rows = "\n".join(
        f"| {source.key} | {source.cite.replace('|', '/')}{f' (read through {source.via})' if source.via else ''} "
        f"| {source.known} |"
        for source in shipped_sources().values()
    )
    return f"# The sources\n\n{NOTE}| key | source | how known |\n|---|---|---|\n{rows}\n"


def readme_page() -> str:
    """README.md as it is, with what its commands print now."""
    import re
    import shlex

    from click.testing import CliRunner

    from advisor.cli import main

    def run(block: re.Match[str]) -> str:
        before = os.getcwd()
        os.chdir(ROOT)
        try:
            printed = CliRunner().invoke(main, shlex.split(block[1])).stdout
        finally:
            os.chdir(before)
        return f"```console\n$ advisor {block[1]}\n{printed}```"

    text = (ROOT / "README.md").read_text(encoding="utf-8")
    return re.sub(r"```console\n\$ advisor (.*?)\n.*?```", run, text, flags=re.DOTALL)


PAGES = {
    "../README.md": readme_page,
    "rules.md": rules_page,
    "commands.md": commands_page,
    "plan-format.md": lambda: format_page("plan", "The plan file"),
    "species-format.md": lambda: format_page("species", "The species profile"),
    "happened-format.md": lambda: format_page("happened", "What happened"),
    "formulas.md": formulas_page,
    "sources.md": sources_page,
}


def differences() -> list[str]:
    """The lines in which generated pages differ from what the code says."""
    found: list[str] = []
    for name, page in PAGES.items():
        path = HERE / name
        current = path.read_text(encoding="utf-8") if path.exists() else ""
        found += difflib.unified_diff(
            current.splitlines(), page().splitlines(), f"docs/{name}", "the code", lineterm="", n=0
        )
    return found


if __name__ == "__main__":
    if "--write" in sys.argv:
        for name, page in PAGES.items():
            (HERE / name).write_text(page(), encoding="utf-8")
    elif behind := differences():
        print("\n".join(behind[:60]), "\nRun: python docs/generate.py --write")
        sys.exit(1)
