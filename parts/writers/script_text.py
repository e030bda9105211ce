"""The fixed words of the standalone script: its heading, helpers and end."""

HEAD = '''\
"""{title}

A folded sheet part. Every zone is drawn on the flat blank in mm, in the coordinates of the DXF
of the same name, then carried to where the bends put it. Run this to check the solid and print
its volume; name a file (OUT.step) to write it as well.
"""

import sys
{from_math}
import cadquery as cq
{functions}{imports}'''

KERNEL_IMPORTS = """\
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace
from OCP.BRepFill import BRepFill
from OCP.BRepLib import BRepLib
from OCP.Geom import Geom_CylindricalSurface
from OCP.Geom2d import Geom2d_Ellipse, Geom2d_Line
from OCP.GeomAbs import GeomAbs_C2
from OCP.gp import gp_Ax3, gp_Ax22d, gp_Dir, gp_Dir2d, gp_Pnt, gp_Pnt2d
from OCP.ShapeFix import ShapeFix_Face
"""

HINGE = '''
def hinge(line, radius, turn):
    """A bend's own axes: z along its axis, x level with the sheet toward what swings."""
    start, end = cq.Vector(*line[0]), cq.Vector(*line[1])
    along = (end - start).normalized()
    height = THICKNESS + radius if turn > 0 else -radius
    across = cq.Vector(-along.y, along.x)
    return cq.Location(cq.Plane(start + cq.Vector(0, 0, height), across, along))


def past(line, radius, turn, allowance):
    """How flat coordinates move past a bend: back by its allowance, then round its axis."""
    axis = hinge(line, radius, turn)
    back = cq.Location((-allowance, 0, 0))
    round_axis = cq.Location((0, 0, 0), (0, 0, 1), turn)
    return axis * round_axis * back * axis.inverse
'''

STRIP = '''
def strip(line, radius, turn, low, high):
    """A plain bend: the sheet's edge between two distances along the bend line, revolved."""
    side = -1 if turn > 0 else 1
    inside, outside = side * radius, side * (radius + THICKNESS)
    edge = cq.Workplane("YZ").moveTo(inside, low)
    edge = edge.lineTo(outside, low).lineTo(outside, high).lineTo(inside, high).close()
    return edge.revolve(abs(turn), (0, 0), (0, -side)).val().moved(hinge(line, radius, turn))
'''

ROLLED = '''
def rolled(flat, line, radius, turn, allowance):
    """A bend with cuts in it: the flat zone wrapped on its inside and outside cylinder.

    Exact: in a cylinder's own coordinates (angle, length) a straight cut stays straight and a
    round one becomes an ellipse.
    """
    axis = hinge(line, radius, turn)
    per_mm = radians(turn) / allowance
    zone = flat.faces("<Z").val().moved(hinge(line, 0, -1).inverse)  # x across, z along
    start = gp_Ax3(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1), gp_Dir(0, -1 if turn > 0 else 1, 0))
    cylinders = [Geom_CylindricalSurface(start, r) for r in (radius, radius + THICKNESS)]

    def on(cylinder, cut):
        """One cut of the flat zone as an edge on a cylinder."""
        a, middle, b = (
            (per_mm * p.x, p.z) for p in (cut.startPoint(), cut.positionAt(0.5), cut.endPoint())
        )
        if cut.geomType() == "LINE":
            way = gp_Dir2d(b[0] - a[0], b[1] - a[1])
            curve = Geom2d_Line(gp_Pnt2d(*a), way)
            low, high = 0, gp_Pnt2d(*a).Distance(gp_Pnt2d(*b))
        else:
            curve, low, high = bow(cut, a, middle, b)
        edge = BRepBuilderAPI_MakeEdge(curve, cylinder, low, high).Edge()
        BRepLib.BuildCurve3d_s(edge, 1e-7, GeomAbs_C2, 14, 200)
        return cq.Edge(edge)

    def bow(cut, a, middle, b):
        """An ellipse through three points, from the first to the last by way of the second."""
        center, long, short = cut.arcCenter(), cut.radius(), cut.radius() * abs(per_mm)
        x, y = per_mm * center.x, center.z
        major, minor = (0, 1), (1, 0)
        if short > long:
            long, short, major, minor = short, long, minor, major

        def at(point, minor):
            dx, dy = point[0] - x, point[1] - y
            up = (dx * minor[0] + dy * minor[1]) / short
            return atan2(up, (dx * major[0] + dy * major[1]) / long)

        def turn_to(point, minor):
            return (at(point, minor) - at(a, minor)) % (2 * pi)

        if turn_to(middle, minor) > turn_to(b, minor):
            minor = (-minor[0], -minor[1])
        low = at(a, minor)
        axes = gp_Ax22d(gp_Pnt2d(x, y), gp_Dir2d(*major), gp_Dir2d(*minor))
        return Geom2d_Ellipse(axes, long, short), low, low + turn_to(b, minor)

    wires = [zone.outerWire(), *zone.innerWires()]
    cuts = [[[on(c, cut) for cut in wire.Edges()] for wire in wires] for c in cylinders]
    faces = []
    for cylinder, loops in zip(cylinders, cuts):
        outline, *openings = (cq.Wire.assembleEdges(loop).wrapped for loop in loops)
        skin = BRepBuilderAPI_MakeFace(cylinder, outline, True)
        for opening in openings:
            skin.Add(opening)
        turned = ShapeFix_Face(skin.Face())
        turned.FixOrientation()
        faces.append(cq.Face(turned.Face()))
    for inner, outer in zip(sum(cuts[0], []), sum(cuts[1], [])):
        faces.append(cq.Face(BRepFill.Face_s(inner.wrapped, outer.wrapped)))
    return solid(*faces).moved(axis)
'''

TAIL = """
solids = {whole}
assert len(solids) == 1, f"{{len(solids)}} solids; there must be one"
part = solids[0]
assert part.isValid(), "the solid is not valid"
volume = part.Volume(1e-9)  # integrated to this relative error
assert abs(volume / EXPECTED_VOLUME - 1) < 1e-6, (
    f"volume {{volume:.3f}} mm3; expected {{EXPECTED_VOLUME:.3f}}: correct EXPECTED_VOLUME if you "
    "changed the part on purpose"
)

if __name__ == "__main__":
    print(f"{{volume:.6f}} mm3")
    if len(sys.argv) > 1:
        cq.exporters.export(cq.Workplane(part), sys.argv[1], "STEP")
"""
