"""The state the cloth is in, and whether one entry stands for many cloths."""

from __future__ import annotations

from functools import partial

import msgspec
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QWidget

from quiltboard.document.wording import counted
from quiltboard.fabrics.fabric import Care, Fabric, Pool
from quiltboard.units import Unit
from quiltboard.window.steps.fabric_section import ChoiceField, FabricSection
from quiltboard.window.steps.form import CountField
from quiltboard.window.theme import Theme

MOST_CLOTHS = 10_000


class StateSection(FabricSection):
    """Washed or not, starched, dye tested; a pool of many cloths.

    Signals
    -------
    photos_asked
        More photos are to be added to the pool.
    """

    photos_asked = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, self.tr("The cloth itself"), folds=True, parent=parent)
        self._fabric: Fabric | None = None
        self.washing = ChoiceField(
            [
                (self.tr("not told"), None),
                (self.tr("not washed"), "unwashed"),
                (self.tr("washed"), "washed"),
                (self.tr("precut, not washed"), "precut"),
            ]
        )
        self.washing.chosen.connect(self._on_washing)
        self.add_row(self.tr("Washing"), self.washing)
        self.starched = QCheckBox(self.tr("Starched"))
        self.starched.clicked.connect(self._on_starched)
        self.add_wide(self.starched)
        self.dye_tested = QCheckBox(self.tr("Its dye was tested, and held"))
        self.dye_tested.clicked.connect(self._on_dye_tested)
        self.add_wide(self.dye_tested)
        self.cloths = CountField(1, MOST_CLOTHS)
        self.cloths.setToolTip(
            self.tr("More than one: many small cloths, all different, that are used as one")
        )
        self.cloths.valueChanged.connect(self._on_cloths)
        self.cloths.editingFinished.connect(partial(self.cloths.lineEdit().setModified, False))
        self.add_row(self.tr("Cloths in it"), self.cloths)
        (self.more,) = self.add_buttons((self.tr("Add their photos…"), self.photos_asked.emit))

    def show_fabric(self, fabric: Fabric | None, _unit: Unit) -> None:
        """Show the state of a cloth."""
        self._fabric = fabric
        self.setVisible(fabric is not None)
        if fabric is None:
            return
        self.washing.show_value(fabric.care.washing)
        self.starched.setChecked(fabric.care.starched)
        self.dye_tested.setChecked(fabric.care.dye_tested)
        if not self.cloths.lineEdit().isModified():
            self.cloths.show_count(fabric.pool.cloths if fabric.pool else 1)
        self.more.setEnabled(fabric.swatch is not None)
        self.more.setToolTip(
            self.tr("Every cloth found in them is one more")
            if fabric.swatch is not None
            else self.tr("A plain colour shows no cloths: bring in a photo of one first")
        )
        self.tell(self._told(fabric))

    def _told(self, fabric: Fabric) -> str:
        care = fabric.care
        words = [self.tr(str(self.washing.currentText()))] if care.washing else []
        words += [self.tr("starched")] if care.starched else []
        words += [self.tr("dye tested")] if care.dye_tested else []
        if fabric.pool is not None:
            words.append(
                self.tr("{cloths}, {shown} in pictures").format(
                    cloths=counted(
                        fabric.pool.cloths, self.tr("{n} cloth"), self.tr("{n} cloths")
                    ),
                    shown=1 + len(fabric.pool.more),
                )
            )
        if not words:
            return self.tr("Nothing told of washing or starch.")
        told = "; ".join(words)
        return f"{told[0].upper()}{told[1:]}."

    def _care(self, **fields: object) -> None:
        care = self._fabric.care if self._fabric else Care()
        self.changed.emit({"care": msgspec.structs.replace(care, **fields)})

    def _on_washing(self, washing: object) -> None:
        self._care(washing=washing)

    def _on_starched(self, starched: bool) -> None:
        self._care(starched=starched)

    def _on_dye_tested(self, tested: bool) -> None:
        self._care(dye_tested=tested)

    def _on_cloths(self, count: int) -> None:
        pool = self._fabric.pool if self._fabric else None
        more = pool.more if pool else ()
        if count <= len(more):
            self.refused.emit(
                self.tr("{n} of its cloths are shown, so there are that many at least.").format(
                    n=1 + len(more)
                )
            )
            return
        self.changed.emit({"pool": Pool(count, more) if count > 1 else None})
