"""One case being worked on: answers, undo, file, autosave. Knows no Qt."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from advisor import paths
from advisor.casebook.cases.described import called
from advisor.facts.case import DAMAGE, PART, Case, EarlierRepair, Span, Value
from advisor.facts.faults import AnswerError, BadInput, Fault
from advisor.facts.quantity import System
from advisor.session.advice_service import (
    Advise,
    AdviseInSlices,
    AdviseThoroughly,
    FullAdvice,
    Pack,
)
from advisor.session.autosave import (
    KeptCase,
    Origin,
    forget,
    next_autosave,
    storable,
    write_autosave,
)
from advisor.session.background import Aside, Thorough
from advisor.session.history import BeforeAnswer, fresh_case, same
from advisor.session.known_file import (
    KnownFile,
    digest_of,
    digest_of_bytes,
    write_known,
)
from advisor.session.memory import give_back
from advisor.session.size_limits import fitting

if TYPE_CHECKING:
    from advisor.advice.advise import Advised
    from advisor.advice.choosing.working import Working
    from advisor.advice.result import Advice, PlanAdvice
    from advisor.casebook.cases.versions import StoredCase
    from advisor.session.casebook_keeping import CaseKeeping

#: Seconds at a time for which the background is waited for.
WAIT = 0.02
#: Undo steps kept; an interview has some sixty answers.
DEPTH = 500


class Session:
    """The case in the window. Every change is on disk before it returns.

    With ``keeping`` that is in the journal of the casebook, else in ``autosave``, the folder
    of which is that of the locks in any case.
    """

    def __init__(
        self,
        pack: Pack,
        advise: Advise,
        autosave: Path | None = None,
        case: Case | None = None,
        advise_fully: AdviseInSlices | None = None,
        advise_thoroughly: AdviseThoroughly | None = None,
        keeping: CaseKeeping | None = None,
    ) -> None:
        self.pack = pack
        self.case = case or fresh_case()
        self.file: KnownFile | None = None
        self.autosave = autosave
        self.system = System.METRIC
        self.left_open: set[str] = set()
        self.tools: frozenset[str] = frozenset()
        """Tools that the shop says it owns."""
        self.rule_folders: tuple[Path, ...] = (paths.overlay_folder(), paths.rules_folder())
        """Where the rules stand, a shop's own first: for telling the place of a rule."""
        self.outgrown: dict[str, Span] = {}
        """Answers taken back because they are not possible on the part since named."""
        self.autosave_fault = ""
        self.kept_at: datetime | None = None
        self._advise = advise
        self._advise_fully = advise_fully
        self._full = FullAdvice()
        self.thorough = Thorough(pack, advise_thoroughly)
        self._thorough_found: Advised | None = None
        self._history: list[BeforeAnswer] = []
        self._undone: list[BeforeAnswer] = []
        self._saved: Case | None = None if case else self.case
        self._advised: Advised | None = None
        self._keeping_told: tuple[str, datetime | None, str] = ("", None, "")
        self.keeping = keeping
        if keeping is not None:
            keeping.begin(self.case)

    # -- what the case holds -------------------------------------------------

    @property
    def begun(self) -> bool:
        """Whether anything was answered that there could be advice on."""
        return bool(self.case.facts)

    @property
    def called(self) -> str:
        """What people call the case: the time it was begun, its name, says nothing to anybody."""
        return self.case.title or called(self.case, self.pack) or (
            self.case.name if self.begun or self.file is not None else "")

    @property
    def advice(self) -> Advice:
        """The advice on the case as it stands, worked out when it is first looked at."""
        return self._quick.advice

    @property
    def working(self) -> Working | None:
        """What the advice rests on; None while that is worked with in the background."""
        full = self._full.found if self._begun and self._full.complete else None
        return (full or self._quick).working

    @property
    def _quick(self) -> Advised:
        if self._advised is None:
            self._advised = self._advise(self.case, self.pack)
        return self._advised

    @property
    def dirty(self) -> bool:
        """Whether something is not in the technician's own file yet."""
        return self._saved is None or not same(self.case, self._saved)

    @property
    def path(self) -> Path | None:
        """The technician's own file, where the case has one."""
        return self.file.path if self.file is not None else None

    @property
    def kept(self) -> bool:
        """Whether the answers are on disk, in the autosave or in the case's own file."""
        somewhere = self.keeping is not None or self.autosave is not None
        return not self.dirty or (somewhere and not self.autosave_fault)

    @property
    def needs_saving(self) -> bool:
        """Whether something would be lost, or missing in the case's own file."""
        return self.dirty and not (self.keeping is not None and self.kept and self.file is None)

    @property
    def kept_in(self) -> Path | None:
        """Where answers are kept until they are in a file or in the casebook."""
        return self.autosave if self.keeping is None else self.keeping.keeper.journal.path

    @property
    def can_undo(self) -> bool:
        """Whether there is an answer to take back."""
        return bool(self._history)

    @property
    def can_redo(self) -> bool:
        """Whether there is an undone answer to give again."""
        return bool(self._undone)

    @property
    def full_is_ready(self) -> bool:
        """Whether ``full_advice`` is at hand and need not be worked out."""
        return self._advise_fully is None or (self._begun and self._full.complete)

    @property
    def full_so_far(self) -> Advice:
        """What ``full_advice`` has come to by now; without flips where it is not begun."""
        return self._full.found.advice if self._begun and self._full.found else self.advice

    @property
    def full_advice(self) -> Advice:
        """The advice with what would change the choice, which takes longer to work out."""
        while self.work_a_slice():
            pass
        return self.full_so_far

    @property
    def rough(self) -> bool:
        """Whether the advice rests on few simulated cases, and more can be had."""
        return self.begun and self.thorough.possible and self.advice.rough

    @property
    def unfinished(self) -> bool:
        """Whether the advice took many simulated cases, and the rest of it is still to come."""
        grown = self._advised is not None and self._advised is self._thorough_found
        return grown and not self.full_is_ready

    def take_thorough(self) -> bool:
        """Take over what was found in the background for this case; whether there was any."""
        quick, full = self.thorough.take(self.case)
        if quick is not None and self.advice.rough:
            self._advised = self._thorough_found = quick
        if full is not None:
            self._full = FullAdvice(self.case, None, full)
            self._full.end()
            give_back()
        return quick is not None or full is not None

    def work_a_slice(self) -> bool:
        """Work on ``full_advice`` for some milliseconds; False once it is complete.

        What was worked out for another case, or for an answer since changed, is dropped.
        Where more is being worked out in the background, that is waited for.
        """
        if self._advise_fully is None:
            return False
        if self.thorough.case is self.case:
            self.thorough.wait(WAIT)
            self.take_thorough()
            return not self.full_is_ready
        if not self._begun:
            steps = self._advise_fully(self.case, self.pack, self._quick)
            self._full = FullAdvice(self.case, steps)
        return self._full.work()

    @property
    def _begun(self) -> bool:
        return self._full.case is self.case

    def advised_on(self, case: Case) -> Advised:
        """The quick advice on a case that is only tried; this session's case stays."""
        return self._advise(case, self.pack)

    def use_pack(self, pack: Pack) -> None:
        """Reckon with other rules from now on; case, undo and files stay as they are.

        The advice is worked out anew when it is next looked at.
        """
        self.pack = pack
        if self.keeping is not None:
            self.keeping.use_pack(pack)
        self._advised = self._thorough_found = None
        self._full = FullAdvice()
        self.thorough.use_pack(pack)

    def answer(self, name: str, value: Value) -> None:
        """Give a fact its answer."""
        self.left_open.discard(name)
        case, taken = self.case.with_fact(name, value), dict[str, Span]()
        if name == PART:
            # No case file could hold them, and the kept case could not be opened again.
            case, taken = fitting(case, self.pack.facts)
        self._change(case, name)
        self.outgrown = {**self.outgrown, **taken}
        self.outgrown.pop(name, None)

    def leave_open(self, name: str) -> None:
        """Leave a fact open; an answer given before is taken back (undo brings it back)."""
        self.left_open.add(name)
        if name in self.case.facts:
            self._change(self.case.without(name), name)

    def set_earlier_repairs(self, repairs: tuple[EarlierRepair, ...] | None) -> None:
        """What was tried before; None where nobody was asked."""
        self._change(replace(self.case, earlier_repairs=repairs), "earlier_repairs")

    def set_photos(self, photos: tuple[str, ...]) -> None:
        """Paths of the photos that belong to the case."""
        self._change(replace(self.case, photos=photos), "photos")

    def set_note(self, note: str) -> None:
        """Free words for the record."""
        self._change(replace(self.case, note=storable(note)), "page.record")

    def set_title(self, title: str) -> None:
        """What the shop calls the job."""
        self._change(replace(self.case, title=storable(title)), "page.record")

    def undo(self) -> str | None:
        """Take the last change back; returns its screen, None where there is nothing."""
        if not self._history:
            return None
        return self._swap(self._history, self._undone)

    def redo(self) -> str | None:
        """Give the answer again that was undone last; returns its screen, None for none."""
        return self._swap(self._undone, self._history) if self._undone else None

    def _swap(self, back: list[BeforeAnswer], forth: list[BeforeAnswer]) -> str:
        """Take up the case on top of ``back``; the one that stands goes on top of ``forth``."""
        moment = back.pop()
        forth.append(BeforeAnswer(self.case, moment.screen))
        self.case = moment.case
        self.outgrown = {n: v for n, v in self.outgrown.items() if n not in self.case.facts}
        self._settle()
        return moment.screen

    # -- files ----------------------------------------------------------------

    def start_new(self) -> None:
        """Begin an empty case."""
        self._replace(fresh_case(), None)
        self._saved = self.case

    def read(self, path: Path) -> Case:
        """A case file under this session's rules. Raises BadInput with every fault."""
        from advisor.facts.case_file import read_case

        return read_case(path, self.pack.facts, methods=tuple(self.pack.methods))

    def open(self, path: Path) -> None:
        """Open a case file. Raises what ``read_case`` raises; the old case then stays."""
        digest = self._digest(path)  # first: what changes while it is read counts as changed
        case = self.read(path)
        self._replace(case, KnownFile(path, digest, case, self._locks))
        self._saved = case

    def restore(
        self, kept: KeptCase, case: Case | None = None, filed: tuple[str, Case] | None = None
    ) -> None:
        """Take up what an earlier run left, or ``case`` made of it; keep it anew at once.

        ``filed`` is digest and content of its file as the technician was shown them: Undo
        leads back to that, and saving asks where the file differs by then. The autosave of
        the earlier run stays: it may go once ``kept`` is true here.
        """
        found = case or kept.case
        if found is None:
            raise ValueError(f"nothing could be read of {kept.autosave}")
        found, taken = fitting(found, self.pack.facts)
        origin = kept.origin.path
        if origin is None or filed is None:
            self._replace(found, None)
            self._saved = None
        else:
            digest, there = filed
            self._replace(there, KnownFile(origin, digest, there, self._locks))
            self._saved = there
            self._change(found, PART)
        if self.dirty:
            self._write_autosave()
        self.outgrown = taken

    def open_stored(self, there: StoredCase) -> None:
        """Go on with a case of the casebook, opened for work."""
        case, taken = fitting(there.case, self.pack.facts)
        self._replace(case, None, there)
        self._saved, self.outgrown = case, taken

    def close_revision(self, reason: str) -> None:
        """Have the casebook close what was answered so far, in the background."""
        if self.keeping is not None and self.begun:
            advice = self._advised.advice if self._advised is not None else None
            self.keeping.close(self.case, reason, advice)

    def follow_keeping(self) -> bool:
        """Take over whether answers can be kept by now; whether there is anything new to say."""
        if self.keeping is None:
            return False
        told = self.keeping.fault, self.keeping.kept_at, self.keeping.waits
        changed, self._keeping_told = told != self._keeping_told, told
        self.autosave_fault, self.kept_at, _ = told
        return changed

    def shop_saw(self, plan: PlanAdvice | None) -> tuple[str, ...]:
        """What stands beside the calculated figure of a plan; nothing before it is looked up."""
        if plan is None or self.keeping is None or self.keeping.experience is None:
            return ()
        damage = self.case.choice(DAMAGE) or ""
        return self.keeping.experience.beside(plan.lead, damage, plan.hold_probability)

    def shop_counts(self, plan: PlanAdvice) -> tuple[str, ...]:
        """The counts alone of jobs like a plan, in short."""
        if self.keeping is None or self.keeping.experience is None:
            return ()
        counts = self.keeping.experience.of(plan.lead, self.case.choice(DAMAGE) or "")
        return tuple(f"in this shop {line}" for line in counts)

    def take_version(self, case: Case, number: int) -> None:
        """Go on with ``case``, after the technician has seen revision ``number`` of others."""
        case, taken = fitting(case, self.pack.facts)
        self._change(case, PART)
        self.outgrown = {**self.outgrown, **taken}
        if self.keeping is not None:
            self.keeping.other = None
            advice = self._advised.advice if self._advised is not None else None
            self.keeping.close(self.case, "merged", advice, number)

    def adopt(self, case: Case, digest: str, theirs: Case) -> None:
        """Go on with ``case``, after the technician has seen ``theirs``: what the file holds now.

        ``digest`` is that of the file. One step that Undo takes back.
        """
        if self.file is not None:
            self.file.know(digest, theirs)
        self._saved = theirs
        case, taken = fitting(case, self.pack.facts)
        self._change(case, PART)
        self.outgrown = {**self.outgrown, **taken}
        if self.dirty:
            self._write_autosave()  # its note of origin names the file as seen now
        else:
            self.drop_autosave()

    def save(self, path: Path, over: str | None = None) -> None:
        """Write the case to the technician's own file.

        Raises FileChanged where there lies what this window has neither read nor written,
        unless its digest is ``over``: what the technician was shown and is to be replaced.
        Raises AnswerError or BadInput where it cannot be written.
        """
        known = self.file
        data = write_known(self.case, self.pack.facts, path, known, over, self._locks)
        self._know(KnownFile(path, digest_of_bytes(data), self.case, self._locks))
        self._saved = self.case
        self.drop_autosave()

    def set_aside(self) -> None:
        """Keep the autosave of this case for the next start; go on in another one.

        Where it cannot be kept, ``kept`` is false and all stays as it was.
        """
        self._write_autosave()
        if self.autosave is not None and not self.autosave_fault:
            self.autosave = next_autosave(self.autosave)

    def drop_autosave(self) -> None:
        """Forget the autosave, once the case is saved or given up."""
        if self.autosave is not None and self.keeping is None:
            forget(self.autosave)

    def release(self) -> None:
        """The window closes: others may have the file to themselves."""
        self.close_revision("left")
        if self.file is not None:
            self.file.release()

    def keep_now(self) -> None:
        """Write the autosave once more, for the moment something went wrong."""
        if self.dirty:
            self._write_autosave()

    # -- inside ----------------------------------------------------------------

    def _change(self, case: Case, screen: str) -> None:
        if same(case, self.case):
            return
        self._history.append(BeforeAnswer(self.case, screen))
        self._undone.clear()
        del self._history[:-DEPTH]
        self.case = case
        self._settle()

    def _settle(self) -> None:
        # Side by side, for one waits for the disk and one for the processor. The answer is on
        # disk before this returns: a fault in the advice must not cost it.
        writing = Aside(self._write_autosave)
        before = self._advised.advice.verdict if self._advised is not None else None
        self.thorough.stop()
        # What was worked out for the case before holds every simulated case of it.
        self._full, self._advised, self._thorough_found = FullAdvice(), None, None
        try:
            self._advised = self._advise(self.case, self.pack)
        finally:
            writing.finish()
        if before is not self._advised.advice.verdict:
            self.close_revision("verdict")

    @property
    def _locks(self) -> Path | None:
        """Folder of the locks by which windows know of each other."""
        return self.autosave.parent if self.autosave is not None else None

    @staticmethod
    def _digest(path: Path) -> str:
        try:
            return digest_of(path)
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or "not a usable file name"
            problem = f"cannot be read: {reason}"
            raise BadInput(Fault(str(path), 0, 0, "", problem, "", "")) from None

    def _know(self, file: KnownFile | None) -> None:
        before, self.file = self.file, file
        if before is not None:
            if file is not None:
                file.follow(before)
            before.release()
        if file is not None:
            _ = file.elsewhere  # takes the lock, where no other window has it

    def _replace(
        self, case: Case, file: KnownFile | None, stored: StoredCase | None = None
    ) -> None:
        # What can fail comes first: never one case with the title and file of another.
        advised = self._advise(case, self.pack)
        self.close_revision("left")
        if self.keeping is not None:
            self.keeping.begin(case, stored, filed=file is not None)
        self.thorough.stop()
        self._know(file)
        self.case, self._advised = case, advised
        self._full, self._thorough_found = FullAdvice(), None
        self._history.clear()
        self._undone.clear()
        self.left_open.clear()
        self.outgrown.clear()
        self.drop_autosave()
        give_back()

    def _write_autosave(self) -> None:
        if self.keeping is not None:
            self.keeping.keep(self.case)
            self.autosave_fault, self.kept_at = self.keeping.fault, self.keeping.kept_at
            return
        if self.autosave is None:
            return
        file = self.file
        origin = Origin(file.path.absolute(), file.digest) if file else Origin()
        try:
            write_autosave(self.autosave, self.case, self.pack.facts, origin)
        except OSError as error:
            # A full disk must not stop the interview; the window says so in large letters.
            self.autosave_fault = f"{self.autosave}: cannot be written: {error.strerror or error}"
        except (AnswerError, ValueError) as error:
            self.autosave_fault = str(error)
        else:
            self.autosave_fault = ""
            self.kept_at = datetime.now()
