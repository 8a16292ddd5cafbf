"""The small curve: points where they belong, and never wider than the screen."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.entering.curve import NARROWEST, draw_curve
from buildsite.kinds.bench_spec import Progress

AXES = ("water content, %", "dry density, kg/m³")
SHAPE = Progress(
    points=((1, (8.0, 1800.0)), (2, (10.0, 1900.0)), (3, (12.0, 1850.0))), axes=AXES
)


def test_points_stand_by_their_numbers_driest_left_densest_up() -> None:
    rows = draw_curve(SHAPE, 40)
    found = {
        sign: (row.index(sign, 6), -i)
        for i, row in enumerate(rows[1:8])
        for sign in "123"
        if sign in row[6:]
    }

    assert found["1"][0] < found["2"][0] < found["3"][0]
    assert found["1"][1] < found["3"][1] < found["2"][1]
    assert rows[0] == "dry density, kg/m³"
    assert rows[-1].split() == ["8.0", "water", "content,", "%", "12.0"]


def test_a_line_passes_behind_the_points() -> None:
    line = tuple((8 + i / 5, 1800 + 5 * i) for i in range(21))
    rows = draw_curve(Progress(points=SHAPE.points, line=line, axes=AXES), 40)

    assert sum(row.count(".") for row in rows[1:8]) > 10
    assert all(any(sign in row[6:] for row in rows[1:8]) for sign in "123")


def test_an_estimate_carries_its_question_mark() -> None:
    rows = draw_curve(Progress(points=SHAPE.points, axes=AXES, estimated=(2, 3)), 40)

    assert rows[0] == "dry density, kg/m³   ?: estimated"
    marks = " ".join(row[6:] for row in rows[1:8]).split()
    assert sorted(marks) == ["1", "2?", "3?"]


@given(
    st.lists(st.tuples(st.floats(0, 60), st.floats(50, 3000)), min_size=2, max_size=14),
    st.integers(NARROWEST, 60),
)
def test_it_is_never_wider_than_the_screen(
    pairs: list[tuple[float, float]], width: int
) -> None:
    rows = draw_curve(
        Progress(points=tuple(enumerate(pairs, start=1)), axes=AXES), width
    )
    more = Progress(
        points=tuple(enumerate(pairs, start=1)), axes=AXES, estimated=(1, 2)
    )

    assert rows
    assert max(map(len, draw_curve(more, width))) <= width
    assert max(map(len, rows)) <= width


@pytest.mark.parametrize(
    ("points", "width"), [(SHAPE.points[:1], 60), (SHAPE.points, NARROWEST - 1)]
)
def test_there_is_none_of_one_point_or_without_room(
    points: tuple[tuple[int, tuple[float, float]], ...], width: int
) -> None:
    assert draw_curve(Progress(points=points, axes=AXES), width) == ()
