"""Words of a plan before anything is worked out: names that can be used, and `like` filled in."""

from __future__ import annotations

from planbook.plan.draft import DEEPEST, Draft, Unresolved
from planbook.plan.forms import board_words
from planbook.source.formula.names import check_name, plain
from planbook.source.nearest import did_you_mean
from planbook.source.schema.parts import PartSource
from planbook.source.text import Text

# Words that say where a part stands along one direction: one of them in the new part takes the place
# of all of them in the part that it is like.
_PLACES = (
    ("on", "under", "underside", "upper_face"),
    ("front_face", "back_face", "set_back", "covers"),
    ("left_face", "right_face"),
)


def check_names(draft: Draft) -> None:
    """Record names that formulas could not read, and names given to two things."""
    facts = draft.facts
    seen: dict[str, Text] = {}
    marks = [name for stock in facts.stock.values() for name in stock.marks]
    groups = (facts.dims, facts.stock, facts.edgings, facts.parts, facts.joints, facts.holes, facts.cuts)
    for group in (*groups, facts.resin, marks):
        for name in group:
            if check_name(name, draft.findings):
                _check_spelling(draft, name)
            first = seen.setdefault(str(name), name)
            if first is not name:
                draft.findings.stop(
                    "name-twice",
                    f"two things are called `{name}`",
                    name.span,
                    further=((first.span, "the first one"),),
                    help="give one of them another name, so that formulas know which is meant",
                )


def _check_spelling(draft: Draft, name: Text) -> None:
    """Record a name that formulas would spell otherwise: a curved apostrophe, two blanks in a row."""
    spelt = " ".join(plain(name).split())
    if spelt != name:
        draft.findings.stop(
            "bad-name", f"formulas read `{name}` as `{spelt}`", name.span, help=f"write the name as `{spelt}`"
        )


def merged_parts(draft: Draft) -> dict[str, PartSource]:
    """Return the words of each part, those of `like` filled in. Raises `Unresolved` on a fault."""
    names: dict[str, PartSource] = {}
    for key, source in draft.facts.parts.items():
        if isinstance(source, PartSource):
            names[str(key)] = source
        else:
            draft.forms[str(key)] = source
            names[str(key)] = board_words(source)
    found: dict[str, PartSource] = {}
    if not names:
        raise draft.fail(
            "no-size",
            "the plan has no parts",
            draft.facts.plan.title.span,
            help="add a part under `parts`, as `shelf: {of: ply, length: 24 in, width: 10 in, on: floor}`",
        )
    failed: set[str] = set()
    for name in names:
        try:
            found[name] = _merged(draft, names, name, (), failed)
        except Unresolved:
            failed.add(name)
    if failed:
        raise Unresolved("parts")
    return found


def _merged(
    draft: Draft, names: dict[str, PartSource], name: str, seen: tuple[str, ...], failed: set[str]
) -> PartSource:
    """Return the words of a part; `seen` are the parts that are like it, `failed` those told already."""
    own = names[name]
    if own.like is None:
        return own
    model = str(own.like)
    if model not in names:
        help = did_you_mean(model, list(names))
        raise draft.fail("unknown-part", f"there is no part `{model}`", own.like.span, help=help)
    if model in draft.forms:
        return _like_form(draft, name, own, model)
    if model == name or model in seen:
        chain = " -> ".join([*seen, name, model])
        failed.update((*seen, name))
        raise draft.fail(
            "cycle",
            f"these parts are like one another: `{chain}`",
            own.like.span,
            help="give one of them words of its own",
        )
    if model in failed:
        raise Unresolved(model)
    if len(seen) == DEEPEST:
        failed.update(seen)
        raise draft.fail(
            "nested-too-deep",
            f"`{seen[0]}` is like a part that is like a part, more than {DEEPEST} times",
            own.like.span,
            help="name the part with the words in `like`",
        )
    base = _merged(draft, names, model, (*seen, name), failed)
    if model in draft.forms:
        return _like_form(draft, name, own, model)
    given = {field: getattr(own, field) for field in own.model_fields_set}
    dropped = {word for group in _PLACES if any(word in given for word in group) for word in group}
    if "like" in given:
        dropped.add("like")
    kept = {
        field: getattr(base, field) for field in base.model_fields_set if field not in dropped and field not in given
    }
    return PartSource.model_construct(**kept, **{field: value for field, value in given.items() if field != "like"})


def _like_form(draft: Draft, name: str, own: PartSource, model: str) -> PartSource:
    """Return the board words of a part that is like one of another shape, and give it that shape with its own words."""
    form = draft.forms[model]
    given = {field: getattr(own, field) for field in own.model_fields_set if field != "like"}
    unknown = [field for field in given if field not in type(form).model_fields]
    if unknown:
        assert own.like is not None
        word = unknown[0].replace("_", " ").strip()
        raise draft.fail(
            "like-no-board",
            f"`{name}` is like `{model}`, which is no plain board and takes no `{word}`",
            own.like.span,
            help="leave the word out, or give the part words of its own",
        )
    kept = {field: getattr(form, field) for field in form.model_fields_set}
    draft.forms[name] = type(form).model_construct(**{**kept, **given})
    return board_words(draft.forms[name])
