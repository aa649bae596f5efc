"""A resolved plan built by hand: an invented bookcase with two loose shelves.

It serves the tests of everything that comes after `plan`. All data is invented; densities are those
of common tables for birch plywood and hard maple.
"""

from __future__ import annotations

import datetime

from sample_numbers import Derived, F, Numbers, derive, imperial, inches, metric

from planbook.plan.model import (
    Bought,
    Box,
    Cut,
    CutKind,
    Dim,
    Edging,
    Faces,
    Finish,
    Hazard,
    Hole,
    Joint,
    Life,
    Line,
    Material,
    Measured,
    Part,
    Placement,
    Plan,
    Role,
    Run,
    RunKind,
    Signal,
    Size,
    Step,
    StepTime,
    Stock,
    StockKind,
    StockTotal,
    ToolUse,
)
from planbook.source.diagnostics import Span
from planbook.units.editions import EDITIONS

SPAN = Span("plans/bookcase/plan.yaml", 1, 1, 1, 10)
STEPS = Span("plans/bookcase/steps.md", 1, 1, 1, 10)

MEASURE, SAW, STRIPS, GLUE_LIPS, TRIM_LIPS, DADOS, RABBETS = range(1, 8)
PINS, VARNISH, CASE, KICK, BACK, COATS, SHELVES = range(8, 15)

SIDE_FACES = Faces(show="inside", reverse="outside", datum_edge="front edge", far_edge="back edge",
                   datum_end="foot", far_end="upper end")  # fmt: skip
FLAT_FACES = Faces(show="upper face", reverse="underside", datum_edge="front edge", far_edge="back edge",
                   datum_end="left end", far_end="right end")  # fmt: skip
FRONT_FACES = Faces(show="front", reverse="back", datum_edge="lower edge", far_edge="upper edge",
                    datum_end="left end", far_end="right end")  # fmt: skip
STRIP_FACES = Faces(show="face", reverse="back", datum_edge="lower edge", far_edge="upper edge",
                    datum_end="left end", far_end="right end")  # fmt: skip


def _part(key: str, letter: str, faces: Faces, **given: object) -> Part:
    plain: dict[str, object] = {
        "role": Role.PART, "count": 1, "pair": False, "stock": "ply", "cuts": (), "holes": (), "edgings": (),
        "made_in": SAW, "joined_in": None, "for_part": None, "note": "", "span": SPAN,
    }  # fmt: skip
    plain.update(given)
    length, width = plain["length"], plain["width"]
    assert isinstance(length, Size)
    assert isinstance(width, Size)
    plain.setdefault("body_width", width.final)
    plain.setdefault("body_length", length.final)
    return Part(key=key, letter=letter, faces=faces, **plain)  # type: ignore[arg-type]


def _size(value: F, rough: F | None = None, life: Life = Life.NOW, until: int | None = None) -> Size:
    return Size(final=value, rough=value if rough is None else rough, life=life, until=until)


def _side(n: Numbers, d: Derived) -> Part:
    def dado(low: F, for_part: str) -> Cut:
        box = Box((low, low + n.ply), (F(0), n.deep), (n.ply - n.dado, n.ply))
        return Cut(name="shelf dados", kind=CutKind.DADO, part="side", face="inside", box=box, deep=n.dado,
                   wide=n.ply, for_part=for_part, step=DADOS)  # fmt: skip

    rabbet = Cut(
        name="back rabbet", kind=CutKind.RABBET, part="side", face="inside",
        box=Box((F(0), n.high), (n.deep - n.rabbet_wide, n.deep), (n.ply - n.rabbet_deep, n.ply)),
        deep=n.rabbet_deep, wide=n.rabbet_wide, for_part="panel", step=RABBETS,
    )  # fmt: skip
    holes = tuple(
        Hole(group="shelf pins", part="side", face="inside", l=d.first_hole + k * n.pin_every, w=w,
             diameter=n.pin_drill, deep=n.pin_deep, from_show=True, role="pin", row=row, step=PINS)
        for row, w in ((1, n.pin_front), (2, d.front_to_rabbet - n.pin_back))
        for k in range(d.holes)
    )  # fmt: skip
    return _part(
        "side", "A", SIDE_FACES, count=2, pair=True, length=_size(n.high), width=_size(n.deep, n.deep - n.lip),
        thick=n.ply, body_width=n.deep - n.lip, cuts=(dado(d.bottom_under, "bottom"), dado(d.top_under, "top"), rabbet),
        holes=holes, edgings=(_lip("side", n, n.high),), joined_in=CASE,
    )  # fmt: skip


def _lip(part: str, n: Numbers, length: F) -> Edging:
    box = Box((F(0), length), (F(0), n.lip), (F(0), n.ply))
    return Edging(name=f"lip of {part}", part=part, key=f"lip of {part}", edge="datum_edge", box=box,
                  glued_in=GLUE_LIPS, trimmed_in=TRIM_LIPS)  # fmt: skip


def _shelves(n: Numbers, d: Derived) -> tuple[Part, ...]:
    flat = [
        _part(key, letter, FLAT_FACES, length=_size(d.bottom),
              width=_size(d.front_to_rabbet, d.front_to_rabbet - n.lip), thick=n.ply,
              body_width=d.front_to_rabbet - n.lip, edgings=(_lip(key, n, d.bottom),), joined_in=CASE)
        for key, letter in (("bottom", "B"), ("top", "C"))
    ]  # fmt: skip
    rail = Edging(
        name="rail of loose shelf", part="loose shelf", key="rail of loose shelf", edge="datum_edge",
        box=Box((F(0), d.shelf), (F(0), n.rail), (n.ply - n.tall, n.ply)),
        glued_in=GLUE_LIPS, trimmed_in=TRIM_LIPS,
    )  # fmt: skip
    loose = _part(
        "loose shelf", "D", FLAT_FACES, count=2, length=_size(d.shelf),
        width=_size(d.shelf_width, d.shelf_width - n.rail), thick=n.ply,
        body_width=d.shelf_width - n.rail, edgings=(rail,), joined_in=SHELVES,
    )  # fmt: skip
    return (*flat, loose)


def _strips(n: Numbers, d: Derived) -> tuple[Part, ...]:
    rows = (("side", "G", n.high, 2), ("bottom", "H", d.bottom, 1), ("top", "I", d.bottom, 1))
    lips = tuple(
        _part(f"lip of {part}", letter, STRIP_FACES, role=Role.EDGING, count=count, stock="maple", thick=n.lip,
              length=_size(length, length + 8 * n.over, Life.LONG, TRIM_LIPS),
              width=_size(n.ply, n.ply + n.over, Life.LONG, TRIM_LIPS),
              made_in=STRIPS, joined_in=GLUE_LIPS, for_part=part)
        for part, letter, length, count in rows
    )  # fmt: skip
    rail = _part(
        "rail of loose shelf", "J", STRIP_FACES, role=Role.EDGING, count=2, stock="maple", thick=n.rail,
        length=_size(d.shelf, d.shelf + 8 * n.over, Life.LONG, TRIM_LIPS),
        width=_size(n.tall, n.tall + n.over, Life.LONG, TRIM_LIPS),
        made_in=STRIPS, joined_in=GLUE_LIPS, for_part="loose shelf",
    )  # fmt: skip
    test = _part(
        "test piece for shelf dados", "K", FLAT_FACES, role=Role.TEST, length=_size(n.test),
        width=_size(n.test), thick=n.ply, for_part="side", note="test piece for shelf dados",
    )  # fmt: skip
    return (*lips, rail, test)


def _parts(n: Numbers, d: Derived) -> tuple[Part, ...]:
    kick = _part("kick board", "E", FRONT_FACES, length=_size(d.clear), width=_size(n.kick), thick=n.ply,
                 joined_in=KICK)  # fmt: skip
    panel = _part(
        "panel", "F", FRONT_FACES, stock="thin", length=_size(d.panel, life=Life.FITTED, until=BACK),
        width=_size(d.panel_high, life=Life.FITTED, until=BACK), thick=n.thin, made_in=BACK, joined_in=BACK,
        note="fit to the case",
    )  # fmt: skip
    return (_side(n, d), *_shelves(n, d), kick, panel, *_strips(n, d))


def _placements(n: Numbers, d: Derived) -> tuple[Placement, ...]:
    zero = F(0)
    inside = n.ply - n.dado + n.room

    def pin(k: int) -> F:
        return d.first_hole + k * n.pin_every + n.pin_drill / 2

    flat = ("+x", "+y", "+z")
    upright = ("+x", "+z", "-y")
    places: tuple[tuple[str, int, str, tuple[F, F, F], tuple[str, str, str]], ...] = (
        ("side", 1, "L", (zero, zero, zero), ("+z", "+y", "+x")),
        ("side", 2, "R", (n.wide, zero, zero), ("+z", "+y", "-x")),
        ("bottom", 1, "", (inside, zero, d.bottom_under), flat),
        ("top", 1, "", (inside, zero, d.top_under), flat),
        ("loose shelf", 1, "", (n.ply + n.play, zero, pin(5)), flat),
        ("loose shelf", 2, "", (n.ply + n.play, zero, pin(13)), flat),
        ("kick board", 1, "", (n.ply, n.set_back + n.ply, zero), upright),
        ("panel", 1, "", ((n.wide - d.panel) / 2, d.front_to_rabbet + n.thin, n.kick), upright),
    )
    return tuple(
        Placement(part=part, copy=copy, hand=hand, origin=origin, axes=axes)
        for part, copy, hand, origin, axes in places
    )


def _joints(n: Numbers) -> tuple[Joint, ...]:
    def joint(name: str, kind: str, **given: object) -> Joint:
        plain: dict[str, object] = {"every": None, "count": None, "room": F(0), "deep": F(0), "wide": None,
                                    "note": "", "cut_in": None, "span": SPAN}  # fmt: skip
        plain.update(given)
        return Joint(name=name, kind=kind, **plain)  # type: ignore[arg-type]

    return (
        joint("shelf dados", "dado", receiving=("side",), entering=("bottom", "top"), by=("glue",), room=n.room,
              deep=n.dado, wide=n.ply, cut_in=DADOS, joined_in=CASE),
        joint("back rabbet", "rabbet", receiving=("side", "bottom", "top"), entering=("panel",),
              by=(n.words["nail"],), every=n.ply * 8, room=n.panel_play, deep=n.rabbet_deep,
              wide=n.rabbet_wide, cut_in=RABBETS, joined_in=BACK),
        joint("kick joint", "butt", receiving=("side", "bottom"), entering=("kick board",), by=("glue",),
              note="three glue blocks behind the board", joined_in=KICK),
    )  # fmt: skip


def line(*pieces: str | Run) -> Line:
    """Running text from plain strings and runs."""
    return tuple(Run(RunKind.TEXT, piece) if isinstance(piece, str) else piece for piece in pieces)


def letter(text: str) -> Run:
    return Run(RunKind.LETTER, text)


def size(text: str) -> Run:
    return Run(RunKind.SIZE, text)


def _hazard(step: int, signal: Signal, harm: str, likelihood: str, title: str, text: str) -> Hazard:
    return Hazard(signal=signal, harm=harm, likelihood=likelihood, title=line(title), text=line(text), step=step,
                  span=STEPS)  # fmt: skip


def _tool(key: str, text: str | None = None, count: int = 1) -> ToolUse:
    return ToolUse(key=key, text=text or key, count=count)


def _time(set_up: int, each: int, each_of: str = "", pieces: int = 1, wait: int = 0, wait_for: str = "") -> StepTime:
    return StepTime(set_up=F(set_up), each=F(each), each_of=each_of, pieces=pieces, wait=F(wait),
                    wait_for=wait_for)  # fmt: skip


def _step(number: int, title: str, time: StepTime, actions: tuple[Line, ...], **given: object) -> Step:
    empty = ("makes", "cuts", "joins", "sets", "trims", "finishes", "marks", "handles", "tools", "holds",
             "hazards", "teacher", "tips", "photos")  # fmt: skip
    plain: dict[str, object] = dict.fromkeys(empty, ())
    plain |= dict.fromkeys(("for_whom", "good_enough", "went_wrong", "meanwhile"), ())
    plain |= {"teachers_eye": "", "hands": 1, "span": STEPS}
    plain.update(given)
    slug = title.lower().replace(",", "").replace(" ", "-")
    return Step(number=number, slug=slug, title=title, time=time, actions=actions, **plain)  # type: ignore[arg-type]


def _first_steps(n: Numbers, show: dict[str, str]) -> tuple[Step, ...]:
    ply_parts = ("side", "bottom", "top", "loose shelf", "kick board")
    strips = ("lip of side", "lip of bottom", "lip of top", "rail of loose shelf")
    return (
        _step(
            MEASURE, "Measure the plywood", _time(0, 10),
            (line("Measure the sheet at six places with the caliper."),
             line("Write the middle value on the line in the parts table.")),
            handles=("side",), tools=(_tool("caliper"),), teachers_eye="the written thickness",
        ),
        _step(
            SAW, "Saw the plywood parts", _time(20, 6, "part", 7),
            (line("Rip the strips, then crosscut ", letter("A"), " to ", letter("E"), "."),
             line("Cut both sides ", letter("A L"), " and ", letter("A R"), " at one stop, ", size(show["high"]),
                  " long."),
             line("Write each letter on the inside face.")),
            makes=(*ply_parts, "test piece for shelf dados"), handles=(*ply_parts, "test piece for shelf dados"),
            tools=(_tool("table saw"), _tool("roller stand", "2 roller stands", 2)), hands=2,
            hazards=(_hazard(SAW, Signal.WARNING, "serious injury", "could", "Kickback",
                             "Stand beside the line of the blade. Keep the fence parallel."),),
            good_enough=line("The two sides are equally long when stood on a flat floor."),
            went_wrong=line("One side short: crosscut the other to match and shorten the back."),
        ),
        _step(
            STRIPS, "Saw the edging strips", _time(15, 3, "strip", 6),
            (line("Plane the maple to ", size(show["maple"]), "."),
             line("Saw the strips on the far side of the blade, ", size(show["over"]), " over their width.")),
            makes=strips, handles=strips, tools=(_tool("table saw"), _tool("push stick"), _tool("thin-strip jig")),
            hazards=(_hazard(STRIPS, Signal.DANGER, "serious injury", "will", "Fingers at the blade",
                             "Never push a narrow strip through with the hand: use the push stick."),),
        ),
        _step(
            GLUE_LIPS, "Glue on the edgings", _time(10, 8, "strip", 6, 120, "glue"),
            (line("Spread a thin line of glue on the front edge."),
             line("Center the strip so that it stands over on both faces."),
             line("Clamp with a batten, pressure every hand's width.")),
            joins=strips, handles=("side", "bottom", "top", "loose shelf", *strips),
            tools=(_tool("clamp", n.words["clamps"], 4), _tool("batten")), holds=(("clamp", 4),),
            hazards=(_hazard(GLUE_LIPS, Signal.CAUTION, "minor injury", "could", "Pinched fingers",
                             "Keep fingers out from between clamp and batten."),),
            meanwhile=line("Mark the dados on a strip of waste."),
        ),
        _step(
            TRIM_LIPS, "Trim the edgings flush", _time(10, 4, "strip", 6),
            (line("Rout or plane the strip flush with both faces."), line("Saw the ends flush.")),
            trims=strips, handles=("side", "bottom", "top", "loose shelf", *strips),
            tools=(_tool("router"), _tool("flush-trim bit")),
            good_enough=line("A fingertip drawn across feels no step."),
        ),
    )  # fmt: skip


def _cutting_steps(n: Numbers, d: Derived, show: dict[str, str]) -> tuple[Step, ...]:
    return (
        _step(
            DADOS, "Cut the dados, both sides in one go", _time(20, 10, "dado", 2),
            (line("Lay ", letter("A L"), " and ", letter("A R"), " inside face up, front edges touching."),
             line("Knife the lower edge of each dado at ", size(show["bottom under"]), " and ", size(show["top under"]),
                  " from the foot."),
             line("Cut the dados ", size(show["dado"]), " deep in two passes. Try the test piece first.")),
            for_whom=line("Two dados, each across both sides."), cuts=("shelf dados",), marks=("shelf dados",),
            handles=("side", "test piece for shelf dados"), teachers_eye="the test piece in the first dado",
            tools=(_tool("router"), _tool("T-guide"), _tool("clamp", "2 clamps", 2)),
            good_enough=line("A shelf offcut goes in with a thumb and stays when the side is turned over."),
            went_wrong=line("Too loose: glue veneer to the shelf end and plane to fit."),
            teacher=(line("Let each pair cut one dado."),),
        ),
        _step(
            RABBETS, "Cut the rabbets for the back", _time(15, 5, "side", 2),
            (line("Set the fence to ", size(show["rabbet wide"]), " and the depth to ", size(show["rabbet deep"]),
                  ", in two passes."),
             line("Cut along the back edge, inside face up.")),
            cuts=("back rabbet",), handles=("side",), tools=(_tool("router"), _tool("edge guide")),
            tips=(line("The rabbets face each other when the case stands."),),
        ),
        _step(
            PINS, "Bore the holes for the shelf pins", _time(15, 8, "row", 4),
            (line("Clamp the drilling strip on, its end at the foot."),
             line("Bore ", size(str(d.holes)), " holes in each row, ", size(show["pin deep"]),
                  " deep, against a stop.")),
            cuts=("shelf pins",), handles=("side",), tools=(_tool("drill"), _tool("bit", n.words["bit"])),
            teachers_eye="the first hole", good_enough=line("A pin stands up straight in every hole."),
        ),
        _step(
            VARNISH, "Varnish the inside faces", _time(10, 10, "part", 5, 120, "varnish"),
            (line("Cover the dados with tape."), line("Brush one coat on every inside face.")),
            finishes=("side", "bottom", "top"), handles=("side", "bottom", "top"),
            tools=(_tool("brush"), _tool("masking tape")),
            hazards=(_hazard(VARNISH, Signal.NOTICE, "damage", "could", "No varnish in the dados",
                             "Glue does not hold on varnish. Leave the tape until glue-up."),),
        ),
    )  # fmt: skip


def _closing_steps(show: dict[str, str]) -> tuple[Step, ...]:
    return (
        _step(
            CASE, "Close the case", _time(15, 25, wait=120, wait_for="glue"),
            (line("Brush glue into the dados of ", letter("A L"), "."),
             line("Stand ", letter("B"), " and ", letter("C"), " in, front edges flush."),
             line("Lower ", letter("A R"), " on, clamp, and measure both diagonals.")),
            joins=("shelf dados",), handles=("side", "bottom", "top"), hands=2, holds=(("clamp", 4),),
            tools=(_tool("clamp", "4 clamps", 4), _tool("tape measure")), teachers_eye="the diagonals",
            good_enough=line("The diagonals differ by less than the thickness of a pencil line."),
            went_wrong=line("Out of square: shift the clamps toward the longer diagonal."),
        ),
        _step(
            KICK, "Glue in the kick board", _time(5, 10, wait=60, wait_for="glue"),
            (line("Glue ", letter("E"), " under ", letter("B"), ", ", size(show["set back"]),
                  " behind the front edge."),
             line("Rub three glue blocks in behind it.")),
            joins=("kick joint",), handles=("kick board",), tools=(_tool("clamp", "2 clamps", 2),),
        ),
        _step(
            BACK, "Saw and nail on the back", _time(10, 30),
            (line("Measure the opening between the rabbets."),
             line("Saw ", letter("F"), " to the opening less ", size(show["panel play"]), " at each side."),
             line("Nail it on from the middle outward.")),
            makes=("panel",), joins=("back rabbet",), handles=("panel",), tools=(_tool("table saw"), _tool("hammer")),
            hands=2,
        ),
        _step(
            COATS, "Varnish the rest", _time(10, 30, "coat", 2, 120, "varnish"),
            (line("Sand lightly between coats."), line("Brush two coats on all outside faces.")),
            finishes=("side", "bottom", "top", "loose shelf", "kick board"), tools=(_tool("brush"),),
            handles=("side", "bottom", "top", "loose shelf", "kick board"),
        ),
        _step(
            SHELVES, "Set the shelves and strap the case", _time(5, 10),
            (line("Put the pins in and lay both shelves ", letter("D"), " on them."),
             line("Screw both straps to the wall.")),
            sets=("loose shelf",), handles=("loose shelf",), tools=(_tool("drill"), _tool("level")),
            hazards=(_hazard(SHELVES, Signal.WARNING, "serious injury", "could", "Tipping over",
                             "Strap the case to the wall before anything stands in it."),),
        ),
    )  # fmt: skip


def _shown(n: Numbers, d: Derived, edition_name: str) -> dict[str, str]:
    """Sizes as the sentences show them: plain strings made here, so that nothing else is needed."""
    values = {
        "high": n.high, "maple": n.maple, "over": n.over, "bottom under": d.bottom_under,
        "top under": d.top_under, "dado": n.dado, "rabbet wide": n.rabbet_wide, "rabbet deep": n.rabbet_deep,
        "pin deep": n.pin_deep, "set back": n.set_back, "panel play": n.panel_play,
    }  # fmt: skip
    return {name: _text(value, edition_name) for name, value in values.items()}


def _text(mm: F, edition_name: str) -> str:
    if edition_name == "metric":
        return f"{float(mm):g}"
    value = mm / F(254, 10)
    whole, rest = divmod(value, 1)
    above = str(rest.numerator).translate(str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹"))
    below = str(rest.denominator).translate(str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉"))
    fraction = f"{above}⁄{below}" if rest else ""
    return f'{whole or ""}{fraction}"' if value else '0"'


def _stock(n: Numbers) -> tuple[Stock, ...]:
    def panel(name: str, thickness: F, density: int, measure: bool) -> Stock:
        return Stock(name=name, kind=StockKind.PANEL, material="birch plywood", nominal=n.words[name],
                     thickness=thickness, thickness_from="measured" if measure else "birch plywood data sheet",
                     measure=measure, rough_thickness=None, sheet=n.ply_sheet, density=F(density),
                     pick=("flat sheet",) if measure else (), span=SPAN)  # fmt: skip

    maple = Stock(name="maple", kind=StockKind.LUMBER, material="hard maple", nominal=n.words["maple"],
                  thickness=n.maple, thickness_from="planed to size", measure=False,
                  rough_thickness=inches("1") if n.words["maple"] == "4/4" else F(26), sheet=None,
                  density=F(706), pick=("straight grain",), span=SPAN)  # fmt: skip
    return (panel("ply", n.ply, 680, True), panel("thin", n.thin, 680, False), maple)


def _dims(n: Numbers) -> tuple[Dim, ...]:
    def dim(name: str, value: F, kind: str, may: tuple[F, F] | None = None) -> Dim:
        return Dim(name=name, value=value, angle=False, kind=kind, may=may, span=SPAN)

    return (
        dim("high", n.high, "overall", (n.high * F(2, 3), n.high * F(5, 4))),
        dim("wide", n.wide, "overall", (n.wide * F(3, 5), n.wide * F(16, 15))),
        dim("deep", n.deep, "overall"),
        dim("kick", n.kick, "part"),
    )


def _measured(n: Numbers) -> tuple[Measured, ...]:
    step = n.ply / 23 if n.words["ply"] == "3/4 in" else F(1, 2)
    columns = tuple(n.ply + k * step for k in (-2, -1, 0, 1))
    rows = (
        ("dado, wide", columns),
        ("bottom, length", tuple(n.wide - 2 * t + 2 * n.dado - 2 * n.room for t in columns)),
        ("loose shelf, length", tuple(n.wide - 2 * t - 2 * n.play for t in columns)),
    )
    return (Measured(stock="ply", title="Thickness of the plywood", columns=columns, worked=n.ply, rows=rows),)


def _totals(parts: tuple[Part, ...], stocks: tuple[Stock, ...]) -> tuple[StockTotal, ...]:
    totals = []
    for stock in stocks:
        own = [part for part in parts if part.stock == stock.name]
        feet = None
        if stock.rough_thickness is not None:
            cubic = sum((stock.rough_thickness * p.width.rough * p.length.rough * p.count for p in own), F(0))
            feet = cubic / 144 / F(254, 10) ** 3
        totals.append(StockTotal(
            stock=stock.name, pieces=sum(p.count for p in own), board_feet=feet,
            area=sum((p.width.rough * p.length.rough * p.count for p in own), F(0)),
            length=sum((p.length.rough * p.count for p in own), F(0)),
        ))  # fmt: skip
    return tuple(totals)


def _materials(n: Numbers) -> tuple[Material, ...]:
    rows = (
        ("wood", "ply", n.words["plywood"], f"birch plywood, {n.words['ply']}", "measure it on the day"),
        ("wood", "thin", n.words["thin ply"], f"birch plywood, {n.words['thin']}", ""),
        ("wood", "maple", n.words["solid"], f"hard maple, {n.words['maple']}", "for the edgings"),
        ("hardware", "shelf pin", "8", "shelf pin", "four for each loose shelf"),
        ("hardware", "wall strap", "2", "wall strap", ""),
        ("glue", "glue", "1 small bottle", "wood glue", ""),
        ("finish", "varnish", "3 coats", "water-borne varnish", ""),
    )
    return tuple(Material(group=g, key=k, quantity=q, text=t, note=o) for g, k, q, t, o in rows)


def bookcase(edition_name: str = "imperial") -> Plan:
    """Return the bookcase in `imperial` or `metric` numbers."""
    n = imperial() if edition_name == "imperial" else metric()
    d = derive(n)
    show = _shown(n, d, edition_name)
    stock, parts = _stock(n), _parts(n, d)
    return Plan(
        slug="bookcase", title="Bookcase with two loose shelves",
        summary="A small case of plywood with maple edgings. Invented for tests.", level="beginner",
        revision="2", revised=datetime.date(2025, 3, 1), changed=line("Kick board set further back."),
        learn=line("Cut dados that fit; square a case."), ask_first=line("May you use the router alone?"),
        edition=EDITIONS[edition_name], dims=_dims(n), overall=(n.wide, n.deep, n.high), mass=None,
        stock=stock, parts=parts, placements=_placements(n, d), joints=_joints(n),
        bought=(
            Bought(key="shelf pin", text="shelf pin", count=8, note="four for each loose shelf", span=SPAN),
            Bought(key="wall strap", text="wall strap", count=2, note="", span=SPAN),
        ),
        materials=_materials(n),
        finish=(Finish(product="water-borne varnish", coats=3, before_assembly=("inside faces",),
                       mask=("shelf dados",), note=""),),
        steps=(*_first_steps(n, show), *_cutting_steps(n, d, show), *_closing_steps(show)),
        introduction=(line("A case for one person to carry, with two shelves that move."),),
        measured=_measured(n), totals=_totals(parts, stock),
        loads=(("loose shelf", "books"), ("bottom", "books")), accepted=(),
    )  # fmt: skip
