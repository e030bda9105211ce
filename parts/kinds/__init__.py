"""The kinds of part that can be built: one module per kind, loaded when a job asks for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import TYPE_CHECKING, Any

from parts.kinds.fields import FieldProblem, FieldProblems, KindConfig, did_you_mean

if TYPE_CHECKING:
    from parts.kinds.bench import Bench
    from parts.part import Part

KINDS: Mapping[str, str] = {
    "bumper_mount": "parts.kinds.bumper_mount.config:BumperMount",
    "hinge_bracket": "parts.kinds.hinge_bracket.config:HingeBracket",
    "link_tab": "parts.kinds.link_tab.config:LinkTab",
    "wheel_tub": "parts.kinds.wheel_tub.config:WheelTub",
}
"""Name of each kind and where its config class is, as "module:Class".

The kind's room, parts.kinds.NAME, has `lay_out(name, config, bench) -> Part`.
"""


def kind_config(name: str) -> type[KindConfig]:
    """The config class of a kind; raises `FieldProblems` for an unknown one."""
    if name not in KINDS:
        message = f"there is no kind of part {name!r}"
        raise FieldProblems(FieldProblem((), message, did_you_mean(name, KINDS)))
    module, _, attribute = KINDS[name].partition(":")
    found = getattr(import_module(module), attribute)
    assert isinstance(found, type)
    assert issubclass(found, KindConfig)
    return found


def lay_out(name: str, config: KindConfig, bench: Bench) -> Part:
    """The part that a config asks for, laid out by its kind."""
    room = import_module(f"{__name__}.{config.kind}")
    build: Callable[[str, Any, Bench], Part] = room.lay_out
    return build(name, config, bench)
