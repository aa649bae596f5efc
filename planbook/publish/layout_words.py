"""The words of a cutting diagram: set-ups in order, what they leave, offcuts, and why no fewer sheets do."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from planbook.cutting.board_problem import BUY
from planbook.cutting.demand import Wanted
from planbook.cutting.diagram import Diagram, Setting
from planbook.cutting.lots import Lot, Task, share_used
from planbook.cutting.problem import Way
from planbook.plan.model import Life, Plan, Role, Step
from planbook.publish.sheet_runs import Runs, counted, joined, number, run, size, step_target
from planbook.trade.lookup import TradeError
from planbook.trade.machines import Tool, find_tool, least_piece
from planbook.units.amounts import write_area, write_mass
from planbook.units.editions import Edition
from planbook.units.write import write_feet, write_metres

_LIGHT_KG = 16
"""What one person carries alone: 35 lb (common practice, no source)."""
_SAWS = {Way.RIP: ("table saw", "bandsaw"), Way.CROSSCUT: ("mitre saw", "table saw", "bandsaw")}
"""The machines that a direction of cut is made on; the first counts where the step names none of them."""


def diagram_rows(plan: Plan, diagram: Diagram) -> dict[str, Any]:
    """Return the set-ups of a diagram, its letters and its offcuts, in the edition's writing.

    `cuts` holds for each set-up `n` the numbers of the cuts, `setting` how to set and saw, `leaves` in what
    state that leaves the piece, `for` the letters, `remark` what else to know.
    """
    edition = plan.edition
    kept = [rest for rest in diagram.rests if rest.keep]
    tests = [lying.wanted for lying in diagram.lying if lying.wanted.role is Role.TEST]
    return {
        "cuts": [_cut(plan, setting, diagram) for setting in diagram.settings],
        "letters": [
            {"letter": lying.wanted.letter, "hand": lying.wanted.hand, "count": diagram.count(lying.wanted.key)}
            for lying in {each.wanted.key: each for each in diagram.lying}.values()
        ],
        "offcuts": [
            number(rest.at.length, edition)
            if diagram.stick
            else f"{number(rest.at.length, edition)} × {number(rest.at.width, edition)}"
            for rest in kept
        ],
        "steps": _sawn_in(plan, diagram),
        "tests": [f"{wanted.letter}, {wanted.name}" for wanted in dict.fromkeys(tests)],
    }


def _sawn_in(plan: Plan, diagram: Diagram) -> list[str]:
    """Return the step that saws most of the pieces of a diagram."""
    counts = Counter(plan.part(lying.wanted.part).made_in for lying in diagram.lying)
    most = max(counts.values(), default=0)
    return [step.slug for step in plan.steps if counts.get(step.number) == most][:1]


def _cut(plan: Plan, setting: Setting, diagram: Diagram) -> dict[str, Any]:
    edition = plan.edition
    if setting.trims:
        if diagram.board:
            what = "saw the end off, " if setting.way is Way.CROSSCUT else "straighten the edge, at most "
            taken = diagram.trimmed_by(setting.way)
            return _row(setting, [run("text", what), run("size", size(taken, edition))], "sound", [])
        what = "saw the rough end off, " if diagram.stick else "trim the factory edge, "
        return _row(setting, [run("text", what), run("size", size(diagram.trim, edition))], "straight", [])
    verb = "rip" if setting.way is Way.RIP else "saw to" if diagram.stick else "crosscut"
    text = [run("text", f"{verb} "), run("strong", size(setting.fence, edition))]
    if len(setting.numbers) == 2:
        text.append(run("text", ", both on one setting"))
    elif len(setting.numbers) > 2:
        text.append(run("text", ", all on one setting"))
    return _row(setting, text, "", _leaves(plan, setting), remark=_remark(plan, setting, edition))


def _row(setting: Setting, text: Runs, leaves: str, runs: Runs, *, remark: str = "") -> dict[str, Any]:
    return {
        "n": _numbers(setting.numbers),
        "setting": text,
        "leaves": runs or [run("text", leaves)],
        "for": [] if setting.trims else [{"letter": entry.letter, "hand": entry.hand} for entry in setting.gives],
        "all": setting.trims,
        "remark": remark,
    }


def _numbers(numbers: Sequence[int]) -> str:
    """Return numbers of cuts: `4`, `2, 3`, `6 to 9`."""
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(str(each) for each in numbers)


def _leaves(plan: Plan, setting: Setting) -> Runs:
    """Return in what state a cut leaves what comes off."""
    if not setting.done:
        if not setting.gives:
            return [run("text", "waste, or to keep")]
        return [run("text", "strip" if setting.way is Way.RIP else "section")]
    done = {entry.life: entry for entry in setting.gives if entry.key in setting.done}
    left = [entry.key for entry in setting.gives if entry.key not in setting.done]
    more = [run("text", f"; {joined(left)} cut again")] if left else []
    for life, word in ((Life.FITTED, "fit in "), (Life.LONG, "trim in ")):
        if life in done:
            step = _step(plan, done[life])
            link = [run("text", f", {word}"), run("link", f"step {step.number}", step_target(step))] if step else []
            return [run("strong", "long"), *link, *more]
    return [run("text", "final"), *more]


def _step(plan: Plan, wanted: Wanted) -> Step | None:
    return next((step for step in plan.steps if step.number == wanted.until), None)


def _remark(plan: Plan, setting: Setting, edition: Edition) -> str:
    """Return what else to know: equal settings elsewhere, and pieces too short to hold.

    The least lengths are those of the table of machines, which names their source.
    """
    words = [
        f"then rip {entry.key} to {size(entry.width, edition)}" for entry in setting.gives if _narrower(plan, entry)
    ]
    machine = _machine(plan, setting)
    least = least_piece(machine, edition.name)
    if least is not None and setting.shortest < least.long_mm:
        limit = size(least.long_mm, edition)
        if setting.way is Way.RIP:
            words.append(f"shorter than {limit}, too short for the {machine.name}: rip a longer piece first")
        else:
            words.append(f"shorter than {limit}: clamp it, or saw it off a longer piece last")
    if setting.elsewhere:
        words.append("leave this setting for the other diagrams")
    return "; ".join(words)


def _machine(plan: Plan, setting: Setting) -> Tool:
    """Return the saw that the steps of the pieces name for such a cut, else the usual one."""
    made = {plan.part(wanted.part).made_in for wanted in setting.gives}
    keys = [use.key for step in plan.steps if step.number in made for use in step.tools if use.key]
    named = []
    for key in keys:
        try:
            named.append(find_tool(key).name)
        except TradeError:
            continue
    usual = _SAWS[setting.way]
    return find_tool(next((name for name in usual if name in named), usual[0]))


def _narrower(plan: Plan, wanted: Wanted) -> bool:
    """Tell whether a piece of a stick is narrower than the stick."""
    stock = next(stock for stock in plan.stock if stock.name == plan.part(wanted.part).stock)
    return stock.dressed is not None and wanted.width < stock.dressed


def sheet_weight(task: Task, edition: Edition) -> str:
    """Return what a whole sheet weighs, where it is more than one person carries; else nothing."""
    stock = task.stock
    if stock.density is None or stock.sheet is None or task.sticks or task.boards:
        return ""
    kilograms = stock.density * stock.thickness * stock.sheet[0] * stock.sheet[1] / 10**9
    return write_mass(kilograms * 1000, edition) if kilograms > _LIGHT_KG else ""


def stick_length(mm: Fraction, edition: Edition) -> str:
    """Return a length as sold: `8 ft`, `2.4 m`."""
    return write_feet(mm) if edition.name == "imperial" else write_metres(mm)


def _stick_proof(lot: Lot) -> str:
    """Return what is bought, and whether that is the least: in money where all lengths have a price, else in wood."""
    lengths = {layout.stock: layout.length * lot.task.edition.resolution for layout in lot.solution.layouts}
    counts = Counter[str]()
    for layout in lot.solution.layouts:
        counts[layout.stock] += layout.repeats
    bought = joined(
        [f"{count} of {stick_length(lengths[key], lot.task.edition)}" for key, count in sorted(counts.items())]
    )
    if lot.solution.proven:
        return f"{bought}: to buy less is impossible, kerfs and rough ends counted."
    return f"{bought}; whether less would do is open."


def _board_proof(lot: Lot) -> str:
    """Return how much of the boards becomes pieces, what is to be bought beside, and how far less wood is ruled out."""
    bought = sum(layout.repeats for layout in lot.solution.layouts if layout.stock == BUY)
    cut = len(lot.solution.layouts) - len([layout for layout in lot.solution.layouts if layout.stock == BUY])
    of = f"{counted(cut, 'board')} of {len(lot.task.boards)} on hand"
    more = f" and {counted(bought, 'board')} to buy" if bought else ""
    text = f"{of}{more}; the pieces are {float(share_used(lot)) * 100:.0f} % of their wood"
    if lot.solution.proven:
        return f"{text}, and less is impossible with {lot.solution.model}."
    return f"{text}; whether less would do is open."


def proof(lot: Lot) -> str:
    """Return why no fewer sheets do, or how far that is open; a proof by search names what it holds for."""
    if lot.task.sticks:
        return _stick_proof(lot)
    if lot.task.boards:
        return _board_proof(lot)
    solution, edition = lot.solution, lot.task.edition
    sheets = sum(layout.repeats for layout in solution.layouts)
    whole = sheets * lot.task.sheet.length * lot.task.sheet.width * edition.resolution**2
    need = share_used(lot) * whole
    if sheets == 1:
        return f"One sheet is the least possible: the parts need {write_area(need, edition)} of its " + (
            f"{write_area(whole, edition)}."
        )
    if share_used(lot) * sheets > sheets - 1:
        return f"{sheets} sheets; fewer are impossible: the parts alone have the area of {_decimal(lot)} sheets."
    if solution.cost == solution.bound_any:
        return f"{sheets} sheets; fewer are impossible however they are cut: too few of the large parts go on one."
    if solution.proven:
        return f"{sheets} sheets; fewer are impossible with {solution.model}."
    least = solution.bound
    return (
        f"{counted(sheets, 'sheet')}; {least} at least are needed with {solution.model}; whether fewer than {sheets} "
        "are enough is open."
    )


def _decimal(lot: Lot) -> str:
    sheets = sum(layout.repeats for layout in lot.solution.layouts)
    return f"{float(share_used(lot) * sheets):.2f}"
