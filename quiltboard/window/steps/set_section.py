"""What is set for the whole set of fabrics: into how many value steps it is parted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from quiltboard.fabrics.fabric import STEPS, Fabric, FabricId, Step
from quiltboard.fabrics.steps import FEWEST_STEPS, MOST_STEPS
from quiltboard.window.steps.fabric_section import FabricSection, SectionHeading
from quiltboard.window.steps.form import CountField
from quiltboard.window.theme import Theme


class SetSection(FabricSection):
    """The number of value steps, and how many fabrics each has.

    Signals
    -------
    count_chosen
        How many value steps there are to be.
    """

    count_chosen = Signal(int)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, self.tr("Value steps"), parent=parent)
        self.tell(
            self.tr(
                "The fabrics of the shelf fall apart into so many steps from light to dark; "
                "the shelf, the flags and the value steps view follow."
            )
        )
        self.count = CountField(FEWEST_STEPS, MOST_STEPS)
        self.count.valueChanged.connect(self.count_chosen)
        self.add_row(self.tr("Steps"), self.count)
        self.held = self.add_reading(self.tr("They hold"))
        self.photos = SectionHeading(theme, self.tr("Photos"), folds=False)
        self.add_wide(self.photos)
        self.sure = self.add_told()

    def show_set(
        self, count: int, steps: Mapping[FabricId, Step], fabrics: Mapping[FabricId, Fabric]
    ) -> None:
        """Show a set as it is."""
        self.count.show_count(count)
        many = Counter(steps.values())
        held = [f"{many[step]} {self.tr(step)}" for step in STEPS if many[step]]
        self.held.setText(", ".join(held) or self.tr("no fabric yet"))
        unsure = sum(not fabric.calibrated for fabric in fabrics.values())
        self.sure.setText(
            self.tr(
                "{n} of {all} fabrics have no card in their photos: their selvedges are "
                "hatched, and their values are as true as the exposure."
            ).format(n=unsure, all=len(fabrics))
            if unsure
            else self.tr("The values of all fabrics can be compared.")
        )
        for part in (self.photos, self.sure):
            part.setVisible(bool(fabrics))
        self.photos.mark_unsure(bool(unsure))
