"""How a ring's lean stands against chance: the same pieces, shuffled round the same ring."""

from __future__ import annotations

import math
from typing import Final

import msgspec
import numpy as np

from quiltboard.balance.report import RingValues, lean, ring_weights

SHUFFLES: Final = 1000
USUAL_SHARE: Final = 0.95
"""The dial's circle: 19 of 20 shuffles lean less far."""
_NOISE: Final = 1e-9


class Chance(msgspec.Struct, frozen=True):
    """What shuffling a ring's own pieces says of its lean.

    Attributes
    ----------
    share
        The share of arrangements that lean at least as far, above 0 and at most 1; small means
        that the lean is unlikely to be chance.
    circle
        The lean that 19 of 20 shuffles stay within.
    """

    share: float
    circle: float


def heavy_against_shuffles(
    values: RingValues,
    ground_value: float,
    *,
    seed: int = 0,
    shuffles: int = SHUFFLES,
) -> Chance:
    """Compare a ring's lean with that of the same pieces shuffled over the same wedges.

    Parameters
    ----------
    values
        L* of each wedge round the ring; empty wedges stay empty.
    ground_value
        L* of the ground.
    seed
        The same seed gives the same shuffles.
    shuffles
        How many.

    References
    ----------
    Phipson & Smyth, "Permutation P-values should never be zero" (2010): the arrangement itself
    counts as one of the shuffles, (b + 1)/(m + 1).
    """
    laid = [w for w, value in enumerate(values) if value is not None]
    every = ring_weights(values, ground_value)
    weights = np.array([every[w] for w in laid], dtype=np.float64)
    total = float(weights.sum())
    if total <= _NOISE:
        return Chance(1.0, 0.0)
    angles = np.array(laid, dtype=np.float64) * (math.tau / len(values))
    keys = np.random.default_rng(seed).random((shuffles, len(laid)), dtype=np.float32)
    dealt = weights[keys.argsort(axis=1)]
    lengths = np.hypot(dealt @ np.sin(angles), dealt @ np.cos(angles)) / total
    own = lean(0, values, ground_value).length
    beyond = int(np.count_nonzero(lengths >= own - _NOISE))
    circle = float(np.quantile(lengths, USUAL_SHARE))
    return Chance((beyond + 1) / (shuffles + 1), circle)
