"""Draw the demo's prints and photograph them: ``python sample_swatches/draw_prints.py``."""

from __future__ import annotations

import argparse
from pathlib import Path

from prints.catalogue import PRINTS, jpeg_of


def main() -> None:
    """Draw every print and write its photo."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--out",
        type=Path,
        default=Path(__file__).parent / "photos",
        help="folder for the photos (default: photos, beside this script)",
    )
    parser.add_argument("--only", help="draw the print of this name alone")
    options = parser.parse_args()
    chosen = [p for p in PRINTS if options.only in (None, p.name)]
    if not chosen:
        parser.error(f"There is no print named {options.only}. Give a name from fabrics.csv.")
    options.out.mkdir(parents=True, exist_ok=True)
    for print_ in chosen:
        photo, _ = print_.photo()
        path = options.out / print_.file_name
        path.write_bytes(jpeg_of(photo))
        print(path)


if __name__ == "__main__":
    main()
