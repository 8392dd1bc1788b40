"""Work spread over processes comes back whole and in order, whatever happens to a process."""

import math
import os
import pickle
import signal
import subprocess
import sys
from pathlib import Path
from types import MappingProxyType

import pytest

from benchleaf.build import executor
from benchleaf.build.executor import FEWEST_EACH, processors, spread

HELPER = """
import multiprocessing
import os

def whoami(job):
    return os.getpid()

def same(job):
    return job

def unsendable(job):
    return lambda: job

def fatal(job):
    # As the system does when memory runs out; never in the process that asked.
    if multiprocessing.parent_process() and job == 2:
        os.kill(os.getpid(), 9)
    return job * job
"""


@pytest.fixture
def helper(tmp_path, monkeypatch):
    """A module that the other processes can import as well."""
    (tmp_path / "executor_helper.py").write_text(HELPER)
    monkeypatch.syspath_prepend(tmp_path)
    return __import__("executor_helper")


def test_results_stand_in_the_order_of_the_jobs(helper):
    jobs = range(40)
    assert list(spread(math.factorial, iter(jobs), 40, 2)) == [math.factorial(job) for job in jobs]
    workers = set(spread(helper.whoami, jobs, 40, 2))
    assert os.getpid() not in workers and len(workers) <= 2


@pytest.mark.parametrize(("count", "most"), [(2 * FEWEST_EACH - 1, 8), (40, 1)])
def test_few_jobs_start_no_process(helper, count, most):
    assert set(spread(helper.whoami, range(count), count, most)) == {os.getpid()}


def test_an_exception_comes_through():
    with pytest.raises(ValueError, match="math domain error"):
        list(spread(math.sqrt, [1.0, 4.0, -1.0, 9.0, 16.0, 25.0], 6, 2))


def test_read_only_maps_travel(helper):
    jobs = [MappingProxyType({job: (MappingProxyType({"a": job}),)}) for job in range(8)]
    assert list(spread(helper.same, jobs, 8, 2)) == jobs


def test_what_cannot_be_sent_is_an_error_and_no_standstill(helper):
    for job in ([lambda: 0] * 8, [None] * 8):
        with pytest.raises((AttributeError, TypeError, pickle.PicklingError)):
            list(spread(helper.unsendable, job, 8, 2))


def test_a_killed_process_costs_no_result(helper):
    assert list(spread(helper.fatal, range(8), 8, 2)) == [job * job for job in range(8)]


ORPHANS = """
import os, signal, sys
sys.path.insert(0, sys.argv[1])
import executor_helper
from benchleaf.build import executor
from benchleaf.build.executor import spread

if __name__ == "__main__":
    coming = spread(executor_helper.whoami, range(80), 80, 2)
    print(next(coming), flush=True)
    os.kill(os.getpid(), signal.SIGKILL)
"""


def test_workers_do_not_outlive_a_killed_parent(helper, tmp_path):
    """Workers hold the pipe of our output: it ends when the last of them does."""
    package = Path(executor.__file__).resolve().parents[2]
    done = subprocess.run(
        [sys.executable, "-c", ORPHANS, str(tmp_path)],
        env=os.environ | {"PYTHONPATH": str(package)},
        capture_output=True,
        timeout=30,
        check=False,
    )
    assert done.returncode == -signal.SIGKILL
    assert int(done.stdout) > 1


def test_there_is_at_least_one_processor():
    assert 1 <= processors() <= (os.cpu_count() or 1)
