"""Where things are in space: outlines, solids, dims, placed parts."""

from foldwright.shape.bare_faces import bare_face_frame, bare_face_paths
from foldwright.shape.bodies import body_of
from foldwright.shape.body import Body, Facet, Generator, Ridge, Surface
from foldwright.shape.dims import dim_named, dims_of, section_of
from foldwright.shape.face_corners import (
    corners_by_face,
    face_corners,
    face_origin,
    flat_faces,
    is_disc,
    reach_along,
)
from foldwright.shape.features import (
    HatchPiece,
    face_cuts,
    hatch_land,
    hatch_pieces,
    wall_seam,
)
from foldwright.shape.hole_middles import Hole, hole_middles
from foldwright.shape.hoods import HoodWall, hood_wall
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shape.openings import opening, openings_of
from foldwright.shape.outline import interior_angles, is_same_way_round, move_sides
from foldwright.shape.outsides import finished_solid, solid
from foldwright.shape.paths import FaceCut, Path, Point, Step
from foldwright.shape.place import face_frame, frame_on, frames, level_frame
from foldwright.shape.plates import disc, plate_outline, plate_path, plate_shape
from foldwright.shape.rib_shells import drawn_for, is_followed, way_in_hand
from foldwright.shape.ribs import inside_across, rib_disc, rib_motion, rib_outline, rib_plane
from foldwright.shape.rounds import bare_drum, blank_length
from foldwright.shape.solid import Cylinder, Edge, Face, Solid, Vector, prism
from foldwright.shape.standing import datum_of, in_build, turned_by
from foldwright.shape.strays import Stray, strays_of, with_offs
from foldwright.shape.strips import angle_solid, strip_span
from foldwright.shape.tracing import (
    in_plane,
    moved_path,
    path_area,
    path_bounds,
    path_chords,
    reversed_path,
)

__all__ = [
    "Body",
    "Cylinder",
    "Dim",
    "Edge",
    "Face",
    "FaceCut",
    "Facet",
    "Generator",
    "HatchPiece",
    "Hole",
    "HoodWall",
    "Path",
    "Point",
    "Ridge",
    "Section",
    "Solid",
    "Span",
    "Step",
    "Stray",
    "Surface",
    "Vector",
    "angle_solid",
    "bare_drum",
    "bare_face_frame",
    "bare_face_paths",
    "blank_length",
    "body_of",
    "corners_by_face",
    "datum_of",
    "dim_named",
    "dims_of",
    "disc",
    "drawn_for",
    "face_corners",
    "face_cuts",
    "face_frame",
    "face_origin",
    "finished_solid",
    "flat_faces",
    "frame_on",
    "frames",
    "hatch_land",
    "hatch_pieces",
    "hole_middles",
    "hood_wall",
    "in_build",
    "in_plane",
    "inside_across",
    "interior_angles",
    "is_disc",
    "is_followed",
    "is_same_way_round",
    "level_frame",
    "move_sides",
    "moved_path",
    "opening",
    "openings_of",
    "path_area",
    "path_bounds",
    "path_chords",
    "plate_outline",
    "plate_path",
    "plate_shape",
    "prism",
    "reach_along",
    "reversed_path",
    "rib_disc",
    "rib_motion",
    "rib_outline",
    "rib_plane",
    "section_of",
    "solid",
    "strays_of",
    "strip_span",
    "turned_by",
    "wall_seam",
    "way_in_hand",
    "with_offs",
]
