"""Words of a customer held against words of the rules: which tell something, which are the same."""

from __future__ import annotations

from functools import cache

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
    """Whether two words are the same but for an ending; short ones must agree but for it."""
    if stem(one) == stem(other):
        return True
    if min(len(one), len(other)) < SAME_WORD:
        return False
    letters = max(SAME_WORD, min(len(one), len(other)) - 2)
    return one[:letters] == other[:letters]


def alike(one: str, other: str) -> bool:
    """Whether two words are the same but for an ending, or people say one for the other."""
    return same_word(one, other) or not _groups(one).isdisjoint(_groups(other))


def stem(word: str) -> str:
    """A word without its ending, and without the letter that was doubled before it."""
    for ending in ("ing", "ed", "es", "s", "y"):
        short = word.removesuffix(ending)
        if short != word and len(short) >= SAME_WORD - 1:
            doubled = len(short) >= SAME_WORD and short[-1] == short[-2] not in "sl"
            return short[:-1] if doubled else short
    return word


#: Words that people say one for another, of damages and of parts; common use, no source.
SAID_FOR_ANOTHER = (
    "bent kinked creased buckled warped crumpled", "sags hangs droops dangles",
    "broken snapped busted smashed", "torn ripped slit slashed", "cracked crazed fissured",
    "burnt burned scorched singed melted", "hole puncture poked pierced", "worn rubbed abraded",
    "wet damp soaked soggy", "smells stinks reeks", "mould mold mildew", "soft spongy mushy",
    "sticky tacky gooey gluey", "peeling flaking shedding", "faded bleached pale",
    "dirty soiled filthy grubby", "vomit sick puke", "detached unstuck unglued",
    "stuck jammed seized", "wobbles rattles wiggles", "gaping burst", "colour color",
    "cupboard locker wardrobe cabinet", "worktop counter tabletop", "sofa couch settee",
    "mattress bed bunk berth", "cloth fabric textile", "leather hide", "zip zipper",
    "popper snap stud", "pocket bin", "dash dashboard fascia", "ceiling headliner headlining",
    "mat rug", "strap webbing", "lorry truck", "edging band strip",
)  # fmt: skip


@cache
def _groups(word: str) -> frozenset[int]:
    own = stem(word)
    return frozenset(
        number for number, group in enumerate(SAID_FOR_ANOTHER)
        if any(own == stem(other) for other in group.split())
    )  # fmt: skip
