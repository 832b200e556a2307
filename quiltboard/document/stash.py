"""The stash beside the window: every look into it and every change runs in a thread."""

from __future__ import annotations

import logging
from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

import msgspec
import numpy as np
from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QImage

from quiltboard.document.bringing import fit_in
from quiltboard.document.document import Document
from quiltboard.document.jobs import Errand
from quiltboard.drawing.cloth import mm_per_px
from quiltboard.drawing.seeing import read_pixels
from quiltboard.fabrics.fabric import Amount, Fabric, FabricId, Swatch
from quiltboard.paint.cloth_book import image_of, pixels_of
from quiltboard.photos.light import averaged_light, encode_light
from quiltboard.project.project import Project
from quiltboard.store.safe_write import StoreError
from quiltboard.store.stash import Alike, BoardUse, Stash, StashChangedError
from quiltboard.store.stash_entry import StashEntry
from quiltboard.store.stash_file import StashDamagedError
from quiltboard.store.stash_search import Query, StashRow

_log = logging.getLogger(__name__)


Prepare = Callable[[], Callable[[], object] | None]
"""Makes what is to be written, once it is its turn; None where there is nothing to write."""


class Found(NamedTuple):
    """What a look into the stash found.

    Attributes
    ----------
    lines
        Fabrics; how far each is apart from the one it was compared with (CIEDE2000), if so.
    total
        How many fabrics there are in the stash.
    like
        The name of the fabric they were compared with; empty after a search.
    """

    lines: tuple[tuple[StashRow, float | None], ...]
    total: int
    like: str = ""


class Page(NamedTuple):
    """A fabric of the stash, whole, as a list shows it, and the boards that have it."""

    entry: StashEntry
    row: StashRow
    boards: tuple[BoardUse, ...]


class Stashing(QObject):
    """Looks into the stash and changes it; the window never waits for it.

    Signals
    -------
    found
        What the last look found; earlier looks that come late are dropped.
    page_shown
        The fabric asked for, whole (`Page`); None where it is gone, or none is asked for.
    changed
        Something in the stash changed: look again.
    removed
        A fabric that was taken out, ready to be put back.
    cloths_read
        Cuttings by fabric; None for one without a picture.
    failed
        A sentence: what could not be done, and what would help; nothing was changed.
    told
        A sentence: what was done.
    """

    found = Signal(object)
    page_shown = Signal(object)
    changed = Signal()
    removed = Signal(object)
    cloths_read = Signal(object)
    failed = Signal(str)
    told = Signal(str)

    def __init__(
        self, document: Document, stash: Stash | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._stash = stash or Stash()
        self._looks = 0
        self._pages = 0
        self._shown: FabricId | None = None
        self._known: dict[FabricId, StashEntry] = {}
        self._orders: deque[tuple[Prepare, Callable[[Any], None]]] = deque()
        self._writing = False
        self._at_work = 0

    @property
    def idle(self) -> bool:
        """Whether nothing is being read or written."""
        return not self._at_work

    # Looking.

    def look(self, query: Query) -> None:
        """Search the stash."""
        self._looks += 1
        self._run(partial(_search, self._stash, query), partial(self._on_found, self._looks))

    def like(self, row: StashRow, most: int = 12) -> None:
        """Find what comes nearest to a fabric of the stash."""
        self._looks += 1
        self._run(
            partial(_compare, self._stash, row, most), partial(self._on_found, self._looks)
        )

    def show_page(self, fabric: FabricId | None) -> None:
        """Show a fabric whole; None for none."""
        self._shown = fabric
        self._pages += 1
        if fabric is None:
            self.page_shown.emit(None)
            return
        self._run(
            partial(_open, self._stash, fabric), partial(self._on_page, self._pages, fabric)
        )

    def read_cloths(
        self, fabrics: Sequence[FabricId], size_px: tuple[int, int], px_per_mm: float
    ) -> None:
        """Cut pieces of some fabrics, for a list.

        Parameters
        ----------
        fabrics
            Which ones.
        size_px
            How wide and high each is.
        px_per_mm
            The scale that all are cut to.
        """
        self._run(
            partial(_cut, self._stash, fabrics, size_px, px_per_mm), self.cloths_read.emit
        )

    # Changing.

    def keep(self, fabrics: Iterable[Fabric]) -> None:
        """Put fabrics of the board in the stash; what the stash knew of them stays."""
        kept = tuple(fabrics)
        if kept:
            self._order(partial(partial, _keep, self._stash, kept), self._on_kept)

    def change(
        self,
        fabric: FabricId,
        *,
        amounts: tuple[Amount, ...] | None = None,
        **fields: object,
    ) -> None:
        """Change what the stash knows of a fabric that was shown.

        Parameters
        ----------
        fabric
            Which one.
        amounts
            Its pieces; None leaves them.
        fields
            Others of `StashEntry`'s: ``scraps``, ``price``, ``shop``, ``tags``.
        """
        self._order(partial(self._change_of, fabric, amounts, fields), self._on_put)

    def remove(self, fabric: FabricId) -> None:
        """Take a fabric out; ``removed`` hands over what it takes to put it back."""
        self._order(partial(partial, self._stash.remove, fabric), self._on_removed)

    def put_back(self, entry: StashEntry) -> None:
        """Put back what was taken out."""
        self._order(partial(partial, self._stash.put, entry), self._on_put_back)

    def put_on_shelf(self, fabric: FabricId) -> None:
        """Put a fabric of the stash on the board's shelf, with what there is of it."""
        self._run(partial(self._stash.get, fabric), self._on_taken)

    def note_board(self, path: Path, project: Project) -> None:
        """Note which fabrics a board has on its shelf; that never troubles anyone."""
        errand = Errand(partial(self._stash.note_board, path, project), parent=self)
        errand.finished.connect(errand.deleteLater)
        errand.failed.connect(self._on_not_noted)
        errand.start()

    # How it is run.

    def _run(self, work: Callable[[], object], then: Callable[[Any], object]) -> None:
        errand = Errand(work, parent=self)
        errand.finished.connect(partial(self._on_finished, errand, then))
        errand.failed.connect(partial(self._on_failed, errand))
        self._at_work += 1
        errand.start()

    def _on_finished(
        self, errand: Errand, then: Callable[[Any], object], result: object
    ) -> None:
        self._at_work -= 1
        errand.deleteLater()
        then(result)

    def _on_failed(self, errand: Errand, error: object) -> None:
        self._at_work -= 1
        errand.deleteLater()
        self._say(error)

    def _say(self, error: object) -> None:
        if not isinstance(error, StoreError):
            _log.error("the stash could not be used: %r", error)
            self.failed.emit(
                self.tr("Something of ours went wrong there; nothing was changed.")
            )
            return
        self.failed.emit(str(error))
        if isinstance(error, StashDamagedError):
            self.changed.emit()

    def _order(
        self,
        prepare: Prepare,
        then: Callable[[Any], None],
    ) -> None:
        """Write after what is being written now, so that each builds on the one before."""
        self._orders.append((prepare, then))
        if not self._writing:
            self._write_next()

    def _write_next(self) -> None:
        self._writing = bool(self._orders)
        if not self._orders:
            return
        prepare, then = self._orders.popleft()
        work = prepare()
        if work is None:
            self._write_next()
            return
        errand = Errand(work, parent=self)
        errand.finished.connect(partial(self._on_written, errand, then))
        errand.failed.connect(partial(self._on_not_written, errand))
        self._at_work += 1
        errand.start()

    def _on_written(self, errand: Errand, then: Callable[[Any], None], result: object) -> None:
        self._at_work -= 1
        errand.deleteLater()
        then(result)
        self.changed.emit()
        self._write_next()

    def _on_not_written(self, errand: Errand, error: object) -> None:
        self._at_work -= 1
        errand.deleteLater()
        if isinstance(error, StashChangedError):
            # What was changed elsewhere is shown, so that it can be changed again from there.
            if error.latest is not None:
                self._known[error.latest.fabric.id] = error.latest
            self.changed.emit()
            self.show_page(self._shown)
        self._say(error)
        self._write_next()

    # What comes of it.

    def _on_found(self, look: int, found: Found) -> None:
        if look == self._looks:
            self.found.emit(found)

    def _on_page(self, asked: int, fabric: FabricId, page: Page | None) -> None:
        # Two threads read: an earlier page may come after one that knows of a later change.
        if asked != self._pages:
            return
        if not self._writing:
            self._known.clear()
        if page is None:
            self._known.pop(fabric, None)
        else:
            self._known[fabric] = page.entry
        self.page_shown.emit(page)

    def _change_of(
        self, fabric: FabricId, amounts: tuple[Amount, ...] | None, fields: Mapping[str, object]
    ) -> Callable[[], object] | None:
        entry = self._known.get(fabric)
        if entry is None:
            return None
        if amounts is not None:
            cloth = msgspec.structs.replace(entry.fabric, amounts=amounts)
            fields = {**fields, "fabric": cloth}
        changed = msgspec.structs.replace(entry, **fields)
        return None if changed == entry else partial(self._stash.put, changed)

    def _on_put(self, entry: StashEntry) -> None:
        self._known[entry.fabric.id] = entry
        if entry.fabric.id == self._shown:
            self.show_page(self._shown)

    def _on_kept(self, kept: tuple[StashEntry, ...]) -> None:
        for entry in kept:
            if entry.fabric.id in self._known:
                self._known[entry.fabric.id] = entry
        self.told.emit(
            self.tr("{name} is in the stash now.").format(name=kept[0].fabric.name)
            if len(kept) == 1
            else self.tr("{n} fabrics are in the stash now.").format(n=len(kept))
        )
        if self._shown in {entry.fabric.id for entry in kept}:
            self.show_page(self._shown)

    def _on_removed(self, entry: StashEntry | None) -> None:
        if entry is None:
            return
        self._known.pop(entry.fabric.id, None)
        if self._shown == entry.fabric.id:
            self.show_page(None)
        self.removed.emit(entry)

    def _on_put_back(self, entry: StashEntry) -> None:
        self.told.emit(self.tr("{name} is back.").format(name=entry.fabric.name))

    def _on_taken(self, entry: StashEntry | None) -> None:
        if entry is None:
            self.failed.emit(self.tr("That fabric was taken out in another window meanwhile."))
            self.changed.emit()
            return
        fabric = entry.fabric
        known = self._document.project.by_id().get(fabric.id)
        if known is not None:
            self.told.emit(self.tr("{name} is on the shelf already.").format(name=known.name))
        elif self._document.add_fabrics(fit_in(self._document, [fabric])):
            self.told.emit(self.tr("{name} is on the shelf now.").format(name=fabric.name))

    def _on_not_noted(self, error: object) -> None:
        _log.info("a board was not noted in the stash: %s", error)


def _search(stash: Stash, query: Query) -> Found:
    rows = stash.search(query)
    return Found(tuple((row, None) for row in rows), stash.count())


def _compare(stash: Stash, row: StashRow, most: int) -> Found:
    near = stash.nearest(row.id, most)
    own: tuple[Alike, ...] = tuple(Alike(found, 0.0) for found in stash.rows([row.id]).values())
    return Found((*own, *near), stash.count(), row.name)


def _open(stash: Stash, fabric: FabricId) -> Page | None:
    entry, row = stash.get(fabric), stash.rows([fabric]).get(fabric)
    if entry is None or row is None:
        return None
    return Page(entry, row, stash.boards_using(fabric))


def _keep(stash: Stash, fabrics: Sequence[Fabric]) -> tuple[StashEntry, ...]:
    return tuple(stash.keep(fabric) for fabric in fabrics)


def _cut(
    stash: Stash, fabrics: Sequence[FabricId], size_px: tuple[int, int], px_per_mm: float
) -> dict[FabricId, QImage | None]:
    swatches = stash.swatches(fabrics)
    return {
        fabric: cut_piece(swatches[fabric], size_px, px_per_mm) if fabric in swatches else None
        for fabric in fabrics
    }


def cut_piece(swatch: Swatch, size_px: tuple[int, int], px_per_mm: float) -> QImage:
    """Cut a piece from the middle of a swatch, mirrored on where the swatch is too small.

    Parameters
    ----------
    swatch
        A sound swatch.
    size_px
        How wide and high the piece is.
    px_per_mm
        Its scale.
    """
    pixels = read_pixels(swatch.png)
    seen = mm_per_px(swatch) * px_per_mm
    wide, high = (max(1, round(side * seen)) for side in (swatch.width_px, swatch.height_px))
    if seen < 1:
        pixels = encode_light(averaged_light(pixels, wide, high))
    else:
        smooth = Qt.TransformationMode.SmoothTransformation
        whole = image_of(pixels)
        pixels = pixels_of(
            whole.scaled(wide, high, Qt.AspectRatioMode.IgnoreAspectRatio, smooth)
        )
    across, down = size_px
    left, top = max(0, wide - across) // 2, max(0, high - down) // 2
    middle = pixels[top : top + down, left : left + across]
    short_y, short_x = down - middle.shape[0], across - middle.shape[1]
    return image_of(np.pad(middle, ((0, short_y), (0, short_x), (0, 0)), mode="symmetric"))
