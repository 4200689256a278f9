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
from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar

T = TypeVar("T")
Reader = Callable[[Any], Any]


def canonical(value: Any) -> bytes:
    """The canonical bytes of a plain JSON value. Raises ValueError on NaN and infinities, TypeError on anything else."""
    text = json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return text.encode("utf-8", "surrogatepass")


def digest(value: Any) -> str:
    """SHA-256 of the canonical form, in hex."""
    return hashlib.sha256(canonical(value)).hexdigest()


def to_plain(value: Any) -> Any:
    """A record as plain JSON values: dataclass to object, tuple to array, Decimal and dates to text."""
    names = _names(type(value))  # type: ignore[arg-type]
    if names is not None:
        return {name: to_plain(getattr(value, name)) for name in names}
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
    return typing.cast(T, _reader(kind)(value))  # type: ignore[arg-type]


@functools.cache
def _names(kind: type) -> tuple[str, ...] | None:
    return tuple(field.name for field in dataclasses.fields(kind)) if dataclasses.is_dataclass(kind) else None


@functools.cache
def _reader(kind: Any) -> Reader:
    """How a value of one type is read: made once for each type, since a visit holds thousands of values."""
    origin = typing.get_origin(kind)
    if origin in (typing.Union, types.UnionType):
        return _union([option for option in typing.get_args(kind) if option is not type(None)])
    if origin is not None:
        inner = _reader(typing.get_args(kind)[1 if issubclass(origin, Mapping) else 0])
        if issubclass(origin, Mapping):
            return lambda value: {key: inner(item) for key, item in value.items()}
        return lambda value: origin(inner(item) for item in value)
    if isinstance(kind, type) and dataclasses.is_dataclass(kind):
        return _record(kind)
    return _simple(kind)


def _union(options: list[Any]) -> Reader:
    readers = [_reader(option) for option in options]

    def read(value: Any) -> Any:
        if value is None:
            return None
        for reader in readers[:-1]:
            try:
                return reader(value)
            except (TypeError, ValueError, AttributeError):
                continue
        return readers[-1](value)

    return read


def _record(kind: Any) -> Reader:
    hints = typing.get_type_hints(kind)
    readers = {field.name: _reader(hints[field.name]) for field in dataclasses.fields(kind)}

    def read(value: Any) -> Any:
        try:
            return kind(**{name: readers[name](inner) for name, inner in value.items()})
        except KeyError as unknown:
            raise ValueError(f"unknown field {unknown} for {kind.__name__}") from None

    return read


def _simple(kind: Any) -> Reader:
    if kind is Any:
        return lambda value: value
    if kind is Decimal:
        return Decimal
    if kind in (datetime, date):
        return lambda value: kind.fromisoformat(value)
    allowed = (int, float) if kind is float else kind

    def read(value: Any) -> Any:
        if not isinstance(value, allowed):
            raise TypeError(f"{value!r} is no {kind.__name__}")
        return float(value) if kind is float else value

    return read
