"""One stylesheet for all that Qt draws itself: menus, tips, fields, buttons, scroll bars."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QPixmap, QTransform

from quiltboard.drawing.lettering import FAMILY
from quiltboard.window.icons import icon_pixmap
from quiltboard.window.theme import (
    BUTTON,
    BUTTON_PX,
    NOTE,
    RADIUS_PX,
    ROW_PX,
    TALL_BUTTON_PX,
    TEXT,
    Colour,
    Theme,
)

_TEMPLATE: Final = """
* {{ font-family: "{family}"; }}
QWidget {{ color: {text}; font-size: {text_px}px; }}
QMainWindow, QDialog, QMessageBox {{ background: {panel}; }}
QWidget#panel {{ background: {panel}; }}
QLabel#key {{
    background: {raised}; border: 1px solid {rule}; border-radius: 4px;
    padding: 1px 6px; font-size: {note_px}px;
}}
QPushButton#invite, QPushButton#invite_2 {{
    min-height: {tall_h}px; padding: 0 {pad_xl}px; font-size: {invite_px}px;
    font-weight: 600; border-radius: {radius}px; border: 1px solid transparent;
}}
QPushButton#invite {{ background: {ink}; color: {halo}; }}
QPushButton#invite_2 {{ background: {halo}; color: {ink}; }}
QPushButton#invite:hover {{ background: #333333; }}
QPushButton#invite_2:hover {{ background: #e8e8e8; }}
QToolTip {{
    background: {raised}; color: {text}; border: 1px solid {edge};
    padding: {pad_s}px {pad_m}px; font-size: {note_px}px;
}}

QPushButton, QToolButton {{
    background: {well}; color: {text}; border: 1px solid transparent;
    border-radius: {radius}px; padding: 0 {pad_l}px;
    min-height: {button_h}px; font-size: {button_px}px; outline: none;
}}
QFileDialog QToolButton {{ padding: 0 {pad_s}px; }}
QPushButton:hover, QToolButton:hover {{ background: {rule}; }}
QPushButton:pressed, QToolButton:pressed {{ background: {edge}; color: {pressed}; }}
QPushButton:disabled, QToolButton:disabled {{ color: {graph}; }}
QPushButton[filled="true"], QToolButton[filled="true"] {{
    background: {button}; color: {button_text}; font-weight: 600;
}}
QPushButton[filled="true"]:hover, QToolButton[filled="true"]:hover {{
    background: {button}; border: 1px solid {graph};
}}
QPushButton[filled="true"]:disabled, QToolButton[filled="true"]:disabled {{
    background: {rule}; color: {text_2};
}}
QPushButton[tall="true"] {{ min-height: {tall_h}px; padding: 0 {pad_xl}px; }}
QPushButton[raised="true"] {{ background: {raised}; font-weight: 600; }}
QPushButton[raised="true"]:hover {{ border: 1px solid {graph}; }}
QToolButton[plain="true"], QPushButton[plain="true"] {{
    background: transparent; padding: 0 {pad_m}px;
}}
QToolButton[plain="true"]:hover, QPushButton[plain="true"]:hover {{ background: {well}; }}
QToolButton[plain="true"]:checked {{ background: {well}; }}
QToolButton::menu-indicator {{ image: none; width: 0; }}

QLineEdit, QSpinBox, QDoubleSpinBox, QComboBox, QTextEdit, QPlainTextEdit {{
    background: {well}; color: {text}; border: 1px solid {graph};
    border-radius: {radius}px; padding: 0 {pad_m}px; min-height: {field_h}px;
    placeholder-text-color: {text_2};
    selection-background-color: {button}; selection-color: {button_text};
}}
QLineEdit:disabled, QSpinBox:disabled, QDoubleSpinBox:disabled, QComboBox:disabled {{
    color: {text_2}; border-color: {rule};
}}
QSpinBox, QDoubleSpinBox {{ padding-right: {arrow_w}px; max-height: {field_h}px; }}
QAbstractSpinBox QLineEdit, QComboBox QLineEdit {{
    background: transparent; border: none; padding: 0; min-height: 0;
}}
QSpinBox::up-button, QDoubleSpinBox::up-button {{
    subcontrol-origin: border; subcontrol-position: top right;
    width: {arrow_w}px; border: none; background: transparent;
}}
QSpinBox::down-button, QDoubleSpinBox::down-button {{
    subcontrol-origin: border; subcontrol-position: bottom right;
    width: {arrow_w}px; border: none; background: transparent;
}}
QSpinBox::up-arrow, QDoubleSpinBox::up-arrow {{
    image: url("{up}"); width: {arrow}px; height: {arrow}px;
}}
QSpinBox::down-arrow, QDoubleSpinBox::down-arrow {{
    image: url("{down}"); width: {arrow}px; height: {arrow}px;
}}
QComboBox {{ padding-right: 0; }}
QComboBox::drop-down {{
    subcontrol-origin: border; subcontrol-position: center right;
    width: {arrow_w}px; border: none; background: transparent;
}}
QComboBox::down-arrow {{ image: url("{down}"); width: {arrow}px; height: {arrow}px; }}
QComboBox QAbstractItemView {{
    background: {raised}; color: {text}; border: 1px solid {edge}; outline: none;
    selection-background-color: {button}; selection-color: {button_text};
}}
QComboBox QAbstractItemView::item {{ min-height: {row}px; padding: 0 {pad_m}px; }}

QCheckBox, QRadioButton {{ spacing: {pad_m}px; min-height: {row}px; background: transparent; }}
QCheckBox::indicator, QRadioButton::indicator {{
    width: {box}px; height: {box}px; background: {well}; border: 1px solid {graph};
}}
QCheckBox::indicator {{ border-radius: 3px; }}
QRadioButton::indicator {{ border-radius: {box_half}px; }}
QCheckBox::indicator:checked {{
    background: {button}; border-color: {button}; image: url("{tick}");
}}
QRadioButton::indicator:checked {{
    background: {button}; border: 4px solid {well}; width: {box_less}px; height: {box_less}px;
}}

QMenu {{
    background: {raised}; border: 1px solid {edge}; padding: {pad_s}px;
}}
QMenu::item {{
    background: transparent; color: {text}; border-radius: 4px;
    padding: {pad_s}px {pad_xl}px {pad_s}px {pad_xl}px; min-height: {menu_h}px;
}}
QMenu::item:selected {{ background: {button}; color: {button_text}; }}
QMenu::item:disabled {{ color: {graph}; }}
QMenu::separator {{ height: 1px; background: {rule}; margin: {pad_s}px {pad_m}px; }}
QMenu::indicator {{ width: {box}px; height: {box}px; left: {pad_s}px; }}
QMenu::indicator:checked {{ image: url("{tick_text}"); }}
QMenu::indicator:checked:selected {{ image: url("{tick}"); }}
QMenu::right-arrow {{
    image: url("{right}"); width: {arrow}px; height: {arrow}px; right: {pad_s}px;
}}
QMenu::right-arrow:selected {{ image: url("{right_button}"); }}

QScrollArea, QListView {{ border: none; background: transparent; }}
QListView {{ outline: none; }}
QScrollBar:vertical {{ background: transparent; width: {bar}px; margin: 0; }}
QScrollBar:horizontal {{ background: transparent; height: {bar}px; margin: 0; }}
QScrollBar::handle {{ background: {graph}; border-radius: 2px; margin: 2px; }}
QScrollBar::handle:vertical {{ min-height: 32px; }}
QScrollBar::handle:horizontal {{ min-width: 32px; }}
QScrollBar::handle:hover {{ background: {text_2}; }}
QScrollBar[ground="true"]:vertical {{ background: {ground}; }}
QScrollBar[ground="true"]::handle {{ background: {ink_2}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
QAbstractScrollArea::corner {{ background: transparent; }}

QSplitter::handle {{ background: transparent; }}
QSlider::groove:horizontal {{ height: 4px; background: {graph}; border-radius: 2px; }}
QSlider::handle:horizontal {{
    width: {box}px; margin: -{box_half}px 0; border-radius: {box_half}px; background: {button};
}}
QTabBar::tab {{
    background: transparent; color: {text_2}; padding: 0 {pad_l}px; min-height: {button_h}px;
}}
QTabBar::tab:selected {{ color: {text}; border-bottom: 2px solid {text}; }}
QGroupBox {{
    border: none; border-top: 1px solid {rule}; margin-top: {row}px; padding-top: {pad_m}px;
}}
QGroupBox::title {{ subcontrol-origin: margin; left: 0; font-weight: 600; }}
QProgressBar {{ background: {well}; border: none; border-radius: 3px; text-align: center; }}
QProgressBar::chunk {{ background: {text}; border-radius: 3px; }}
"""


def write_stylesheet(theme: Theme) -> str:
    """Write the stylesheet of a theme, and beside it the small pictures it names."""
    room = theme.room
    arrow = theme.px(16)
    box = theme.px(16)
    return _TEMPLATE.format(
        family=FAMILY,
        text=room.text,
        text_2=room.text_2,
        panel=room.panel,
        raised=room.raised,
        well=room.well,
        rule=room.rule,
        edge=room.edge,
        graph=room.graph,
        ground=room.ground,
        button=room.button,
        button_text=room.button_text,
        pressed=room.ink,
        ink=room.ink,
        halo=room.halo,
        invite_px=theme.px(BUTTON),
        ink_2="#3b3b3b",
        text_px=theme.px(TEXT),
        note_px=theme.px(NOTE),
        button_px=theme.px(BUTTON - 2),
        pad_s=4,
        pad_m=8,
        pad_l=12,
        pad_xl=24,
        radius=RADIUS_PX,
        # A stylesheet's height is that inside the border.
        button_h=theme.px(BUTTON_PX) - 2,
        tall_h=theme.px(TALL_BUTTON_PX) - 2,
        field_h=theme.px(BUTTON_PX) - 4,
        row=theme.px(ROW_PX),
        menu_h=theme.px(20),
        arrow=arrow,
        arrow_w=arrow + 8,
        box=box,
        box_half=box // 2,
        box_less=box - 6,
        bar=9,
        up=_picture(theme, "chevron", "text", 180),
        down=_picture(theme, "chevron", "text", 0),
        right=_picture(theme, "chevron", "text", -90),
        right_button=_picture(theme, "chevron", "button_text", -90),
        tick=_picture(theme, "tick", "button_text", 0),
        tick_text=_picture(theme, "tick", "text", 0),
    )


def _picture(theme: Theme, stem: str, colour: Colour, turn_deg: int) -> str:
    """Write one small picture, coarse and fine, and give its path as a stylesheet names it."""
    folder = Path(theme.arrow_folder)
    name = (
        f"{stem}-{colour}-{turn_deg}-{theme.text_percent}-{'dark' if theme.dark else 'light'}"
    )
    path = folder / f"{name}.png"
    if not path.exists():
        for times, suffix in ((1, ""), (2, "@2x")):
            pixmap = icon_pixmap(stem, theme.colour(colour), theme.px(16) * times)
            turned: QPixmap = pixmap.transformed(
                QTransform().rotate(turn_deg), Qt.TransformationMode.SmoothTransformation
            )
            turned.save(str(folder / f"{name}{suffix}.png"))
    return path.as_posix()
