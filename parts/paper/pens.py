"""Pens of a drawing on a small sheet: line group 0.35 of ISO 128-2, wide 0.35 and narrow 0.18.

Dashes are counted in widths of the line, from memory of ISO 128-2.
"""

from __future__ import annotations

from parts.paper.page import Pen

OUTLINE = Pen(0.35)  # 01.2: edges that are seen
THIN = Pen(0.18)  # 01.1: dimensions, leaders
HIDDEN = Pen(0.18, (2.2, 0.7))  # 02.1: 12 d, 3 d
CENTRE = Pen(0.18, (4.3, 0.7, 0.1, 0.7))  # 04.1: 24 d, 3 d, a dot, 3 d
BEND = Pen(0.18, (4.3, 0.7, 0.1, 0.7, 0.1, 0.7))  # 05.1
FRAME = Pen(0.5)
RULE = Pen(0.18)
