"""What a cutting plan is made of: lengths that can be had, and parts that are wanted."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

__all__ = ["Part", "StockLength"]


@dataclass(frozen=True, slots=True)
class StockLength:
    """A length that can be had, its price if known, and how many there are (None: as many as wanted).

    An offcut already owned has the price 0 and a quantity.
    """

    length: float
    price: Decimal | None = None
    quantity: int | None = None

    @property
    def owned(self) -> bool:
        """True for what costs nothing."""
        return self.price == 0


@dataclass(frozen=True, slots=True)
class Part:
    """A length wanted, how often, and what it is called on the list."""

    length: float
    count: int = 1
    label: str = ""
