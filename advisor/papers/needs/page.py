"""The page that says which papers a case needs, as blocks."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.papers.burn.rule_sets import Said, shipped_rules
from advisor.papers.needs.evidence import Evidence, Needs
from advisor.report.blocks import Block, Box, Document, Item, Items, Pairs, Section, Text, Tone
from advisor.report.status_words import SOURCE_STATUS
from advisor.rulegraph.model.layers import layer_words

NOT_AN_APPROVAL = (
    "A list of what to ask for. Not an approval, and not complete: whoever signs decides what "
    "counts."
)
_KINDS = {"wanted": "", "review": "REVIEW: ", "note": "Note: "}


def build_needs_page(needs: Needs, vehicle: str, case: str, title: str) -> Document:
    """Everything that is said of the papers of a case. ``vehicle`` is its kind in words."""
    sections = [Section("Which rule", tuple(_basis(needs, vehicle)))]
    if needs.tests:
        rows = tuple(needs.tests)
        sections.append(Section("Tests this item is asked for", (Pairs(rows),)))
    sections += _layers(needs)
    if needs.methods:
        items = tuple(Item(_method(needs, i)) for i in range(len(needs.methods)))
        sections.append(Section("New papers by method, the fewest first", (Items(items),)))
    return Document(
        language="en", heading="Papers that this case needs", subtitle=title or case,
        meta=(("Case", case),), stamp="", stamp_text="", front=tuple(sections),
        working_apart=False, working_heading="", working_intro="", working=(),
        footer=NOT_AN_APPROVAL, author="", footer_detail="",
    )  # fmt: skip


def _basis(needs: Needs, vehicle: str) -> Iterator[Block]:
    known = needs.known
    if known is None:
        yield Box("NOT KNOWN HERE", (
            f"No burn rule is known here for this vehicle ({vehicle.lower()}). Ask its maker, its "
            "operator and the authority of the country it is used in, and keep to local codes."
        ), Tone.WARN)  # fmt: skip
        return
    if not known.rule_sets:
        yield Box("NOT KNOWN HERE", f"No rule with limits is known here ({vehicle.lower()}). "
                  f"Ask {known.defer_to}.", Tone.WARN)  # fmt: skip
    yield Text(known.basis)
    given, item = needs.rule_set, needs.item
    rows = (
        ("Rule set", given.title if given else ""),
        ("It applies to", given.applies_to if given else ""),
        ("Item", f"{item.title} [{item.paragraph}]" if item else ""),
        ("Operator", f"{needs.operator.title}. {needs.operator.text}" if needs.operator else ""),
        ("Who decides", given.defer_to if given else known.defer_to),
    )
    yield Pairs(tuple((label, said) for label, said in rows if said))
    for said in (given and given.review, item and item.not_required, needs.hired):
        if said:
            yield Items((Item(said.text, (_source(needs, said),)),))
    if given is not None and not given.items and given.review is None:
        yield Text("No figures are known here under this rule.", Tone.WARN)
    for text in needs.open_:
        yield Text(text, Tone.WARN)
    yield Text(needs.rules.elsewhere, Tone.SMALL)


def _layers(needs: Needs) -> Iterator[Section]:
    if not needs.layers:
        text = "The plan adds nothing to the part, or there is no plan yet."
        yield Section("What the repair adds", (Text(text),))
        return
    if needs.in_doubt:
        text = (
            "Colour, filler, film or new foam goes on a certified part: the papers it has are in "
            "doubt until the station has reviewed them."
        )
        yield Section("", (Box("REVIEW", text, Tone.WARN),))
    unknown = [one.layer for one in needs.layers if not one.evidence]
    if unknown:
        who = needs.known.defer_to if needs.known else "the maker, the operator and the authority"
        said = f"No rule for it is known here. Ask {who}."
        yield Section(layer_words(unknown).capitalize(), (Text(said),))
    for one in needs.layers:
        if not one.evidence:
            continue
        items = [
            Item(f"{_KINDS[asked.kind]}{asked.text}", (_source(needs, asked),))
            for asked in one.evidence
        ]
        if one.lots:
            names = ", ".join(f"{lot.lot} ({lot.material})" for lot in one.lots)
            said = f"On hand with papers: {names}. Whether they fit is not judged here."
            items.append(Item(said))
        elif needs.known is not None and needs.known.certified:
            items.append(Item("No lot with papers is on hand.", strong=True))
        yield Section(layer_words([one.layer]).capitalize(), (Items(tuple(items)),))


def _method(needs: Needs, index: int) -> str:
    one = needs.methods[index]
    if not one.layers:
        return f"{one.title}: adds nothing."
    missing = len(one.missing)
    count = "1 new paper" if missing == 1 else f"{missing} new papers"
    new = f" ({layer_words(one.missing)})" if missing else ""
    return f"{one.title}: {count}{new}; it adds {layer_words(one.layers)}."


def _source(needs: Needs, said: Said | Evidence) -> str:
    known = {**shipped_rules().sources, **needs.rules.sources}
    if said.source == "memory":
        return f"From memory of {said.where or 'the rule'}, not checked"
    return f"{known[said.source]} ({SOURCE_STATUS[said.status]})"
