"""The layers of a build-up that a material may become: what papers are asked for by."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, get_args

Layer = Literal[
    "skin", "foam", "fire_block", "thread", "adhesive", "finish", "filler", "film", "backing",
    "fastener", "plastic", "other",
]  # fmt: skip
LAYERS: tuple[Layer, ...] = get_args(Layer)
#: Layers that put the papers of what is there in doubt: 14 CFR 25.853 and 29.853 count finishes
#: with the material they go on; that filler and new foam do so too is our own reading.
DOUBTING: frozenset[Layer] = frozenset(("foam", "finish", "filler", "film"))
#: What a material is taken for that nobody says it of.
NOT_SAID: Layer = "other"
_CALLED: dict[Layer, str] = {
    "fire_block": "fire-block layer", "fastener": "fasteners", "other": "another material",
}  # fmt: skip


def layer_words(layers: Sequence[Layer]) -> str:
    """``thread and adhesive``; ``nothing`` for none."""
    names = [_CALLED.get(layer, layer) for layer in layers]
    if not names:
        return "nothing"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
