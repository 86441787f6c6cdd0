"""What if: the changes that a room file allows, each set out, planned and priced anew, the cheapest first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from trimwright.data import table
from trimwright.errors import DoesNotFit
from trimwright.profile.silhouette import undercut
from trimwright.project.project import Project
from trimwright.setout.piece import Joint, SetOut
from trimwright.stock.buying import Buying, buying
from trimwright.stock.joints import set_out_to_stock
from trimwright.trim import TrimRequest

__all__ = ["AS_WRITTEN", "Outcome", "compare"]

Buy = Callable[[SetOut, Project], Buying]

AS_WRITTEN = "as the file has it"
ONE_LENGTH = 2
"""From so many stock lengths on it is asked what each of them alone would do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a change comes to: known costs before tax, lengths bought, and the work; `fault`: why it cannot be."""

    change: str
    cost: Decimal | None = None
    lengths: int = 0
    joints: int = 0
    cuts: int = 0
    copes: int = 0
    waste: float = 0.0
    fault: str = ""


def compare(project: Project, bought: Buy = buying) -> tuple[Outcome, ...]:
    """The file as it is and each change by itself, by cost, then by the lengths bought and by the cuts.

    `bought` tells what a setting out takes. What does not fit comes last. Raises DoesNotFit if the file as it is
    does not.
    """
    done = set_out_to_stock(project)
    base = _outcome(AS_WRITTEN, done, bought(done, project))
    found = [base, *(_tried(change, other, bought) for change, other in _changes(project, done))]
    return tuple(sorted(found, key=_rank))


def _rank(outcome: Outcome) -> tuple[bool, Decimal, int, int, bool]:
    cost = Decimal(0) if outcome.cost is None else outcome.cost
    return bool(outcome.fault), cost, outcome.lengths, outcome.cuts + outcome.copes, outcome.change != AS_WRITTEN


def _tried(change: str, project: Project, bought: Buy) -> Outcome:
    try:
        done = set_out_to_stock(project)
        return _outcome(change, done, bought(done, project))
    except DoesNotFit as error:
        return Outcome(change=change, fault=str(error))


def _outcome(change: str, done: SetOut, bought: Buying) -> Outcome:
    """Saw cuts are counted by the end: each piece has two, a cope is sawn as a mitre first."""
    ends = [end for piece in done.pieces for end in (piece.left, piece.right)]
    bars = [bar for plan in bought.plans for bar in plan.plan.bars]
    return Outcome(
        change=change,
        cost=None if len(bought.unpriced) == len(bought.rows) else bought.net,
        lengths=sum(not bar.stock.owned for bar in bars),
        joints=sum(end.corner is None and end.mate is not None for end in ends) // 2,
        cuts=len(ends),
        copes=sum(end.joint is Joint.COPE for end in ends),
        waste=sum(bar.waste for bar in bars),
    )


def _changes(project: Project, done: SetOut) -> Iterator[tuple[str, Project]]:
    """One trim changed in one thing: its internal corners, its joints along walls, or the lengths it is bought in."""
    for k, trim in enumerate(project.trims):
        for change, other in (*_corners(trim, done), *_along(trim, done), *_lengths(trim)):
            trims = (*project.trims[:k], other, *project.trims[k + 1 :])
            yield f"{trim.name}: {change}", replace(project, trims=trims)


def _ends(trim: TrimRequest, done: SetOut) -> list[tuple[Joint, float | None]]:
    pieces = [p for p in done.pieces if p.trim.name == trim.name]
    return [(end.joint, end.corner) for p in pieces for end in (p.left, p.right) if end.mate]


def _corners(trim: TrimRequest, done: SetOut) -> Iterator[tuple[str, TrimRequest]]:
    """Internal corners mitred in place of coped, or coped in place of mitred where section and material let it be."""
    joints = [joint for joint, corner in _ends(trim, done) if corner is not None and corner < 180]
    if Joint.COPE in joints:
        yield "internal corners mitred", _with_joint(trim, internal=Joint.MITRE)
    elif Joint.MITRE in joints and _can_cope(trim):
        yield "internal corners coped", _with_joint(trim, internal=Joint.COPE)


def _can_cope(trim: TrimRequest) -> bool:
    material = bool(table("materials")[trim.material.name]["cope"])
    return material and trim.section.kind not in ("channel", "batten") and not undercut(trim.section.outline)


def _along(trim: TrimRequest, done: SetOut) -> Iterator[tuple[str, TrimRequest]]:
    """Scarfs made square, which takes less stock and shows more; and square joints scarfed."""
    joints = [joint for joint, corner in _ends(trim, done) if corner is None]
    if Joint.SCARF in joints:
        yield "square joints along walls", _with_joint(trim, length=Joint.SQUARE)
    elif Joint.SQUARE in joints and trim.section.kind not in ("channel", "batten"):
        yield "scarfs along walls", _with_joint(trim, length=Joint.SCARF)


def _with_joint(trim: TrimRequest, **joint: Joint) -> TrimRequest:
    return replace(trim, joints=replace(trim.joints, **joint))


def _lengths(trim: TrimRequest) -> Iterator[tuple[str, TrimRequest]]:
    """Each of several stock lengths alone."""
    lengths = sorted({s.length for s in trim.stock})
    for length in lengths if len(lengths) >= ONE_LENGTH else ():
        yield f"{length:g} mm lengths only", replace(trim, stock=tuple(s for s in trim.stock if s.length == length))
