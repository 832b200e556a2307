"""Bringing fabrics in: chosen, dropped or pasted, as files, folders, lists or pictures."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import msgspec
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMimeData, QObject, QUrl, Signal
from PySide6.QtGui import QGuiApplication, QImage, QImageWriter
from PySide6.QtWidgets import QFileDialog, QWidget

from quiltboard.document.bringing import Bringing
from quiltboard.document.keeping import Keeping
from quiltboard.store.board_file import SUFFIX

Source = Path | bytes
PHOTO_ENDINGS = "*.jpg *.jpeg *.png *.webp *.avif *.heic *.heif"


class Adding(QObject):
    """Turns what the maker drops, pastes or chooses into sources to bring in.

    Signals
    -------
    board_dropped
        A board file was dropped.
    refused
        A sentence: what was dropped or pasted is nothing to bring in.
    """

    board_dropped = Signal(object)
    refused = Signal(str)

    def __init__(self, window: QWidget, keeping: Keeping, bringing: Bringing) -> None:
        super().__init__(window)
        self._window = window
        self._keeping = keeping
        self._bringing = bringing

    def add_photos(self) -> None:
        """Let the maker choose photographs."""
        self._bring(self.choose_photos())

    def choose_photos(self) -> list[Path]:
        """Ask which photographs; none is an answer."""
        names, _ = QFileDialog.getOpenFileNames(
            self._window,
            self.tr("Choose photographs of fabric"),
            self._folder(),
            self.tr("Photographs ({endings});;All files (*)").format(endings=PHOTO_ENDINGS),
        )
        return [Path(name) for name in names]

    def add_folder(self) -> None:
        """Let the maker choose a folder of photographs."""
        name = QFileDialog.getExistingDirectory(
            self._window, self.tr("Choose a folder of photographs"), self._folder()
        )
        self._bring([Path(name)] if name else [])

    def add_list(self) -> None:
        """Let the maker choose a fabric list."""
        name, _ = QFileDialog.getOpenFileName(
            self._window,
            self.tr("Choose a fabric list"),
            self._folder(),
            self.tr("Fabric lists (*.csv);;All files (*)"),
        )
        self._bring([Path(name)] if name else [])

    def paste(self) -> None:
        """Bring in what was copied elsewhere."""
        clipboard = QGuiApplication.clipboard()
        if not self.take(clipboard.mimeData()):
            self.refused.emit(
                self.tr("There is no picture to paste: copy one, or a file, first.")
            )

    def holds_something(self, data: QMimeData) -> bool:
        """Tell whether a drag may carry something to bring in or to open."""
        return data.hasUrls() or data.hasImage() or data.hasText()

    def take(self, data: QMimeData) -> bool:
        """Bring in, or open, what was dropped or pasted; False if it is nothing of either."""
        sources = sources_in(data)
        boards = [s for s in sources if isinstance(s, Path) and s.suffix == SUFFIX]
        if boards:
            self.board_dropped.emit(boards[0])
            return True
        if not sources:
            return False
        self._bring(sources)
        return True

    def _bring(self, sources: Sequence[Source]) -> None:
        paths = [source for source in sources if isinstance(source, Path)]
        if paths:
            folder = paths[0] if paths[0].is_dir() else paths[0].parent
            settings = self._keeping.settings
            self._keeping.remember(
                msgspec.structs.replace(settings, photo_folder=str(folder.absolute()))
            )
        self._bringing.bring(sources)

    def _folder(self) -> str:
        return self._keeping.settings.photo_folder or str(Path.home())


def sources_in(data: QMimeData) -> list[Source]:
    """Find what a drop or the clipboard carries: files, a picture, or paths written as text."""
    urls = data.urls() if data.hasUrls() else []
    paths: list[Source] = [Path(url.toLocalFile()) for url in urls if url.isLocalFile()]
    if paths:
        return paths
    if data.hasImage():
        picture = _encode(data.imageData())
        if picture:
            return [picture]
    if data.hasText():
        return [*_paths_in(data.text())]
    return []


def _paths_in(text: str) -> list[Path]:
    """Read lines that are paths or file addresses of things that exist."""
    found = []
    for line in text.splitlines():
        words = line.strip().strip('"')
        url = QUrl(words)
        path = Path(url.toLocalFile() if url.isLocalFile() else words)
        try:
            exists = bool(words) and path.is_absolute() and path.exists()
        except OSError:  # a text too long to be a path
            exists = False
        if exists:
            found.append(path)
    return found


def _encode(image: object) -> bytes:
    """Encode a picture from the clipboard as a photo is encoded."""
    if not isinstance(image, QImage) or image.isNull():
        return b""
    kept = QByteArray()
    buffer = QBuffer(kept)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    QImageWriter(buffer, QByteArray(b"png")).write(image)
    return bytes(kept.data())
