from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, piece, saw_bench, told
from fixtures.small_books import step_text

PLY = "ply: {{panel: birch plywood, nominal: 3/4 in, measured: {{imperial: 3/4 in, metric: {metric}}}}}"


@pytest.mark.parametrize(
    ("metric", "word"), [("17.7 mm", "wider"), ("18.3 mm", "narrower"), ("17.8 mm", ""), ("18 mm", "")]
)
def test_a_dado_follows_the_thickness_only_as_finely_as_the_rule(tmp_path: Path, metric: str, word: str) -> None:
    found = told("dado-loose", piece(tmp_path, {"stock": PLY.format(metric=metric)}, edition="metric"))
    assert bool(found) is bool(word)
    if word:
        assert f"mm {word} than `bottom`, which is {metric} thick, 0.25 mm is the most" in found[0].message


def test_a_finer_rule_mends_it(tmp_path: Path) -> None:
    groups = {"stock": PLY.format(metric="17.7 mm")}
    rest = "resolution: {imperial: 1/64 in, metric: 0.1 mm}\n"
    assert told("dado-loose", piece(tmp_path, groups, rest=rest, edition="metric")) == ()


def test_where_the_thickness_comes_from_is_told(tmp_path: Path) -> None:
    found = outcomes("dado-loose", bench(tmp_path))
    assert "as measured" in found["bottom dado for bottom"].figure
    assert "as planed" in found["rail grooves for front rail"].figure


PASSES = ("to be reached in two passes. Try it", "then try it")


def test_a_deep_cut_says_how_many_passes(tmp_path: Path) -> None:
    (item,) = told("too-much-at-once", bench(tmp_path, PASSES))
    assert "step 8 routs `back rabbet`, 3/8 in deep" in item.message
    assert "1/4 in is the most at once" in item.message
    assert item.help == "say it in the step, for example `in 2 passes of 3/16 in`"


def test_one_pass_is_not_spoken_of(tmp_path: Path) -> None:
    # 1/4 in deep with a bit of 23/32 in: just one pass, though this step happens to say two.
    silent = ("Cut {bottom dado.deep} deep in two passes", "Cut {bottom dado.deep} deep")
    hazard = ("grabs, and the router is thrown. Take two passes, extraction on", "grabs, and the router is thrown")
    assert told("too-much-at-once", bench(tmp_path, silent, hazard)) == ()
    deeper = ("{dado: {imperial: 1/4 in deep, metric: 6 mm deep}", "{dado: {imperial: 9/32 in deep, metric: 7 mm deep}")
    assert len(told("too-much-at-once", bench(tmp_path, silent, hazard, deeper))) == 1


def test_a_narrow_bit_takes_half_of_its_width(tmp_path: Path) -> None:
    thin = {"stock": "ply: {panel: birch plywood, nominal: 1/4 in, measured: 1/4 in}"}
    steps = step_text("Saw", "cuts: [side, bottom]")
    steps += step_text("Rout", "cuts: [dados], joins: [dados], with: [router]", "- Rout it NOW.")
    shop = "tools:\n  router: {does: Routs.}\n"
    shallow = thin | {"joints": "dados: {dado: 1/8 in deep, in: side, for: bottom, by: glue}"}
    deep = thin | {"joints": "dados: {dado: 5/32 in deep, in: side, for: bottom, by: glue}"}
    assert told("too-much-at-once", piece(tmp_path, shallow, steps=steps, shop=shop)) == ()
    (item,) = told("too-much-at-once", piece(tmp_path, deep, steps=steps, shop=shop))
    assert "1/8 in is the most at once" in item.message
    spoken = steps.replace("NOW", "in two passes")
    assert told("too-much-at-once", piece(tmp_path, deep, steps=spoken, shop=shop)) == ()


ROUND = "cuts:\n  soft:\n    {round over: SIZE, on: upper face, in: bottom}\nholes:\n"


@pytest.mark.parametrize(("size", "fails"), [("1/4 in", True), ("3/16 in", False)])
def test_a_round_over_stays_inside_the_lip(tmp_path: Path, size: str, fails: bool) -> None:
    cut = ("holes:\n  pin holes:", ROUND.replace("SIZE", f"{{imperial: {size}, metric: 3 mm}}") + "  pin holes:")
    claim = ("{trims: [lip], works", "{trims: [lip], cuts: [soft], works")
    found = told("through-the-veneer", bench(tmp_path, cut, claim))
    assert [item.message.startswith("`soft` takes 1/4 in off `bottom`") for item in found] == [True] * fails


def test_a_lip_is_not_sanded_flush(tmp_path: Path) -> None:
    (item,) = told(
        "through-the-veneer",
        bench(
            tmp_path,
            (
                "with: [router, dust extractor, flush-trim bit, flush-cut saw, block plane, sanding block, 2 clamps]",
                "with: [random-orbit sander, dust extractor, 2 clamps]",
            ),
        ),
    )
    assert "step 5 trims `lip` with the random-orbit sander alone" in item.message


def test_the_bookcase_holds(tmp_path: Path) -> None:
    for slug in ("dado-loose", "too-much-at-once", "through-the-veneer"):
        assert told(slug, bookcase(tmp_path)) == ()
        assert outcomes(slug, bookcase(tmp_path))


def test_a_hand_hold_is_routed_in_passes(tmp_path: Path) -> None:
    silent = ("stands between them, in several passes. File", "stands between them. File")
    (item,) = told("too-much-at-once", saw_bench(tmp_path, silent))
    assert "`hand hold`, 1 3/4 in deep and 1 1/4 in wide, in 7 passes" in item.message
    assert told("too-much-at-once", saw_bench(tmp_path)) == ()
