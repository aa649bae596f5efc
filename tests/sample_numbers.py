"""The driving sizes of the invented bookcase in `sample_plan.py`, and what follows from them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

F = Fraction


@dataclass(frozen=True)
class Numbers:
    """Driving sizes of one edition, in millimetres."""

    high: F
    wide: F
    deep: F
    kick: F
    ply: F
    thin: F
    maple: F
    lip: F
    tall: F
    rail: F
    dado: F
    room: F
    rabbet_deep: F
    rabbet_wide: F
    play: F
    panel_play: F
    top_below: F
    set_back: F
    shelf_less: F
    pin_front: F
    pin_back: F
    pin_end: F
    pin_every: F
    pin_drill: F
    pin_deep: F
    over: F
    """What an edging is sawn over its finished width."""
    test: F
    ply_sheet: tuple[F, F]
    words: dict[str, str]


def inches(text: str) -> F:
    """Millimetres of whole and fractional inches: `28 9/16`."""
    return sum((F(word) for word in text.split()), F(0)) * F(254, 10)


def imperial() -> Numbers:
    i = inches
    return Numbers(
        high=i("47"),
        wide=i("30"),
        deep=i("11 1/4"),
        kick=i("3"),
        ply=i("23/32"),
        thin=i("7/32"),
        maple=i("3/4"),
        lip=i("1/4"),
        tall=i("1 1/4"),
        rail=i("3/4"),
        dado=i("1/4"),
        room=i("1/64"),
        rabbet_deep=i("3/8"),
        rabbet_wide=i("1/4"),
        play=i("1/16"),
        panel_play=i("1/16"),
        top_below=i("1"),
        set_back=i("1/2"),
        shelf_less=i("1/8"),
        pin_front=i("2"),
        pin_back=i("1 1/2"),
        pin_end=i("8"),
        pin_every=i("1 1/4"),
        pin_drill=i("1/4"),
        pin_deep=i("3/8"),
        over=i("1/8"),
        test=i("6"),
        ply_sheet=(i("48"), i("96")),
        words={
            "ply": "3/4 in",
            "thin": "1/4 in",
            "maple": "4/4",
            "nail": "1 in panel nail",
            "clamps": '4 clamps, 36" open',
            "bit": '1/4" brad-point bit',
            "plywood": "31.6 sq ft",
            "thin ply": "8.7 sq ft",
            "solid": "1.9 board feet",
        },
    )


def metric() -> Numbers:
    return Numbers(
        high=F(1190),
        wide=F(760),
        deep=F(290),
        kick=F(75),
        ply=F(18),
        thin=F(6),
        maple=F(20),
        lip=F(6),
        tall=F(30),
        rail=F(20),
        dado=F(6),
        room=F(1, 2),
        rabbet_deep=F(10),
        rabbet_wide=F(6),
        play=F(2),
        panel_play=F(2),
        top_below=F(25),
        set_back=F(15),
        shelf_less=F(3),
        pin_front=F(50),
        pin_back=F(40),
        pin_end=F(200),
        pin_every=F(32),
        pin_drill=F(5),
        pin_deep=F(10),
        over=F(3),
        test=F(150),
        ply_sheet=(F(1220), F(2440)),
        words={
            "ply": "18 mm",
            "thin": "6.5 mm",
            "maple": "26 mm rough",
            "nail": "25 mm panel nail",
            "clamps": "4 clamps, 900 mm open",
            "bit": "5 mm brad-point bit",
            "plywood": "2.96 m²",
            "thin ply": "0.81 m²",
            "solid": "0.006 m³",
        },
    )


@dataclass(frozen=True)
class Derived:
    """What follows from the driving sizes."""

    clear: F
    bottom: F
    front_to_rabbet: F
    shelf: F
    shelf_width: F
    panel: F
    panel_high: F
    bottom_under: F
    top_under: F
    first_hole: F
    holes: int


def derive(n: Numbers) -> Derived:
    clear = n.wide - 2 * n.ply
    top_under = n.high - n.top_below - n.ply
    first = n.kick + n.ply + n.pin_end
    return Derived(
        clear=clear,
        bottom=clear + 2 * n.dado - 2 * n.room,
        front_to_rabbet=n.deep - n.rabbet_wide,
        shelf=clear - 2 * n.play,
        shelf_width=n.deep - n.rabbet_wide - n.shelf_less,
        panel=clear + 2 * n.rabbet_deep - 2 * n.panel_play,
        panel_high=n.high - n.top_below - n.kick,
        bottom_under=n.kick,
        top_under=top_under,
        first_hole=first,
        holes=int((top_under - n.pin_end - first) / n.pin_every) + 1,
    )
