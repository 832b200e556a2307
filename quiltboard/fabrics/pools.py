"""Pools: many small cloths used as one, no two of them alike."""

from __future__ import annotations

from collections.abc import Iterable

from quiltboard.fabrics.fabric import Fabric, FabricId


def pools_of(fabrics: Iterable[Fabric]) -> dict[FabricId, int]:
    """Tell which fabrics are pools, and how many cloths each has.

    A pool of a single cloth is that cloth, and no pool.
    """
    return {
        fabric.id: fabric.pool.cloths
        for fabric in fabrics
        if fabric.pool is not None and fabric.pool.cloths > 1
    }


def said_of_pool(cloths: int) -> str:
    """Say what a pool is.

    Examples
    --------
    >>> said_of_pool(38)
    '38 cloths, all different'
    >>> said_of_pool(1)
    '1 cloth'
    """
    if cloths == 1:
        return "1 cloth"
    return f"{cloths} cloths, all different"
