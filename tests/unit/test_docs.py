"""The pages for users and rule authors must say what the program does."""

from __future__ import annotations

import importlib.util
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import yaml
from pydantic import BaseModel

from advisor import cli, paths
from advisor.advice.advise import DEFAULT_WORLDS, Working, advise, work_out
from advisor.advice.result import Advice, Verdict
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.facts.faults import BadInput
from advisor.mechanics.relation import RELATIONS, Real, relation
from advisor.rulegraph import load, schema, schema_base, schema_job
from advisor.rulegraph.compiling import Compiler
from advisor.rulegraph.compiling import number as constant
from advisor.rulegraph.conditions import compile_condition
from advisor.rulegraph.pack import Looks, RulePack

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
RULES_PAGE = (DOCS / "rules.md").read_text(encoding="utf-8")
DECIDES_PAGE = (DOCS / "how-it-decides.md").read_text(encoding="utf-8")
PAGES = ("rules.md", "how-it-decides.md", "forces-and-joints.md", "case-file.md")
BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)

yaml_blocks = [body for kind, body in BLOCK.findall(RULES_PAGE) if kind == "yaml"]
python_blocks = [body for kind, body in BLOCK.findall(RULES_PAGE) if kind == "python"]


# ---- rules.md: every example is loaded -------------------------------------------------


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
def example_relation() -> Iterator[Callable[..., Any]]:
    """The function shown on the page, registered while these tests run."""
    before = set(RELATIONS)
    names: dict[str, Any] = {"relation": relation, "Real": Real}
    assert len(python_blocks) == 1
    exec(compile("from __future__ import annotations\n" + python_blocks[0], "page", "exec"), names)
    (added,) = set(RELATIONS) - before
    yield names[added]
    del RELATIONS[added]


@pytest.fixture(scope="module")
def overlay(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("overlay")
    write_overlay(folder)
    return folder


@pytest.fixture(scope="module")
def extended(
    overlay: Path,
    example_relation: Callable[..., Any],
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[RulePack]:
    """The shipped rules with every example of the page.

    Compiled without a cache: what was compiled here names a function that only lives here.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(load, "_keep", lambda key, pack: None)
        yield load.load_pack(paths.rules_folder(), overlay)


def case_of(tmp_path: Path, pack: RulePack, **facts: str) -> Case:
    lines = [f"  {name.replace('__', '.')}: {value}" for name, value in facts.items()]
    path = tmp_path / "case.yaml"
    text = "format: 1\ncase: QA-1\nfacts:\n" + "\n".join(lines) + "\n"
    path.write_text(text, encoding="utf-8")
    return read_case(path, pack.facts, methods=pack.methods)


def leader(case: Case, pack: RulePack) -> str:
    return work_out(case, pack, 1024).plans[0].lead


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
    assert list(extended.overlaid) == files
    assert {name for name, _ in marked("file: ")} <= set(files)
    assert extended.digest != shipped.digest
    assert set(extended.methods) - set(shipped.methods) == {"sewn_patch"}
    assert set(extended.parts) - set(shipped.parts) == {"engine_box"}
    assert set(extended.gates) - set(shipped.gates) == {"high_voltage"}
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


def test_the_example_part_and_material_are_used(tmp_path: Path, extended: RulePack) -> None:
    case = case_of(
        tmp_path, extended, part__kind="engine_box", vehicle__kind="boat",
        damage__kind="seam_open", skin__material="neoprene",
    )  # fmt: skip
    assert extended.gates_asked(case) == ("suspect_fibres",)
    values = work_out(case, extended, 1024).situation.worlds.values
    assert 15 <= values["part.sit_dent"].min() < values["part.sit_dent"].max() <= 40
    assert values["skin.new_hole_strength"].min() >= 10
    assert values["skin.new_hole_strength"].max() <= 30
    assert values["core.thickness"].max() <= 60


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
    facts = {
        "part__kind": "seat_cushion", "vehicle__kind": "bus", "damage__kind": "tear",
        "gate__belt": "none", "gate__heater": "none", "gate__occupant_sensor": "none",
        "gate__child_seat": "no", "gate__airbag": "none", "gate__energy_absorber": "no",
        "gate__suspect_fibres": "no",
    }  # fmt: skip
    case = case_of(tmp_path, extended, **facts)
    open_gates = [q.fact for q in advise(case, extended, 256, flips=False).ask if q.gate]
    assert open_gates == ["gate.high_voltage"]
    closed = case.with_fact("gate.high_voltage", ("in_section",))
    assert advise(closed, extended, 256).verdict is Verdict.REFER
    near = advise(case.with_fact("gate.high_voltage", ("near",)), extended, 256, flips=False)
    assert any("orange cables" in caution for caution in near.cautions)


def test_the_example_force_reaches_the_damage(
    tmp_path: Path, extended: RulePack, example_relation: Callable[..., Any]
) -> None:
    facts = {"vehicle__kind": "bus", "damage__kind": "seam_open"}
    back = case_of(tmp_path, extended, part__kind="seat_backrest", **facts)
    values = work_out(back, extended, 512).situation.worlds.values
    expected = example_relation(mass=values["people.bag"], width=60.0)
    assert values["load.bag"] == pytest.approx(expected)
    assert (values["demand.skin_cyclic"] >= values["load.bag"]).all()
    cushion = case_of(tmp_path, extended, part__kind="armrest", **facts)
    assert work_out(cushion, extended, 512).situation.worlds.values["load.bag"].max() == 0


def test_the_example_function_is_documented_as_the_others(
    example_relation: Callable[..., Any],
) -> None:
    doc = example_relation.__doc__ or ""
    registered = RELATIONS[example_relation.__name__]
    for name, unit in registered.inputs.items():
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
    model = schema.CellModel.model_validate(yaml.safe_load(text))
    assert Compiler(shipped.facts, {}, frozenset(shipped.sources)).unit_of("skin.thickness") == "mm"
    assert model.triple[0] <= model.triple[2] and model.source in shipped.sources


def models() -> list[type[BaseModel]]:
    modules = (schema_base, schema_job, schema)
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
        assert all(f"`{word}`" in RULES_PAGE for word in literal.__args__)


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
    wrong = text.replace("[close]", "[clsoe]", 1).replace("source: practice", "source: practise", 1)
    (tmp_path / "methods").mkdir()
    (tmp_path / "methods" / "sewn_patch.yaml").write_text(wrong, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        load.load_pack(paths.rules_folder(), tmp_path)
    said = str(caught.value).replace(f"{tmp_path}/", "").splitlines()
    shown = [line for line in RULES_PAGE.splitlines() if line.startswith("methods/sewn_patch")]
    assert shown and set(shown) <= set(said)


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


# ---- how-it-decides.md: the figures are still true ---------------------------------------


@pytest.fixture(scope="module")
def armrest(shipped: RulePack) -> Case:
    demo = paths.demo_folder() / "split_armrest.yaml"
    return read_case(demo, shipped.facts, methods=shipped.methods)


@pytest.fixture(scope="module")
def advice(armrest: Case, shipped: RulePack) -> Advice:
    return advise(armrest, shipped)


@pytest.fixture(scope="module")
def working(armrest: Case, shipped: RulePack) -> Working:
    return work_out(armrest, shipped, DEFAULT_WORLDS)


def rows(heading: str) -> dict[str, list[float]]:
    """Rows of the table whose first column is headed so: name to figures."""
    _, _, table = DECIDES_PAGE.partition(f"\n| {heading} |")
    assert table, heading
    found = {}
    for line in table.splitlines()[2:]:
        if not line.startswith("|"):
            break
        name, *cells = (cell.strip() for cell in line.strip("|").split("|"))
        found[name] = [float(cell) for cell in cells if re.fullmatch(r"[0-9.]+", cell)]
    return found


def near(value: float) -> Any:
    return pytest.approx(value, rel=0.1)


def test_the_loads_quoted(advice: Advice) -> None:
    loads = {load.title: load.value for load in advice.loads}
    quoted = rows("Load")
    assert len(quoted) == 3
    for title, figures in quoted.items():
        value = loads[title]
        assert figures == [near(value.low), near(value.typical), near(value.high)]


def test_the_usages_quoted(advice: Advice) -> None:
    methods = {method.title: method for method in advice.methods}
    quoted = rows("Method")
    assert set(quoted) == {m.title for m in advice.methods if m.usage is not None}
    for title, figures in quoted.items():
        usage = methods[title].usage
        assert usage is not None
        assert figures[:3] == [near(usage.low), near(usage.typical), near(usage.high)]
        assert figures[3] == pytest.approx(100 * methods[title].hold_probability, abs=3)


def test_the_usage_worked_out(working: Working) -> None:
    worlds, outcomes = working.situation.worlds, working.situation.outcomes
    quoted = rows("Middle figure")
    assert len(quoted) == 8
    for column, (method, key) in enumerate(
        (("hand_stitch", "ligament"), ("adhesive_bond", "peel"))
    ):
        modes = [m for joint in outcomes[method].joints for m in joint.modes]
        used = next(m for m in modes if m.mode.key == key)
        mode = used.mode
        refs = {"capacity, N/mm": mode.capacity, "fs": mode.sustained, "hot": mode.hot,
                "fc": mode.cyclic, "warm": mode.warm}  # fmt: skip
        middle = {
            name: float(worlds.quantiles(worlds.values[ref.name])[1]) if ref.name else ref.constant
            for name, ref in refs.items()
        }
        for duration, term in used.terms.items():
            middle[f"part of usage, {duration}"] = float(worlds.quantiles(term)[1])
        assert {name: figures[column] for name, figures in quoted.items()} == {
            name: near(value) for name, value in middle.items()
        }


def test_the_plans_quoted(working: Working, shipped: RulePack) -> None:
    worlds = working.situation.worlds
    plans = {shipped.methods[plan.lead].title: plan for plan in working.plans}
    quoted = rows("Plan")
    assert list(quoted) == list(plans)
    for title, figures in quoted.items():
        plan = plans[title]
        parts = (plan.price, plan.comeback, plan.looks, plan.cost)
        for figure, part in zip(figures, parts, strict=True):
            assert figure == pytest.approx(worlds.mean(part), rel=0.1, abs=0.5)


def test_the_verdict_and_flips_quoted(advice: Advice) -> None:
    assert advice.verdict is Verdict.PLAN
    assert not any(question.worth_asking for question in advice.ask)
    leads = {(flip.fact, flip.then) for flip in advice.flips}
    assert leads == {
        ("skin.feel", "recover_panel"), ("carrier.state", "recover_panel"),
        ("access.back", "machine_restitch"), ("damage.hole_state", "machine_restitch"),
    }  # fmt: skip


def test_the_drag_worked_out(working: Working) -> None:
    worlds = working.situation.worlds

    def middle(name: str) -> float:
        return float(worlds.quantiles(worlds.values[name])[1])

    said = re.search(r"(\d+) × ([\d.]+) / \(2 × (\d+)\) = ([\d.]+) N/mm", DECIDES_PAGE)
    assert said is not None
    force, friction, width, drag = (float(figure) for figure in said.groups())
    assert drag == pytest.approx(force * friction / (2 * width), rel=0.02)
    assert force == near(middle("people.lean_force"))
    assert friction == near(middle("people.friction"))
    assert width == near(middle("part.slide_width"))
    assert near(middle("people.uses")) == 500_000
    assert near(middle("people.weight")) == 1.2
    assert near(middle("load.lean_drag")) == 0.38
    assert near(middle("load.cold")) == 0.18
    for words in ("about 500,000 times", "a fifth more: 0.38 N/mm", "Frost adds 0.18 N/mm"):
        assert words in DECIDES_PAGE


def test_workmanship_quoted(working: Working) -> None:
    outcome = working.situation.outcomes["hand_stitch"]
    worlds = working.situation.worlds
    strong = worlds.mean((outcome.joints[0].usage <= 1.0).astype(float))
    words = DECIDES_PAGE.replace("\n", " ")
    assert "strong enough in 98 of 100 cases" in words
    assert "succeeds in about 96 of 100" in words
    assert 100 * strong == pytest.approx(98, abs=2)
    assert 100 * outcome.method.reliability.mean == pytest.approx(96, abs=1)


def test_the_measurement_quoted(armrest: Case, shipped: RulePack, advice: Advice) -> None:
    measured = advise(
        armrest.with_fact("damage.closing_pull", Span(8, 8)), shipped, flips=False
    )
    words = DECIDES_PAGE.replace("\n", " ")
    assert "was 0.054 N/mm; with the reading it is 0.10 N/mm" in words
    assert "The hand stitch then holds in 93 of 100" in words
    assert measured.plan is not None and measured.plan.lead == "hand_stitch"
    assert near(advice.loads[0].value.typical) == 0.054
    assert near(measured.loads[0].value.typical) == 0.10
    assert 100 * measured.plan.hold_probability == pytest.approx(93, abs=3)
    assert measured.effective_worlds < advice.effective_worlds


def test_a_reading_that_fits_nothing_is_set_aside(
    armrest: Case, shipped: RulePack, advice: Advice
) -> None:
    odd = advise(armrest.with_fact("damage.closing_pull", Span(60, 60)), shipped, flips=False)
    assert odd.findings and odd.loads == advice.loads


# ---- forces-and-joints.md: generated ------------------------------------------------------


@pytest.fixture(scope="module")
def generator() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_relations", DOCS / "make_relations.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_formula_page_is_fresh() -> None:
    command = [sys.executable, str(DOCS / "make_relations.py"), "--check"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_stale_formula_page_is_told_and_mended(
    generator: ModuleType, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "forces-and-joints.md"
    shutil.copy(DOCS / "forces-and-joints.md", page)
    good = page.read_text(encoding="utf-8")
    page.write_text(good.replace("`lap_capacity`", "`lap_load`", 1), encoding="utf-8")
    assert generator.main(["--check"], page) == 1
    assert "is stale: run python docs/make_relations.py" in capsys.readouterr().err
    assert generator.main([], page) == 0
    assert page.read_text(encoding="utf-8") == good
    assert generator.main(["--chekc"], page) == 2


def test_a_page_without_marks_is_refused(generator: ModuleType) -> None:
    with pytest.raises(ValueError, match="the page must hold the lines"):
        generator.fresh("# no marks")


def test_the_row_of_a_relation(generator: ModuleType, shipped: RulePack) -> None:
    page = (DOCS / "forces-and-joints.md").read_text(encoding="utf-8")
    names = re.findall(r"^\| `(\w+)` \|", page, re.MULTILINE)
    own = {name for name in RELATIONS if RELATIONS[name].function.__module__.startswith("advisor.")}
    assert sorted(names) == sorted(own)
    row = next(line for line in page.splitlines() if line.startswith("| `hole_capacity` |"))
    cells = row.split(" | ")
    assert cells[1].startswith("Line load at which the loaded holes tear out.<br>`q = ")
    assert cells[2] == "`hole_strength` N, `pitch` mm"
    assert cells[3] == "N/mm"
    assert "`pitch` 1.5 to 15 mm" in cells[4]
    wired = {node.relation for node in shipped.nodes.values() if node.relation}
    assert generator.wired(paths.rules_folder()) == wired
    assert row.endswith("| yes |")


def test_a_bar_in_a_formula_does_not_break_the_table(generator: ModuleType) -> None:
    def odd(x: float) -> float:
        """Size of a number.

        ``y = |x|``

        x: a number [1]
        Result: y [1]
        Valid: always.
        Source: definition.
        """
        return abs(x)

    example = replace(next(iter(RELATIONS.values())), name="odd", function=odd, inputs={"x": "1"})
    row = generator._row(example, ())
    assert r"`y = \|x\|`" in row and row.count(" | ") == 6


# ---- all pages ------------------------------------------------------------------------------


def anchors(page: str) -> set[str]:
    headings = re.findall(r"^#+ (.*)$", page, re.MULTILINE)
    plain = (re.sub(r"[^\w\- ]", "", heading.lower()) for heading in headings)
    return {heading.replace(" ", "-") for heading in plain}


@pytest.mark.parametrize("name", PAGES)
def test_links_lead_somewhere(name: str) -> None:
    page = (DOCS / name).read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)\s]+)\)", page):
        file, _, anchor = target.partition("#")
        path = (DOCS / file) if file else DOCS / name
        assert path.exists(), target
        if anchor:
            assert anchor in anchors(path.read_text(encoding="utf-8")), target
