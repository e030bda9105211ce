"""A flat tab coped onto a round tube: the cut, the gap it leaves, and a paper to wrap round the
tube."""

from parts.trade.cope.cut import TOLERANCE, Cope, Gap, Shape, cope
from parts.trade.cope.tube import FaceCurve, Point3, TubeUnder, face_curve, tube_under
from parts.trade.cope.wrap import WrapLine, WrapPaper, wrap_paper

__all__ = [
    "TOLERANCE",
    "Cope",
    "FaceCurve",
    "Gap",
    "Point3",
    "Shape",
    "TubeUnder",
    "WrapLine",
    "WrapPaper",
    "cope",
    "face_curve",
    "tube_under",
    "wrap_paper",
]
