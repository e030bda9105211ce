"""What must be said wherever a gas strut is ordered, fitted or taken off."""

from __future__ import annotations

CAUTIONS = (
    "Gas struts are filled to a very high pressure and keep it when they are old and weak. Do not "
    "open, drill, heat, weld or burn one; keep weld spatter and clamps off the rod.",
    "They push less in the cold and lose force over the years: in winter, or once aged, a lid "
    "that held can come down. Try it on the coldest day, and replace struts in pairs.",
    "Never let a strut be the only thing that keeps a lid off a person. Set a prop, or fit a lock, "
    "before anyone leans under it.",
    "Fit and remove struts with the lid propped and a second person holding it; without the lid's "
    "weight they throw it open, and a loose end hits hard.",
    "Rod end down when the lid is shut, so that its seal stays oiled. Both ends must turn freely "
    "and no side load may come on the rod.",
    "A stop on each hinge ends the opening before the strut does, both sides at once; the strut "
    "itself is no stop.",
)
