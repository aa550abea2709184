"""Regular expressions kept in the compiled base as the code they compile to, so that a start compiles none.

Compiling the expressions that one sentence needs took three quarters of a short command. What is kept is what the
interpreter's own compiler made, for this interpreter alone (the base is not opened by another); where there is nothing
kept, the expression is compiled as usual.
"""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    import re
    from typing import Any

    Kept = tuple[Any, ...]

    def expression(source: str) -> re.Pattern[str]: ...

else:
    Kept = tuple

    class expression:  # noqa: N801 - stands where a compiled expression would
        """An expression of a module that is compiled when it is first used: most sentences need few of them.

        >>> figures = expression("[0-9]+")
        >>> figures.findall("M10 x 50")
        ['10', '50']
        """

        def __init__(self, source):
            self.pattern = source

        def __getattr__(self, name):
            import re

            made = re.compile(self.pattern)
            # from now on found without coming here
            for method in ("search", "match", "fullmatch", "finditer", "findall", "sub", "split"):
                setattr(self, method, getattr(made, method))
            return getattr(made, name)


VERBOSE = 64
"""The flag re.VERBOSE, without the import of re."""


def freeze(source: str, flags: int = 0) -> Kept:
    """An expression as plain values: source, flags, code, number of groups, names of groups, groups in order.

    >>> m = thaw(freeze("(?P<n>[0-9]+) ?h"), "").search("96 h")
    >>> m["n"], m.group()
    ('96', '96 h')
    """
    from importlib import import_module

    # the two halves of re.compile; only there when a base is compiled
    parsed = import_module("re._parser").parse(source, flags)
    code = import_module("re._compiler")._code(parsed, flags)
    groups = parsed.state.groupdict
    order: list[str | None] = [None] * parsed.state.groups
    for name, number in groups.items():
        order[number] = name
    packed = b"".join(word.to_bytes(4, "little") for word in code)
    return source, flags | parsed.state.flags, packed, parsed.state.groups - 1, dict(groups), tuple(order)


def thaw(kept: Kept | None, source: str, flags: int = 0) -> re.Pattern[str]:
    """The expression that was kept, or that of the source compiled now when nothing was kept."""
    if kept is None:
        import re

        return re.compile(source, flags)
    import _sre  # type: ignore[import-not-found]

    written, all_flags, packed, count, groups, order = kept
    made: re.Pattern[str] = _sre.compile(written, all_flags, list(memoryview(packed).cast("I")), count, groups, order)
    return made
