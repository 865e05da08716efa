"""Good files, and how each is damaged at random."""

import random

from tests.support import ROOT

PLANS = [path.read_bytes() for path in sorted((ROOT / "examples").glob("*.yaml"))]
PROFILES = [path.read_bytes() for path in sorted((ROOT / "species").glob("*-*.yaml"))]
WORDS = (
    b"\x00", b"\xff", b"\t", b"  ", b"\n", b": ", b"- ", b"{", b"}", b"[", b"]", b"'", b'"', b"&a ", b"*a ", b"!!x ", b"<<: ",
    b"null", b"yes", b"no", b"1e999", b"-1", b"0", b".nan", b"999999999999999999999", b"1:1", b"2027-02-30", b"29 \xc2\xb0C",
    b"0 W", b"-5 cm", b"1000000 h", b"0.0001 mm", b"9" * 50, b"\xe2\x80\xae", b"\xf0\x9f\xa6\x8e", b"unknown", b"none", b"thirds",
    b"water bath", b"in water", b"bulb", b"on the heater", b"two", b"mass", b"sand", b"gasket", b"45 \xc2\xb0C", b"15 C", b"113 F",
)  # fmt: skip


def damaged(content: bytes, random_source: random.Random) -> bytes:
    """A file with one to six random damages: lines moved or lost, bytes changed, odd words put in."""
    for _ in range(random_source.randint(1, 6)):
        place = random_source.randrange(len(content) + 1)
        kind = random_source.randrange(7)
        if kind == 0:
            content = content[:place] + random_source.choice(WORDS) + content[place:]
        elif kind == 1:
            content = content[:place] + content[place + random_source.randint(1, 30) :]
        elif kind == 2:
            content = content[:place] + bytes([random_source.randrange(256)]) + content[place + 1 :]
        else:
            lines = content.split(b"\n")
            first, second = random_source.randrange(len(lines)), random_source.randrange(len(lines))
            if kind == 3:
                lines.pop(first)
            elif kind == 4:
                lines[first], lines[second] = lines[second], lines[first]
            elif kind == 5:
                head, colon, _ = lines[first].partition(b": ")
                lines[first] = head + colon + random_source.choice(WORDS)
            else:
                lines.insert(second, lines[first])
            content = b"\n".join(lines)
    return content
