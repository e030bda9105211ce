"""Values and keys as they are written in a TOML file."""

from collections.abc import Mapping


def toml_value(value: object) -> str:
    """A value as it is written in a TOML file.

    >>> toml_value([1.5, "2 ft", {"at": True}])
    '[1.5, "2 ft", { at = true }]'
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        if "'" not in value and ('"' in value or "\\" in value):
            return f"'{value}'"
        escaped = value.replace("\\", "\\\\").replace('"', '\\"')
        return f'"{escaped}"'
    if isinstance(value, Mapping):
        pairs = ", ".join(f"{toml_key(str(k))} = {toml_value(v)}" for k, v in value.items())
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(toml_value, value))}]"
    return str(value)


def toml_key(name: str) -> str:
    """A key as it is written in a TOML file, in quotes where it needs them.

    >>> toml_key("left_side"), toml_key("M10 bolt")
    ('left_side', '"M10 bolt"')
    """
    bare = name.isascii() and name.replace("_", "a").replace("-", "a").isalnum()
    return name if bare else toml_value(name)
