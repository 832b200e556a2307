"""Numbers in words: one for one thing, another for several."""

from __future__ import annotations


def counted(number: int, one: str, many: str) -> str:
    """Put a number into the words for one or for many.

    Parameters
    ----------
    number
        How many.
    one, many
        Words that hold ``{n}``, translated already.

    Examples
    --------
    >>> counted(1, "{n} flag", "{n} flags"), counted(0, "{n} flag", "{n} flags")
    ('1 flag', '0 flags')
    """
    return (one if number == 1 else many).format(n=f"{number:,}")
