"""Asks the page for everything it has: every route, with what its own forms hold, damaged, and with what others would send."""

import io
import random
from functools import cache
from pathlib import Path
from typing import Any

from flask import Flask
from werkzeug.test import TestResponse

from advisor.serve.app import app_of
from advisor.serve.house import House
from tests.fuzz.commands import MASSES, TEXTS, Seen, seen_in
from tests.fuzz.yard import ODD, SECRET, files_of, yard

PORT = 8317
TOKEN = "the token of this run"
REQUESTS = 4  # of one visit
NAMES = (
    "../secret.yaml",
    "outside.yaml",
    "..%2fsecret.yaml",
    ".advisor-undo",
    "none.yaml",
    "log.csv",
    "%00.yaml",
    "x\u202e.yaml",
    "C:x.yaml",
)
RULES, KINDS = TEXTS["rule_id"], TEXTS["identifier"]
STATUSES = frozenset({200, 303, 304, 308, 400, 403, 404, 405, 409, 413})
STRANGERS: tuple[dict[str, str], ...] = (
    {"Host": "evil.example"}, {"Host": ""}, {"Origin": "http://evil.example"}, {"Origin": "null"}, {"Sec-Fetch-Site": "cross-site"},
)  # fmt: skip
SELDOM = ("/suggest", "/club-night", "/pack.zip")  # what takes long is asked for less often


@cache
def the_app() -> Flask:
    """One app for all visits: to read its templates takes longer than to answer. What it cannot handle is raised."""
    app = app_of(Path("."), None, PORT)
    app.error_handler_spec[None][None].pop(Exception)
    app.testing = True
    return app


@cache
def routes() -> list[tuple[str, str, float]]:
    """Path, method and weight of every route but the files that never change."""
    return [
        (one.rule, method, 0.1 if one.rule.endswith(SELDOM) else 1.0)
        for one in the_app().url_map.iter_rules()
        for method in sorted((one.methods or set()) & {"GET", "POST"})
    ]


def try_page(content: bytes) -> None:
    """Some requests in a row beside a plan; raises RuntimeError for an answer that should not be."""
    chance = random.Random(content)
    with yard(content, chance) as home:
        app = the_app()
        own = home / "profiles" if chance.random() < 0.2 else None
        app.extensions["house"] = House(home, own, PORT, TOKEN)
        name = chance.choice(("plan.yaml", "plan.yaml", "plan.yaml", "sound plan.yaml"))
        seen = Seen()
        for _ in range(REQUESTS):
            every = routes()
            rule, method, _ = chance.choices(every, [weight for _, _, weight in every])[0]
            path = _address(rule, name, chance)
            if method == "POST" and chance.random() < 0.9:  # the form that it comes from
                asked = path.removesuffix("/answer").removesuffix("/undo")
                seen = _asked(app, home, "GET", "/" if asked == "/plans" else asked, {}, {})
            seen = _asked(app, home, method, path, _fields(rule, seen, chance), _headers(chance))


def _address(rule: str, name: str, chance: random.Random) -> str:
    name = chance.choice(NAMES) if chance.random() < 0.05 else name
    odd = chance.choice((*ODD, "nothing")).replace("/", "")
    rule_id = odd if chance.random() < 0.1 else chance.choice(RULES)
    kind = (
        chance.choice(RULES) if "/rules/" in rule else odd if chance.random() < 0.1 else chance.choice(KINDS)
    )
    path = rule.replace("<name>", name).replace("<rule>", rule_id).replace("<identifier>", kind)
    return path.replace("<path:filename>", chance.choice(("page.css", "../app.py", "%2e%2e/app.py", "")))


def _fields(rule: str, seen: Seen, chance: random.Random) -> dict[str, Any]:
    """What the last page's forms hold, some of it typed over, at times with a button of it pressed."""
    texts = [text for some in TEXTS.values() for text in some]
    fields: dict[str, Any] = dict(seen.fields) if chance.random() < 0.95 else {}
    often = 0.1 if len(fields) < 20 else 0.02
    for name in fields:
        if chance.random() < (0.02 if name in ("token", "base", "mark") else often):
            fields[name] = chance.choice((*ODD, *texts, *MASSES, "yes", "29 °C", "12", "", fields[name] * 2))
    if seen.buttons and chance.random() < 0.4:
        pressed, value = chance.choice(seen.buttons)
        fields[pressed] = value
    if chance.random() < 0.2:
        fields[chance.choice(("set", "part", "tried", "add", "find", "fill", "q", "id", "units", "example", "take"))] = chance.choice((*ODD, '[["heat.power", "20 W"]]', '[["a", 1]]', "us", "corn snake"))  # fmt: skip
    if rule.endswith(("/trial", "/follow")):
        fields |= {f"at:{name}": place for name, place in (text.split("=") for text in TEXTS["sensors"][:3])}
    return fields


def _headers(chance: random.Random) -> dict[str, str]:
    return chance.choice(STRANGERS) if chance.random() < 0.04 else {}


def _asked(
    app: Flask, home: Path, method: str, path: str, fields: dict[str, Any], headers: dict[str, str]
) -> Seen:
    """One request, judged."""
    before = files_of(home)
    sent: dict[str, Any] = {name: text.encode("utf-8", "replace").decode() for name, text in fields.items()}
    if method == "POST" and path.endswith(("/trial", "/follow")):
        log = home / "log.csv"
        sent |= {"log": (io.BytesIO(log.read_bytes()), "log.csv"), "happened": (io.BytesIO((home / "happened.yaml").read_bytes()), "noted.yaml")}  # fmt: skip
    path = path.encode("utf-8", "replace").decode().replace("?", "%3f").replace("#", "%23")
    if method == "GET":
        answer = app.test_client().get(
            path, query_string=sent, base_url=f"http://127.0.0.1:{PORT}", headers=headers
        )
    else:
        answer = app.test_client().post(path, data=sent, base_url=f"http://127.0.0.1:{PORT}", headers=headers)
    told = f"{method} {path} {str(sent)[:600]} {headers}"
    return _judged(answer, before, files_of(home), bool(headers), told)


def _judged(
    answer: TestResponse, before: dict[str, bytes], after: dict[str, bytes], stranger: bool, told: str
) -> Seen:
    if answer.status_code not in STATUSES or (stranger and answer.status_code not in (403, 404, 405, 308)):
        raise RuntimeError(f"status {answer.status_code}: {told}")
    if before != after and (answer.status_code != 303 or "POST" not in told[:4]):
        raise RuntimeError(f"files changed with status {answer.status_code}: {told}")
    if answer.mimetype != "text/html":
        return Seen()
    text = answer.get_data(as_text=True)
    seen = seen_in(text)
    if seen.live or SECRET in text:
        raise RuntimeError(f"the page has live {seen.live} or a secret: {told}")
    return seen
