"""Advice calculated again: identical, or what differs and why. Own rules of this project."""

from __future__ import annotations

import contextlib
import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from sqlalchemy import update

from advisor.advice.advise import advise
from advisor.casebook.adding import add_case
from advisor.casebook.book import Casebook
from advisor.casebook.cases.advised import Advised, advised
from advisor.casebook.database.engine import writing
from advisor.casebook.database.tables import packs
from advisor.casebook.replay import many
from advisor.casebook.replay.many import replay_all, what_changed_it
from advisor.casebook.replay.replay import Replayed, Result, again
from advisor.casebook.replay.stored_rules import (
    CannotRead,
    files_of,
    files_stored,
    keep,
    pack_of,
)
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.facts.faults import BadInput
from advisor.paths import demo_folder, overlay_folder, rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from advisor.session.advice_service import quick_advice
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping
from advisor.session.kept_case_words import replayed
from tests.casebook.conftest import Places
from tests.casebook.shop import NOON

WORLDS = 256
ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def case(pack: RulePack) -> Case:
    return read_case(demo_folder() / "split_armrest.yaml", pack.facts, methods=pack.methods)


@pytest.fixture(scope="module")
def stored(case: Case, pack: RulePack) -> Advised:
    return advised(advise(case, pack, WORLDS, flips=False))


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return files_of(rules_folder(), None)


@pytest.fixture
def shop(places: Places, pack: RulePack, case: Case, stored: Advised):  # type: ignore[no-untyped-def]
    book = Casebook.open(places.new("sqlite"), pack)
    book.write(partial(keep, pack=pack, base=rules_folder(), own=None))
    book.write(partial(add_case, case=case, author="A", at=NOON, pack=pack, advice=stored))
    yield book
    book.shut()


def test_prices_changed_at_work_are_stored_with_what_they_advise(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pack: RulePack, case: Case
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    folders = rules_folder(), overlay_folder()
    keeping = CaseKeeping(tmp_path / "journal.sqlite", str(tmp_path / "book"), pack, folders)
    keeping.start()
    session = Session(pack, quick_advice, keeping=keeping, case=case)
    try:
        overlay_folder().mkdir(parents=True)
        own = overlay_folder() / "prices.yaml"
        shipped = (rules_folder() / "prices.yaml").read_text("utf-8")
        own.write_text(shipped.replace("typical: 70, high: 90", "typical: 88, high: 90"), "utf-8")
        session.use_pack(load_pack())
        session.answer("skin.thickness", Span(1.4, 1.4, "1.4 mm"))
        assert session.advice.rules_digest == session.pack.digest != pack.digest
        session.close_revision("stage")
        key = keeping.keeper.key
        # Under its own rules, and with those of today: both are the changed ones.
        for today in (False, True):
            asked = keeping.ask(partial(replayed, key=key, today=today))
            assert asked.result(60) == "HB-2041: identical"
        # Changed again behind the back of the window: what is advised by the loaded ones is
        # not stored with other files.
        own.write_text(shipped.replace("typical: 70, high: 90", "typical: 89, high: 90"), "utf-8")
        changed = replace(load_pack(), digest="0" * 64)
        assert not keeping.ask(lambda book: book.write(
            partial(keep, pack=changed, base=folders[0], own=folders[1]))).result(60)  # fmt: skip
    finally:
        keeping.stop()


def test_own_rules_left_out_for_their_faults_are_not_stored(
    places: Places, tmp_path: Path, pack: RulePack
) -> None:
    (tmp_path / "prices.yaml").write_text("currency: [", "utf-8")
    book = Casebook.open(places.new("sqlite"), pack)
    assert book.write(partial(keep, pack=pack, base=rules_folder(), own=tmp_path))
    files = book.read(partial(files_stored, digest=pack.digest))
    assert pack_of(files).digest == pack.digest
    book.shut()


def test_the_same_rules_and_program_give_the_same_digest(
    case: Case, stored: Advised, pack: RulePack
) -> None:
    assert again(case, stored, pack).result is Result.IDENTICAL


def test_last_digits_alone_are_told_as_such(case: Case, stored: Advised, pack: RulePack) -> None:
    plan = {**stored.result["plan"]}
    plan["hold_probability"] = round(plan["hold_probability"] * 1.0004, 4)
    other = replace(stored, result={**stored.result, "plan": plan}, digest="other")
    assert again(case, other, pack).result is Result.CLOSE


def test_what_differs_is_named_with_its_cause(
    case: Case, stored: Advised, pack: RulePack
) -> None:
    plan = {**stored.result["plan"], "lead": "adhesive_bond"}
    changed = replace(stored, result={**stored.result, "plan": plan}, digest="other")
    found = again(case, changed, pack)
    assert found.result is Result.DIFFERS
    assert found.differences == ("plan.lead: adhesive_bond, now hand_stitch",)
    assert "same rules and same version" in found.cause
    older = replace(changed, program="0.0.1")
    assert "another program (0.0.1, now " in again(case, older, pack).cause
    assert again(case, replace(changed, pack="1" * 64), pack).cause.startswith("other rules (")


def test_another_case_gives_other_figures(case: Case, stored: Advised, pack: RulePack) -> None:
    found = again(case.with_fact("skin.feel", ("brittle",)), stored, pack)
    assert found.result is Result.DIFFERS
    assert any("hold_probability" in line for line in found.differences)


def test_the_stored_rules_are_kept_once_and_come_back(
    shop: Casebook, pack: RulePack, files: dict[str, bytes]
) -> None:
    shop.write(partial(keep, pack=pack, base=rules_folder(), own=None))
    assert shop.read(partial(files_stored, digest=pack.digest)) == files
    assert pack_of(files, pack.digest).digest == pack.digest


def test_stored_rules_replay_the_same_on_either_database(
    book: Casebook, pack: RulePack, case: Case, stored: Advised
) -> None:
    book.write(partial(keep, pack=pack, base=rules_folder(), own=None))
    book.write(partial(add_case, case=case, author="A", at=NOON, pack=pack, advice=stored))
    for resume in (False, True):
        [(_, found)] = replay_all(book, book.all_keys(), resume=resume)
        assert found.result is Result.IDENTICAL


def test_a_case_is_replayed_under_the_rules_that_are_stored(shop: Casebook) -> None:
    assert [(name, one.result) for name, one in replay_all(shop, shop.all_keys())] == [
        ("HB-2041", Result.IDENTICAL)
    ]


def test_a_run_that_was_stopped_goes_on_where_it_was(
    shop: Casebook, case: Case, stored: Advised, pack: RulePack, monkeypatch: pytest.MonkeyPatch
) -> None:
    def more(connection):  # type: ignore[no-untyped-def]
        for number in range(3):
            add_case(connection, replace(case, name=f"HB-{number}"), "A", NOON, pack, stored)

    shop.write(more)
    keys, calculated = shop.all_keys(), list[str]()
    real = many._calculated

    def counted(case: Case, stored: Advised, digest: str) -> Replayed:
        calculated.append(case.name)
        return real(case, stored, digest)

    monkeypatch.setattr(many, "_calculated", counted)
    run = replay_all(shop, keys, cores=1)
    first = [next(run), next(run)]
    run.close()  # as Ctrl+C does
    assert calculated == ["HB-2041", "HB-0"]
    again_all = list(replay_all(shop, keys, cores=1, resume=True))
    assert calculated == ["HB-2041", "HB-0", "HB-1", "HB-2"]
    assert again_all[:2] == first
    # Without being told to go on, under other rules, or by another program: all of it anew.
    assert list(replay_all(shop, keys, cores=1)) == again_all
    assert len(calculated) == 8
    other = replace(pack, digest="1" * 64)
    list(replay_all(shop, keys, other, cores=1, resume=True))
    assert len(calculated) == 12
    monkeypatch.setattr(many, "__version__", "0.0.1")
    list(replay_all(shop, keys, cores=1, resume=True))
    assert len(calculated) == 16
    # A case that has a new revision since is calculated.
    shop.write(partial(add_case, case=replace(case, name="HB-1", note="more"), author="A",
                       at=NOON, pack=pack, advice=stored))  # fmt: skip
    list(replay_all(shop, keys, cores=1, resume=True))
    assert calculated[16:] == ["HB-1"]


def test_rules_that_are_not_there_changed_or_unreadable_are_told(
    shop: Casebook, pack: RulePack, files: dict[str, bytes], case: Case, stored: Advised
) -> None:
    changed = {**files, "rules/prices.yaml": files["rules/prices.yaml"] + b"# more\n"}
    with pytest.raises(CannotRead, match="were changed"):
        pack_of(changed, pack.digest)
    with pytest.raises(CannotRead, match="this version of the program cannot read the rules"):
        pack_of({**files, "rules/prices.yaml": b"no: prices\n"}, pack.digest)
    with pytest.raises(CannotRead, match="name a file elsewhere"):
        pack_of({"../outside.yaml": b""})
    with writing(shop.engine) as connection:
        connection.execute(update(packs).values(content=b"no zip"))
    [(_, found)] = replay_all(shop, shop.all_keys())
    assert (found.result, found.cause[:31]) == (Result.NOT_READ, "the stored rules are damaged: F")
    with writing(shop.engine) as connection:
        connection.execute(packs.delete())
    # They are those of today, as for a case out of an archive.
    [(_, found)] = replay_all(shop, shop.all_keys())
    assert found.result is Result.IDENTICAL
    older = replace(stored, pack="1" * 64)
    shop.write(partial(add_case, case=replace(case, note="more"), author="A", at=NOON, pack=pack,
                       advice=older))  # fmt: skip
    [(_, found)] = replay_all(shop, shop.all_keys())
    assert found.cause == "the rules 111111111111 are not stored in this casebook"


def test_the_file_that_changed_an_advice_is_named(
    shop: Casebook, files: dict[str, bytes]
) -> None:
    dearer = files["rules/prices.yaml"].replace(b"currency: ", b"# dearer\ncurrency: ", 1)
    harmless = {**files, "rules/prices.yaml": dearer}
    key = shop.all_keys()[0]
    assert what_changed_it(shop, key, harmless) == []
    name = "rules/methods/recolour.yaml"
    without = {**files}
    del without[name]
    # One file gone, one changed in a remark: only the first is named.
    without["rules/prices.yaml"] = dearer
    assert [each.split(" ")[0] for each in what_changed_it(shop, key, without)] == [name]


@pytest.mark.slow
def test_many_cases_on_all_cores_come_in_order(
    shop: Casebook, case: Case, stored: Advised, pack: RulePack
) -> None:
    def more(connection):  # type: ignore[no-untyped-def]
        for number in range(8):
            named = replace(case, name=f"HB-{number}")
            add_case(connection, named, "A", NOON, pack, stored)

    shop.write(more)
    found = list(replay_all(shop, shop.all_keys(), cores=2))
    assert [name for name, _ in found] == ["HB-2041", *(f"HB-{number}" for number in range(8))]
    # Another name is another seed: the others are not what was stored.
    assert found[0][1].result is Result.IDENTICAL
    assert all(one.result in (Result.DIFFERS, Result.CLOSE) for _, one in found[1:])


def with_three_more(shop: Casebook, case: Case, stored: Advised, pack: RulePack) -> list[str]:
    """Keys of all cases, once three like this one were added."""
    def more(connection):  # type: ignore[no-untyped-def]
        for number in range(3):
            add_case(connection, replace(case, name=f"HB-{number}"), "A", NOON, pack, stored)

    shop.write(more)
    return list(shop.all_keys())


@pytest.mark.filterwarnings("ignore")  # of Dask's own, about its ports and timings
def test_a_dask_cluster_gives_the_same_in_the_same_order(
    shop: Casebook, case: Case, stored: Advised, pack: RulePack
) -> None:
    distributed = pytest.importorskip("distributed")

    keys = with_three_more(shop, case, stored, pack)
    here = list(replay_all(shop, keys, cores=1))
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None,
        scheduler_port=0, protocol="tcp://", host="127.0.0.1",
    ) as cluster:  # fmt: skip
        there = list(replay_all(shop, keys, cluster=cluster.scheduler_address))
    assert there == here
    assert here[0][1].result is Result.IDENTICAL


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[str]:
    """The address of a scheduler with two workers, each a process of its own."""
    distributed = pytest.importorskip("distributed")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        host, port = free.getsockname()
    address = f"tcp://{host}:{port}"
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    with contextlib.ExitStack() as stack:

        def start(*words: str) -> None:
            log = stack.enter_context((tmp_path / f"{words[0]}.log").open("ab"))
            started = subprocess.Popen(
                [sys.executable, "-m", f"distributed.cli.dask_{words[0]}", *words[1:],
                 "--no-dashboard"], cwd=tmp_path, env=environment, stdout=log, stderr=log,
            )  # fmt: skip
            stack.callback(started.wait)
            stack.callback(started.kill)

        start("scheduler", "--host", host, "--port", str(port))
        for name in ("one", "two"):
            start("worker", address, "--nthreads", "1", "--no-nanny", "--name", name,
                  "--host", host)  # fmt: skip
        # Client and workers try again until somebody answers there.
        with distributed.Client(address, timeout=60, set_as_default=False) as client:
            client.wait_for_workers(2, timeout=60)
        yield address


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")
def test_a_scheduler_and_worker_processes_by_address_give_the_same_in_the_same_order(
    shop: Casebook, case: Case, stored: Advised, pack: RulePack, cluster: str
) -> None:
    keys = with_three_more(shop, case, stored, pack)
    here = list(replay_all(shop, keys, cores=1))
    # The stored rules are sent to the workers, which know none of this machine's folders.
    assert list(replay_all(shop, keys, cluster=cluster)) == here
    assert here[0][1].result is Result.IDENTICAL
    assert list(replay_all(shop, keys, pack, cluster=cluster)) == here


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_that_is_not_there_is_told(
    shop: Casebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr(many, "PATIENCE", 0.3)
    with pytest.raises(BadInput, match="no Dask scheduler answers there"):
        list(replay_all(shop, shop.all_keys(), cluster="tcp://127.0.0.1:1"))
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(BadInput, match="the package distributed is not installed"):
        list(replay_all(shop, shop.all_keys(), cluster="tcp://127.0.0.1:1"))
