"""Named tuples that cost little to define: what typing.NamedTuple makes, without its import and without compiling code.

A command touches a hundred and fifty shapes and uses a third of them. typing compiles a constructor for each when the
module is imported, which took longer than everything else a short command does. Here the constructor is a plain
function, and one is compiled only for shapes that are made often with named fields. Type checkers see typing's own.
"""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import NamedTuple as NamedTuple
else:
    from _collections import _tuplegetter

    _OFTEN = 20

    class _Shaping(type):
        """Makes the body of a class into a tuple with named fields."""

        def __new__(mcs, name, bases, body):
            if not bases:
                return super().__new__(mcs, name, bases, body)
            fields = tuple(body.get("__annotations__", ()))
            defaults = {f: body.pop(f) for f in fields if f in body}
            for i, field in enumerate(fields):
                body[field] = _tuplegetter(i, field)
            body.update(
                __slots__=(),
                __match_args__=fields,
                _fields=fields,
                _field_defaults=defaults,
                __new__=_constructor(fields, defaults),
                _make=classmethod(_make),
                _replace=_replace,
                _asdict=_asdict,
                __getnewargs__=_values,
            )
            body.setdefault("__repr__", _repr)
            return type(name, (tuple,), body)

    def _constructor(fields, defaults):
        count = len(fields)
        make = tuple.__new__
        slow = 0

        def construct(cls, *args, **named):
            nonlocal slow
            if not named and len(args) == count:
                return make(cls, args)
            slow += 1
            if slow == _OFTEN:
                # named fields are worth a compiled constructor once they are used often
                for shape in cls.__mro__:
                    if "_fields" in shape.__dict__:
                        shape.__new__ = staticmethod(_compiled(fields, defaults))
                        break
            return make(cls, _filled(cls, fields, defaults, args, named))

        return construct

    def _filled(cls, fields, defaults, args, named):
        """The values of all fields in order, or the TypeError that Python gives for a wrong call."""
        values = dict(zip(fields, args, strict=False))
        twice = [f for f in named if f in values]
        strange = [f for f in named if f not in fields]
        values.update(named)
        missing = [f for f in fields if f not in values and f not in defaults]
        if len(args) > len(fields) or twice or strange or missing:
            wrong = f"missing {missing}" if missing else f"unexpected or twice {strange or twice or len(args)}"
            raise TypeError(f"{cls.__name__}.__new__(): {wrong}")
        return tuple([values[f] if f in values else defaults[f] for f in fields])

    def _compiled(fields, defaults):
        given = ", ".join(f"{f}=defaults[{f!r}]" if f in defaults else f for f in fields)
        code = f"lambda cls, {given}: make(cls, ({''.join(f + ', ' for f in fields)}))"
        return eval(code, {"make": tuple.__new__, "defaults": defaults})

    def _make(cls, values):
        made = tuple.__new__(cls, values)
        if len(made) != len(cls._fields):
            raise TypeError(f"{cls.__name__} takes {len(cls._fields)} values, not {len(made)}")
        return made

    def _replace(self, /, **named):
        values = [named.pop(f, held) for f, held in zip(self._fields, self, strict=True)]
        if named:
            raise ValueError(f"{type(self).__name__} has no field {', '.join(named)}")
        return tuple.__new__(type(self), values)

    def _asdict(self):
        return dict(zip(self._fields, self, strict=True))

    def _values(self):
        return tuple(self)

    def _repr(self):
        return f"{type(self).__name__}({', '.join(f'{f}={v!r}' for f, v in zip(self._fields, self, strict=True))})"

    class NamedTuple(metaclass=_Shaping):
        """As typing.NamedTuple."""
