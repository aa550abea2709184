"""Which pictures belong to an advice: those for which there are figures, the most telling first."""

from __future__ import annotations

from advisor.reasoning.advice import Advice, Recommended
from advisor.reasoning.engine import Engine
from advisor.views.pictures.cost_picture import cost_picture
from advisor.views.pictures.drawn_shapes import Picture
from advisor.views.pictures.hydrogen_picture import hydrogen_picture
from advisor.views.pictures.life_picture import life_picture
from advisor.views.pictures.path_picture import path_picture
from advisor.views.pictures.thread_picture import thread_picture
from advisor.views.pictures.torque_picture import torque_picture
from advisor.views.report_workings import Workings


def pictures_of(
    engine: Engine, advice: Advice, shown: tuple[Recommended, ...], workings: Workings
) -> tuple[Picture, ...]:
    """The pictures of an advice with these candidates and calculations."""
    base = engine.base
    drawn = (
        hydrogen_picture(base, workings.hydrogen) if workings.hydrogen else None,
        life_picture(base, advice, shown),
        cost_picture(base, shown),
        torque_picture(base, workings.torque) if workings.torque else None,
        thread_picture(base, workings.fit) if workings.fit else None,
        path_picture(base, advice),
    )
    return tuple(p for p in drawn if p is not None)
