from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, outcomes, piece, told

from planbook.checks.weather import outdoors

OUT = ("title: Boot bench with a loose shelf", "title: Garden bench with a loose shelf")
AIR = "room: {driest: 68 F at 28 %, dampest: 74 F at 80 %, built: 8 %, source: assumed for this test}\n"
SHOP = AIR + "tools:\n  saw: {does: Saws.}\n"


@pytest.mark.parametrize(("title", "is_"), [
    ("Garden bench", True), ("Bench for the porch", True), ("Bench, never outdoors", False), ("Boot bench", False),
    ("Gardener's tool rack", False), ("Coat rack\nsummary: It hangs beside the garden door.", False),
    ("Coat rack\nsummary: It stands outdoors all year.", True),
])  # fmt: skip
def test_where_a_piece_stands_is_read_from_its_title(tmp_path: Path, title: str, is_: bool) -> None:
    assert outdoors(piece(tmp_path, {"plan": f"title: {title}"})) is is_


def test_indoors_nothing_is_asked(tmp_path: Path) -> None:
    assert outcomes("indoor-glue", bench(tmp_path)) == {}
    assert outcomes("water-trap", bench(tmp_path)) == {}


def test_indoor_glue_and_plywood_do_not_stand_outdoors(tmp_path: Path) -> None:
    messages = [item.message for item in told("indoor-glue", bench(tmp_path, OUT))]
    assert messages[0] == "PVA glue holds outdoors: no, and the piece stands outdoors"
    assert "`birch plywood` is no panel for outdoors" in messages[1]


def test_weatherproof_glue_and_panels_do(tmp_path: Path) -> None:
    glue = ("  wood glue: {amount", "  polyurethane glue: {amount")
    found = told("indoor-glue", bench(tmp_path, OUT, glue))
    assert not any("glue" in item.message.split(" and ")[0] for item in found)


def test_plain_steel_rusts(tmp_path: Path) -> None:
    found = {item.message for item in told("water-trap", bench(tmp_path, OUT))}
    assert "nothing says that `panel nail` does not rust outdoors" in found
    coated = ("  panel nail: {count: 30,", "  panel nail: {count: 30, note: stainless,")
    assert "nothing says that `panel nail` does not rust outdoors" not in {
        item.message for item in told("water-trap", bench(tmp_path, OUT, coated))
    }


OAK = "oak: {lumber: white oak, nominal: 4/4, to: 3/4 in}"
LEGS = "side: {of: oak, pair: left right, length: high, width: 3 in, on: floor}\n"
SLATS = (
    "slat: {of: oak, count: 3, length: wide, width: 5 in, runs: across, faces: up, on: side, left face: 0 in, "
    "spread: front to back}"
)


@pytest.mark.parametrize(("deep", "closes"), [("15 1/2 in", True), ("16 in", False)])
def test_gaps_stay_open_when_the_boards_are_wet(tmp_path: Path, deep: str, closes: bool) -> None:
    # Three boards of 5 in: 1/4 in or 1/2 in stays between two of them when they are dry.
    groups = {
        "plan": "title: Garden table",
        "dims": f"wide: 30 in\ndeep: {deep}\nhigh: 20 in",
        "stock": OAK,
        "parts": LEGS.replace("width: 3 in", "width: deep") + SLATS,
        "joints": "tops: {butt: slat, to: side, by: stainless screws}",
    }
    found = [item for item in told("water-trap", piece(tmp_path, groups, shop=SHOP)) if "gaps" in item.message]
    assert bool(found) is closes


@pytest.mark.parametrize(("prose", "wet"), [("- Do it.", True), ("- Seal the feet with epoxy.", False)])
def test_end_grain_on_the_ground_is_sealed(tmp_path: Path, prose: str, wet: bool) -> None:
    from fixtures.small_books import CASE, claiming

    groups = {"plan": "title: Garden table", "stock": OAK.replace("oak:", "ply:")}
    steps = claiming({**CASE, **groups}).replace("- Do it.", prose)
    found = [item for item in told("water-trap", piece(tmp_path, groups, steps=steps)) if "end grain" in item.message]
    assert [item.message for item in found] == [
        "`side` stands on the ground with its end grain, which draws water"
    ] * wet


@pytest.mark.parametrize(
    ("wood", "rots"),
    [("hard maple", True), ("white ash", True), ("red oak", True), ("yellow-poplar", True), ("white oak", False),
     ("western redcedar", False), ("Douglas-fir", False), ("teak", False)],
)  # fmt: skip
def test_some_woods_rot_soon_outdoors(tmp_path: Path, wood: str, rots: bool) -> None:
    # Forest Products Laboratory, Research Note FPL-0153 (1967), as reprinted; teak is common practice, no source.
    stock = f"ply: {{lumber: {wood}, nominal: 4/4, to: 3/4 in}}"
    groups = {"plan": "title: Garden shelf", "stock": stock}
    found = told("rots-soon", piece(tmp_path, groups))
    assert bool(found) is rots
    treated = stock.replace("4/4,", "4/4, pick: pressure-treated,")
    assert told("rots-soon", piece(tmp_path / "treated", {**groups, "stock": treated})) == ()
    assert told("rots-soon", piece(tmp_path / "indoors", {"stock": stock})) == ()


def test_every_wood_of_the_tables_is_sorted() -> None:
    from planbook.checks.weather import resistance
    from planbook.trade.species import wood_names

    unsorted = [name for name in wood_names() if not resistance(name.casefold())]
    assert unsorted == ["sapele"]
