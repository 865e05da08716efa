"""Sources of typed answers: what an answer may leave out is that of the answer before."""

from advisor.interview.questions import Answers


def last_sources(answers: Answers) -> list[str]:
    """The sources of the latest answer that names any."""
    for path, value in reversed(list(answers.items())):
        if path.endswith(".sources"):
            return list(value)
        block = value[-1] if isinstance(value, list) and value else value
        if isinstance(block, dict) and "sources" in block:
            return list(block["sources"])
    return []


def source_offered(answers: Answers) -> str:
    """The line of help that offers the source of the answer before; empty where there is none."""
    keys = last_sources(answers)
    return f"Without a source, that of the answer before is taken: [{', '.join(keys)}]." if keys else ""


def with_source(answers: Answers, text: str) -> str:
    """Every part of an answer with a source: its own, or that of the answer before."""
    keys = last_sources(answers)
    if not keys or text.lower() in ("none", "no"):
        return text
    return "; ".join(part if "[" in part else f"{part} [{', '.join(keys)}]" for part in answer_parts(text))


def answer_parts(text: str) -> list[str]:
    """The parts of an answer, parted by semicolons."""
    return [part.strip() for part in text.split(";") if part.strip()]
