"""One integer model of a whole small problem, to compare with: nothing of the package is used.

Lodi, Martello, Vigo: Models and bounds for two-dimensional level packing problems (2004): pieces sorted by
height, each may open a level for itself and later ones; each level may open a sheet for itself and later ones.
"""

from __future__ import annotations

import highspy
import numpy as np


def fewest_sheets(items: list[tuple[int, int]], run: int, breadth: int) -> int:
    """Return the least number of sheets in two stages, first cuts along the run; items as (along, across)."""
    items = sorted(items, key=lambda item: -item[1])
    count = len(items)
    columns = [("y", i, i) for i in range(count)] + [("q", k, k) for k in range(count)]
    columns += [("x", i, j) for i in range(count) for j in range(i + 1, count)]
    columns += [("z", k, i) for k in range(count) for i in range(k + 1, count)]
    number = {name: n for n, name in enumerate(columns)}
    cost = [1.0 if name[0] == "q" else 0.0 for name in columns]
    rows: list[tuple[float, float, dict[int, float]]] = []
    for j in range(count):
        once = {number["y", j, j]: 1.0, **{number["x", i, j]: 1.0 for i in range(j)}}
        rows.append((1.0, 1.0, once))
        opened = {number["q", j, j]: 1.0, **{number["z", k, j]: 1.0 for k in range(j)}, number["y", j, j]: -1.0}
        rows.append((0.0, 0.0, opened))
    for i in range(count):
        level = {number["x", i, j]: float(items[j][0]) for j in range(i + 1, count)}
        rows.append((-1e30, 0.0, {**level, number["y", i, i]: -float(run - items[i][0])}))
        sheet = {number["z", i, j]: float(items[j][1]) for j in range(i + 1, count)}
        rows.append((-1e30, 0.0, {**sheet, number["q", i, i]: -float(breadth - items[i][1])}))
    return round(minimum(cost, rows))


def fewest_sticks(lengths: list[int], room: int) -> int:
    """Return the least number of sticks: each piece on one stick (Kantorovich's model)."""
    count = len(lengths)
    columns = [("u", s, s) for s in range(count)] + [("x", s, j) for j in range(count) for s in range(j + 1)]
    number = {name: n for n, name in enumerate(columns)}
    cost = [1.0 if name[0] == "u" else 0.0 for name in columns]
    rows: list[tuple[float, float, dict[int, float]]] = [
        (1.0, 1.0, {number["x", s, j]: 1.0 for s in range(j + 1)}) for j in range(count)
    ]
    for s in range(count):
        load = {number["x", s, j]: float(lengths[j]) for j in range(s, count)}
        rows.append((-1e30, 0.0, {**load, number["u", s, s]: -float(room)}))
    return round(minimum(cost, rows))


def minimum(cost: list[float], rows: list[tuple[float, float, dict[int, float]]]) -> float:
    """Solve a program in zeros and ones."""
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    for value in cost:
        highs.addCol(value, 0.0, 1.0, 0, np.empty(0, dtype=np.int32), np.empty(0))
    for lower, upper, entries in rows:
        index = np.array(list(entries), dtype=np.int32)
        highs.addRow(lower, upper, len(entries), index, np.array(list(entries.values())))
    for column in range(len(cost)):
        highs.changeColIntegrality(column, highspy.HighsVarType.kInteger)
    highs.run()
    assert highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return float(highs.getInfo().objective_function_value)
