"""The one canonical form of a record, for hashing, and the way between records and plain JSON values.

`to_plain` and `from_plain` turn frozen dataclasses into JSON values and back without loss: exact decimals and dates travel
as text. `canonical` is the only byte form that is ever hashed: UTF-8, keys sorted, no spaces, no NaN.
"""

import dataclasses
import functools
import hashlib
import json
import types
import typing
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar

T = TypeVar("T")


def canonical(value: Any) -> bytes:
    """The canonical bytes of a plain JSON value. Raises ValueError on NaN and infinities, TypeError on anything else."""
    text = json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return text.encode("utf-8", "surrogatepass")


def digest(value: Any) -> str:
    """SHA-256 of the canonical form, in hex."""
    return hashlib.sha256(canonical(value)).hexdigest()


def to_plain(value: Any) -> Any:
    """A record as plain JSON values: dataclass to object, tuple to array, Decimal and dates to text."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {name: to_plain(getattr(value, name)) for name in _hints(type(value))}
    if isinstance(value, Mapping):
        return {str(key): to_plain(inner) for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [to_plain(inner) for inner in value]
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, (datetime, date)):
        return value.isoformat()
    return value


def from_plain(kind: type[T], value: Any) -> T:
    """A record of type `kind` out of what `to_plain` made. Raises ValueError or TypeError when it does not fit."""
    return typing.cast(T, _read(kind, value))


@functools.cache
def _hints(kind: type) -> dict[str, Any]:
    hints = typing.get_type_hints(kind)
    return {field.name: hints[field.name] for field in dataclasses.fields(kind)}


def _read(kind: Any, value: Any) -> Any:
    origin = typing.get_origin(kind)
    if origin in (typing.Union, types.UnionType):
        return _read_union(kind, value)
    if origin is tuple:
        inner = typing.get_args(kind)[0]
        return tuple(_read(inner, item) for item in value)
    if origin is not None and issubclass(origin, Mapping):
        inner = typing.get_args(kind)[1]
        return {key: _read(inner, item) for key, item in value.items()}
    if origin is not None and issubclass(origin, Sequence):
        return [_read(typing.get_args(kind)[0], item) for item in value]
    return _read_plain(kind, value)


def _read_plain(kind: Any, value: Any) -> Any:
    if isinstance(kind, type) and dataclasses.is_dataclass(kind):
        hints = _hints(kind)
        unknown = value.keys() - hints.keys()
        if unknown:
            raise ValueError(f"unknown fields {sorted(unknown)} for {kind.__name__}")
        return kind(**{name: _read(hints[name], inner) for name, inner in value.items()})
    if kind is Decimal:
        return Decimal(value)
    if kind in (datetime, date):
        return kind.fromisoformat(value)
    if kind is float and isinstance(value, int):
        return float(value)
    if kind is not Any and not isinstance(value, kind):
        raise TypeError(f"{value!r} is no {kind.__name__}")
    return value


def _read_union(kind: Any, value: Any) -> Any:
    options = [option for option in typing.get_args(kind) if option is not type(None)]
    if value is None:
        return None
    if len(options) == 1:
        return _read(options[0], value)
    for option in options:
        try:
            return _read(option, value)
        except (TypeError, ValueError, AttributeError):
            continue
    raise TypeError(f"{value!r} fits none of {options}")
