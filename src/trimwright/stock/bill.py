"""The bill: what is bought, what each line costs, and the sums. Money is decimal and kept to the cent."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from trimwright.stock.plan import CENT
from trimwright.stock.quantities import Category

__all__ = ["Bill", "BillSum", "BuyingRow"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingRow:
    """One line of the list. `price` is for one unit; `price` and `cost` are None where the price is not known.

    `trim` is the trim it is bought for, empty for all of them; `note` is the rule that the quantity follows from;
    `length` is that of a stock length, in mm.
    """

    item: str
    quantity: Decimal
    unit: str
    price: Decimal | None
    category: Category
    trim: str = ""
    note: str = ""
    length: float | None = None

    @property
    def cost(self) -> Decimal | None:
        """Price times quantity, to the cent."""
        return None if self.price is None else (self.price * self.quantity).quantize(CENT, ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class BillSum:
    """The known costs of some lines, before tax (None: none is known), and how many of the lines have no price."""

    name: str
    cost: Decimal | None
    unpriced: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """All lines, the currency of their prices, and tax in per cent."""

    rows: tuple[BuyingRow, ...]
    currency: str
    tax: Decimal

    @property
    def net(self) -> Decimal:
        """Sum of the costs that are known, before tax."""
        return _known(self.rows)

    @property
    def tax_due(self) -> Decimal:
        """The tax on that sum, to the cent."""
        return (self.net * self.tax / 100).quantize(CENT, ROUND_HALF_UP)

    @property
    def total(self) -> Decimal:
        """What is paid for all that has a price."""
        return self.net + self.tax_due

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Items whose price is not known: the total is without them."""
        return tuple(row.item for row in self.rows if row.cost is None)

    @property
    def by_category(self) -> tuple[BillSum, ...]:
        """Sums over what the lines are for: trim, fixing, finish, light."""
        return _sums((str(row.category), row) for row in self.rows)

    @property
    def by_trim(self) -> tuple[BillSum, ...]:
        """Sums over the trims; what serves all of them stands by itself."""
        return _sums((row.trim or "for all trims", row) for row in self.rows)

    def total_words(self) -> str:
        """'118.30 EUR', with the tax if there is one; 'no prices' where none is known."""
        if len(self.unpriced) == len(self.rows):
            return "no prices"
        words = f"{self.total:.2f} {self.currency}".rstrip()
        return f"{words} with {self.tax.normalize():f} % tax" if self.tax else words


def _sums(rows: Iterable[tuple[str, BuyingRow]]) -> tuple[BillSum, ...]:
    groups: dict[str, list[BuyingRow]] = {}
    for name, row in rows:
        groups.setdefault(name, []).append(row)
    return tuple(_sum(name, group) for name, group in groups.items())


def _sum(name: str, rows: list[BuyingRow]) -> BillSum:
    unpriced = sum(row.cost is None for row in rows)
    return BillSum(name, None if unpriced == len(rows) else _known(rows), unpriced)


def _known(rows: Iterable[BuyingRow]) -> Decimal:
    return sum((row.cost for row in rows if row.cost is not None), Decimal(0))
