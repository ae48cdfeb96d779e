"""Which widget takes the answer to which fact; each is loaded when it is first needed."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from advisor.facts.declaration import FactDecl, Kind
from advisor.gui.widgets.answers.answer_base import Answer


def answer_widget(fact: FactDecl, parent: QWidget | None = None) -> Answer:
    """The widget that takes the answer to ``fact``."""
    if fact.kind is Kind.CHOICE and any(option.group for option in fact.options):
        from advisor.gui.widgets.answers.grouped_choice import GroupedChoice

        return GroupedChoice(fact, parent)
    if fact.kind in (Kind.CHOICE, Kind.YES_NO):
        from advisor.gui.widgets.answers.choice_answers import ChoiceAnswer, YesNoAnswer

        return (ChoiceAnswer if fact.kind is Kind.CHOICE else YesNoAnswer)(fact, parent)
    from advisor.gui.widgets.answers.typed_answers import AmountAnswer, TextAnswer

    return (AmountAnswer if fact.kind is Kind.QUANTITY else TextAnswer)(fact, parent)
