"""Words of a plan before anything is worked out: names that can be used, and `like` filled in."""

from __future__ import annotations

from planbook.plan.draft import Draft, Unresolved
from planbook.source.formula.names import check_name
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
    groups = (facts.dims, facts.stock, facts.edgings, facts.parts, facts.joints, facts.holes)
    for group in groups:
        for name in group:
            check_name(name, draft.findings)
            first = seen.setdefault(str(name), name)
            if first is not name:
                draft.findings.stop(
                    "name-twice",
                    f"two things are called `{name}`",
                    name.span,
                    further=((first.span, "the first one"),),
                    help="give one of them another name, so that formulas know which is meant",
                )


def merged_parts(draft: Draft) -> dict[str, PartSource]:
    """Return the words of each part, those of `like` filled in. Raises `Unresolved` on a fault."""
    names = {str(key): source for key, source in draft.facts.parts.items()}
    found: dict[str, PartSource] = {}
    failed = False
    for name in names:
        try:
            found[name] = _merged(draft, names, name, ())
        except Unresolved:
            failed = True
    if failed or not found:
        raise Unresolved("parts")
    return found


def _merged(draft: Draft, names: dict[str, PartSource], name: str, seen: tuple[str, ...]) -> PartSource:
    own = names[name]
    if own.like is None:
        return own
    model = str(own.like)
    if model not in names:
        help = did_you_mean(model, list(names))
        raise draft.fail("unknown-part", f"there is no part `{model}`", own.like.span, help=help)
    if model == name or model in seen:
        chain = " -> ".join([*seen, name, model])
        raise draft.fail("cycle", f"these parts are like one another: `{chain}`", own.like.span)
    base = _merged(draft, names, model, (*seen, name))
    given = {field: getattr(own, field) for field in own.model_fields_set}
    dropped = {word for group in _PLACES if any(word in given for word in group) for word in group}
    if "like" in given:
        dropped.add("like")
    kept = {
        field: getattr(base, field) for field in base.model_fields_set if field not in dropped and field not in given
    }
    return PartSource.model_construct(**kept, **{field: value for field, value in given.items() if field != "like"})
