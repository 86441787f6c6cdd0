"""Text for DXF in which no reader finds a control code: what a person typed is what is shown."""

from __future__ import annotations

import re

from trimwright.drawing.font import clean

__all__ = ["dimension_text", "formatted_text", "plain_text"]


def plain_text(text: str) -> str:
    """Text that a TEXT entity shows as it stands: nothing in it is read as a control code.

    Readers replace `%%x`, `^x` and `\\U+xxxx`; a space between the characters keeps them from it ("^ " is the
    format's own way to write a caret).
    """
    text = re.sub(r"%(?=%)", "% ", clean(text)).replace("^", "^ ")
    return re.sub(r"\\(?=[UuMm]\+)", r"\\ ", text)


def formatted_text(text: str) -> str:
    """Text that an MTEXT entity shows as it stands: braces and backslashes are format codes there."""
    return re.sub(r"([\\{}])", r"\\\1", plain_text(text))


def dimension_text(text: str | None) -> str:
    """The text of a dimension, which is read as MTEXT; `<>`, the measured value, for none."""
    if text is None:
        return "<>"
    return formatted_text(text).replace("<>", "< >").replace("[]", "[ ]") or " "
