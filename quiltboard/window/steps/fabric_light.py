"""The light and the scale of a photo, and the cloths in it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from quiltboard.fabrics.fabric import WHOLE_PHOTO, Corners, Fabric
from quiltboard.fabrics.photo_work import measure_anew, recrop, set_grid, set_light, set_ruler
from quiltboard.fabrics.telling import tell_light
from quiltboard.photos.lighting import Reference
from quiltboard.photos.ruler import Ruler, ruler_across
from quiltboard.units import Length, Unit, inches
from quiltboard.window.steps.fabric_section import FabricSection
from quiltboard.window.steps.form import LengthField
from quiltboard.window.steps.photo_table import PhotoTable
from quiltboard.window.steps.photo_tools import Point
from quiltboard.window.theme import Theme

Work = Callable[[Fabric], Fabric]
"""Something done anew with a fabric's photo."""


class LightSection(FabricSection):
    """What sets white and exposure: found in the photo, pointed at, or nothing.

    Signals
    -------
    work_asked
        What is to be done with the photo.
    """

    work_asked = Signal(object)

    def __init__(self, theme: Theme, table: PhotoTable, parent: QWidget | None = None) -> None:
        super().__init__(theme, self.tr("Light"), parent)
        self._table = table
        self._told = self.add_told()
        self.buttons = self.add_buttons(
            (self.tr("White card …"), partial(self._point_at, "white card")),
            (self.tr("White sheet …"), partial(self._point_at, "white sheet")),
            (self.tr("Grey card …"), partial(self._point_at, "grey card")),
            (self.tr("As taken"), partial(self._ask, partial(_lit, None, (0.5, 0.5)))),
        )

    def show_fabric(self, fabric: Fabric | None, _unit: Unit) -> None:
        """Say what the value rests on."""
        self.setEnabled(fabric is not None and fabric.photo is not None)
        told = "" if fabric is None else tell_light(fabric)
        self._told.setText(f"{told[:1].upper()}{told[1:]}." if told else "")

    def _point_at(self, reference: Reference) -> None:
        captions: dict[Reference, str] = {
            "white card": self.tr("Click the white card. Escape puts it off."),
            "white sheet": self.tr("Click the white sheet of paper. Escape puts it off."),
            "grey card": self.tr("Click the grey card (18 %). Escape puts it off."),
        }
        self._table.ask_point(captions[reference], partial(self._on_pointed, reference))

    def _on_pointed(self, reference: Reference, at: Point) -> None:
        self._ask(partial(_lit, reference, at))

    def _ask(self, work: Work) -> None:
        self.work_asked.emit(work)


class ScaleSection(FabricSection):
    """How much cloth the photo shows: typed, between two points, or by the lines of a mat.

    Signals
    -------
    work_asked
        What is to be done with the photo.
    """

    work_asked = Signal(object)

    def __init__(self, theme: Theme, table: PhotoTable, parent: QWidget | None = None) -> None:
        super().__init__(theme, self.tr("Scale"), parent)
        self._table = table
        self._fabric: Fabric | None = None
        self.width_field = LengthField(blank=self.tr("not known"))
        self.width_field.setToolTip(
            self.tr("How much cloth lies between the left and right corners")
        )
        self.width_field.entered.connect(self._on_width)
        self.width_field.refused.connect(self.refused)
        self.add_row(self.tr("Photo shows"), self.width_field)
        self.known = LengthField()
        self.known.setToolTip(
            self.tr("The length between two points, or from one line of a mat to the next")
        )
        self.known.entered.connect(self._on_known)
        self.known.refused.connect(self.refused)
        self._known = inches(1)
        self.add_row(self.tr("A length of"), self.known)
        self.buttons = self.add_buttons(
            (self.tr("Between two points …"), self._lay_ruler),
            (self.tr("From line to line …"), self._point_at_grid),
        )

    def show_fabric(self, fabric: Fabric | None, unit: Unit) -> None:
        """Show how wide the swatch is."""
        self._fabric = fabric
        swatch = fabric.swatch if fabric else None
        self.setEnabled(swatch is not None)
        self.width_field.show_length(swatch.width if swatch else None, unit)
        self.known.show_length(self._known, unit)

    def _on_known(self, length: int) -> None:
        self._known = Length(length)

    def _on_width(self, width: int) -> None:
        if self._fabric is not None:
            ruler = ruler_across(self._fabric.corners, Length(width))
            self.work_asked.emit(partial(_scaled, ruler))

    def _lay_ruler(self) -> None:
        self._table.ask_ruler(
            self.tr("Drag from one end of the known length to the other. Escape puts it off."),
            self._on_laid,
        )

    def _on_laid(self, start: Point, end: Point) -> None:
        self.work_asked.emit(partial(_scaled, Ruler(start, end, self._known)))

    def _point_at_grid(self) -> None:
        self._table.ask_point(
            self.tr(
                "Click the mat or the ruler where its lines are plain. Escape puts it off."
            ),
            self._on_grid,
        )

    def _on_grid(self, at: Point) -> None:
        self.work_asked.emit(partial(_by_grid, at, self._known))


class ClothsSection(FabricSection):
    """What else is done with the photo.

    Signals
    -------
    work_asked
        What is to be done with the photo.
    find_asked
        Every cloth in the photo is wanted.
    another_asked
        One more cloth is to be cut from the photo.
    """

    work_asked = Signal(object)
    find_asked = Signal()
    another_asked = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, self.tr("This photo"), parent)
        self.buttons = self.add_buttons(
            (self.tr("Find the cloths in it"), self.find_asked.emit),
            (self.tr("Another cloth in it"), self.another_asked.emit),
            (
                self.tr("Take the whole photo"),
                partial(self._ask, partial(_cropped, WHOLE_PHOTO)),
            ),
            (self.tr("Measure anew"), partial(self._ask, measure_anew)),
        )

    def show_fabric(self, fabric: Fabric | None, _unit: Unit) -> None:
        """Open and close what needs a photo."""
        self.setEnabled(fabric is not None and fabric.photo is not None)

    def _ask(self, work: Work) -> None:
        self.work_asked.emit(work)


def cropped_to(corners: Corners) -> Work:
    """Give the work of taking a swatch from between other corners."""
    return partial(_cropped, corners)


# A fabric comes last, so that everything before it can be bound.


def _cropped(corners: Corners, fabric: Fabric) -> Fabric:
    return recrop(fabric, corners)


def _lit(reference: Reference | None, at: Point, fabric: Fabric) -> Fabric:
    return set_light(fabric, reference, at)


def _scaled(ruler: Ruler, fabric: Fabric) -> Fabric:
    return set_ruler(fabric, ruler)


def _by_grid(at: Point, spacing: Length, fabric: Fabric) -> Fabric:
    return set_grid(fabric, at, spacing)
