"""The cheap named tuple is typing's named tuple to whoever uses it."""

from __future__ import annotations

import pickle
import subprocess
import sys
from typing import Any, NamedTuple

import pytest

from advisor import records


class Ours(records.NamedTuple):
    """A pair with a default."""

    a: int
    b: str = "x"

    @property
    def both(self) -> str:
        return f"{self.a}{self.b}"


class Theirs(NamedTuple):
    """A pair with a default."""

    a: int
    b: str = "x"


@pytest.mark.parametrize("times", [1, 60])
@pytest.mark.parametrize(("args", "named"), [((1,), {}), ((1, "y"), {}), ((), {"a": 1}), ((1,), {"b": "z"})])
def test_it_is_made_and_behaves_like_the_one_of_typing(times: int, args: Any, named: Any) -> None:
    for _ in range(times):
        ours, theirs = Ours(*args, **named), Theirs(*args, **named)
        assert tuple(ours) == tuple(theirs)
        assert repr(ours) == repr(theirs).replace("Theirs", "Ours")
        assert ours._asdict() == theirs._asdict()
        assert tuple(ours._replace(b="q")) == tuple(theirs._replace(b="q"))
        assert ours.both == f"{ours.a}{ours.b}"
    assert Ours._fields == Theirs._fields
    assert Ours._make((1, "y")) == Ours(1, "y")
    assert hash(Ours(1)) == hash((1, "x"))


@pytest.mark.parametrize("call", ["Ours()", "Ours(1, 'x', 2)", "Ours(1, a=2)", "Ours(1, c=2)", "Ours._make((1,))"])
def test_wrong_calls_are_refused(call: str) -> None:
    for _ in range(60):
        with pytest.raises(TypeError):
            eval(call)
    with pytest.raises(ValueError, match="no field"):
        eval("Ours(1)._replace(c=2)")


def test_it_is_matched_by_its_fields_and_can_be_pickled() -> None:
    match Ours(1, "y"):
        case Ours(a=a, b=b):
            assert (a, b) == (1, "y")
    match Ours(1, "y"):
        case Ours(a, b):
            assert (a, b) == (1, "y")
    assert pickle.loads(pickle.dumps(Ours(3))) == Ours(3)


def test_it_needs_no_typing() -> None:
    code = "import advisor.records, sys; print('typing' in sys.modules or 're' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "False"
