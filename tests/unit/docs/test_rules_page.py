"""Every example on the pages for rule authors is loaded and does what the pages say."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import pytest
import yaml
from pydantic import BaseModel

from advisor import cli, paths
from advisor.advice.advise import advise
from advisor.advice.choosing.working import work_out
from advisor.advice.result import Verdict
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.facts.faults import BadInput
from advisor.mechanics.relation import RELATIONS, Real, Relation, relation
from advisor.rulegraph import load
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.compiler import number as constant
from advisor.rulegraph.compiling.conditions import compile_condition
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import Looks
from advisor.rulegraph.schema import base as schema_base
from advisor.rulegraph.schema import coverage as schema_coverage
from advisor.rulegraph.schema import facts as schema_facts
from advisor.rulegraph.schema import job as schema_job
from advisor.rulegraph.schema import loads as schema_loads
from advisor.rulegraph.schema import methods as schema_methods
from advisor.rulegraph.schema import own_tests as schema_own_tests
from advisor.rulegraph.schema import plastics as schema_plastics
from advisor.rulegraph.schema import rule_files as schema
from advisor.rulegraph.schema import tables as schema_tables
from tests.field.gates import with_other_gates_cleared

DOCS = Path(__file__).parents[3] / "docs"
INDEX = (DOCS / "rules" / "README.md").read_text(encoding="utf-8")
#: In the order of the index, in which the messages shown count their lines.
LISTED = re.findall(r"\]\(([\w-]+\.md)\) \|$", INDEX, re.MULTILINE)
PAGES = [DOCS / "rules" / name for name in LISTED]
RULES_PAGE = "\n".join(page.read_text(encoding="utf-8") for page in PAGES)
BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)

yaml_blocks = [body for kind, body in BLOCK.findall(RULES_PAGE) if kind == "yaml"]
python_blocks = [body for kind, body in BLOCK.findall(RULES_PAGE) if kind == "python"]


def marked(prefix: str) -> list[tuple[str, str]]:
    """What follows ``# prefix`` on the first line of a YAML block, with the block."""
    found = []
    for body in yaml_blocks:
        first, _, rest = body.partition("\n")
        if first.startswith(f"# {prefix}"):
            found.append((first.removeprefix(f"# {prefix}").strip(), rest))
    return found


def add(into: Any, keys: list[str], addition: Any) -> None:
    """Add a mapping's entries or a list's items under ``keys``."""
    for key in keys:
        into = into[key]
    if isinstance(into, list):
        into.extend(addition)
    else:
        assert not set(into) & set(addition), "an example overwrites a shipped entry"
        into.update(addition)


def write_overlay(folder: Path) -> list[str]:
    """All examples of the page as one overlay folder; the names of its files."""
    changed: dict[str, Any] = {}
    for name, text in marked("file: "):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    for place, text in marked("add to: "):
        name, *keys = place.split(" > ")
        if name not in changed:
            shipped = (paths.rules_folder() / name).read_text(encoding="utf-8")
            changed[name] = yaml.safe_load(shipped)
        add(changed[name], keys, yaml.safe_load(text))
    for name, data in changed.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
    return sorted([*changed, *(name for name, _ in marked("file: "))])


@pytest.fixture(scope="module", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Compiled packs of these tests stay out of the user's cache."""
    folder = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(load, "cache_folder", lambda: folder)
        yield


@pytest.fixture(scope="module")
def shipped() -> RulePack:
    return load.load_pack(paths.rules_folder())


@pytest.fixture(scope="module")
def example_relation() -> Relation:
    """The function shown on the page as it registers; not left among the program's own."""
    before = set(RELATIONS)
    names: dict[str, Any] = {"__name__": "page", "relation": relation, "Real": Real}
    assert len(python_blocks) == 1
    exec(compile("from __future__ import annotations\n" + python_blocks[0], "page", "exec"), names)
    (added,) = set(RELATIONS) - before
    return RELATIONS.pop(added)


@pytest.fixture(scope="module")
def overlay(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("overlay")
    write_overlay(folder)
    return folder


@pytest.fixture(scope="module")
def extended(overlay: Path, example_relation: Relation) -> Iterator[RulePack]:
    """The shipped rules with every example of the page.

    Nothing is kept of it: it names a function that no other process has.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(load, "_keep", lambda key, pack: None)
        patch.setitem(RELATIONS, example_relation.name, example_relation)
        yield load.load_pack(paths.rules_folder(), overlay)


def case_of(tmp_path: Path, pack: RulePack, **facts: str) -> Case:
    lines = [f"  {name.replace('__', '.')}: {value}" for name, value in facts.items()]
    path = tmp_path / "case.yaml"
    text = "format: 1\ncase: QA-1\nfacts:\n" + "\n".join(lines) + "\n"
    path.write_text(text, encoding="utf-8")
    return read_case(path, pack.facts, methods=pack.methods)


def leader(case: Case, pack: RulePack) -> str:
    return work_out(case, pack, 1024).plans[0].lead


def test_every_page_is_in_the_index() -> None:
    there = {page.name for page in (DOCS / "rules").glob("*.md")}
    assert len(LISTED) == len(set(LISTED)) and there == {*LISTED, "README.md"}


def test_what_the_index_says_to_look_up_is_there() -> None:
    """The price of a patch, the steps of a weld, the strength of a thread."""
    named = re.findall(r"`(\w+)` in `([\w/]+\.yaml)`", INDEX)
    assert len(named) == 4
    for key, file in named:
        assert f"{key}:" in (paths.rules_folder() / file).read_text(encoding="utf-8")


def test_every_yaml_example_is_marked_and_so_tested() -> None:
    seen = sum(len(marked(prefix)) for prefix in ("file: ", "add to: ", "condition", "value"))
    assert seen == len(yaml_blocks) >= 15


def test_a_copied_file_loads_as_the_shipped_one(tmp_path: Path, shipped: RulePack) -> None:
    """The way in which these tests add lines to a copy changes nothing else."""
    for path in paths.rules_folder().rglob("*.yaml"):
        target = tmp_path / path.relative_to(paths.rules_folder())
        target.parent.mkdir(exist_ok=True)
        data = yaml.safe_load(path.read_text(encoding="utf-8"))
        target.write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
    copied = load.load_pack(tmp_path)
    assert copied.facts == shipped.facts
    assert copied.order == shipped.order
    assert copied.prices == shipped.prices


def test_the_examples_load_together(extended: RulePack, shipped: RulePack, overlay: Path) -> None:
    files = sorted(path.relative_to(overlay).as_posix() for path in overlay.rglob("*.yaml"))
    assert list(extended.own.files) == files
    assert {name for name, _ in marked("file: ")} <= set(files)
    assert extended.digest != shipped.digest
    assert set(extended.methods) - set(shipped.methods) == {"sewn_patch", "hand_stitch.heavy"}
    assert set(extended.parts) - set(shipped.parts) == {"engine_box", "jump_seat"}
    assert set(extended.gates) - set(shipped.gates) == {"gas_line"}
    assert extended.prices.hourly_rate.typical == 68


def test_the_example_method_is_computed(tmp_path: Path, extended: RulePack) -> None:
    case = case_of(
        tmp_path, extended, part__kind="folding_roof", vehicle__kind="car", damage__kind="tear",
        skin__material="roof_canvas", damage__margin="40 mm", access__back="free",
        damage__length="60 mm",
    )  # fmt: skip
    found = {method.method: method for method in advise(case, extended, 1024, flips=False).methods}
    usage = found["sewn_patch"].usage
    assert usage is not None and 0 < usage.low < usage.high
    narrow = case.with_fact("damage.margin", Span(5, 5))
    because = next(
        method.because
        for method in advise(narrow, extended, 1024, flips=False).methods
        if method.method == "sewn_patch"
    )
    assert any("too little sound skin to sew to" in reason.text for reason in because)


def hazards_of(pack: RulePack, part: str) -> set[tuple[str, str]]:
    """Every hazard with a vehicle in which this part calls for it."""
    return {
        (key, vehicle)
        for key, gate in pack.gates.items()
        for asked, vehicle in gate.asked_for
        if asked == part
    }


def test_the_example_part_and_material_are_used(tmp_path: Path, extended: RulePack) -> None:
    case = case_of(
        tmp_path, extended, part__kind="engine_box", vehicle__kind="boat",
        damage__kind="seam_open", skin__material="neoprene",
    )  # fmt: skip
    inherited, ours = hazards_of(extended, "bench_cushion"), hazards_of(extended, "engine_box")
    vehicles = extended.facts["vehicle.kind"].keys
    assert ours == inherited | {("heater", vehicle) for vehicle in vehicles}
    assert "heater" in extended.gates_asked(case)
    values = work_out(case, extended, 1024).situation.worlds.values
    assert 15 <= values["part.sit_dent"].min() < values["part.sit_dent"].max() <= 40
    assert values["skin.new_hole_strength"].min() >= 10
    assert values["skin.new_hole_strength"].max() <= 30
    assert values["core.thickness"].max() <= 60


def test_the_example_part_without_a_file_is_as_the_other(
    tmp_path: Path, extended: RulePack
) -> None:
    facts = {"vehicle__kind": "bus", "damage__kind": "seam_open"}
    assert hazards_of(extended, "jump_seat") == hazards_of(extended, "seat_cushion")
    ours, theirs = (
        work_out(case_of(tmp_path, extended, part__kind=kind, **facts), extended, 256)
        for kind in ("jump_seat", "seat_cushion")
    )
    assert [plan.lead for plan in ours.plans] == [plan.lead for plan in theirs.plans]
    for name in ("part.sit_dent", "core.thickness", "load.sit"):
        columns = [done.situation.worlds.values[name] for done in (ours, theirs)]
        assert columns[0] == pytest.approx(columns[1]) and columns[0].max() > 0


def test_the_example_plastic_is_read_from_its_mark(extended: RulePack, shipped: RulePack) -> None:
    case = Case("QA-1", facts={"carrier.mark": ">PBT-GF30<"})
    assert extended.as_read(case).facts["carrier.material"] == ("pbt",)
    assert "carrier.material" not in shipped.as_read(case).facts


def test_the_example_question_is_asked_and_changes_the_choice(
    tmp_path: Path, extended: RulePack
) -> None:
    demo = paths.demo_folder() / "split_armrest.yaml"
    case = read_case(demo, extended.facts, methods=extended.methods)
    asked = {question.fact for question in advise(case, extended, 1024, flips=False).ask}
    assert "seam.thread_perished" in asked
    assert leader(case.with_fact("seam.thread_perished", False), extended) == "hand_stitch"
    other = leader(case.with_fact("seam.thread_perished", True), extended)
    assert other not in ("hand_stitch", "adhesive_bond")


def test_the_example_gate_refers(tmp_path: Path, extended: RulePack) -> None:
    facts = {"part__kind": "seat_cushion", "vehicle__kind": "camper", "damage__kind": "tear"}
    case = case_of(tmp_path, extended, **facts)
    case = with_other_gates_cleared(case, extended, ["gate.gas_line"])
    open_gates = [q.fact for q in advise(case, extended, 256, flips=False).ask if q.gate]
    assert open_gates == ["gate.gas_line"]
    closed = case.with_fact("gate.gas_line", ("in_section",))
    assert advise(closed, extended, 256).verdict is Verdict.REFER
    near = advise(case.with_fact("gate.gas_line", ("near",)), extended, 256, flips=False)
    assert any("gas line is close" in caution for caution in near.cautions)


def test_the_example_force_reaches_the_damage(
    tmp_path: Path, extended: RulePack, example_relation: Relation
) -> None:
    facts = {"vehicle__kind": "bus", "damage__kind": "seam_open"}
    back = case_of(tmp_path, extended, part__kind="seat_backrest", **facts)
    values = work_out(back, extended, 512).situation.worlds.values
    expected = example_relation.function(mass=values["people.bag"], width=60.0)
    assert values["load.bag"] == pytest.approx(expected)
    assert (values["demand.skin_cyclic"] >= values["load.bag"]).all()
    cushion = case_of(tmp_path, extended, part__kind="armrest", **facts)
    assert work_out(cushion, extended, 512).situation.worlds.values["load.bag"].max() == 0


def test_the_example_function_is_documented_as_the_others(example_relation: Relation) -> None:
    doc = example_relation.function.__doc__ or ""
    for name, unit in example_relation.inputs.items():
        assert re.search(rf"^ +{name}: .*\[{unit}\]$", doc, re.MULTILINE)
    assert all(f"\n    {label}: " in doc for label in ("Result", "Valid", "Source"))


@pytest.mark.parametrize("text", [text for _, text in marked("condition")])
def test_the_example_conditions_compile(text: str, shipped: RulePack) -> None:
    model = schema_base.ConditionModel.model_validate(yaml.safe_load(text))
    units = {name: node.unit for name, node in shipped.nodes.items()}
    condition = compile_condition(model, shipped.facts, units, constant)
    assert set(condition.names()) <= {*shipped.facts, *shipped.nodes}


@pytest.mark.parametrize("text", [text for _, text in marked("value")])
def test_the_example_values_are_values(text: str, shipped: RulePack) -> None:
    model = schema_tables.CellModel.model_validate(yaml.safe_load(text))
    assert Compiler(shipped.facts, {}, frozenset(shipped.sources)).unit_of("skin.thickness") == "mm"
    assert model.triple[0] <= model.triple[2] and model.source in shipped.sources


def models() -> list[type[BaseModel]]:
    modules = (
        schema_base, schema_facts, schema_loads, schema_tables, schema_methods, schema_job,
        schema_plastics, schema_coverage, schema_own_tests, schema,
    )  # fmt: skip
    named = {name: value for module in modules for name, value in vars(module).items()}
    classes = [value for value in named.values() if isinstance(value, type)]
    return [value for value in classes if issubclass(value, schema_base.Strict)]


@pytest.mark.parametrize("model", models(), ids=lambda model: model.__name__)
def test_every_key_of_the_format_is_on_the_page(model: type[BaseModel]) -> None:
    keys = {field.alias or name for name, field in model.model_fields.items()}
    said = set(re.findall(r"`([a-z_]+)(?::[^`]*)?`", RULES_PAGE))
    shown = {key for body in yaml_blocks for key in re.findall(r"\b([a-z_]+):", body)}
    assert keys <= said | shown


def test_every_word_of_a_status_or_looks_is_on_the_page() -> None:
    for literal in (schema_base.Status, Looks):
        assert all(f"`{word}`" in RULES_PAGE for word in get_args(literal))


def test_the_folder_shown_is_the_one_looked_in(monkeypatch: pytest.MonkeyPatch) -> None:
    from platformdirs.macos import MacOS
    from platformdirs.unix import Unix

    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    for system, name in ((Unix, "Linux"), (MacOS, "macOS")):
        folder = system("trim-advisor", appauthor=False).user_config_path / "rules"
        shown = f"~/{folder.relative_to(Path.home()).as_posix()}"
        assert f"| {name} | `{shown}` |" in RULES_PAGE
    assert paths.overlay_folder().parts[-2:] == ("trim-advisor", "rules")


def test_the_messages_shown_are_the_messages_given(tmp_path: Path) -> None:
    text = dict(marked("file: "))["methods/sewn_patch.yaml"]
    wrong = text.replace("driver: hole_strength", "driver: hole_strenght", 1)
    wrong = wrong.replace("source: practice", "source: practise", 1)
    (tmp_path / "methods").mkdir()
    (tmp_path / "methods" / "sewn_patch.yaml").write_text(wrong, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        load.load_pack(paths.rules_folder(), tmp_path)
    said = str(caught.value).replace(f"{tmp_path}{os.sep}", "").replace(os.sep, "/").splitlines()
    shown = [line for line in RULES_PAGE.splitlines() if line.startswith("methods/sewn_patch")]
    assert shown == said


def test_the_check_lists_what_stands_in(
    overlay: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    (tmp_path / "prices.yaml").write_bytes((overlay / "prices.yaml").read_bytes())
    monkeypatch.setattr(load, "overlay_folder", lambda: tmp_path)
    with pytest.raises(SystemExit) as leave:
        cli.main(["rules", "check"])
    assert leave.value.code == 0
    assert "prices.yaml" in capsys.readouterr().out
    (tmp_path / "prices.yaml").write_text("currency: EUR\n", encoding="utf-8")
    with pytest.raises(SystemExit) as leave:
        cli.main(["rules", "check"])
    assert leave.value.code == 3


