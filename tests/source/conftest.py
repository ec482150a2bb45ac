import pytest
import yaml

from speccomp.source import yaml_tree


@pytest.fixture(params=[yaml.CSafeLoader, yaml.SafeLoader], ids=["c", "python"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> type:
    """Run a test with the parser in C and with the one in Python."""
    monkeypatch.setattr(yaml_tree, "PARSER", request.param)
    return request.param
