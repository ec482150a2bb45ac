"""A short run of the fuzzer; the long one is `python -m tests.fuzz.fuzz_check`."""

from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from tests.fuzz.fuzz_check import SLOW, run


def test_spoilt_files_give_findings_and_nothing_else() -> None:
    # In a process of its own, so that its memory is that of the checks and of nothing else.
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as alone:
        report = alone.submit(run, seed=2026, cases=400).result()
    assert report.failure == ""
    assert report.cases == 400
    assert report.slowest < SLOW
    assert report.peak_bytes < 512 * 2**20
