"""What the reference tests have in common."""

from __future__ import annotations

import warnings
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def colour() -> ModuleType:
    """Give colour-science, which warns, once, that it was installed without its plotting."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour as module  # noqa: PLC0415
    return module
