"""Who may ask: this machine's own page and nobody else; and what a page may do.

Another page in the same browser can send requests here, and a name that an attacker owns can be made to point here (DNS
rebinding). So the name that was asked for, the page that asks, and for every change the token of this run must be ours.
"""

import hmac

from flask import Flask, Response, abort, g, request

from advisor.serve.house import house

LARGEST_BODY = 1_500_000  # bytes: a text of 256 000 with every sign escaped to three, and the form around it
LARGEST_LOG = 100_000_000  # bytes: a reading every ten seconds of a whole season
LOGS = frozenset({"logs.read_trial", "logs.read_follow"})  # what takes a log besides
POLICY = (
    "default-src 'none'; script-src 'self'{scripts}; style-src 'self'{styles}; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}


def guard(app: Flask) -> None:
    """Puts the checks before every request, and the headers behind every answer."""
    app.config["MAX_CONTENT_LENGTH"] = LARGEST_BODY
    app.config["MAX_FORM_MEMORY_SIZE"] = LARGEST_BODY
    app.config["MAX_FORM_PARTS"] = 5000
    app.before_request(_only_ours)
    app.after_request(_with_headers)


def _only_ours() -> None:
    hosts = {f"{name}:{house().port}" for name in ("127.0.0.1", "localhost")}
    host = request.headers.get("Host", "")
    if host not in hosts:
        abort(403, "This page answers only to 127.0.0.1.")
    origin = request.headers.get("Origin")
    if origin is not None and origin != f"http://{host}":
        abort(403, "Another page asked.")
    # Browsers say where a request comes from (Fetch Metadata); "none" is an address that was typed.
    if request.headers.get("Sec-Fetch-Site", "none") not in ("none", "same-origin"):
        abort(403, "Another page asked. Type the address yourself.")
    if request.method not in ("GET", "HEAD"):
        if request.endpoint in LOGS:
            request.max_content_length = LARGEST_LOG + LARGEST_BODY
        given = request.form.get("token", "")
        if not hmac.compare_digest(given.encode(), house().token.encode()):
            abort(403, "This page is from before the last start. Load it again.")


def _with_headers(response: Response) -> Response:
    own = {kind: "".join(f" {one}" for one in g.get(kind, ())) for kind in ("scripts", "styles")}
    response.headers["Content-Security-Policy"] = POLICY.format(**own)
    for name, value in HEADERS.items():
        response.headers[name] = value
    return response
