"""How wide and how deep the holes for one fastener are, from the tables and from the wood it goes through."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from planbook.plan import stand, values
from planbook.plan.draft import Draft
from planbook.plan.driven import BISCUIT, BOLT, DOUBLE, DOWEL, HANGER, ROOM_BELOW, SCREWS, TENON, Driven
from planbook.plan.jigs import near
from planbook.plan.meeting import Hull, Meeting, dot, lines, minus, plus, scaled, unit
from planbook.plan.model import Stock, StockKind
from planbook.plan.shapes import Vector
from planbook.source.schema.joints import DrivenSource, InsertSource
from planbook.source.text import Text
from planbook.trade.lookup import TradeError
from planbook.units.editions import snap
from planbook.units.factors import INCH

INSERT_OVER = Fraction(3, 2)
"""Hole of an insert over the diameter of its bolt where the author gives none (common practice, no source:
the maker of the insert prints its hole, and that one counts)."""
PLAY = {"imperial": INCH / 4, "metric": Fraction(6)}
"""How much longer than wide a slot for movement is where the author gives no length (common practice, no source)."""
LEFT = {"imperial": INCH / 4, "metric": Fraction(6)}
"""Wood that a blind hole leaves where it can, in mm (common practice, no source)."""
WET = Fraction(112, 100)
"""Mass of wood with its 12 % of water over its dry mass: for panels, whose tables give no specific gravity."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilled:
    """One fastener and the sizes of its holes, in mm."""

    meeting: Meeting
    spot: Vector
    """Where its axis crosses the plane in which the parts meet."""
    start: Vector
    """Where its axis enters the first part."""
    far_start: Vector
    """Where its axis enters the second part."""
    way: Vector
    through: Fraction
    """Of the first part, along the axis."""
    ahead: Fraction
    """Of the second part, along the axis."""
    near_role: str
    far_role: str
    near_diameter: Fraction
    far_diameter: Fraction
    near_deep: Fraction | None
    far_deep: Fraction | None
    sunk: Fraction
    bite: Fraction
    back: Fraction
    bolted: bool
    slot: Fraction
    slot_way: Vector | None
    """In the assembly."""
    counterbore: tuple[Fraction, Fraction] | None = None
    countersink: tuple[Fraction, int] | None = None
    plugged: bool = False

    @property
    def same(self) -> tuple[object, ...]:
        """What equal fasteners of a joint have in common."""
        return (
            self.through, self.near_diameter, self.far_diameter, self.near_deep, self.far_deep,
            self.sunk, self.bite, self.slot, self.counterbore,
        )  # fmt: skip


def sizes_of(
    draft: Draft,
    key: Text,
    source: DrivenSource,
    what: Driven,
    met: Meeting,
    spot: Vector,
    way: Vector,
    room: float,
) -> Drilled:
    """Return the holes of one fastener; raises `Unresolved` where it does not reach, or takes all the wood."""
    # Parts that enter one another meet at the bed of the joint, wherever the spot was on the way to it.
    spot = plus(spot, scaled(met.normal, _passed(key, met, spot, met.normal)[1]))
    start_at, bed_at = _passed(key, met, spot, way)
    ahead_at = _ahead(key, met, spot, way, bed_at)
    through, ahead = near(bed_at - start_at), near(ahead_at[1] - ahead_at[0])
    drilled = Drilled(
        meeting=met,
        spot=spot,
        start=plus(spot, scaled(way, start_at)),
        far_start=plus(spot, scaled(way, ahead_at[0])),
        way=way,
        through=through,
        ahead=ahead,
        near_role="clearance",
        far_role="pilot",
        near_diameter=Fraction(0),
        far_diameter=Fraction(0),
        near_deep=None,
        far_deep=None,
        sunk=Fraction(0),
        bite=Fraction(0),
        back=Fraction(0),
        bolted=what.kind == BOLT,
        slot=Fraction(0),
        slot_way=None,
    )
    work = Sizes(draft, key, source, what)
    found = work.hidden(drilled) if what.hidden else work.driven(drilled)
    work.check(found, room)
    return found


def _passed(key: Text, met: Meeting, spot: Vector, way: Vector) -> tuple[float, float]:
    """Return where along the axis the first part begins and ends, from the spot, less what the joint cuts off it."""
    inside = met.one.along(plus(spot, scaled(met.normal, -1e-3)), way) or met.one.along(spot, way)
    if inside is None:
        return (0.0, 0.0)
    own = met.one.own_way(way)
    return inside[0], inside[1] - _cut_away(str(key), met.one, own)


def _ahead(key: Text, met: Meeting, spot: Vector, way: Vector, bed: float) -> tuple[float, float]:
    """Return where along the axis the second part begins and ends, from the spot."""
    inside = met.other.along(plus(spot, scaled(met.normal, 1e-3)), way) or met.other.along(spot, way)
    if inside is None:
        return bed, bed
    own = met.other.own_way(way)
    return inside[0] + _cut_away(str(key), met.other, own), inside[1]


def _cut_away(name: str, hull: Hull, own: Vector) -> float:
    """Return how much a joint takes off a part along an axis: the depth of its dado, rabbet or lap."""
    axis = max(range(3), key=lambda k: abs(own[k]))
    spans = [(cut.box.l, cut.box.w, cut.box.t)[axis] for cut in hull.part.cuts if cut.name == name]
    whole = (hull.part.length.final, hull.part.width.final, hull.part.thick)[axis]
    deep = max((float(high - low) for low, high in spans if high - low < whole), default=0.0)
    return deep / abs(own[axis])


@dataclass(slots=True)
class Sizes:
    """Works out the sizes of the holes of one fastener."""

    draft: Draft
    key: Text
    source: DrivenSource
    what: Driven

    def driven(self, drilled: Drilled) -> Drilled:
        """Return the holes of a screw or bolt: clearance in the first part, pilot or clearance in the second."""
        what, edition = self.what, self.draft.edition
        clear = self._clearance()
        slot, slot_way = self._slot(drilled, clear)
        drilled = replace(drilled, slot=slot, slot_way=slot_way)
        sink, counter, plugged = self._head(drilled)
        sunk = counter[1] if counter is not None else Fraction(0)
        reach = what.long + sunk - drilled.through
        if what.kind == HANGER:
            reach = what.long / 2
        drilled = replace(
            drilled,
            near_diameter=clear,
            sunk=sunk,
            counterbore=counter,
            countersink=sink,
            plugged=plugged,
        )
        if self.source.insert is not None:
            return self._in_insert(self.source.insert, replace(drilled, bolted=False), reach)
        short = reach - drilled.ahead if drilled.bolted else reach
        if short <= 0:
            raise self._too_short(drilled, sunk)
        if drilled.bolted:
            return replace(drilled, far_role="clearance", far_diameter=clear)
        pilot = self.pilot_in(drilled.meeting.other)
        bite = min(reach, drilled.ahead)
        deep = snap(bite, edition) or edition.resolution
        return replace(
            drilled,
            far_diameter=pilot,
            bite=reach,
            far_deep=None if deep >= drilled.ahead else deep,
        )

    def _in_insert(self, source: InsertSource, drilled: Drilled, reach: Fraction) -> Drilled:
        """Return the hole for a threaded insert in the second part: as its maker asks, else half as wide again."""
        edition = self.draft.edition
        if reach <= 0:
            raise self._too_short(drilled, drilled.sunk)
        wide = snap(self.what.shank * INSERT_OVER, edition)
        if source.drill is not None:
            wide = snap(values.size(self.draft, source.drill, "joinery", word="drill"), edition)
        long = values.size(self.draft, source.long, "joinery", word="long")
        deep = snap(max(long, min(reach, drilled.ahead)) + ROOM_BELOW[edition.name], edition)
        if deep >= drilled.ahead:
            raise self.draft.fail(
                "bored-through",
                f"the insert of `{self.key}` wants {values.shown(self.draft, deep)} in "
                f"`{drilled.meeting.other.part.key}`, which has {values.shown(self.draft, drilled.ahead)} there",
                values.chosen(self.draft, source.long)[0].span,
                help="choose a shorter insert or bolt",
            )
        return replace(drilled, far_role="insert", far_diameter=wide, far_deep=deep, bite=reach)

    def _too_short(self, drilled: Drilled, sunk: Fraction) -> Exception:
        one, other = drilled.meeting.one.part.key, drilled.meeting.other.part.key
        wood = drilled.through - sunk + (drilled.ahead if drilled.bolted else 0)
        named = f"`{one}` and `{other}`" if drilled.bolted else f"`{one}`"
        return self.draft.fail(
            "too-short",
            f"the {self.what.name} of `{self.key}` goes through {values.shown(self.draft, wood)} of {named}, "
            "so nothing of it is left to hold",
            self.what.text.span,
            help="take a longer one, sink its head with `counterbore:`, or let it pass the other part with `through:`",
        )

    def _clearance(self) -> Fraction:
        from planbook.trade.pilot import clearance

        if self.source.clearance is not None:
            return snap(
                values.size(self.draft, self.source.clearance, "joinery", word="clearance"), self.draft.edition.finest
            )
        assert self.what.fastener is not None
        return self._bit(lambda: clearance(self.what.fastener, self.draft.edition.name))

    def pilot_in(self, hull: Hull) -> Fraction:
        """Return the diameter of the pilot hole in a part: as stated, else by its wood; 0 where that is unknown."""
        from planbook.trade.pilot import pilot

        if self.source.pilot is not None:
            return snap(values.size(self.draft, self.source.pilot, "joinery", word="pilot"), self.draft.edition.finest)
        gravity, fastener = self._gravity(hull.part.stock), self.what.fastener
        if gravity is None or fastener is None:
            return Fraction(0)
        return self._bit(lambda: pilot(fastener, gravity, self.draft.edition.name))

    def _bit(self, work: Any) -> Fraction:
        try:
            found: Fraction = work().choice.bit.diameter_mm
        except TradeError as fault:
            raise self.draft.fail(fault.slug, fault.message, self.what.text.span, help=fault.help) from None
        return found

    def _gravity(self, name: str) -> Fraction | None:
        """Return the specific gravity, ovendry, of a stock, or None for what is bought or unknown."""
        from planbook.plan.stock import named_stock
        from planbook.trade.density import gravity_ovendry
        from planbook.trade.species import find_wood

        key = next((key for key in self.draft.facts.stock if key == name), None)
        if key is None:
            return None
        stock: Stock = named_stock(self.draft, key)
        if stock.kind is StockKind.PANEL:
            return stock.density / 1000 / WET if stock.density is not None else None
        return gravity_ovendry(find_wood(stock.material, self.draft.rows.woods))

    def _head(self, drilled: Drilled) -> tuple[tuple[Fraction, int] | None, tuple[Fraction, Fraction] | None, bool]:
        """Return countersink, counterbore, and whether a plug closes it."""
        from planbook.trade.pilot import counterbore, countersink, plug

        source, what = self.source, self.what
        plugged = values.flag(self.draft, source.plug, "plug")
        if source.head is not None and source.head not in ("countersunk", "on the face"):
            raise self.draft.fail(
                "wrong-word",
                f"`head` wants `countersunk` or `on the face`, not `{source.head}`",
                source.head.span,
                help="give `counterbore:` with a depth to sink it in a wider hole",
            )
        if source.counterbore is None:
            if plugged:
                assert source.plug is not None
                raise self.draft.fail(
                    "missing-word", f"the plugs of `{self.key}` have no hole", source.plug.span,
                    help="add `counterbore: 3/8 in`",
                )  # fmt: skip
            # In a slot a head must slide: it lies on the face, with a washer.
            flat = source.head == "countersunk" or (source.head is None and not what.proud and not drilled.slot)
            if not flat or what.fastener is None:
                return None, None, False
            try:
                cone = countersink(what.fastener)
            except TradeError as fault:
                raise self.draft.fail(fault.slug, fault.message, what.text.span, help=fault.help) from None
            return (near(float(cone.diameter_mm)), cone.degrees), None, False
        deep = snap(values.size(self.draft, source.counterbore, "joinery", word="counterbore"), self.draft.edition)
        if deep >= drilled.through:
            raise self.draft.fail(
                "counterbore-takes-all",
                f"the counterbore of `{self.key}` is {values.shown(self.draft, deep)} deep, "
                f"`{drilled.meeting.one.part.key}` has {values.shown(self.draft, drilled.through)} there",
                values.chosen(self.draft, source.counterbore)[0].span,
                help="make it less deep",
            )
        edition = self.draft.edition.name
        fastener = what.fastener
        assert fastener is not None
        wide = self._bit(lambda: plug(fastener, edition) if plugged else counterbore(self._head_width(), edition))
        return None, (wide, deep), plugged

    def _head_width(self) -> Fraction:
        """Return what a counterbore must take: the washer of a bolt, else the head; 2 shanks where none is tabled."""
        from planbook.trade.fasteners import washer_mm

        assert self.what.fastener is not None
        return washer_mm(self.what.fastener) or self.what.head or 2 * self.what.shank

    def _slot(self, drilled: Drilled, clear: Fraction) -> tuple[Fraction, Vector | None]:
        """Return length and way of the slot in which a fastener may move, across the grain of what moves."""
        one, other = drilled.meeting.one, drilled.meeting.other
        named = {stand.part_named(self.draft, text)[0] for text in self.source.free}
        if not named & {one.part.key, other.part.key}:
            return Fraction(0), None
        long = clear + PLAY[self.draft.edition.name]
        if self.source.slot is not None:
            long = snap(values.size(self.draft, self.source.slot, "joinery", word="slot"), self.draft.edition)
        if long <= clear:
            assert self.source.slot is not None
            raise self.draft.fail(
                "no-size",
                f"a slot of {values.shown(self.draft, long)} for `{self.key}` is no longer than its hole, "
                f"{values.shown(self.draft, clear)}",
                values.chosen(self.draft, self.source.slot)[0].span,
            )
        # The wider of the two, across its grain, is what swells and shrinks.
        moving = max((other, one), key=lambda hull: (abs(dot(hull.turn[1], drilled.way)) < 0.5, hull.part.width.final))
        way = minus(moving.turn[1], scaled(drilled.way, dot(moving.turn[1], drilled.way)))
        return long, unit(way)

    def hidden(self, drilled: Drilled) -> Drilled:
        """Return the holes of what lies within both parts: half of it in each, as far as the wood lets it."""
        what, edition = self.what, self.draft.edition
        below = Fraction(0) if what.kind in (BISCUIT, DOUBLE) else ROOM_BELOW[edition.name]
        half = what.long / 2
        most = [max(thick - LEFT[edition.name] - below, Fraction(0)) for thick in (drilled.through, drilled.ahead)]
        back, ahead = half, half
        if most[0] < half <= most[1]:
            back = snap(most[0], edition)
            ahead = what.long - back
        elif most[1] < half <= most[0]:
            ahead = snap(most[1], edition)
            back = what.long - ahead
        deeps = [snap(share + below, edition) for share in (back, ahead)]
        if what.deep is not None:
            deeps = [snap(what.deep, edition) or edition.resolution] * 2
        for deep, thick, hull in zip(
            deeps, (drilled.through, drilled.ahead), (drilled.meeting.one, drilled.meeting.other), strict=True
        ):
            if deep >= thick:
                raise self.draft.fail(
                    "bored-through",
                    f"the {what.name} of `{self.key}` wants {values.shown(self.draft, deep)} in `{hull.part.key}`, "
                    f"which has {values.shown(self.draft, thick)} there",
                    what.text.span,
                    help="take a shorter one",
                )
        diameters = [what.shank, what.shank]
        if what.kind == DOUBLE:
            diameters = [self.pilot_in(drilled.meeting.one), self.pilot_in(drilled.meeting.other)]
        role = {DOWEL: "dowel", DOUBLE: "pilot", BISCUIT: "biscuit", TENON: "mortise"}[what.kind]
        along = lines(drilled.meeting)[0] if what.wide else None
        return replace(
            drilled,
            near_role=role,
            far_role=role,
            near_diameter=diameters[0],
            far_diameter=diameters[1],
            near_deep=deeps[0],
            far_deep=deeps[1],
            back=back,
            bite=ahead,
            slot=what.wide,
            slot_way=along,
        )

    def check(self, drilled: Drilled, room: float) -> None:
        """Refuse a hole as wide as the wood that the two parts share."""
        sizes = [drilled.far_diameter] if drilled.far_diameter else []
        if self.what.kind in SCREWS or drilled.bolted or self.what.hidden:
            sizes.append(drilled.near_diameter)
        widest = max(sizes, default=Fraction(0))
        if float(widest) >= room - 1e-6:
            raise self.draft.fail(
                "hole-too-wide",
                f"a hole of {values.shown(self.draft, widest)} for `{self.key}` is as wide as what "
                f"`{drilled.meeting.one.part.key}` and `{drilled.meeting.other.part.key}` share there, "
                f"{values.shown(self.draft, near(room))}",
                self.what.text.span,
                help="take a thinner one",
            )
