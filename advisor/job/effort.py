"""Minutes of a plan: what each piece of work takes, and what has to wait for a cure."""

from __future__ import annotations

from collections.abc import Sequence
from graphlib import TopologicalSorter

from advisor.advice.choosing.methods import charged_size, title_here
from advisor.job.estimates import three_point, total
from advisor.job.model import Item, Ready, Slot, Task, Wait, WorkKind
from advisor.job.sample import Sample
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import Charge, Method
from advisor.wording.figures import Range


def in_order(methods: Sequence[str], pack: RulePack) -> tuple[str, ...]:
    """Methods in a workable order: topological over what each must come before.

    A method of a lower ``order`` comes before one of a higher; equal ones are free of each
    other and are put by name.
    """
    sorter: TopologicalSorter[str] = TopologicalSorter({key: set() for key in methods})
    for later in methods:
        for earlier in methods:
            if pack.methods[earlier].order < pack.methods[later].order:
                sorter.add(later, earlier)
    sorter.prepare()
    found: list[str] = []
    while sorter.is_active():
        ready = sorted(sorter.get_ready(), key=lambda key: (pack.methods[key].order, key))
        found += ready
        sorter.done(*ready)
    return tuple(found)


def work_items(methods: Sequence[str], sample: Sample) -> tuple[Item, ...]:
    """Three-point minutes of every piece of work that applies.

    What has to come off comes off once: of the methods that take apart and refit only the one
    for which that takes longest has it.
    """
    pack = sample.worlds.pack
    found = [
        _item(pack.methods[key], charge, here)
        for key, here in ((key, sample.at_work(key)) for key in methods)
        for charge in pack.methods[key].work
        if here.applies(charge.when)
    ]
    apart = {
        key: sum(i.estimate.expected for i in found if i.method == key and _opens(i))
        for key in methods
    }
    opens = max(methods, key=lambda key: apart[key], default="")
    kept = (item for item in found if item.method == opens or not _opens(item))
    return tuple(item for item in kept if item.minutes.high > 0.0)


def _opens(item: Item) -> bool:
    return item.kind is WorkKind.ACCESS


def _item(method: Method, charge: Charge, sample: Sample) -> Item:
    minutes = scaled(charge, sample)
    kind = WorkKind.SET_UP if charge.set_up else WorkKind.WORK
    if charge.access:
        kind = WorkKind.ACCESS
    estimate = three_point(minutes.low, minutes.typical, minutes.high)
    return Item(method.key, charge.what, kind, minutes, estimate, charge.extent)


def scaled(charge: Charge, sample: Sample) -> Range:
    """A charge times its size: least at the smallest size, most at the largest."""
    size = sample.range(charged_size(charge, sample.worlds))
    spread = charge.spread
    return Range(
        max(spread.low * size.low, 0.0),
        max(spread.typical * size.typical, 0.0),
        max(spread.high * size.high, 0.0),
    )


def waits_of(methods: Sequence[str], sample: Sample) -> tuple[Wait, ...]:
    """Cures and drying times of a plan, in its order."""
    found = []
    for key in methods:
        here = sample.at_work(key)
        for rule in here.worlds.pack.whole(key).waits:
            if here.applies(rule.when):
                known = rule.minutes
                minutes = Range(known.low, known.typical, known.high)
                found.append(Wait(key, rule.title, minutes, rule.before))
    return tuple(found)


def tasks_of(
    part: str,
    methods: Sequence[str],
    items: Sequence[Item],
    waits: Sequence[Wait],
    sample: Sample,
) -> tuple[Task, ...]:
    """One task a method: its minutes, and the longest wait the next method has to sit out."""
    found = []
    for key in methods:
        minutes = total(item.estimate for item in items if item.method == key).expected
        held = [wait for wait in waits if wait.method == key and wait.before == "next"]
        longest = max(held, key=lambda wait: wait.minutes.typical, default=None)
        method = sample.worlds.pack.methods[key]
        called = title_here(method, sample.at_work(key).worlds)
        pause = longest.minutes.typical if longest is not None else 0.0
        title = longest.title if longest is not None else ""
        found.append(Task(part, key, called, method.order, minutes, pause, title))
    return tuple(found)


def schedule(tasks: Sequence[Task]) -> tuple[Slot, ...]:
    """One pair of hands: what is done when, other work going on while something cures.

    A task waits for all tasks of its own part with a lower order and for their cures. Of
    what is ready the one with most still to come behind it goes first.
    """
    left = list(tasks)
    done: dict[int, float] = {}
    slots: list[Slot] = []
    now = 0.0
    while left:
        ready = {id(task): _ready(task, tasks, done) for task in left}
        free = [task for task in left if ready[id(task)] <= now + 1e-9]
        if not free:
            now = min(moment for moment in ready.values())
            continue
        task = max(free, key=lambda t: (_behind(t, left), -tasks.index(t)))
        end = now + task.minutes
        slots.append(Slot(task.part, task.method, task.title, True, now, end))
        if task.wait > 0.0:
            until = end + task.wait
            slots.append(Slot(task.part, task.method, task.wait_title, False, end, until))
        done[id(task)] = end + task.wait
        left.remove(task)
        now = end
    return tuple(slots)


def _ready(task: Task, tasks: Sequence[Task], done: dict[int, float]) -> float:
    """When a task may begin; without end while something before it is not done."""
    before = [t for t in tasks if t.part == task.part and t.order < task.order]
    return max((done.get(id(t), float("inf")) for t in before), default=0.0)


def _behind(task: Task, left: Sequence[Task]) -> float:
    """Minutes that cannot start before this task is done, its own cure with them."""
    later = [t for t in left if t.part == task.part and t.order > task.order]
    return task.wait + sum(t.minutes + t.wait for t in later)


def ready_times(
    part: str, slots: Sequence[Slot], waits: Sequence[Wait]
) -> tuple[Ready, ...]:
    """When each cure that only use must wait for is over, likely [min from the start]."""
    found = []
    for wait in waits:
        done = [s.end for s in slots if s.part == part and s.method == wait.method and s.hands]
        if wait.before == "use" and done:
            found.append(Ready(part, wait.title, max(done) + wait.minutes.typical))
    return tuple(sorted(found, key=lambda ready: ready.at))


def finished(slots: Sequence[Slot]) -> float:
    """When the last hands-on minute and the last cure are over [min from the start]."""
    return max((slot.end for slot in slots), default=0.0)
