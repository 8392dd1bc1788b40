"""Systems of equations: both ways to solve them agree with LAPACK, and what settles nothing is said so."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.trade import network_matrix
from benchleaf.trade.network_matrix import LARGE, Singular, taken_apart


def rows_of(matrix):
    return [{column: float(value) for column, value in enumerate(row) if value} for row in matrix]


def circuit_like(size, seed):
    """Symmetric, nearly empty, over ten powers of ten, as conductances between nodes and a few sources are."""
    random = np.random.default_rng(seed)
    made = np.zeros((size, size))
    for node in range(size):
        made[node, node] += 10.0 ** random.uniform(-7, 3)
        other = int(random.integers(size))
        if other != node:
            conducts = 10.0 ** random.uniform(-7, 3)
            made[[node, other], [node, other]] += conducts
            made[[node, other], [other, node]] -= conducts
    return made


@given(st.integers(1, 40), st.integers(0, 2**32 - 1))
def test_elimination_agrees_with_lapack(size, seed):
    # LAPACK by way of numpy.linalg.solve is the reference; the residual is what rounding allows.
    matrix = circuit_like(size, seed)
    known = np.random.default_rng(seed + 1).normal(size=size)
    found = np.array(taken_apart(rows_of(matrix))(list(known)))
    reference = np.linalg.solve(matrix, known)
    assert np.allclose(matrix @ found, known, rtol=1e-9, atol=1e-9 * np.abs(matrix).max() * np.abs(reference).max())
    assert np.allclose(found, reference, rtol=1e-6, atol=1e-9 * np.abs(reference).max())


def test_a_zero_on_the_diagonal_is_no_hindrance():
    # A source without resistance has no entry of its own: [[0, 1], [1, 0]].
    assert taken_apart([{1: 1.0}, {0: 1.0}])([3.0, 5.0]) == [5.0, 3.0]


def test_one_system_answers_many_sides():
    solver = taken_apart([{0: 2.0, 1: 1.0}, {0: 1.0, 1: 3.0}])
    assert solver([3.0, 4.0]) == [1.0, 1.0]
    assert solver([0.0, 0.0]) == [0.0, 0.0]
    assert solver([3.0, 4.0]) == [1.0, 1.0]


@pytest.mark.parametrize("size", [2, LARGE])
def test_what_settles_nothing_is_refused(size):
    rows = [{0: 1.0, 1: 1.0}, {0: 1.0, 1: 1.0}, *({each: 1.0} for each in range(2, size))]
    with pytest.raises(Singular):
        taken_apart(rows)([1.0] * size)


def test_large_systems_go_to_the_library(monkeypatch):
    matrix = circuit_like(LARGE, 7)
    known = [1.0] * LARGE
    by_rows = network_matrix._by_rows(rows_of(matrix))(known)
    assert np.allclose(taken_apart(rows_of(matrix))(known), by_rows, rtol=1e-6)
    monkeypatch.setattr(network_matrix, "_by_rows", None)
    assert len(taken_apart(rows_of(matrix))(known)) == LARGE
