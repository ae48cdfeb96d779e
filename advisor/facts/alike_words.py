"""Words of a customer held against words of the rules: which tell something, which are the same."""

from __future__ import annotations

#: Letters in which two words must agree to be taken for the same one: "hinges", "hinged".
SAME_WORD = 4
#: Words that tell nothing about a part or a damage.
COMMON = frozenset(
    """the and for that has have with from its not out off one two over under into are was what
    which where when none this these very any all also""".split()  # noqa: SIM905
)


def words_of(text: str) -> list[str]:
    """The words of a text in small letters; what is neither letter nor digit parts them."""
    return "".join(one if one.isalnum() else " " for one in text.lower()).split()


def telling_words(text: str) -> set[str]:
    """The words of a text without the short ones and those that tell nothing."""
    return {word for word in words_of(text) if len(word) >= SAME_WORD - 1} - COMMON


def same_word(one: str, other: str) -> bool:
    """Whether two words are the same but for an ending; short ones must agree wholly."""
    if min(len(one), len(other)) < SAME_WORD:
        return one == other
    letters = max(SAME_WORD, min(len(one), len(other)) - 2)
    return one[:letters] == other[:letters]
