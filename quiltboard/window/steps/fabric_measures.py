"""What the photo tells of a fabric, and what the maker says instead."""

from __future__ import annotations

import msgspec
from PySide6.QtWidgets import QWidget

from quiltboard.fabrics.fabric import STEPS, ByHand, Fabric, Step
from quiltboard.fabrics.telling import tell_colour, tell_direction, tell_repeat, tell_size
from quiltboard.units import (
    InvalidLengthError,
    Unit,
    format_length,
    parse_length,
    plain_fractions,
)
from quiltboard.window.steps.fabric_section import ChoiceField, FabricSection, TextField
from quiltboard.window.steps.tint_strip import TintStrip
from quiltboard.window.theme import Theme


class MeasuresSection(FabricSection):
    """Colours, value, step, print, repeat and direction; each can be set by hand."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, "", parent)
        self._fabric: Fabric | None = None
        self._unit: Unit = "in"
        self._tints = TintStrip(theme)
        self.add_row(self.tr("Colours"), self._tints)
        self._colour = self.add_reading(self.tr("Reads as"))
        self.value = TextField(6)
        self.value.entered.connect(self._on_value)
        self.add_row(self.tr("Value, L*"), self.value)
        self.step = ChoiceField([("", None), *((self.tr(step), step) for step in STEPS)])
        self.step.chosen.connect(self._on_step)
        self.add_row(self.tr("Value step"), self.step)
        self.print_size = ChoiceField(
            [
                ("", None),
                (self.tr("small"), "small"),
                (self.tr("medium"), "medium"),
                (self.tr("large"), "large"),
            ]
        )
        self.print_size.chosen.connect(self._on_size)
        self.add_row(self.tr("Print"), self.print_size)
        self.solid = ChoiceField(
            [("", None), (self.tr("as a plain cloth"), True), (self.tr("as a print"), False)]
        )
        self.solid.chosen.connect(self._on_solid)
        self.add_row(self.tr("From afar"), self.solid)
        self.way = ChoiceField(
            [
                ("", None),
                (self.tr("one-way"), "one-way"),
                (self.tr("two-way"), "two-way"),
                (self.tr("not sure"), "not sure"),
            ]
        )
        self.way.chosen.connect(self._on_way)
        self.add_row(self.tr("Right way up"), self.way)
        self.repeat = TextField(40)
        self.repeat.setToolTip(
            self.tr(
                "The repeat across and along, such as 4 in x 6 in; empty takes the measured"
            )
        )
        self.repeat.entered.connect(self._on_repeat)
        self.add_row(self.tr("Repeat"), self.repeat)
        self._told = self.add_told()

    def show_fabric(self, fabric: Fabric | None, unit: Unit) -> None:
        """Show what is measured, and what was set by hand."""
        self._fabric, self._unit = fabric, unit
        self.setEnabled(fabric is not None)
        if fabric is None:
            self._tints.show_tints(())
            for line in (self._colour, self._told):
                line.setText("")
            for field in (self.value, self.repeat):
                field.show_text("")
            return
        hand, print_ = fabric.by_hand, fabric.reading.print
        self._tints.show_tints(print_.tints if print_ else ())
        self._colour.setText(tell_colour(fabric))
        about = "" if fabric.calibrated else self.tr("about ")
        self.value.setPlaceholderText(
            self.tr("as measured: {about}{value}").format(
                about=about, value=f"{fabric.reading.value:.0f}"
            )
        )
        self.value.show_text("" if hand.value is None else f"{hand.value:g}")
        measured = self.tr("as measured")
        self.print_size.show_value(hand.size, measured)
        self.solid.show_value(hand.solid, measured)
        self.way.show_value(hand.way, measured)
        self.repeat.setPlaceholderText(measured)
        self.repeat.show_text(
            ""
            if hand.repeat is None
            else " x ".join(plain_fractions(format_length(p, unit)) for p in hand.repeat)
        )
        told = [tell_size(fabric, unit), tell_repeat(fabric, unit), tell_direction(fabric)]
        self._told.setText(". ".join(f"{line[0].upper()}{line[1:]}" for line in told) + ".")

    def show_step(self, measured: Step) -> None:
        """Show the value step within the set."""
        if self._fabric is None:
            return
        by_hand = self._fabric.step
        self.step.show_value(
            by_hand,
            self.tr("as measured: {step}").format(step=self.tr(measured))
            if by_hand is None
            else self.tr("as measured"),
        )

    def _set(self, **fields: object) -> None:
        hand = self._fabric.by_hand if self._fabric else ByHand()
        self.changed.emit({"by_hand": msgspec.structs.replace(hand, **fields)})

    def _on_value(self, text: str) -> None:
        if not text:
            self._set(value=None)
            return
        try:
            value = float(text.replace(",", "."))
        except ValueError:
            value = -1.0
        if not 0 <= value <= 100:
            self.refused.emit(
                self.tr(
                    "A value is a number from 0 (black) to 100 (white): “{text}” is none."
                ).format(text=text)
            )
            return
        self._set(value=value)

    def _on_step(self, step: object) -> None:
        self.changed.emit({"step": step})

    def _on_size(self, size: object) -> None:
        self._set(size=size)

    def _on_solid(self, solid: object) -> None:
        self._set(solid=solid)

    def _on_way(self, way: object) -> None:
        self._set(way=way)

    def _on_repeat(self, text: str) -> None:
        if not text:
            self._set(repeat=None)
            return
        across, _, along = text.replace("×", "x").partition("x")
        try:
            parts = (
                parse_length(across, self._unit),
                parse_length(along or across, self._unit),
            )
        except InvalidLengthError as error:
            self.refused.emit(str(error))
            return
        self._set(repeat=parts)
