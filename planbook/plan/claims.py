"""Who does what: the steps claim parts, cuts, joints, trims and finishes by name, each exactly once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from planbook.plan import edgings, forms, joints, stand
from planbook.plan.draft import Draft, Unresolved
from planbook.source.diagnostics import Span
from planbook.source.nearest import did_you_mean
from planbook.source.prose.slugs import UniqueSlugs
from planbook.source.schema.steps import StepFacts
from planbook.source.text import Text


@dataclass(frozen=True, slots=True)
class StepClaims:
    """What one step claims, in names of the plan."""

    number: int
    slug: str
    makes: tuple[str, ...]
    cuts: tuple[str, ...]
    joins: tuple[str, ...]
    sets: tuple[str, ...]
    trims: tuple[str, ...]
    finishes: tuple[str, ...]
    marks: tuple[str, ...]
    works: tuple[str, ...]


@dataclass(slots=True)
class Claims:
    """All claims of a plan: for each kind of work, which step does what."""

    steps: list[StepClaims] = field(default_factory=list)
    made_in: dict[str, int] = field(default_factory=dict)
    """Parts and strips of edging, sawn out."""
    cut_in: dict[str, int] = field(default_factory=dict)
    joined_in: dict[str, int] = field(default_factory=dict)
    """Joints and edgings."""
    set_in: dict[str, int] = field(default_factory=dict)
    trimmed_in: dict[str, int] = field(default_factory=dict)
    """Edgings, and parts left long."""
    finished_in: dict[str, int] = field(default_factory=dict)
    by_title: dict[str, tuple[int, str]] = field(default_factory=dict)
    """Number and slug of each step, by its title."""
    _places: dict[tuple[str, str], Span] = field(default_factory=dict)

    def title_of(self, number: int) -> str:
        """Return the title of a step."""
        return next(title for title, (found, _) in self.by_title.items() if found == number)

    def edging_claims(self) -> dict[str, tuple[int | None, int | None]]:
        """Return for each edging the step that glues it on and the step that trims it."""
        names = [*self.joined_in, *self.trimmed_in]
        return {name: (self.joined_in.get(name), self.trimmed_in.get(name)) for name in names}


THE_REST = "the rest"
ALL_FACES = "all faces"


def strips(draft: Draft) -> dict[str, tuple[str, ...]]:
    """Return the names of the strips of each edging, in the order of the parts that wear them."""
    found: dict[str, list[str]] = {str(key): [] for key in draft.facts.edgings}
    for part in draft.parts:
        try:
            for worn in edgings.worn_by(draft, part):
                found[worn.name].append(worn.key)
        except Unresolved:
            continue
    return {name: tuple(keys) for name, keys in found.items()}


def finish_words(draft: Draft) -> tuple[str, ...]:
    """Return what steps can finish: the faces before assembly and the rest, or all faces."""
    finish = draft.facts.finish
    if finish is None:
        return ()
    if finish.before_assembly:
        return (*(str(text) for text in finish.before_assembly), THE_REST)
    return (ALL_FACES,)


_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")


def coat_words(draft: Draft) -> tuple[str, ...]:
    """Return the coats as steps may claim them one by one, where all faces are finished together: `first coat`."""
    finish = draft.facts.finish
    if finish is None or finish.before_assembly or finish.coats is None or not str(finish.coats).isdecimal():
        return ()
    return tuple(f"{ordinal} coat" for ordinal in _ORDINALS[: int(finish.coats)])


def read_claims(draft: Draft, steps: Iterable[tuple[Text, StepFacts]]) -> Claims:
    """Return the claims of all steps; unknown names, double and missing claims are recorded."""
    claims = Claims()
    slugs = UniqueSlugs()
    worn = strips(draft)
    for number, (title, facts) in enumerate(steps, 1):
        slug = slugs.make(title)
        claims.by_title[str(title)] = (number, slug)
        claims.steps.append(_Reader(draft, claims, worn, number).read(slug, facts))
    _report_unclaimed(draft, claims, worn)
    return claims


@dataclass(slots=True)
class _Reader:
    """Reads the claims of one step."""

    draft: Draft
    claims: Claims
    worn: dict[str, tuple[str, ...]]
    number: int

    def read(self, slug: str, facts: StepFacts) -> StepClaims:
        makes: list[str] = []
        cuts: list[str] = []
        for text in facts.cuts:
            self.cut(text, makes, cuts)
        return StepClaims(
            number=self.number,
            slug=slug,
            makes=tuple(makes),
            cuts=tuple(cuts),
            joins=tuple(self.join(text) for text in facts.joins if self.known_join(text)),
            sets=tuple(self.part(text, "sets", self.claims.set_in) for text in facts.sets if self.known(text)),
            trims=tuple(self.trim(text) for text in facts.trims if self.known_trim(text)),
            finishes=tuple(self.finish(text) for text in facts.finishes if self.known_finish(text)),
            marks=tuple(stand.part_named(self.draft, text)[0] for text in facts.marks if self.known(text)),
            works=tuple(stand.part_named(self.draft, text)[0] for text in facts.works if self.known(text)),
        )

    def once(self, work: str, name: str, text: Text, into: dict[str, int]) -> None:
        """Note a claim; a second one is reported with both places."""
        if name in into:
            first = self.claims._places[work, name]
            self.draft.findings.stop(
                "claimed-twice",
                f"`{name}` is claimed by step {into[name]} and again by step {self.number}",
                text.span,
                further=((first, f"claimed here by step {into[name]}"),),
                help="leave it in the step that does the work",
            )
            return
        into[name] = self.number
        self.claims._places[work, name] = text.span

    def cut(self, text: Text, makes: list[str], cuts: list[str]) -> None:
        name = " ".join(text.split())
        facts = self.draft.facts
        shapings = forms.shapings(self.draft)
        if name in facts.joints or name in facts.holes or name in facts.cuts or name in shapings:
            cuts.append(name)
            self.once("cuts", name, text, self.claims.cut_in)
            return
        if name in self.worn:
            for key in self.worn[name]:
                makes.append(key)
                self.once("makes", key, text, self.claims.made_in)
            return
        if name in self.draft.parts or any(name in keys for keys in self.worn.values()):
            makes.append(name)
            self.once("makes", name, text, self.claims.made_in)
            return
        known = [*self.draft.parts, *facts.joints, *facts.holes, *facts.cuts, *self.worn, *shapings]
        self.unknown(text, "cut", known)

    def unknown(self, text: Text, work: str, known: Iterable[str]) -> None:
        self.draft.findings.stop(
            "unknown-claim",
            f"there is nothing called `{text}` to {work}",
            text.span,
            help=did_you_mean(text, [str(name) for name in known]) or "claim names from `plan.yaml`",
        )

    def known_join(self, text: Text) -> bool:
        known = [*self.draft.facts.joints, *self.draft.facts.edgings, *self.draft.facts.resin]
        if text in known:
            return True
        if text in self.draft.parts:
            self.draft.findings.stop(
                "unknown-claim",
                f"`{text}` is a part, `joins` wants joints and edgings",
                text.span,
                help=f"write `sets: [{text}]` for a part that is put in place without a joint",
            )
        else:
            self.unknown(text, "join", known)
        return False

    def join(self, text: Text) -> str:
        self.once("joins", str(text), text, self.claims.joined_in)
        return str(text)

    def known(self, text: Text) -> bool:
        try:
            stand.part_named(self.draft, text)
        except Unresolved:
            return False
        return True

    def part(self, text: Text, work: str, into: dict[str, int]) -> str:
        name = stand.part_named(self.draft, text)[0]
        self.once(work, name, text, into)
        return name

    def known_trim(self, text: Text) -> bool:
        known = [*self.draft.facts.edgings, *(name for name, _ in forms.left_long(self.draft))]
        if text not in known:
            self.unknown(text, "trim", known)
            return False
        return True

    def trim(self, text: Text) -> str:
        self.once("trims", str(text), text, self.claims.trimmed_in)
        return str(text)

    def known_finish(self, text: Text) -> bool:
        known = (*finish_words(self.draft), *coat_words(self.draft))
        if text not in known:
            self.unknown(text, "finish", list(known))
            return False
        return True

    def finish(self, text: Text) -> str:
        self.once("finishes", str(text), text, self.claims.finished_in)
        return str(text)


def _report_unclaimed(draft: Draft, claims: Claims, worn: dict[str, tuple[str, ...]]) -> None:
    """Record every piece of work that no step does."""
    facts = draft.facts
    for key in facts.parts:
        if str(key) not in claims.made_in and not forms.is_bought(draft, key):
            _unclaimed(draft, key, "saws out", "cuts")
    for key in facts.holes:
        if str(key) not in claims.cut_in:
            _unclaimed(draft, key, "bores", "cuts")
    _report_shapings(draft, claims)
    _report_edgings(draft, claims, worn)
    _report_joints(draft, claims)
    _report_spares(draft, claims)
    if facts.finish is not None and facts.finish.after is not None and facts.finish.after not in claims.by_title:
        after, help = facts.finish.after, did_you_mean(facts.finish.after, list(claims.by_title))
        draft.findings.stop("unknown-step", f"no step is called `{after}`", after.span, help=help)
    coats = coat_words(draft)
    for word in coats if any(coat in claims.finished_in for coat in coats) else finish_words(draft):
        if word not in claims.finished_in and facts.finish is not None:
            message, place = f"no step finishes `{word}`", facts.finish.product.span
            draft.findings.stop("unclaimed-work", message, place, help=f"add `finishes: [{word}]` to a step")


def _report_shapings(draft: Draft, claims: Claims) -> None:
    """Record shapes, eased edges, cuts of one part alone and pours that no step makes."""
    for name, (_, text) in forms.shapings(draft).items():
        if name not in claims.cut_in:
            _unclaimed(draft, Text(name, text.span), "makes", "cuts")
    for key in draft.facts.cuts:
        if str(key) not in claims.cut_in:
            _unclaimed(draft, key, "makes", "cuts")
    for key in draft.facts.resin:
        if str(key) not in claims.joined_in:
            _unclaimed(draft, key, "pours", "joins")


def _report_spares(draft: Draft, claims: Claims) -> None:
    """Record parts left long that no step trims, or another step than the one they name."""
    for name, until in forms.left_long(draft):
        if name not in claims.trimmed_in:
            draft.findings.stop(
                "unclaimed-work", f"no step trims `{name}`", until.span, help=f"add `trims: [{name}]` to a step"
            )
        elif until not in claims.by_title:
            help = did_you_mean(until, list(claims.by_title))
            draft.findings.stop("unknown-step", f"no step is called `{until}`", until.span, help=help)
        elif claims.by_title[until][0] != claims.trimmed_in[name]:
            number, title = claims.trimmed_in[name], claims.title_of(claims.trimmed_in[name])
            draft.findings.stop(
                "other-step",
                f"`{name}` is left long until `{until}`, but step {number} trims it",
                until.span,
                help=f"write `until: {title}`, or claim the trimming in the other step",
            )


def _unclaimed(draft: Draft, name: Text, what: str, word: str) -> None:
    draft.findings.stop(
        "unclaimed-work", f"no step {what} `{name}`", name.span, help=f"add `{name}` to the `{word}` of a step"
    )


def _report_edgings(draft: Draft, claims: Claims, worn: dict[str, tuple[str, ...]]) -> None:
    for key in draft.facts.edgings:
        name = str(key)
        if not worn[name]:
            draft.findings.warn("unused-name", f"no part wears the edging `{key}`", key.span)
            continue
        if any(strip not in claims.made_in for strip in worn[name]):
            _unclaimed(draft, key, "rips", "cuts")
        if name not in claims.joined_in:
            _unclaimed(draft, key, "glues on", "joins")
        if name not in claims.trimmed_in:
            _unclaimed(draft, key, "trims", "trims")


def _report_joints(draft: Draft, claims: Claims) -> None:
    for key, source in draft.facts.joints.items():
        try:
            butt = joints.kind_of(draft, key) in joints.UNCUT
        except Unresolved:
            continue
        if not butt and str(key) not in claims.cut_in:
            _unclaimed(draft, key, "cuts", "cuts")
        if str(key) not in claims.joined_in and (source.by or butt):
            _unclaimed(draft, key, "closes", "joins")
