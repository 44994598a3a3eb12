"""Arrays as bytes: what comes out is what went in, and nothing else is ever made of a block."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import array_shapes, arrays

from deskmodel.cache.arrays import pack, unpack

DTYPES = st.sampled_from([np.float64, np.int64, np.int32, np.uint8, np.bool_])


@given(DTYPES.flatmap(lambda d: arrays(d, array_shapes(min_dims=1, max_dims=3, min_side=0))), st.integers())
def test_round_trip(array: np.ndarray, number: int) -> None:
    made, facts = unpack(pack({"first": np.arange(3), "second": array}, {"number": number}))
    assert made["second"].dtype == array.dtype
    assert np.array_equal(made["second"], array, equal_nan=array.dtype.kind == "f")
    assert np.array_equal(made["first"], np.arange(3))
    assert facts == {"number": number}


def test_objects_are_refused() -> None:
    with pytest.raises(TypeError):
        pack({"x": np.array([object()])})


@given(st.binary(max_size=200))
def test_rubbish_is_a_value_error(block: bytes) -> None:
    with pytest.raises(ValueError, match="not a block of arrays"):
        unpack(block)


def test_a_block_cut_short_is_a_value_error() -> None:
    block = pack({"x": np.arange(100.0)})
    for size in range(0, len(block), 37):
        with pytest.raises(ValueError, match="not a block of arrays"):
            unpack(block[:size])


def test_a_block_that_names_objects_is_refused() -> None:
    block = pack({"x": np.arange(4.0)}).replace(b'"<f8"', b'"|O8"')
    with pytest.raises(ValueError, match="not a block of arrays"):
        unpack(block)
