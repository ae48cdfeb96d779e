"""The program names no method, part, fact or answer of the rules: what it needs, the rules say.

Words that are found all the same stand in `ALLOWED`, each with its reason. Own rule of this
project, no outside source.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from advisor.paths import PACKAGE
from advisor.rulegraph.model.pack import RulePack

#: Where, which words, and why they may stand there.
ALLOWED: tuple[tuple[str, str, str], ...] = (
    ("facts/case.py", "part.kind damage.kind vehicle.kind", "every case begins with these three"),
    ("rulegraph/reading/validation_faults.py", "skin.thickness", "shows how a name is written"),
    ("drawing/ gui/widgets/section_ report/formats/pdf_section.py",
     "skin foam carrier",
     "names of the layers of a drawing"),
    ("rulegraph/model/section.py drawing/ gui/widgets/section_",
     "sound cracked rotten tired wet whole skin", "states of a layer, words of drawing.yaml"),
    ("drawing/ gui/widgets/section_ gui/widgets/force_painter.py", "solid hole",
     "kinds of line, hatching and mark"),
    ("rulegraph/compiling/roles.py rulegraph/compiling/section.py", "skin usual",
     "keys of roles.yaml and drawing.yaml"),
    ("rulegraph/compiling/job.py", "skin", "what a fault calls a skin"),
    ("rulegraph/compiling/methods.py practice/lessons.py", "hot", "key of a mode of a joint"),
    ("rulegraph/model/job.py rulegraph/schema/job.py", "polyester", "fibres of a thread"),
    ("rulegraph/model/plastics.py", "water", "what a plastic floats on"),
    ("facts/units.py", "foot", "a unit of length"),
    ("drawing/bench/ gui/job/bench_view.py report/formats/pdf_drawings.py", "ink",
     "colour of a line"),
    ("drawing/bench/ report/formats/pdf_drawings.py", "skin foam carrier hollow rod",
     "materials of a drawing and names of its areas"),
    ("job/quantities/hard.py", "rod", "key of an amount in the JSON of a job"),
    ("facts/plastic_marks/symbols.py", "metal fleece veneer", "symbols of ISO 1043-2 in words"),
    ("mechanics/", "carrier foam leather thread split", "modules of formulas by subject"),
    ("mechanics/", "surface usual", "arguments of formulas"),
    ("job/quantities/", "thread foam colour hollow", "keys of amounts in the JSON of a job"),
    ("job/ session/job_measures.py gui/job/", "hollow block", "measures that a shop may give"),
    ("job/cutting/", "free", "how a piece may be turned on a roll"),
    ("job/price_file.py report/json_forms/ report/own_tests.py rulegraph/reading/variants.py",
     "low high", "ends of a range"),
    ("report/json_forms/", "not_covered", "key of the JSON of a job and of an advice"),
    ("casebook/ gui/casebook/search_bar.py cli/casebook.py", "skin",
     "a column of the list of cases, named by the rules' roles"),
    ("casebook/", "low high", "ends of a range"),
    ("casebook/outcomes/entries.py cli/casebook.py session/kept_case_words.py gui/casebook/",
     "back", "a repair that did not hold"),
    ("rulegraph/compiling/coverage.py", "not_covered usual", "keys of coverage.yaml"),
    ("report/ session/ papers/", "none", "said or kept where there is nothing"),
    ("papers/handover/", "aircraft", "key of the requirements and of the JSON of papers"),
    ("gui/widgets/section_view.py", "none", "said where no force is drawn"),
    ("report/formats/text.py", "block", "kind of paragraph"),
    ("job/effort.py report/content/quote_page.py rulegraph/model/job.py rulegraph/schema/job.py",
     "use", "a wait before the part is used"),
    ("rulegraph/compiling/nodes.py", "use", "key of a branch of a pick"),
    ("facts/units.py gui/job/prices_dialog.py", "days months", "units of time"),
    ("papers/burn/exact_amount.py cli/casebook.py", "whole", "a whole number, a whole casebook"),
    ("rulegraph/model/layers.py papers/ session/handover_papers.py session/lots_on_hand.py",
     "skin foam fire_block thread finish other station_accepts colour",
     "layers of a build-up, by which papers are asked for, and fields of a record on them"),
    ("mechanics/carrier.py", "short", "argument of a formula"),
)


def words_of(pack: RulePack) -> set[str]:
    """Facts, nodes, answers, parts, methods, needs and hazards of the shipped rules."""
    found = {*pack.facts, *pack.nodes, *pack.methods, *pack.method_words, *pack.parts}
    found |= {*pack.needs, *pack.gates}
    for decl in pack.facts.values():
        found |= set(decl.keys)
    return found


def literals(file: Path) -> Iterator[tuple[int, str]]:
    """Text in a module besides its docstrings, with the line."""
    tree = ast.parse(file.read_text("utf-8"))
    alone = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in alone:
            yield node.lineno, node.value


def named(text: str, words: set[str]) -> set[str]:
    """Words of the rules that a literal is, or that stand in it and are no plain English."""
    inside = set(re.findall(r"[a-z0-9_]+(?:\.[a-z0-9_]+)*", text))
    return {text} & words | {word for word in inside & words if "_" in word or "." in word}


def excuses(place: str, word: str) -> list[int]:
    """Entries of `ALLOWED` that let ``word`` stand in the file at ``place``."""
    return [
        i
        for i, (where, words, _) in enumerate(ALLOWED)
        if word in words.split() and any(place.startswith(start) for start in where.split())
    ]


def test_no_module_names_what_the_rules_name(pack: RulePack) -> None:
    words, faults, used = words_of(pack), [], set()
    for file in sorted(PACKAGE.rglob("*.py")):
        place = file.relative_to(PACKAGE).as_posix()
        for line, text in literals(file):
            for word in named(text, words):
                entries = excuses(place, word)
                used.update(entries)
                if not entries:
                    faults.append(f"{place}:{line}: {word}")
    assert not faults, "\n".join(faults)
    assert used == set(range(len(ALLOWED))), "an entry of the list excuses nothing"


def test_a_method_named_in_code_would_be_found(pack: RulePack, tmp_path: Path) -> None:
    file = tmp_path / "module.py"
    file.write_text('"""hand_stitch"""\nUSED = {"hand_stitch": 1}\nSAID = "see core.state."\n')
    found = sorted((line, named(text, words_of(pack))) for line, text in literals(file))
    assert found == [(2, {"hand_stitch"}), (3, {"core.state"})]
