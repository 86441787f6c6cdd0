"""Everything that is known of a room once it is set out: what every file of the pack is written from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from trimwright.clearance.clearance import Clearance, clashes
from trimwright.clearance.gaps import clearances
from trimwright.clearance.heat import heat_words
from trimwright.clearance.open_joints import OpenJoint, open_joints
from trimwright.light.rows import light_rows
from trimwright.light.run import LightRun, light_run
from trimwright.mesh.piece import piece_meshes, renewed_meshes
from trimwright.mesh.shape import Mesh
from trimwright.project.project import Project
from trimwright.saw.proof import prove_all
from trimwright.saw.settings import Setting, settings
from trimwright.setout.piece import Joint, Piece, SetOut
from trimwright.setout.volume import swept_volume
from trimwright.stock.buying import Buying, buying
from trimwright.stock.joints import set_out_to_stock

__all__ = ["Job", "buying_of", "job_of", "mass", "volume"]


Begun = Callable[[SetOut, LightRun | None], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """The project, its pieces, their bodies, and the lists made from them."""

    project: Project
    set_out: SetOut
    meshes: Mapping[str, Mesh]
    settings: tuple[Setting, ...]
    clearances: tuple[Clearance, ...]
    buying: Buying
    open_joints: tuple[OpenJoint, ...] = ()
    light: LightRun | None = None

    @property
    def clashes(self) -> tuple[Clearance, ...]:
        """Gaps that are not as wide as wanted."""
        return clashes(self.clearances)

    @property
    def fits(self) -> bool:
        """True if nothing clashes and no joint is open."""
        return not self.clashes and not self.open_joints

    @property
    def told(self) -> frozenset[frozenset[str]]:
        """Pairs of pieces that are known to lie in each other, or to stand apart where they should meet."""
        lying = {frozenset((line.piece, line.other)) for line in self.clashes if line.other}
        return frozenset(lying | {frozenset((joint.first, joint.second)) for joint in self.open_joints})


def job_of(project: Project, before: Job | None = None, begun: Begun | None = None) -> Job:
    """Set out, mesh, settings, clearances and buying of a project; meshes of trims as they were in `before` are kept.

    `begun` is told of the setting out and its light as soon as they are known: whoever works beside can begin then.

    Raises DoesNotFit or RoomFileError where it cannot be made as asked, GeometryError if the setting of an end
    does not cut the piece of the model: see saw/proof.py.
    """
    done = set_out_to_stock(project)
    light = light_run(done, project.light) if project.light else None
    if begun:
        begun(done, light)
    meshes = renewed_meshes(done, before.set_out, before.meshes) if before else piece_meshes(done)
    cards = settings(done.pieces, project.saw)
    prove_all(done.pieces, cards)
    gaps = clearances(done, meshes, project.clearance)
    done = replace(done, notes=(*done.notes, *heat_words(done, gaps)))
    return Job(
        project=project,
        set_out=done,
        meshes=meshes,
        settings=cards,
        clearances=gaps,
        open_joints=open_joints(done, meshes),
        buying=_buying(done, project, light),
        light=light,
    )


def buying_of(done: SetOut, project: Project) -> Buying:
    """All that is bought for a setting out, with its light."""
    return _buying(done, project, light_run(done, project.light) if project.light else None)


def _buying(done: SetOut, project: Project, light: LightRun | None) -> Buying:
    return buying(done, project, light_rows(light), [light.channel.trim.name] if light else [])


def volume(piece: Piece, mesh: Mesh) -> float:
    """Volume of a piece, mm³: section area x length of the centroid's line, or of its body where that was cut."""
    if piece.cuts or Joint.COPE in (piece.left.joint, piece.right.joint):
        return mesh.volume
    return swept_volume(piece)


def mass(piece: Piece, mesh: Mesh) -> float:
    """Mass of a piece, kg."""
    return volume(piece, mesh) * 1e-9 * piece.trim.material.density
