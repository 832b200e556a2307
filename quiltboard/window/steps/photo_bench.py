"""The bench beside the window on which photos are worked at, one order after another.

Orders wait in a row, so that each begins from what the one before it came to. An order belongs
to a fabric, whichever is chosen by the time it is done.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final

from PySide6.QtCore import QObject, Signal

from quiltboard.document.document import Document
from quiltboard.document.jobs import Errand
from quiltboard.fabrics.fabric import Corners, Fabric, FabricId

_log = logging.getLogger(__name__)

FROM_PHOTO: Final = (
    "photo", "corners", "swatch", "reading", "colour", "lighting", "ruler", "pool",
)  # fmt: skip
"""The fields of a fabric that its photo gives; all others are the maker's own."""


@dataclass(frozen=True)
class Order:
    """Something to be done with a fabric's photo.

    Attributes
    ----------
    fabric
        Whose photo.
    work
        What is done, in a thread, with the fabric as it then is.
    then
        Takes over what came of it: the fabric it was made from, and the result.
    kind
        An order that still waits is outdone by a later one of its kind for the same fabric;
        empty: by none.
    corners
        The corners it sets, if that is what it does.
    """

    fabric: FabricId
    work: Callable[[Fabric], object]
    then: Callable[[Fabric, object], None]
    kind: str = ""
    corners: Corners | None = None


class PhotoBench(QObject):
    """Works at orders in a thread; the window's own thread takes over the results.

    Signals
    -------
    busy_changed
        Whether something is being worked at.
    refused
        The fabric an order could not be done for, and a sentence; nothing was changed.
    """

    busy_changed = Signal(bool)
    refused = Signal(object, str)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._waiting: list[Order] = []
        self._at_work: Order | None = None

    @property
    def busy(self) -> bool:
        """Whether something is being worked at."""
        return self._at_work is not None

    def take(self, order: Order) -> None:
        """Take an order."""
        self._waiting = [
            other
            for other in self._waiting
            if not order.kind or (other.fabric, other.kind) != (order.fabric, order.kind)
        ]
        self._waiting.append(order)
        if self._at_work is None:
            self._begin_next()

    def corners_coming(self, fabric: FabricId) -> Corners | None:
        """Tell which corners a fabric is about to have; None: those it has."""
        at_work = () if self._at_work is None else (self._at_work,)
        coming = [
            order.corners
            for order in (*at_work, *self._waiting)
            if order.fabric == fabric and order.corners is not None
        ]
        return coming[-1] if coming else None

    def _begin_next(self) -> None:
        was_busy, self._at_work = self.busy, None
        while self._waiting and self._at_work is None:
            order = self._waiting.pop(0)
            fabric = self._document.project.by_id().get(order.fabric)
            if fabric is None:  # it was taken off the shelf meanwhile
                continue
            self._at_work = order
            errand = Errand(partial(order.work, fabric), parent=self)
            errand.finished.connect(partial(self._on_finished, errand, fabric))
            errand.failed.connect(partial(self._on_failed, errand))
            errand.start()
        if self.busy != was_busy:
            self.busy_changed.emit(self.busy)

    def _on_finished(self, errand: Errand, fabric: Fabric, result: object) -> None:
        errand.deleteLater()
        order = self._at_work
        present = self._document.project.by_id().get(fabric.id)
        if order is not None and present is not None:
            if _from_photo(present) != _from_photo(fabric):
                # Undone or changed meanwhile: what came of the old state is not for this one.
                self._waiting.insert(0, order)
            else:
                # It is done by the time others hear of what came of it.
                self._at_work = Order(order.fabric, order.work, order.then)
                order.then(fabric, result)
        self._begin_next()

    def _on_failed(self, errand: Errand, error: object) -> None:
        errand.deleteLater()
        order = self._at_work
        if isinstance(error, ValueError | MemoryError):
            sentence = str(error) or self.tr("There is not enough memory for that.")
        else:
            _log.error("work at a photo broke: %r", error)
            sentence = self.tr("Something of ours went wrong there; nothing was changed.")
        self._begin_next()
        if order is not None:
            self.refused.emit(order.fabric, sentence)


def _from_photo(fabric: Fabric) -> tuple[object, ...]:
    return tuple(getattr(fabric, field) for field in FROM_PHOTO)
