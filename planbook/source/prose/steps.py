"""Reading `steps.md`: the order of work in prose, with a small block of facts below each title."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planbook.source.diagnostics import Findings, Span
from planbook.source.files import SourceFile
from planbook.source.nearest import nearest
from planbook.source.prose.inlines import Block, Plain, plain_text
from planbook.source.prose.leads import Lead
from planbook.source.prose.locate import passage_of, read_inlines, readable, report_depth
from planbook.source.prose.markdown import markdown
from planbook.source.prose.paragraphs import Collected, HazardSource, ParagraphReader, PhotoSource
from planbook.source.text import Text
from planbook.source.yaml_nodes import Node, load

if TYPE_CHECKING:
    from markdown_it.token import Token

STEP_BLOCK = "```step\n{cuts: [...], with: [...], time: {each: 10 min}}\n```"


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSource:
    """One step as written."""

    title: Text
    number: int
    """Counted from 1 in the order of the file."""
    facts: Node | None
    """The YAML of the `step` block; None where it is missing or could not be read."""
    actions: tuple[Block, ...]
    """Ordinary paragraphs and list items: one tick box each."""
    hazards: tuple[HazardSource, ...]
    good_enough: tuple[Block, ...]
    went_wrong: tuple[Block, ...]
    teacher: tuple[Block, ...]
    tips: tuple[Block, ...]
    photos: tuple[PhotoSource, ...]
    meanwhile: tuple[Block, ...]
    for_whom: Block | None
    span: Span
    """The title's place."""


@dataclass(frozen=True, slots=True)
class StepsSource:
    """A whole `steps.md`."""

    introduction: tuple[Block, ...]
    """What stands before the first step."""
    steps: tuple[StepSource, ...]


def read_steps(source: SourceFile, findings: Findings) -> StepsSource:
    """Read the steps of a plan; what is wrong is recorded and the rest is still read."""
    source = readable(source, findings)
    env: dict[str, object] = {}
    tokens: list[Token] = []
    parser = markdown()
    parser.block.parse(source.text, parser, env, tokens)
    report_depth(tokens, source, findings)
    return _Reader(source, findings, env).read(tokens)


@dataclass(slots=True)
class _Draft:
    """A step while it is read."""

    title: Text
    prose: Collected
    facts: Node | None = None
    fences: list[Span] = field(default_factory=list)

    def finished(self, number: int) -> StepSource:
        """Return the step as a value."""

        def of(lead: Lead) -> tuple[Block, ...]:
            return tuple(self.prose.remarks.get(lead, ()))

        return StepSource(
            title=self.title,
            number=number,
            facts=self.facts,
            actions=tuple(self.prose.actions),
            hazards=tuple(self.prose.hazards),
            good_enough=of(Lead.GOOD_ENOUGH),
            went_wrong=of(Lead.WENT_WRONG),
            teacher=of(Lead.TEACHER),
            tips=of(Lead.TIP),
            photos=tuple(self.prose.photos),
            meanwhile=of(Lead.MEANWHILE),
            for_whom=next(iter(of(Lead.FOR)), None),
            span=self.title.span,
        )


@dataclass(slots=True)
class _Reader:
    """The walk over the blocks of one file."""

    source: SourceFile
    findings: Findings
    env: dict[str, object]
    introduction: Collected = field(default_factory=lambda: Collected(None))
    drafts: list[_Draft] = field(default_factory=list)

    def read(self, tokens: list[Token]) -> StepsSource:
        """Read all blocks in order."""
        index = 0
        while index < len(tokens):
            end = _end_of_block(tokens, index)
            self._block(tokens[index:end])
            index = end
        self._check_steps()
        steps = tuple(draft.finished(number) for number, draft in enumerate(self.drafts, 1))
        return StepsSource(tuple(self.introduction.actions), steps)

    def _block(self, tokens: list[Token]) -> None:
        """Read one block of the outermost level."""
        token = tokens[0]
        match token.type:
            case "heading_open":
                self._heading(token, tokens[1])
            case "fence":
                self._fence(token)
            case "paragraph_open":
                self._paragraphs([tokens[1]])
            case "bullet_list_open" | "ordered_list_open":
                for item in self._items(tokens):
                    self._paragraphs(item)
            case _:
                self._unknown_block(token)

    def _paragraphs(self, inlines: list[Token]) -> None:
        """Read the paragraphs of one action."""
        into = self.drafts[-1].prose if self.drafts else self.introduction
        ParagraphReader(self.source, self.findings, self.env).read(inlines, into)

    def _line_span(self, token: Token) -> Span:
        """Return the span of a block's first line, without its indentation."""
        number = token.map[0] if token.map else 0
        line = self.source.lines[number]
        first = len(line) - len(line.lstrip())
        return Span(self.source.name, number + 1, first + 1, number + 1, max(len(line.rstrip()), first + 1) + 1)

    def _heading(self, opened: Token, inline: Token) -> None:
        """Begin a step at a second-level heading with hashes.

        A line of dashes below a paragraph makes a heading in Markdown, but is rarely meant as one.
        """
        if opened.tag != "h2" or opened.markup != "##":
            words = _shorten(inline.content)
            self.findings.stop(
                "wrong-heading",
                f"`{words}` is a heading that begins no step",
                self._line_span(opened),
                help=f"write `## {words}` for a step, or leave the marks out",
            )
            return
        if not inline.content.strip():
            title = Text("", self._line_span(opened))
            self.findings.stop("no-title", "this step has no title", title.span, help="write `## Cut the dados`")
        else:
            title = self._title(inline)
        self.drafts.append(_Draft(title, Collected(title)))

    def _title(self, inline: Token) -> Text:
        """Return a title, a plain name: other files refer to the step by these words."""
        passage = passage_of(inline, self.source.name, self.source.lines)
        inlines = read_inlines(passage, self.findings, env=self.env)
        title = plain_text(inlines).strip()
        if any(not isinstance(piece, Plain) for piece in inlines):
            self.findings.stop(
                "marks-in-title",
                "a title is a plain name, without references and marks for bold, italic or links",
                passage.whole(),
                help=f"write `## {_shorten(title.replace('{', '').replace('}', ''))}`",
            )
        return Text(title, passage.whole())

    def _fence(self, token: Token) -> None:
        """Read a fenced block: the facts of a step."""
        span = self._line_span(token)
        word = (token.info.split() or [""])[0]
        if not self._is_closed(token):
            self.findings.stop(
                "unclosed-fence",
                f"this `{token.markup}` is never closed, all lines below belong to it",
                span,
                help=f"write `{token.markup}` on a line of its own below the facts",
            )
            if self.drafts and word == "step":
                self.drafts[-1].fences.append(span)
            return
        if word != "step":
            self._unknown_fence(word, span)
            return
        if not self.drafts:
            self.findings.stop(
                "no-title", "these facts stand before the first step", span, help="write `## Title` above them"
            )
            return
        self._facts(token, span, self.drafts[-1])

    def _unknown_fence(self, word: str, span: Span) -> None:
        self.findings.stop(
            "unknown-fence",
            f"a step cannot hold a block of the kind `{_shorten(word)}`" if word else "this block has no kind",
            span,
            help="write the word `step` behind the marks for the facts; other text needs no marks",
        )
        if self.drafts and nearest(word, ("step",)):
            self.drafts[-1].fences.append(span)

    def _facts(self, token: Token, span: Span, draft: _Draft) -> None:
        draft.fences.append(span)
        if len(draft.fences) > 1:
            self.findings.stop(
                "two-step-facts",
                f"step `{draft.title}` has a second `step` block",
                span,
                further=((draft.fences[0], "the first one"),),
                help="move its words into the first block",
            )
            return
        if draft.prose.begun:
            self.findings.stop(
                "late-step-facts",
                "the `step` block stands below the prose of its step",
                span,
                help="move it directly below the title",
            )
        number = token.map[0] if token.map else 0
        if not token.content.strip():
            self.findings.stop("no-step-facts", f"the facts of step `{draft.title}` are empty", span, help=STEP_BLOCK)
            return
        excerpt = SourceFile(self.source.name, token.content)
        draft.facts = load(excerpt, self.findings, first_line=number + 2, first_column=span.column)

    def _is_closed(self, token: Token) -> bool:
        """Whether the last line of a fenced block is its closing mark."""
        first, end = token.map or [0, 0]
        last = self.source.lines[end - 1].strip() if end - 1 > first else ""
        return len(last) >= len(token.markup) and set(last) == {token.markup[0]}

    def _items(self, tokens: list[Token]) -> Iterator[list[Token]]:
        """Give the paragraphs of each list item; items of inner lists follow the outer ones."""
        item: list[Token] = []
        depth = 0
        for token in tokens:
            if token.type == "list_item_open":
                if item:
                    yield item
                item = []
            elif token.type == "inline" and not depth:
                item.append(token)
            elif token.type.removesuffix("_open").removesuffix("_close") not in _LIST_BLOCKS:
                if token.nesting >= 0 and not depth and token.type != "inline":
                    self._unknown_block(token)
                depth += token.nesting
        if item:
            yield item

    def _unknown_block(self, token: Token) -> None:
        names = {
            "code_block": ("indented lines", "begin the lines at the left edge"),
            "blockquote_open": ("a quotation", "delete the `>`"),
            "table_open": ("a table", "write a list, or put the table on a page"),
            "hr": ("a rule across the page", "delete the line; each `## Title` begins a step of its own"),
            "fence": ("a fenced block", "put the `step` block directly below the title"),
            "heading_open": ("a heading in a list", "begin the line at the left edge"),
        }
        name, cure = names.get(token.type, ("such a block", "write paragraphs and lists"))
        self.findings.stop("unknown-block", f"a step cannot hold {name}", self._line_span(token), help=cure)

    def _check_steps(self) -> None:
        """Report a file without steps, steps without facts, and titles that stand twice."""
        if not self.drafts:
            self.findings.stop(
                "no-steps",
                f"`{self.source.name}` has no step",
                self.source.whole(),
                help="begin a step with `## Title`",
            )
        seen: dict[str, Text] = {}
        for draft in self.drafts:
            if not draft.fences:
                self.findings.stop(
                    "no-step-facts",
                    f"step `{draft.title}` has no `step` block below its title",
                    draft.title.span,
                    help=STEP_BLOCK,
                )
            # Other files name steps by their titles.
            before = seen.setdefault(draft.title.casefold(), draft.title)
            if before is not draft.title and draft.title:
                self.findings.stop(
                    "title-twice",
                    f"two steps are called `{draft.title}`",
                    draft.title.span,
                    further=((before.span, "the first one"),),
                    help="say in the title what differs, for example the part",
                )


_LIST_BLOCKS = frozenset({"bullet_list", "ordered_list", "list_item", "paragraph", "inline"})


def _end_of_block(tokens: list[Token], start: int) -> int:
    """Return the index behind the block that begins at `start`."""
    depth = 0
    for index in range(start, len(tokens)):
        depth += tokens[index].nesting
        if depth <= 0:
            return index + 1
    return len(tokens)


def _shorten(text: str) -> str:
    """Return the beginning of a text on one line, for a message."""
    line = " ".join(text.split())
    return line if len(line) <= 50 else line[:49] + "…"
