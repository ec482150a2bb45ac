"""A short run of the fuzzer; the long one is `python -m tests.fuzz.fuzz_check`."""

from tests.fuzz.fuzz_check import SLOW, run


def test_spoilt_files_give_findings_and_nothing_else() -> None:
    report = run(seed=2026, cases=400)
    assert report.failure == ""
    assert report.cases == 400
    assert report.slowest < SLOW
    assert report.peak_bytes < 512 * 2**20
