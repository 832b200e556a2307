"""English plurals: one word for one thing, another for several."""

from __future__ import annotations

import re

from PySide6.QtCore import QTranslator

_ENDING = re.compile(r"\((e?s)\)")


class EnglishPlurals(QTranslator):
    """Turns ``%n fabric(s)`` into ``1 fabric`` or ``2 fabrics``.

    Visible texts are written in English in the code, with the ending of the plural in brackets;
    a translation into another language takes its place.
    """

    def isEmpty(self) -> bool:
        """Tell Qt that there is something to look up."""
        return False

    def translate(
        self,
        context: str,  # noqa: ARG002 - Qt's signature
        sourceText: str,  # noqa: N803 - Qt's signature
        disambiguation: str | None = None,  # noqa: ARG002 - Qt's signature
        n: int = -1,
    ) -> str:
        """Give the text for so many things, or as it is."""
        if n < 0 or "(" not in sourceText:
            return sourceText
        return _ENDING.sub("" if n == 1 else r"\1", sourceText)
