"""How long ten rounds take a reader at a usual speed: python -m tests.benchmarks.practice_time

Nobody was measured. A round is played by keys in the real window, and its time is the sum of

* reading: every word that a step newly shows, at 238 words a minute (silent reading of English
  non-fiction by adults: Brysbaert 2019, a meta-analysis of 190 studies, from memory). Lists to
  choose from are searched, not read: of those a third of the words;
* acting: the keystroke-level model (Card, Moran and Newell 1980, from memory): 0.28 s a key (an
  average typist who is no secretary), and 1.35 s of mental preparation before each answer;
* the program: what the window lets one wait before it takes the next key, by the clock.

Looking at drawings is taken as 5 s at the first look, 5 s at the forces and 10 s at the answer (an
estimate). Of the explanation the difference, what to remember, the money, the own and the nearest
other method and the question that settles it are read; the rest is there for who wants it.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field

WORDS_A_MINUTE, SEARCHED = 238.0, 1.0 / 3.0
KEY, MENTAL = 0.28, 1.35
LOOKS = {"look": 5.0, "forces": 5.0, "answer": 10.0}
#: What a round may take (issue of practice): seconds, and keys or clicks.
MOST_SECONDS, MOST_ACTIONS = 180.0, 25
ROWS = "123456789abcdefghijklmnopqrstuvwxyz"


@dataclass
class Spent:
    """What a round took."""

    case: str = ""
    words: float = 0.0
    """Read; of a list that is searched a third."""
    keys: int = 0
    answers: int = 0
    looking: float = 0.0
    waiting: float = 0.0
    """Seconds that the program was waited for."""
    steps: dict[str, float] = field(default_factory=dict)

    def read(self, *texts: str, searched: bool = False) -> None:
        """Words of what is newly shown."""
        count = sum(len(words_in(text)) for text in texts)
        self.words += count * (SEARCHED if searched else 1.0)

    @property
    def seconds(self) -> float:
        """All together."""
        reading = 60.0 * self.words / WORDS_A_MINUTE
        acting = KEY * self.keys + MENTAL * self.answers
        return reading + acting + self.looking + self.waiting


def words_in(text: str) -> list[str]:
    """Words of a text, plain or rich."""
    plain = re.sub(r"<[^>]*>", " ", text).replace("\xa0", " ").replace("&nbsp;", " ")
    return re.findall(r"[^\W_][\w'.,-]*", plain)


class Reader:
    """Plays rounds with the keyboard as the advisor itself would, and counts what that takes."""

    def __init__(self, rounds, press: Callable[[str | int], None], until) -> None:  # type: ignore[no-untyped-def]
        self.rounds, self._press, self._until = rounds, press, until

    def key(self, spent: Spent, *keys: str | int) -> None:
        """One answer."""
        spent.answers += 1
        for key in keys:
            spent.keys += 1
            self._press(key)

    def wait(self, spent: Spent, ready: Callable[[], bool]) -> None:
        """Wait for the program, by the clock."""
        begun = time.perf_counter()
        self._until(ready)
        spent.waiting += time.perf_counter() - begun

    def play(self, enter: int, right: int) -> Spent:
        """One round from its start on the page that is shown to the end of its answer."""
        from advisor.practice.forces import When
        from advisor.practice.round import Step

        spent = Spent()
        rounds, page = self.rounds, self.rounds.round_page
        before = page.round
        self.key(spent, enter)
        # While the last answer was read the next case was looked for: only what is left counts.
        self.wait(spent, lambda: rounds.stack.currentWidget() is page and page.round is not before)
        one = page.round
        spent.case = one.case.title
        spent.looking += LOOKS["look"]
        spent.read(page.title.text(), page.told.text(), page.head.text())
        spent.read(*(f"{item.title} {item.ask}" for item in one.hazards))
        asked: list[str] = []
        while waiting := [item.key for item in one.hazards if item.key not in asked][:1]:
            at = [item.key for item in one.hazards].index(waiting[0])
            self.key(spent, ROWS[at])
            asked += waiting
            spent.read(next(i for i in one.hazards if i.key == waiting[0]).answer)
        self.key(spent, enter)
        titles = list(one.choices.values())
        spent.read(page.head.text())
        spent.read(*titles, searched=True)
        truth = one.truth  # a person thinks here; the window works it out meanwhile
        self.pick(spent, truth.right, "6", enter)
        spent.read(page.head.text())
        spent.read(*(item.title for item in one.observations()), searched=True)
        for question in truth.questions[:1]:
            rows = [item.fact for item in one.observations()]
            if question.fact in rows[: len(ROWS)]:
                self.key(spent, ROWS[rows.index(question.fact)])
                told = next(i for i in one.observations() if i.fact == question.fact)
                spent.read(told.ask, told.answer)
        self.wait(spent, lambda: page.is_ready and page.next.isEnabled())
        self.key(spent, enter)
        if one.step is Step.FORCES:
            spent.looking += LOOKS["forces"]
            offered = [force.cause for force in one.forces().offered]
            spent.read(page.head.text(), *(force.title for force in one.forces().offered))
            times = {When.ALWAYS: "a", When.EACH_USE: "u", When.HARDEST: "h"}
            governing = one.forces().governing
            drawn = [f for f in one.forces().calculated if f.cause in offered][:2]
            drawn.sort(key=lambda force: force.cause == governing)
            when = When.ALWAYS  # a time stays until another is said
            for force in drawn:
                said = [] if force.when is when else [times[force.when]]
                picked = page.board.picked == force.cause
                row = [] if picked else [str(offered.index(force.cause) + 1)]
                self.key(spent, *row, *said, right)
                when = force.when
            last = drawn[-1].cause if drawn else ""
            row = [] if last == governing else [str(offered.index(governing) + 1)]
            self.key(spent, *row, "g")
            self.key(spent, enter)
        spent.read(page.head.text())
        self.pick(spent, "", "9", enter)
        reveal = rounds.reveal_page
        spent.looking += LOOKS["answer"]
        shown = reveal.shown
        spent.read(reveal.headline.text())
        if shown.twin is not None:
            spent.read(reveal.pair.titles[1].text())
            spent.read(*(title for _, title in shown.twin.differences))
            facts = [fact for fact, _ in shown.twin.differences]
            self.key(spent, str(facts.index(shown.twin.fact) + 1))
            spent.read(shown.twin.title, shown.twin.was, shown.twin.is_now)
        spent.read(shown.remember, *(force.words for force in shown.score.forces))
        spent.read(*(reveal._why(wrong, shown) for wrong in shown.wrong[:2]))
        spent.read(*(reveal.settled(item, shown) for item in shown.settling[:1]))
        return spent

    def pick(self, spent: Spent, choice: str, sure: str, enter: int) -> None:
        """Type the fewest letters of a repair that pick it, say how sure, go on."""
        from advisor.gui.practice.round_panels import named

        page = self.rounds.round_page
        panel = page.panels[page.round.step]
        if choice:
            names = list(page.round.choices.values())
            place = list(page.round.choices).index(choice)
            name = names[place].replace("-", " ")
            words = ["".join(filter(str.isalpha, name)), *name.split()]
            ways = [word[:n].lower() for word in words for n in range(1, len(word) + 1)]
            fits = [way for way in ways if way.isalpha() and named(way, names)[:1] == [place]]
            for letter in min(fits, key=len, default=""):
                self._press(letter)
                spent.keys += 1
            if panel.choice != choice:  # names that begin alike: down to it
                row = list(page.round.choices).index(choice)
                panel.list.setCurrentRow(row)
                spent.keys += 2
            spent.answers += 1
        self.key(spent, sure)
        self.key(spent, enter)


def ten_rounds(count: int = 10, seed: int = 1) -> list[Spent]:
    """Rounds over drawn cases, one of each topic in turn, in the window as it is shipped."""
    from PySide6.QtCore import Qt
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    from advisor.gui.app import load_engine, prepare
    from advisor.gui.practice.practice_place import PracticePlace
    from advisor.practice.answers import Help
    from advisor.practice.generating.generate import generate
    from advisor.practice.held_out import is_practised
    from advisor.practice.next_case import teaching_order
    from advisor.session.case_session import Session

    app = QApplication.instance()
    if app is None:
        app = QApplication([])
        prepare(app)
    engine = load_engine(None)
    place = PracticePlace(Session(engine.pack, engine.quick))
    place.resize(1280, 740)
    place.show()
    place.activateWindow()
    QTest.qWait(50)
    place.show_first()
    rounds = place.rounds
    cases = [
        case for n, topic in enumerate(teaching_order()[:count])
        for case in generate(engine.pack, 1, seed + n, topic=topic, kinds=is_practised).cases
    ]  # fmt: skip
    rounds.use_set(tuple(cases))
    rounds.help.setCurrentIndex(rounds.help.findData(Help.ALONE))

    def press(key: str | int) -> None:
        widget = QApplication.focusWidget() or place
        if isinstance(key, str):
            QTest.keyClicks(widget, key)
        else:
            QTest.keyClick(widget, Qt.Key(key))
        app.processEvents()

    def until(ready: Callable[[], bool]) -> None:
        end = time.monotonic() + 60.0
        while not ready():
            QTest.qWait(5)
            if time.monotonic() > end:
                raise TimeoutError("the window does not get ready")

    reader = Reader(rounds, press, until)
    found = []
    for number in range(len(cases)):
        if number:
            # Meanwhile the answer is read, and the next case is looked for.
            until(lambda: rounds._work is None)
        found.append(reader.play(int(Qt.Key.Key_Return), int(Qt.Key.Key_Right)))
    place.hide()
    place.deleteLater()
    return found


def table(found: list[Spent]) -> str:
    """A row for each round, and what all took."""
    lines = [f"{'seconds':>8}{'words':>7}{'keys':>6}{'answers':>9}{'waiting':>9}  case"]
    lines += [
        f"{one.seconds:8.0f}{one.words:7.0f}{one.keys:6d}{one.answers:9d}{one.waiting:8.1f}s  "
        f"{one.case}" for one in found
    ]
    total = sum(one.seconds for one in found)
    lines.append(
        f"{len(found)} rounds: {total:.0f} s, {total / len(found):.0f} s each, at most "
        f"{max(one.seconds for one in found):.0f} s and {max(one.keys for one in found)} keys"
    )
    return "\n".join(lines)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=10)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as nobody:
        for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME"):
            os.environ[name] = nobody
        print(table(ten_rounds(chosen.rounds, chosen.seed)))
    sys.stdout.flush()


if __name__ == "__main__":
    main()
