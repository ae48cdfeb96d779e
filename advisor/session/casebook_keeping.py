"""The case in the window, kept in the casebook from its first answer. Knows no Qt.

Every change is in the journal before `keep` returns; the casebook itself is opened in the
background and takes it in from there. Revisions are made when the verdict changes, at a
change of stage, and when the case is left. A case file that is opened is looked for by its
name meanwhile: where the casebook has the case, its answers go on top of that.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from advisor.casebook.background import Background
from advisor.casebook.journal.journal import Journal
from advisor.casebook.journal.keeper import Keeper, now_ms
from advisor.facts.case import Case, EarlierRepair
from advisor.facts.faults import BadInput

if TYPE_CHECKING:
    from concurrent.futures import Future

    from sqlalchemy import Connection

    from advisor.advice.result import Advice
    from advisor.casebook.book import Casebook
    from advisor.casebook.cases.keep import OtherVersion
    from advisor.casebook.cases.versions import StoredCase
    from advisor.casebook.outcomes.experience import Experience
    from advisor.casebook.taking_over import Beside, TakenOver

T = TypeVar("T")
#: Longest side of a photo in a list and on paper, px.
SMALL, ON_PAPER = 160, 1400


@dataclass(frozen=True)
class KeptPhoto:
    """A photo of the case in the window."""

    digest: str
    name: str
    moment: str
    """``before``, ``after`` or empty."""
    small: bytes
    """JPEG; empty where it is missing or damaged."""


class CaseKeeping:
    """Keeps one case after another; what it cannot do is in ``fault`` and ``waits``.

    ``place`` is a casebook's folder or address. ``rules`` are the folders of the rules in
    use (its own need not be there), so that they can be stored with what they advised; None
    stores none.
    """

    def __init__(
        self, journal: Path, place: str, pack: Any, rules: tuple[Path, Path | None] | None = None
    ) -> None:
        self.keeper = Keeper(Journal(journal))
        self.other: OtherVersion | None = None
        """Another version of the case in the window, to be merged."""
        self.from_file = False
        """Whether ``other`` is what the casebook has of the name of the file just opened."""
        self.experience: Experience | None = None
        """What this shop saw so far; None until it was looked up, or is to be looked up anew."""
        self._pack, self._rules, self._place = pack, rules, place
        self._stored_pack = self._not_closed = ""
        self._book = Background(self.keeper.journal, self._open_book, self.keeper)
        self.started = False
        """Whether answers go on into the casebook: not before the first window stands."""

    def start(self) -> None:
        """Begin to take in, once the window stands."""
        self.started = True
        self._book.start()

    def stop(self) -> None:
        """The window closes."""
        if self.started:
            self._book.stop()
        self.keeper.journal.close()

    @property
    def fault(self) -> str:
        """Why answers are in memory only; empty where they are on disk."""
        return self.keeper.fault

    @property
    def waits(self) -> str:
        """Why answers are on this machine only, or in no revision yet; empty where all is well."""
        return self._book.fault or self._not_closed

    @property
    def kept_at(self) -> datetime | None:
        """When the last answer came to disk."""
        at = self.keeper.kept_at
        return None if at is None else datetime.fromtimestamp(at / 1000)

    def begin(self, case: Case, stored: StoredCase | None = None, filed: bool = False) -> None:
        """Another case is in the window: a new one, one of the casebook, or one of a file."""
        self.other, self.from_file, self._not_closed = None, False, ""
        if stored is not None:
            self.keeper.begin(case, key=stored.key, base=stored.number)
            return
        self.keeper.begin(case)
        if filed:
            self._book.ask(partial(self._recognise, case=case, was=self.keeper.key))

    def is_another(self, case: Case) -> None:
        """The file just opened is not the case of its name that the casebook has."""
        self.begin(case)
        self.keep(case)

    def use_pack(self, pack: Any) -> None:
        """Other rules are in use from now on: they are stored with what they advise."""

        def use(book: Casebook) -> None:
            book.pack = pack

        self._pack = pack
        if self.started:
            self._book.ask(use)

    def keep(self, case: Case) -> bool:
        """Have every change on disk; whether it is. Nothing is raised."""
        kept = self.keeper.keep(case)
        if self.started:
            self._book.nudge()
        return kept

    def close(
        self, case: Case, reason: str, advice: Advice | None, seen: int | None = None
    ) -> None:
        """Make a revision of the case as it is kept by now, in the background.

        ``seen`` is the number of another version that was merged into it.
        """
        keeper = self.keeper
        if not self.started or not keeper.serial:
            return
        key, writer, serial, base = keeper.key, keeper.writer, keeper.serial, keeper.base
        work = partial(
            self._close, case=case, reason=reason, advice=advice, key=key, writer=writer,
            serial=serial, seen=base if seen is None else seen, author=keeper.author,
            pack=self._pack,
        )  # fmt: skip
        self._book.ask(work).add_done_callback(partial(self._closed, key))

    def ask(self, work: Callable[[Casebook], T]) -> Future[T]:
        """Have something done with the casebook, in the background."""
        return self._book.ask(work)

    @property
    def folder(self) -> Path | None:
        """Where the casebook and its backups are; None for a server."""
        from advisor.casebook.database.engine import is_url

        return None if is_url(self._place) else Path(self._place)

    def restore(self, backup: Path) -> Future[Path | None]:
        """Put a backup in the place of the casebook; where the old one is then.

        The case in the window is to be kept anew after it: `after_restoring`.
        """
        from advisor.casebook.archives.backups import restore

        folder = self.folder
        assert folder is not None
        self._stored_pack = ""
        return self._book.ask_shut(partial(restore, folder, backup, datetime.now()))

    def after_restoring(self, case: Case, aside: Path | None) -> Future[Beside | None]:
        """Keep the case in the window anew; what the casebook put ``aside`` has besides.

        The case keeps its key, whether the casebook in place has it, an older state of it, or
        nothing. The future holds None where nothing was put aside.
        """
        return self._book.ask(partial(self._after_restoring, case=case, aside=aside))

    def take_over(self, path: Path) -> Future[TakenOver]:
        """Add what another database of this shop has."""
        from advisor.casebook.taking_over import take_over

        return self._book.ask(partial(take_over, path=path))

    def _after_restoring(self, book: Casebook, *, case: Case, aside: Path | None) -> Beside | None:
        from advisor.casebook.cases.versions import row_of
        from advisor.casebook.taking_over import after_restoring

        keeper = self.keeper
        if keeper.serial or keeper.base:
            key = keeper.key
            there = None
            if book.read(partial(row_of, key=key)) is not None:
                there = book.open_for_work(key, keeper.author)
            base, stored = (0, Case("")) if there is None else (there.number, there.case)
            keeper.begin(case, key=key, base=base, stored=stored)
            keeper.keep(case)
            book.take_in(keeper.journal)
        return None if aside is None else after_restoring(book, aside)

    def attach(self, case: Case, photos: Sequence[tuple[str, bytes]]) -> Future[None]:
        """Have photos, with what they are called, belong to the case in the window.

        The case is kept from then on. The future raises ValueError for what is no photo.
        """
        self.keep(case)
        return self._book.ask(partial(self._attach, key=self.keeper.key, photos=tuple(photos)))

    def photos(self, book: Casebook) -> list[KeptPhoto]:
        """The photos of the case in the window, small."""
        from advisor.casebook.photos.attached import attached, previews_of

        listed = book.read(partial(attached, key=self.keeper.key))
        small = book.read(partial(previews_of, photos=listed, longest=SMALL, store=book.files))
        return [
            KeptPhoto(photo.digest, photo.name, photo.moment, data)
            for photo, data in zip(listed, small, strict=True)
        ]

    def pairs(self, book: Casebook, longest: int = ON_PAPER) -> list[tuple[bytes, bytes]]:
        """Photos of the case before and after, as JPEG; empty where one has no other."""
        from advisor.casebook.photos.attached import pairs

        key = self.keeper.key
        return book.read(partial(pairs, key=key, longest=longest, store=book.files))

    def change_photo(self, digest: str, moment: str | None) -> Future[None]:
        """Say when a photo was taken, ``before`` or ``after``; None takes it from the case."""
        from advisor.casebook.photos.attached import set_moment, take_away

        key = self.keeper.key
        work = (
            partial(take_away, key=key, digest=digest) if moment is None
            else partial(set_moment, key=key, digest=digest, moment=moment)
        )  # fmt: skip
        return self._book.ask(lambda book: book.write(work))

    @staticmethod
    def _attach(book: Casebook, *, key: str, photos: tuple[tuple[str, bytes], ...]) -> None:
        from advisor.casebook.photos.attached import BEFORE, attach

        def put(connection: Connection) -> None:
            for name, data in photos:
                try:
                    attach(connection, key, data, name, BEFORE, now_ms(), book.files)
                except ValueError as error:
                    raise ValueError(f"{name}: {error}") from None

        book.write(put)

    def learn(self, book: Casebook) -> Experience:
        """Look up what this shop saw, unless it is known and nothing was entered since."""
        from advisor.casebook.outcomes.experience import experience

        found = self.experience
        if found is None:
            found = self.experience = book.read(partial(experience, now=now_ms()))
        return found

    def earlier(self, book: Casebook) -> tuple[EarlierRepair, ...]:
        """What the casebook has of earlier repairs to the part in the window, by its vehicle."""
        from advisor.casebook.people import earlier_for

        return book.read(partial(earlier_for, key=self.keeper.key, now=now_ms()))

    def customer(self, book: Casebook) -> str:
        """What the customer of the case in the window is called; empty where nobody said."""
        from advisor.casebook.people import customers_known, people_of

        number, _ = book.read(partial(people_of, key=self.keeper.key))
        return "" if number is None else book.read(customers_known)[number].name

    def _open_book(self) -> Casebook:
        from advisor.casebook.book import Casebook

        book = Casebook.open(self._place, self._pack)
        if book.back_up_if_due(datetime.now()) is not None:
            book.clear_unused(now_ms())
        return book

    def _recognise(self, book: Casebook, *, case: Case, was: str) -> None:
        from advisor.casebook.adding import moved, recognise
        from advisor.casebook.cases.versions import row_of

        if self.keeper.key != was and book.read(partial(row_of, key=was)) is None:
            return  # it was only looked at, and another case is in the window
        find = partial(recognise, author=self.keeper.author, at=now_ms(), pack=book.pack)
        found = book.write(partial(find, case=case, besides=was))
        if found is None:
            return
        here = self.keeper.recognised(was, found.key, found.base, found.based)
        if here:
            self.from_file, self.other = found.other is not None, found.other
        # What was answered before it was found: kept again above, else moved.
        book.take_in(self.keeper.journal)
        move = partial(moved, author=self.keeper.author, at=now_ms(), pack=book.pack)
        book.write(partial(move, was=was, to=None if here else found))

    def _close(
        self, book: Casebook, *, case: Case, reason: str, advice: Advice | None, key: str,
        writer: str, serial: int, seen: int, author: str, pack: Any,
    ) -> int:  # fmt: skip
        from advisor.casebook.cases.advised import advised
        from advisor.casebook.cases.keep import Closing

        kept = advised(advice) if advice is not None else None
        if kept is not None:
            self._store_pack(book, pack, kept.pack)
        closing = Closing(case, {writer: serial}, seen, reason, author, now_ms(), kept)
        return book.close(key, closing)

    def _store_pack(self, book: Casebook, pack: Any, digest: str) -> None:
        from advisor.casebook.replay.stored_rules import keep

        if self._rules is not None and self._stored_pack != digest == pack.digest:
            base, own = self._rules
            book.write(partial(keep, pack=pack, base=base, own=own))
            self._stored_pack = digest

    def _closed(self, key: str, done: Future[int]) -> None:
        if done.cancelled() or key != self.keeper.key:
            return
        error = done.exception()
        self._not_closed = ""
        if error is None:
            self.keeper.closed(done.result())
        elif hasattr(error, "theirs"):  # its class is not loaded before the casebook is
            self.from_file = False
            self.other = error  # type: ignore[assignment]
        elif not isinstance(error, BadInput):  # that it cannot be used is told already
            self._not_closed = (
                f"The record of this stage was not closed: {error}. Every answer is kept; it is "
                "closed with the next stage."
            )


def taken_in_autosaves(
    book: Casebook,
    folder: Path,
    facts: Mapping[str, Any],
    methods: Collection[str],
    free: Callable[[Path], bool],
) -> int:
    """Put the autosaves of earlier versions of the program into the casebook; how many.

    An autosave is deleted once it is stored; one of a living window (not ``free``), one that
    cannot be read wholly and one that belongs to a case file stay, and are offered as before.
    """
    from advisor.casebook.adding import add_case
    from advisor.session.autosave import forget, read_autosave

    count = 0
    for path in sorted(folder.glob("autosave-*.yaml")):
        if not free(path):
            continue
        kept = read_autosave(path, facts, methods)
        if kept.case is None or kept.unread or kept.origin.path is not None:
            continue
        author = ""
        at = int(kept.written.timestamp() * 1000) if kept.written else now_ms()
        book.write(partial(add_case, case=kept.case, author=author, at=at, pack=book.pack))
        forget(path)
        count += 1
    return count
