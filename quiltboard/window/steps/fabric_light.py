"""The light and the scale of a photo, and the cloths in it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from quiltboard.document.wording import counted
from quiltboard.fabrics.fabric import WHOLE_PHOTO, Corners, Fabric
from quiltboard.fabrics.photo_work import measure_anew, recrop, set_grid, set_light, set_ruler
from quiltboard.fabrics.telling import tell_light, tell_scale
from quiltboard.photos.lighting import Reference
from quiltboard.photos.ruler import Ruler, ruler_across
from quiltboard.units import (
    InvalidLengthError,
    Length,
    Unit,
    format_length,
    inches,
    millimetres,
    parse_length,
    plain_fractions,
)
from quiltboard.window.steps.fabric_section import FabricSection, TextField
from quiltboard.window.steps.form import LengthField
from quiltboard.window.steps.photo_table import PhotoTable
from quiltboard.window.steps.photo_tools import Point
from quiltboard.window.theme import Theme

Work = Callable[[Fabric], Fabric]
"""Something done anew with a fabric's photo."""


class PhotoSection(FabricSection):
    """A section about a fabric's photo; a plain colour has none.

    Signals
    -------
    work_asked
        What is to be done with the photo, and what kind of work that is: a later one of the
        kind outdoes one that still waits.
    """

    work_asked = Signal(object, str)

    def __init__(self, theme: Theme, heading: str, parent: QWidget | None = None) -> None:
        super().__init__(theme, heading, folds=True, parent=parent)

    def ask(self, work: Work, kind: str) -> None:
        """Ask for work at the photo."""
        self.work_asked.emit(work, kind)

    def say(self, told: str) -> None:
        """Say something as a sentence."""
        self.tell(f"{told[:1].upper()}{told[1:]}." if told else "")


class LightSection(PhotoSection):
    """What sets white and exposure: found in the photo, pointed at, or nothing."""

    def __init__(self, theme: Theme, table: PhotoTable, parent: QWidget | None = None) -> None:
        super().__init__(theme, self.tr("Light"), parent)
        self._table = table
        self.buttons = self.add_buttons(
            (self.tr("White card…"), partial(self._point_at, "white card")),
            (self.tr("White sheet…"), partial(self._point_at, "white sheet")),
            (self.tr("Grey card…"), partial(self._point_at, "grey card")),
            (self.tr("As taken"), self._on_as_taken),
        )

    def show_fabric(self, fabric: Fabric | None, _unit: Unit) -> None:
        """Say what the value rests on."""
        self.setVisible(fabric is not None and fabric.photo is not None)
        self.say("" if fabric is None else tell_light(fabric))
        self.heading.mark_unsure(fabric is not None and not fabric.calibrated)

    def _point_at(self, reference: Reference) -> None:
        captions: dict[Reference, str] = {
            "white card": self.tr("Click the white card."),
            "white sheet": self.tr("Click the white sheet of paper."),
            "grey card": self.tr("Click the grey card (18 %)."),
        }
        self._table.ask_point(captions[reference], partial(self._on_pointed, reference))

    def _on_pointed(self, reference: Reference, at: Point) -> None:
        self.ask(partial(_lit, reference, at), "light")

    def _on_as_taken(self) -> None:
        self.ask(partial(_lit, None, (0.5, 0.5)), "light")


class ScaleSection(PhotoSection):
    """How much cloth the photo shows: typed, between two points, or by the lines of a mat."""

    def __init__(self, theme: Theme, table: PhotoTable, parent: QWidget | None = None) -> None:
        super().__init__(theme, self.tr("Scale"), parent)
        self._table = table
        self._unit: Unit = "in"
        self.width_field = TextField(20, self.tr("not known"))
        self.width_field.setToolTip(
            self.tr("How much cloth lies between the left and right corners; empty: not known")
        )
        self.width_field.entered.connect(self._on_width)
        self.add_row(self.tr("Photo shows"), self.width_field)
        self.known = LengthField()
        self.known.setToolTip(
            self.tr("The length between two points, or from one line of a mat to the next")
        )
        self.known.entered.connect(self._on_known)
        self.known.refused.connect(self.refused)
        self._known: Length | None = None
        self.add_row(self.tr("Known length"), self.known)
        self.buttons = self.add_buttons(
            (self.tr("From point to point…"), self._lay_ruler),
            (self.tr("From line to line…"), self._point_at_grid),
        )

    @property
    def known_length(self) -> Length:
        """How long is what is pointed at: an inch or a centimetre until that is told."""
        if self._known is not None:
            return self._known
        return inches(1) if self._unit == "in" else millimetres(10)

    def show_fabric(self, fabric: Fabric | None, unit: Unit) -> None:
        """Show how wide the swatch is."""
        self._unit = unit
        swatch = fabric.swatch if fabric else None
        self.setVisible(fabric is not None and fabric.photo is not None)
        self.say("" if fabric is None else tell_scale(fabric, unit))
        across = swatch.width if swatch else None
        self.width_field.show_text(
            "" if across is None else plain_fractions(format_length(across, unit, finest=16))
        )
        if not self.known.isModified():
            self.known.show_length(self.known_length, unit)

    def _on_known(self, length: int) -> None:
        self._known = Length(length)

    def _on_width(self, text: str) -> None:
        if not text:
            self.ask(partial(_scaled, None), "scale")
            return
        try:
            width = parse_length(text, self._unit)
        except InvalidLengthError as error:
            self.refused.emit(str(error))
            return
        self.ask(partial(_as_wide_as, width), "scale")

    def _lay_ruler(self) -> None:
        said = format_length(self.known_length, self._unit)
        self._table.ask_ruler(
            self.tr("Drag along what is {length} long, or click its two ends.").format(
                length=said
            ),
            self._on_laid,
        )

    def _on_laid(self, start: Point, end: Point) -> None:
        self.ask(partial(_scaled, Ruler(start, end, self.known_length)), "scale")

    def _point_at_grid(self) -> None:
        said = format_length(self.known_length, self._unit)
        self._table.ask_point(
            self.tr(
                "Click the mat or ruler where its lines, {length} apart, are plain."
            ).format(length=said),
            self._on_grid,
        )

    def _on_grid(self, at: Point) -> None:
        self.ask(partial(_by_grid, at, self.known_length), "scale")


class ClothsSection(PhotoSection):
    """What else is done with the photo.

    Signals
    -------
    find_asked
        Every cloth in the photo is wanted.
    another_asked
        One more cloth is to be cut from the photo.
    corners_asked
        The swatch is to be taken from between other corners.
    """

    find_asked = Signal()
    another_asked = Signal()
    corners_asked = Signal(object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, self.tr("This photo"), parent)
        self.buttons = self.add_buttons(
            (self.tr("Find its cloths"), self.find_asked.emit),
            (self.tr("Another cloth"), self.another_asked.emit),
            (self.tr("Whole photo"), partial(self.corners_asked.emit, WHOLE_PHOTO)),
            (self.tr("Measure anew"), partial(self.ask, measure_anew, "measure")),
        )
        tips = (
            self.tr("Look for every cloth in the photo; each becomes a fabric on the shelf"),
            self.tr("Cut one more fabric out of the photo; then drag its corners"),
            self.tr("Take the whole photo as the cloth"),
            self.tr("Look for a card again, and measure the cloth between its corners"),
        )
        for button, tip in zip(self.buttons, tips, strict=True):
            button.setToolTip(tip)

    def show_fabric(self, fabric: Fabric | None, _unit: Unit) -> None:
        """Show what needs a photo only where there is one."""
        self.setVisible(fabric is not None and fabric.photo is not None)

    def show_siblings(self, count: int) -> None:
        """Say how many other fabrics were cut from the photo."""
        self.say(
            counted(
                count,
                self.tr("{n} other fabric was cut from it: click it in the photo"),
                self.tr("{n} other fabrics were cut from it: click one in the photo"),
            )
            if count
            else ""
        )


def cropped_to(corners: Corners) -> Work:
    """Give the work of taking a swatch from between other corners."""
    return partial(_cropped, corners)


# A fabric comes last, so that everything before it can be bound.


def _cropped(corners: Corners, fabric: Fabric) -> Fabric:
    return recrop(fabric, corners)


def _lit(reference: Reference | None, at: Point, fabric: Fabric) -> Fabric:
    return set_light(fabric, reference, at)


def _scaled(ruler: Ruler | None, fabric: Fabric) -> Fabric:
    return set_ruler(fabric, ruler)


def _as_wide_as(width: Length, fabric: Fabric) -> Fabric:
    return set_ruler(fabric, ruler_across(fabric.corners, width))


def _by_grid(at: Point, spacing: Length, fabric: Fabric) -> Fabric:
    return set_grid(fabric, at, spacing)
