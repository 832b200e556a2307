"""What the photo tells of a fabric, and what the maker says instead."""

from __future__ import annotations

import msgspec
from PySide6.QtWidgets import QWidget

from quiltboard.fabrics.fabric import ByHand, Fabric, Step
from quiltboard.fabrics.reading import Tint
from quiltboard.fabrics.steps import USUAL_STEPS, step_names
from quiltboard.fabrics.telling import size_against, tell_colour, tell_repeat, tell_size
from quiltboard.shapes.wedge import Wedge
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
        super().__init__(theme, self.tr("What the photo tells"), parent=parent)
        self._fabric: Fabric | None = None
        self._unit: Unit = "in"
        self._wedge: Wedge | None = None
        self.tints = TintStrip(theme)
        self.add_row(self.tr("Colours"), self.tints)
        self.colour = self.add_reading(self.tr("Reads as"))
        self.value = TextField(6)
        self.value.entered.connect(self._on_value)
        self.add_row(self.tr("Value, L*"), self.value)
        self.step = ChoiceField()
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
        self.repeat = TextField(40, self.tr("as measured"))
        self.repeat.setToolTip(
            self.tr(
                "The repeat across and along, such as 4 in x 6 in; empty takes the measured"
            )
        )
        self.repeat.entered.connect(self._on_repeat)
        self.add_row(self.tr("Repeat"), self.repeat)
        self.print_told = self.add_told()
        self._of_print = (self.print_size, self.solid, self.way, self.repeat, self.print_told)

    def show_wedge(self, wedge: Wedge) -> None:
        """Take the wedge that the size of a print is told against."""
        self._wedge = wedge

    def show_fabric(self, fabric: Fabric | None, unit: Unit) -> None:
        """Show what is measured, and what was set by hand."""
        self._fabric, self._unit = fabric, unit
        if fabric is None:
            return
        pictured = fabric.swatch is not None
        self.heading.setText(
            self.tr("What the photo tells") if pictured else self.tr("A plain colour")
        )
        for field in self._of_print:
            self.show_row(field, pictured)
        self.tell(" ".join(fabric.reading.warnings))
        print_ = fabric.reading.print
        self.tints.show_tints(print_.tints if print_ else (Tint(fabric.reading.lab, 1.0),))
        self.colour.setText(tell_colour(fabric))
        self._show_value(fabric)
        if pictured:
            self._show_print(fabric, unit)

    def show_step(self, measured: Step, count: int = USUAL_STEPS) -> None:
        """Show the value step within a set that has so many."""
        if self._fabric is None:
            return
        by_hand = self._fabric.step
        names: list[Step] = [*reversed(step_names(count)), "mixed"]
        choices: list[tuple[str, object]] = [(self.tr(name), name) for name in names]
        if by_hand is not None and by_hand not in names:
            # Set in a set of more steps; it comes back with them.
            here = self.tr("{step}, here {near}").format(
                step=self.tr(by_hand), near=self.tr(measured)
            )
            choices.append((here, by_hand))
        first = self.tr("as measured")
        if by_hand is None:
            first = self._as_measured(self.tr(measured))
        self.step.set_choices([(first, None), *choices])
        self.step.show_value(by_hand)

    def _show_value(self, fabric: Fabric) -> None:
        by_hand = fabric.by_hand.value
        sure = fabric.photo is None or fabric.lighting.calibrated
        measured = f"{fabric.reading.value:.0f}"
        if not sure:
            measured = self.tr("about {value}").format(value=measured)
        self.value.setPlaceholderText(self._as_measured(measured))
        self.value.setToolTip(
            self.tr(
                "Measured: {value}. 0 is black, 100 white; empty takes what is measured"
            ).format(value=measured)
        )
        self.value.show_text("" if by_hand is None else f"{by_hand:g}")

    def _show_print(self, fabric: Fabric, unit: Unit) -> None:
        hand, print_ = fabric.by_hand, fabric.reading.print
        size = seen = way = self.tr("not yet")
        if print_ is not None:
            against = size_against(fabric, self._wedge) if self._wedge else None
            size = self.tr(against or ("none" if print_.feature is None else "no scale yet"))
            seen = self.tr("a plain cloth") if print_.solid else self.tr("a print")
            way = self.tr(print_.direction.way)
        self.print_size.show_value(hand.size, self._as_measured(size))
        self.solid.show_value(hand.solid, self._as_measured(seen))
        self.way.show_value(hand.way, self._as_measured(way))
        self.repeat.show_text(
            ""
            if hand.repeat is None
            else " x ".join(plain_fractions(format_length(p, unit)) for p in hand.repeat)
        )
        if print_ is None:
            self.print_told.setText(
                self.tr("Its print is not measured yet; “Measure anew” does that.")
            )
            return
        told = dict.fromkeys((tell_size(fabric, unit), tell_repeat(fabric, unit)))
        self.print_told.setText(" ".join(f"{line[0].upper()}{line[1:]}." for line in told))

    def _as_measured(self, what: str) -> str:
        return self.tr("as measured: {what}").format(what=what)

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
