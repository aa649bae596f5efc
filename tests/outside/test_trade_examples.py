"""Every check value of `trade_examples.yaml`, computed by the modules of the trade.

The values were printed by the source named beside each, or computed from its formula by somebody else's
program. An entry `from memory` is skipped, so that it never fails a build.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

from planbook.trade import bits, coverage, density, lifting, moisture, movement, noise, resin, sag, tipping, withdrawal
from planbook.trade.bits import nearest_bit
from planbook.trade.fasteners import shank_mm
from planbook.trade.lookup import table
from planbook.trade.lumber import board_feet_net, board_feet_rule, surface_measure
from planbook.units.factors import FOOT, GALLON, INCH, POUND

Given = dict[str, Any]
EXAMPLES = yaml.safe_load((Path(__file__).parent / "trade_examples.yaml").read_text(encoding="utf-8"))["examples"]
LB = float(POUND) / 1000
N_LB = withdrawal.POUND_FORCE_N
PSI_MPA = N_LB / float(INCH) ** 2
INCH_MM = float(INCH)


def exact(value: float | str) -> Fraction:
    return Fraction(str(value))


def emc(g: Given) -> Given:
    if "temperature_c" in g and "temperature_f" in g:
        first = moisture.equilibrium_pct(g["temperature_c"], g["rh_pct"])
        return {"difference_pct": first - moisture.equilibrium_pct_fahrenheit(g["temperature_f"], g["rh_pct"])}
    if isinstance(g["rh_pct"], list):
        values = [moisture.equilibrium_pct(g["temperature_c"], rh) for rh in g["rh_pct"]]
        rising = all(a < b for a, b in pairwise(values))
        return {"property": "strictly increasing with RH" if rising else "not increasing"}
    if "temperature_f" in g:
        return {"emc_pct": moisture.equilibrium_pct_fahrenheit(g["temperature_f"], g["rh_pct"])}
    return {"emc_pct": moisture.equilibrium_pct(g["temperature_c"], g["rh_pct"])}


def move(g: Given) -> Given:
    start = exact(g.get("start_mm") or g.get("start_in") or 0)
    mc = [exact(g[key]) for key in ("mc_from", "mc_to") if key in g]
    if "coefficient" in g:
        change = movement.change_by_coefficient(start, exact(g["coefficient"]), *mc)
        return {
            f"{name}_{unit}": value
            for unit in ("mm", "in")
            for name, value in (("change", change), ("end", start + change))
        }
    if "pct_per_pct" in g:
        return {"end_in": start * (1 + exact(g["pct_per_pct"]) / 100 * (mc[1] - mc[0]))}
    if "direction" in g:
        return {"end_in": movement.softwood_lumber_size(start, *mc, g["direction"])}
    if "green_mm" in g:
        shrunk = movement.shrinkage_to_pct(exact(g["shrinkage_pct"]), mc[0])
        return {"shrinkage_to_mc_pct": shrunk, "end_mm": exact(g["green_mm"]) * (1 - shrunk / 100)}
    if "start_mm" in g:
        return {"change_mm": movement.change_by_shrinkage(start, exact(g["shrinkage_pct"]), *mc, exact(g["fsp_pct"]))}
    return {"coefficient": movement.coefficient_of_shrinkage(exact(g["shrinkage_pct"]), exact(g["fsp_pct"]))}


def weigh(g: Given) -> Given:
    if "sg_ovendry" in g:
        return {"lb_ft3": density.density_of_ovendry_lb_ft3(g["sg_ovendry"], g["mc_pct"])}
    if "sg_basic" in g:
        gravity = density.gravity_at(exact(g["sg_basic"]), exact(g["mc_pct"]), exact(g["volumetric_shrinkage_pct"]))
        return {"sg_12": gravity}
    if "water_lb_ft3" in g:
        return {
            "lb_ft3": density.density_kg_m3(exact(g["sg_at_mc"]), exact(g["mc_pct"])) / 1000 * exact(g["water_lb_ft3"])
        }
    if "sg_at_mc" in g:
        return {"kg_m3": density.density_kg_m3(exact(g["sg_at_mc"]), exact(g["mc_pct"]))}
    heavy = (
        exact(g["density_kg_m3"])
        if "density_kg_m3" in g
        else density.density_kg_m3(exact(g["sg_12"]), exact(g["mc_pct"]))
    )
    volume = Fraction(1)
    for side in g["size_mm"]:
        volume *= exact(side)
    grams = density.mass_g(heavy, volume)
    return {"kg": grams / 1000, "lb": grams / POUND}


ENDS = {"simple": sag.Ends.RESTING, "fixed": sag.Ends.FIXED, "cantilever": sag.Ends.CANTILEVER}


def bend(g: Given) -> Given:
    if "any" in g:
        both = [sag.sag_uniform_mm(ends, 0.4, 800, 2500, 121500) for ends in (sag.Ends.RESTING, sag.Ends.FIXED)]
        return {"ratio_simple_over_fixed": both[0] / both[1]}
    if "strip_mm" in g:
        shelf, strip = g["shelf_mm"], g["strip_mm"]
        whole = sag.section([sag.Strip(*shelf, 0, g["E_shelf_mpa"]), sag.Strip(*strip, 0, g["E_strip_mpa"])])
        return {"n": g["E_strip_mpa"] / g["E_shelf_mpa"], "axis_mm": whole.axis_mm, "I_mm4": whole.inertia_mm4}
    if "elastic_in" in g:
        return {"final_in": sag.with_creep_mm(g["elastic_in"], 0, g["factor"])}
    if "per_foot_in" in g:
        ratio = 12 / g["per_foot_in"]
        return {"limit_in": sag.limit_mm(g["span_in"], sag.VISIBLE_RATIO), "span_ratio": ratio}
    if isinstance(g.get("t_mm"), list):
        thin, thick = (sag.sag_uniform_mm(sag.Ends.RESTING, 1, 800, 2500, sag.rectangle_mm4(250, t)) for t in g["t_mm"])
        return {"ratio": thin / thick}
    if "E_psi" in g:
        inertia = sag.rectangle_mm4(g["b_in"] * INCH_MM, g["t_in"] * INCH_MM)
        load = g["load_lb_per_ft"] * N_LB / float(FOOT)
        deep = sag.sag_uniform_mm(sag.Ends.RESTING, load, g["span_in"] * INCH_MM, g["E_psi"] * PSI_MPA, inertia)
        return {"I_in4": inertia / INCH_MM**4, "deflection_in": deep / INCH_MM}
    inertia = sag.rectangle_mm4(g["b_mm"], g["t_mm"])
    spread = sag.load_n_mm(g["load_kg_per_m"], 1000) if "load_kg_per_m" in g else g.get("load_n_per_mm")
    if "ratio" in g:
        return {"span_mm": sag.longest_span_mm(spread, g["E_mpa"], inertia, g["ratio"])}
    ends = ENDS[g["case"].split()[0]]
    if spread:
        return {"deflection_mm": sag.sag_uniform_mm(ends, spread, g["span_mm"], g["E_mpa"], inertia)}
    force = g["load_kg"] * g["g"] if "load_kg" in g else g["load_n"]
    return {"deflection_mm": sag.sag_point_mm(ends, force, g["span_mm"], g["E_mpa"], inertia)}


def fasten(g: Given) -> Given:
    if "gauge" in g:
        return {"shank_in": shank_mm(g["gauge"]) / INCH, "shank_mm": shank_mm(g["gauge"])}
    if "lb_constant" in g:
        rows = table("fasteners")["withdrawal"]
        row = next(row for row in rows.values() if isinstance(row, dict) and row["lb"] == g["lb_constant"])
        return {"metric_constant": row["n"]}
    if "target_in" in g:
        label = nearest_bit(exact(g["target_in"]) * INCH, "twist", "imperial").bit.label
        return {"bit": label.removesuffix(" in")}
    if "K" in g:
        factors = Fraction(1) if "side_ratio" not in g else _lag_factors(g)
        metric = g["K"] * N_LB / INCH_MM**2
        return {"lb": withdrawal.lateral_n("lag screw", metric, g["shank_in"] * INCH_MM) * factors / N_LB}
    thick = g.get("shank_mm") or g.get("shank_in", g.get("diameter_in", 0)) * INCH_MM
    long = g.get("thread_mm") or g.get("thread_in", g.get("depth_in", 0)) * INCH_MM
    kind = "nail" if "diameter_in" in g else "lag screw" if g.get("shank_in") == 0.375 else "wood screw"
    if "sg_ovendry" in g:
        newtons = withdrawal.working_n(kind, gravity_ovendry=g["sg_ovendry"], shank_mm=thick, thread_mm=long)
    else:
        newtons = withdrawal.ultimate_n(kind, gravity=g["sg"], shank_mm=thick, thread_mm=long)
    return {"lb": newtons / N_LB, "n": newtons}


def _lag_factors(g: Given) -> float:
    side = withdrawal.side_piece_factor(g["side_ratio"] * g["shank_in"] * INCH_MM, g["shank_in"] * INCH_MM)
    across = withdrawal.across_grain_factor(g["shank_in"] * INCH_MM)
    assert (side, across) == pytest.approx((g["side_factor"], g["perp_factor"]))
    return side * across


def tip(g: Given) -> Given:
    if "carcass_kg" in g:
        weights = [tipping.Weight(g["carcass_kg"], g["cg_mm"]), tipping.Weight(g["drawers_kg"], -g["drawer_cg_mm"])]
        if "load_kg" in g:
            weights.append(tipping.Weight(g["load_kg"], -g["load_at_mm"]))
        return {"margin": tipping.balance(weights).margin}
    behind = tipping.tilted_mm(g["cg_mm"], g["cg_height_mm"], g["tilt_deg"]) if "tilt_deg" in g else g["cg_mm"]
    return {"cg_mm": behind, "force_n": tipping.pull_to_tip_n(g["mass_kg"], behind, g["height_mm"])}


def board_feet(g: Given) -> Given:
    if "width_in" in g:
        width, long, thick = (exact(g[key]) for key in ("width_in", "length_ft", "thickness_in"))
        return {
            "surface_measure_raw": width * int(long) / 12,
            "surface_measure": surface_measure(width, long),
            "board_feet": board_feet_rule(width, long, thick),
        }
    if "count" in g:
        return {"board_feet": g["count"] * board_feet_net(*(exact(side) * INCH for side in g["size_in"]))}
    one = board_feet_net(Fraction(1000), Fraction(1000), Fraction(1000))
    return {"m3": 1 / one, "board_feet": one}


def pour(g: Given) -> Given:
    if "max_pour_mm" in g:
        found = resin.layers(exact(g["depth_mm"]), exact(g["max_pour_mm"]))
        return {"layers": found.count, "each_mm": found.each_mm}
    if "density_a" in g:
        mix = resin.Mix(exact(g["ratio_volume"]), Fraction(1), "volume", exact(g["density_a"]), exact(g["density_b"]))
        return {"ratio_mass": resin.mass_ratio(mix)}
    if "total_g" in g:
        a, b = g["mass_ratio"]
        both = resin.amounts_of_mass(resin.Mix(exact(a), exact(b), "weight"), exact(g["total_g"]))
        return {"a_g": both.a_g, "b_g": both.b_g}
    unit = INCH if "size_in" in g else 1
    volume = resin.void_mm3(*(exact(side) * unit for side in g.get("size_in") or g["size_mm"]))
    if "size_in" in g:
        return {"in3": volume / INCH**3, "us_gal": volume / GALLON, "litres": volume / resin.MM3_OF_LITRE}
    more = resin.with_spare_mm3(volume, exact(g["extra_pct"]))
    both = resin.amounts(resin.Mix(exact(g["ratio_volume"]), Fraction(1), "volume"), more)
    assert both.a_mm3 is not None
    assert both.b_mm3 is not None
    litre = resin.MM3_OF_LITRE
    return {
        "litres": volume / litre,
        "with_extra": more / litre,
        "part_a": both.a_mm3 / litre,
        "part_b": both.b_mm3 / litre,
    }


def coat(g: Given) -> Given:
    if "top_mm" in g:
        return {"m2": coverage.board_area_mm2(*(exact(v) for v in g["top_mm"]), exact(g["edge_mm"])) / 10**6}
    if "solids_pct" in g:
        rate = exact(g["rate_m2_per_l"])
        dry = coverage.dry_film_mm(rate, exact(g["solids_pct"]))
        return {"wet_um": 1000 * coverage.wet_film_mm(rate), "dry_um": 1000 * dry}
    if "area_m2" in g:
        rate, loss = exact(g["rate_m2_per_l"]), exact(g["loss_pct"])
        volume = coverage.finish_mm3(exact(g["area_m2"]) * 10**6, coats=g["coats"], cover_m2_l=rate, loss_pct=loss)
        return {"litres": volume / 10**6}
    rate = coverage.cover_of_sq_ft_gal(exact(g["rate_ft2_per_gal"]))
    if "area_ft2" in g:
        volume = coverage.finish_mm3(exact(g["area_ft2"]) * FOOT**2, coats=g["coats"], cover_m2_l=rate)
        return {"gal": volume / GALLON, "fl_oz": volume / GALLON * 128}
    return {"wet_mil": coverage.wet_film_mm(rate) / INCH * 1000}


def turn(g: Given) -> Given:
    if "v_m_min" in g:
        return {"rpm": bits.turns(g["v_m_min"], g["d_mm"])}
    if "v_ft_min" in g:
        return {"rpm": bits.turns(g["v_ft_min"] * float(FOOT) / 1000, g["d_in"] * INCH_MM)}
    rim = bits.rim_m_min(g["rpm"], g["d_in"] * INCH_MM)
    return {"ft_min": rim * 1000 / float(FOOT), "m_s": rim / 60}


def hear(g: Given) -> Given:
    if "levels_dba" in g:
        return {"total_dba": noise.together_dba(g["levels_dba"])}
    if "exposures" in g:
        parts = [noise.Exposure(*part) for part in g["exposures"]]
        osha = noise.dose_osha_pct(parts)
        return {"dose_pct": osha, "twa_dba": noise.average_osha_dba(osha), "niosh_pct": noise.dose_niosh_pct(parts)}
    if "dose_pct" in g:
        return {"twa_dba": noise.average_osha_dba(g["dose_pct"])}
    if "reference_hours" in g:
        # The printed dose takes the table's time, which is the formula's rounded to one decimal.
        allowed = round(noise.allowed_hours_osha(g["dba"]), 1)
        assert allowed == g["reference_hours"]
        return {"dose_pct": 100 * g["hours"] / allowed}
    return {"hours": noise.allowed_hours_osha(g["dba"]), "minutes": 60 * noise.allowed_hours_niosh(g["dba"])}


def lift(g: Given) -> Given:
    if isinstance(g.get("H_cm"), list):
        return {f"h{cm}": lifting.multipliers(cm, 75, 25, 0)[0] for cm in g["H_cm"]}
    if isinstance(g.get("V_cm"), list):
        return {f"v{cm}": lifting.multipliers(25, cm, 25, 0)[1] for cm in g["V_cm"]}
    names = {"reach": "H", "height": "V", "travel": "D"}
    unit = "in" if "H_in" in g else "cm"
    words = {f"{word}_{unit}": g[f"{letter}_{unit}"] for word, letter in names.items()}
    limit = lifting.weight_limit_lb if unit == "in" else lifting.weight_limit_kg
    found = limit(**words, twist_deg=g["A_deg"], grip=g["coupling"], often=g["FM"])
    return {"rwl_lb" if unit == "in" else "rwl_kg": found}


COMPUTE: dict[str, Callable[[Given], Given]] = {
    "emc": emc,
    "movement": move,
    "density": weigh,
    "deflection": bend,
    "fasteners": fasten,
    "stability": tip,
    "board feet": board_feet,
    "resin": pour,
    "finish": coat,
    "speed": turn,
    "noise": hear,
    "lifting": lift,
}


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e["id"])
def test_check_value(example: dict[str, Any]) -> None:
    if example["status"] == "from memory":
        pytest.skip("from memory, not looked up")
    found = COMPUTE[example["topic"]](example["given"])
    if example["id"] == "niosh-dose-mix":
        found["dose_pct"] = found["niosh_pct"]
    for word, expected in example["expect"].items():
        if example["tolerance"][word] == 0:
            assert found[word] == expected
        else:
            assert abs(float(found[word]) - expected) <= example["tolerance"][word] * (1 + 1e-9), word


def test_every_example_names_a_source() -> None:
    assert len(EXAMPLES) == len({e["id"] for e in EXAMPLES}) >= 130
    assert all(e["source"] and e["status"] for e in EXAMPLES)
