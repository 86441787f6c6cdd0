"""From runs to pieces: joints at the corners, joints along the wall, returns, notches, ids and the fitting order."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from trimwright.errors import DoesNotFit
from trimwright.room import AnyFrame, Fitting, Frame, Room
from trimwright.setout import ends
from trimwright.setout.curved.bends import check_bending
from trimwright.setout.curved.bent_ends import bent_return
from trimwright.setout.curved.curve_notes import curve_notes
from trimwright.setout.cutouts.grooves import grooves_for
from trimwright.setout.cutouts.housings import housings_for, not_let_in
from trimwright.setout.cutouts.notches import notch_for, shared_slots
from trimwright.setout.cutouts.passing import refusals
from trimwright.setout.inclines import incline_on
from trimwright.setout.piece import End, Incline, Joint, Piece, Side, Trim
from trimwright.setout.runs import Run
from trimwright.setout.scarfs import CLEAR_OF_CUTOUT, Division, Keepout, LongStretch, keep_out_zones, stations
from trimwright.setout.stretch import Stretch
from trimwright.setout.stretch_ends import StretchEnds, across_pipes
from trimwright.tolerance import SHORTEST, WEB

__all__ = ["Cut", "Rules", "cut_trim"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What pieces keep to: the gaps wanted, what is trimmed off each end of stock, and joints chosen already.

    `joints` holds stations by key of the stretch, for the trim that is cut; those of other stretches are found here.
    """

    clearance: float
    fitting: float
    detector: float
    end_trim: float = 0.0
    joints: Mapping[str, tuple[float, ...]] = field(default_factory=dict)

    def gap(self, fitting: Fitting) -> float:
        """The gap round a fitting."""
        return self.detector if fitting.kind == "detector" else self.fitting


@dataclass(frozen=True, slots=True)
class Cut:
    """The pieces of one trim, clockwise, their ids in fitting order, what the fitter should be told, long stretches."""

    pieces: tuple[Piece, ...]
    order: tuple[str, ...]
    notes: tuple[str, ...]
    long: tuple[LongStretch, ...]


@dataclass(frozen=True, slots=True)
class _Draft:
    """A piece before it has an id: its mates are named by draft key."""

    key: str
    wall: int
    at: float
    frame: AnyFrame
    left: End
    right: End
    is_return: bool = False


def cut_trim(
    trim: Trim, runs: Sequence[Run], room: Room, rules: Rules, joints_behind: dict[AnyFrame, list[float]]
) -> Cut:
    """All pieces of a trim. `joints_behind` holds, by face, stations of joints of trims already cut.

    Raises DoesNotFit naming trim and wall where the ends of a piece would cross.
    """
    drafts: list[_Draft] = []
    order: list[str] = []
    long: list[LongStretch] = []
    check_bending(trim, room)
    notes = [*curve_notes(trim, runs, room), *refusals(trim, room, rules.clearance)]
    ends_of = StretchEnds(trim, room, rules.clearance, across_pipes(runs), notes)
    for r, run in enumerate(runs):
        made = {
            i: _cut_stretch(trim, run, i, f"{r}.{i}", room, rules, joints_behind, long, ends_of)
            for i in range(len(run.stretches))
        }
        for i in range(len(run.stretches)):
            drafts += made[i]
        order += _fitting_order(run, made)
    drafts.sort(key=lambda d: (d.wall, d.at))  # stable: a stretch keeps its order
    ids = {draft.key: f"{trim.letter}{n}" for n, draft in enumerate(drafts, 1)}
    pieces = tuple(_piece(trim, d, ids, room, rules) for d in drafts)
    notes += [said for piece in pieces for said in not_let_in(piece, room, rules.gap)]
    return Cut(pieces, tuple(ids[k] for k in order), tuple(notes), tuple(long))


def _cut_stretch(
    trim: Trim,
    run: Run,
    i: int,
    key: str,
    room: Room,
    rules: Rules,
    joints_behind: dict[AnyFrame, list[float]],
    long: list[LongStretch],
    ends_of: StretchEnds,
) -> list[_Draft]:
    """The pieces of one stretch, left to right, with their returns; adds to `long`, notes and the joints behind."""
    stretch = run.stretches[i]
    left, right = (ends_of.end(run, i, key, side) for side in Side)
    wall, frame = stretch.wall.index, stretch.wall.frame
    incline = _incline(trim, wall, frame, room)
    whole = Piece(id="", trim=trim, wall=wall, frame=frame, left=left, right=right, incline=incline)
    _check_length(whole, room)
    joined = _joined(whole, key, room, rules, joints_behind.get(whole.frame, []))
    cuts: tuple[float, ...] = ()
    if joined is not None:
        long.append(joined)
        cuts = joined.division.stations
        ends_of.notes.extend(_against_the_rules(joined, _cut_out(whole, room, rules), stretch.wall.name))
    joints_behind.setdefault(stretch.wall.frame, []).extend(cuts)
    drafts = []
    for n, (a, b) in enumerate(zip([None, *cuts], [*cuts, None], strict=True)):
        drafts.append(
            _Draft(
                key=f"{key}.{n}",
                wall=stretch.wall.index,
                at=stretch.at,
                frame=stretch.wall.frame,
                left=left if a is None else _along(trim, room, stretch, Side.LEFT, a, f"{key}.{n - 1}"),
                right=right if b is None else _along(trim, room, stretch, Side.RIGHT, b, f"{key}.{n + 1}"),
            )
        )
    if left.joint is Joint.RETURN:
        drafts[0], closing = _returned(drafts[0], Side.LEFT, stretch, trim, f"{key}.L")
        drafts.insert(0, closing)
    if right.joint is Joint.RETURN:
        drafts[-1], closing = _returned(drafts[-1], Side.RIGHT, stretch, trim, f"{key}.R")
        drafts.append(closing)
    return drafts


def _fitting_order(run: Run, made: dict[int, list[_Draft]]) -> list[str]:
    """Keys in fitting order: each stretch after the one it is coped to, each return after its piece."""
    keys: list[str] = []
    for i in sorted(made, key=run.rank):
        drafts = made[i] if run.closed or i >= run.start else made[i][::-1]
        keys += [d.key for d in drafts if not d.is_return] + [d.key for d in drafts if d.is_return]
    return keys


def _joined(whole: Piece, key: str, room: Room, rules: Rules, behind: Sequence[float]) -> LongStretch | None:
    """The joints along a stretch that is longer than the longest stock; None if it is not, or without stock.

    Where no place is so far from what is cut out as is wanted, just beside it will do; where there is none either, as
    before a pipe that lies in a groove all along the wall, joints fall where the other rules let them.
    """
    trim, wall, (low, high) = whole.trim, room.walls[whole.wall], whole.extent
    longest = max((s.length - 2 * rules.end_trim for s in trim.stock if s.quantity != 0), default=math.inf)
    edges, sloped = trim.edges, incline_on(trim, room, whole.wall)
    overhang = 0.0 if sloped is None else abs(sloped.rise) * trim.section.drop
    scale = max(whole.frame.scale(out) for out in (edges.back, edges.front))
    scale *= 1.0 if sloped is None else sloped.stretch
    level = (longest - overhang) / scale
    if high - low <= level:
        return None
    lap = (edges.front - edges.back) / 2 if trim.joints.length is Joint.SCARF else 0.0
    middles = [
        whole.frame.locate(wall.frame.plan(o.station + o.width / 2))[0] for o in room.openings if o.wall == whole.wall
    ]
    always = keep_out_zones(low, high, middles, behind)
    taken = [cut.sides for cut in _cut_out(whole, room, rules).cuts]
    where = f"trim '{trim.name}' on wall '{wall.name}'"
    for zones in (
        (*always, *_grown(taken, CLEAR_OF_CUTOUT)),
        (*always, *_grown(taken, lap + WEB)),
        tuple(always),
    ):
        even = stations(low, high, lap, level, zones, where)
        if even.by_the_rules:
            break
    joined = LongStretch(
        key=key,
        wall=whole.wall,
        low=low,
        high=high,
        lap=lap,
        scale=scale,
        overhang=overhang,
        longest=longest,
        zones=zones,
        division=even,
    )
    chosen = rules.joints.get(key, ())
    return replace(joined, division=Division(chosen, True)) if joined.allows(chosen) else joined


def _grown(spans: Sequence[Keepout], by: float) -> Iterator[Keepout]:
    return ((low - by, high + by) for low, high in spans)


def _against_the_rules(joined: LongStretch, whole: Piece, wall: str) -> Iterator[str]:
    """What a fitter is told where joints cannot be where they should."""
    trim, joints = whole.trim, joined.division.stations
    if not joined.division.by_the_rules:
        yield (
            f"{trim.name} on {wall}: no joint keeps clear of corners, openings' middles and joints behind;"
            " the pieces are divided evenly, or buy a longer length"
        )
    met = dict.fromkeys(
        f"the {cut.what} for {cut.pipe}"
        for cut in whole.cuts
        if any(low < joint < high for low, high in _grown([cut.sides], joined.lap) for joint in joints)
    )
    if met:
        yield (
            f"{trim.name} on {wall}: joined over {' and '.join(met)}, since its lengths reach no place clear of that;"
            " buy a longer length to avoid it"
        )


def _along(trim: Trim, room: Room, stretch: Stretch, side: Side, station: float, mate: str) -> End:
    """An end at a joint along the wall: the scarf's lap points away from the door."""
    if trim.joints.length is not Joint.SCARF:
        return ends.end_at(side, station, ends.square(), Joint.SQUARE, None, mate)
    seen_from_left = _door_station(room, stretch) <= station
    in_front = seen_from_left is (side is Side.RIGHT)
    setback = ends.scarf(trim.edges, in_front)
    return ends.end_at(side, station, setback, Joint.SCARF, None, mate)


def _door_station(room: Room, stretch: Stretch) -> float:
    """Where along the wall the main view comes from: the first door, else the wall's left end."""
    door = next((o for o in room.openings if o.kind == "door"), None)
    if door is None:
        return 0.0
    return stretch.wall.frame.locate(room.walls[door.wall].frame.plan(door.station + door.width / 2))[0]


def _returned(piece: _Draft, side: Side, stretch: Stretch, trim: Trim, key: str) -> tuple[_Draft, _Draft]:
    """A piece with a return at its free end, and the short piece that turns back to the wall; its face shows there.

    Where another trim lies behind, it turns back to that.

    The frame of a return starts at its left end as one faces it, so that stations run from the outer corner to the
    wall on a right-hand end and from the wall to the outer corner on a left-hand one.
    """
    edges, right = trim.edges, side is Side.RIGHT
    front, ground = edges.front, trim.ground(piece.wall)
    face = stretch.wall.frame.tangent(stretch.high if right else stretch.low)
    nx, ny = face.outward
    frame = Frame(face.plan(-front, front), (-nx, -ny)) if right else Frame(face.plan(front), (nx, ny))
    outer = End(
        joint=Joint.RETURN, station=front if right else 0.0, slope=-1.0 if right else 1.0, corner=270.0, mate=piece.key
    )
    inner = End(joint=Joint.SQUARE, station=front - ground if right else ground)
    end = replace(piece.right if right else piece.left, mate=key)
    if stretch.wall.bend is not None:
        end, mitred = bent_return(stretch.wall.bend, frame, side, end, outer, edges)
        # The wall bends away under the return, or towards it: it is that much longer or shorter.
        inner = replace(inner, station=inner.station + mitred.at(edges.back) - outer.at(edges.back))
        outer = mitred
    closing = _Draft(key, piece.wall, piece.at, frame, outer if right else inner, inner if right else outer, True)
    return replace(piece, right=end) if right else replace(piece, left=end), closing


def _piece(trim: Trim, draft: _Draft, ids: dict[str, str], room: Room, rules: Rules) -> Piece:
    piece = Piece(
        id=ids[draft.key],
        trim=trim,
        wall=draft.wall,
        frame=draft.frame,
        left=_named(draft.left, ids),
        right=_named(draft.right, ids),
        is_return=draft.is_return,
        incline=_incline(trim, draft.wall, draft.frame, room, draft.is_return),
    )
    return _cut_out(piece, room, rules)


def _cut_out(piece: Piece, room: Room, rules: Rules) -> Piece:
    """A piece with all that is cut out of it for pipes and fittings."""
    trim, ends = piece.trim, (piece.left, piece.right)
    notches = (
        notch_for(trim, piece.frame, room.walls[pipe.wall].frame, pipe, ends, rules.clearance) for pipe in room.legs
    )
    cut = replace(piece, notches=shared_slots([n for n in notches if n]))
    grooves, housings = grooves_for(cut, room, rules.clearance), housings_for(cut, room, rules.gap)
    return replace(cut, grooves=grooves, housings=housings)


def _incline(trim: Trim, wall: int, frame: AnyFrame, room: Room, is_return: bool = False) -> Incline | None:
    """That of the wall, told in the frame of a piece; a return runs level, at the height where its piece turns."""
    along = incline_on(trim, room, wall)
    if along is None:
        return None
    own = room.walls[wall].frame
    start, _ = own.locate(frame.plan(0.0))
    next_mm, _ = own.locate(frame.plan(1.0))
    rise = 0.0 if is_return else along.rise * (next_mm - start)
    return replace(along, rise=rise, lift=along.lift + along.rise * start)


def _named(end: End, ids: dict[str, str]) -> End:
    """The end with its mate's id in place of the draft key."""
    if end.mate is None:
        return end
    if end.mate.endswith(".last"):
        stretch = end.mate.removesuffix("last")
        numbers = [int(k.removeprefix(stretch)) for k in ids if k.startswith(stretch) and k[len(stretch) :].isdigit()]
        return replace(end, mate=ids[f"{stretch}{max(numbers)}"])
    return replace(end, mate=ids[end.mate])


def _check_length(piece: Piece, room: Room) -> None:
    """Both edges of a piece must have some length left between its joints."""
    edges = piece.trim.edges
    for name, out in (("back", edges.back), ("front", edges.front)):
        if piece.length_at(out) < SHORTEST:
            wall = room.walls[piece.wall]
            longer = "" if wall.bend is None else f"let segments stand off the wall more (sagitta {wall.sagitta:g}), "
            raise DoesNotFit(
                f"trim '{piece.trim.name}' on wall '{wall.name}': too short for its joints: at its {name}, {out:g} out,"
                f" {piece.length_at(out):.1f} mm would be left of the {piece.right.station - piece.left.station:.1f};"
                f" {longer}use a smaller projection, another joint, or leave this wall out"
            )
