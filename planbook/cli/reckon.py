"""`planbook reckon`: answers without a plan, as a teacher is asked in class."""

from __future__ import annotations

import click

from planbook.cli.reckon_answer import answer, as_option

_HELP = """Reckon one thing without a plan: movement, pilot holes, resin, sag, board feet.

Sizes are written as on a tape, in either system; the answer comes in both, with the source of every
rule and figure. Nothing here says that something is safe: it says what was reckoned, and from what.

\b
planbook reckon movement --species "white oak" --width "14 in" --from 6% --to 12%
planbook reckon pilot --species "hard maple" --by "No. 8 x 2 in wood screw"
planbook reckon sag --of "birch plywood" --span "30 in" --deep "11 in" --thick "3/4 in" --load books
planbook reckon resin --product deep-pour --long "9 in" --wide "1 1/4 in" --deep "1 7/8 in" --ratio "2 to 1"
    --limit "2 in"
planbook reckon boardfeet --thick 5/4 --width "6 1/2 in" --length "8 ft" --count 4
"""


@click.group(help=_HELP, short_help="Answer a question of the shop without a plan.")
def reckon() -> None:
    """Reckon one thing without a plan: movement, pilot holes, resin, sag, board feet."""


@reckon.command(short_help="How far a board moves across its grain.")
@click.option("--species", required=True, help="Wood, by any of its trade names.")
@click.option("--width", required=True, help="Width across the grain: `14 in`, `356 mm`.")
@click.option("--from", "start", required=True, help="Moisture now: `6%`, or air as `70 F at 30%`.")
@click.option("--to", "end", required=True, help="Moisture later: `12%`, or air as `75 F at 65%`.")
@click.option(
    "--cut",
    type=click.Choice(["flat", "quarter", "between"]),
    default="flat",
    show_default=True,
    help="How it was sawn; flat moves most.",
)
@as_option
def movement(species: str, width: str, start: str, end: str, cut: str, form: str) -> int:
    """Tell how far a width swells or shrinks when the wood's moisture changes.

    Moisture is that of a meter, or follows from the air it lies in for weeks: `--from "68 F at 25%"` is a
    heated room in winter. For a board held in its middle give half the width: that far each edge travels.
    """
    from planbook.cli.reckon_wood import movement as reckoned

    return answer(lambda: reckoned(species, width, start, end, cut), form)


@reckon.command(short_help="Pilot, clearance and countersink for a screw.")
@click.option("--species", required=True, help="Wood that holds the thread.")
@click.option("--by", required=True, help="Fastener: `No. 8 x 2 in wood screw`, `4 x 40 mm wood screw`.")
@click.option("--sideways", is_flag=True, help="Loaded across the screw, not pulled out along it.")
@click.option("--load", help="What hangs from them, to tell how many are needed: `40 lb`, `20 kg`.")
@click.option("--lever", help="For a bracket or cleat: from the wall to the load.")
@click.option("--arm", help="With `--lever`: from the upper fasteners down to where it presses on the wall.")
@as_option
def pilot(
    species: str, by: str, sideways: bool, load: str | None, lever: str | None, arm: str | None, form: str
) -> int:
    """Tell which holes a fastener wants, with the nearest bit of each series and how far that is off.

    The pilot follows from the root of the thread and the density of the wood. With a length, the pull that
    one screw may be trusted with in side grain is told as well; in end grain none is. With a load it says how
    many of them hold it, straight out or, on a lever, at the upper edge of a bracket.
    """
    from planbook.cli.reckon_hold import pilot as reckoned

    return answer(lambda: reckoned(species, by, sideways, load=load, lever=lever, arm=arm), form)


@reckon.command(short_help="How far a shelf sags.")
@click.option("--of", required=True, help="Wood or panel of the shelf.")
@click.option("--span", required=True, help="Free length between its supports.")
@click.option("--deep", required=True, help="Its size front to back.")
@click.option("--thick", required=True, help="Its thickness.")
@click.option("--load", required=True, help="`books`, `25 lb/ft`, `40 kg`, `one person`.")
@click.option(
    "--ends",
    type=click.Choice(["resting", "fixed", "cantilever", "propped"]),
    default="resting",
    show_default=True,
    help="How it is held; pins, dados and cleats count as resting.",
)
@click.option("--edge", help="Strip glued under or along its front: `hard maple 3/4 in x 1 1/4 in`.")
@click.option("--across", is_flag=True, help="The face grain runs across the span, front to back.")
@as_option
def sag(
    of: str, span: str, deep: str, thick: str, load: str, ends: str, edge: str | None, across: bool, form: str
) -> int:
    """Tell how far a shelf sags at once and after years, against what shows and what a careful design allows.

    A named load counts with the most that is usual. A weight alone (`40 kg`) stands in the middle; on each
    foot or metre (`25 lb/ft`) it is spread.
    """
    from planbook.cli.reckon_wood import sag as reckoned

    return answer(lambda: reckoned(of, span, deep, thick, load=load, ends=ends, edge=edge, across=across), form)


@reckon.command(short_help="How much resin to mix, and in how many pours.")
@click.option("--product", required=True, help="Kind of resin: `deep-pour`, `table top epoxy`.")
@click.option("--long", "long", required=True, help="Length of the void.")
@click.option("--wide", required=True, help="Its width, on average.")
@click.option("--deep", required=True, help="Its depth.")
@click.option("--ratio", required=True, help="Part A to part B from the product's sheet: `2 to 1`.")
@click.option(
    "--by",
    type=click.Choice(["volume", "weight"]),
    default="volume",
    show_default=True,
    help="What the sheet means by its ratio.",
)
@click.option("--density-a", help="Density of part A from the sheet: `1.12 kg/l`.")
@click.option("--density-b", help="Density of part B.")
@click.option("--proud", default="0 in", show_default=True, help="How far it stands over the wood.")
@click.option("--spare", default="10 %", show_default=True, help="Mixed on top, for the cup and what soaks in.")
@click.option("--limit", help="Greatest depth of one pour from the sheet; there is no answer without.")
@click.option("--batch", help="Most that is mixed at once, within the pot life: `1 qt`, `1 l`.")
@as_option
def resin(
    product: str, long: str, wide: str, deep: str, ratio: str, by: str, density_a: str | None, density_b: str | None,
    proud: str, spare: str, limit: str | None, batch: str | None, form: str,
) -> int:  # fmt: skip
    """Tell how much of both parts to mix for a void, by volume and by weight, in how many pours and batches.

    The product's own sheet comes first. A ratio by volume is another by weight: both densities are needed to
    turn one into the other.
    """
    from planbook.cli.reckon_resin import resin as reckoned

    return answer(
        lambda: reckoned(
            product,
            (long, wide, deep),
            ratio,
            by,
            densities=(density_a, density_b),
            proud=proud,
            spare=spare,
            limit=limit,
            batch=batch,
        ),
        form,
    )


@reckon.command(short_help="Board feet of boards.")
@click.option("--thick", required=True, help="Rough thickness: `4/4`, `5/4`, `52 mm`.")
@click.option("--width", required=True, help="Width of a board.")
@click.option("--length", required=True, help="Its length.")
@click.option("--count", default=1, show_default=True, help="How many such boards.")
@as_option
def boardfeet(thick: str, width: str, length: str, count: int, form: str) -> int:
    """Tell the board feet of boards: by volume, and as a yard charges them by its measuring rule."""
    from planbook.cli.reckon_wood import boardfeet as reckoned

    return answer(lambda: reckoned(thick, width, length, count), form)
