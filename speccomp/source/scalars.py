"""How to write a text as YAML."""

import json
import re

# A text that may stand without quotes in a block and between brackets, for every reader of YAML.
_UNQUOTED = re.compile(
    r"(?!---|\.\.\.)(?:[^\W_]|[-+](?=[\w.])|[_.±≤≥°/(~^$<=])"
    r"(?:[^\s,\[\]{}:#?]|:(?=[\w/])|(?<=\S)#| (?=[^\s#]))*"
)
_NOT_PRINTABLE = re.compile("[\x7f-\xa0\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")


def dump_scalar(text: str) -> str:
    """Return a text as YAML, in double quotes where it needs them, for hints to paste."""
    if _UNQUOTED.fullmatch(text) and not _NOT_PRINTABLE.search(text):
        return text
    quoted = json.dumps(text, ensure_ascii=False)
    return _NOT_PRINTABLE.sub(lambda match: f"\\u{ord(match.group()):04x}", quoted)
