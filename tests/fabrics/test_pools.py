"""Which fabrics are pools."""

from __future__ import annotations

from quiltboard.fabrics.fabric import Fabric, FabricId, Pool, Reading
from quiltboard.fabrics.pools import pools_of, said_of_pool


def fabric(name: str, pool: Pool | None) -> Fabric:
    return Fabric(FabricId(name), name, Reading((50, 0, 0), 45, 55), "#777777", pool=pool)


def test_pools_are_known_with_their_number() -> None:
    blues, whites = fabric("Blues", Pool(38)), fabric("Whites", Pool(12))
    assert pools_of((blues, fabric("Kelp", None), whites)) == {"Blues": 38, "Whites": 12}


def test_a_pool_of_one_cloth_is_that_cloth() -> None:
    assert pools_of((fabric("Last Scrap", Pool(1)),)) == {}


def test_a_pool_is_said() -> None:
    assert said_of_pool(38) == "38 cloths, all different"
    assert said_of_pool(1) == "1 cloth"
