"""
Write `speccomp/packs/compiled.json` from the YAML files beside it.

    python -m tests.cautions.compile_packs
"""

import json
from pathlib import Path

from speccomp.source.yaml_tree import Plain, parse_tree

PACKS = Path(__file__).resolve().parents[2] / "speccomp" / "packs"
COMPILED = PACKS / "compiled.json"


def compiled() -> str:
    """Return what the file has to hold."""
    data: dict[str, Plain] = {}
    for path in sorted(PACKS.glob("*.yaml")):
        outcome = parse_tree(path.read_text(encoding="utf-8"), path.name)
        assert outcome.value is not None, outcome.findings
        assert outcome.findings == ()
        data[path.stem] = outcome.value.data
    return json.dumps(data, ensure_ascii=False, indent=0, sort_keys=True) + "\n"


if __name__ == "__main__":
    COMPILED.write_text(compiled(), encoding="utf-8")
