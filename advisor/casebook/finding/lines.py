"""What is looked for, and what is found: a search and a line of a list. No database."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields


@dataclass(frozen=True)
class Search:
    """What is looked for; what is empty takes no part.

    ``words`` must all occur, the last one at least as a beginning; words of the customer and
    the vehicle count too. The others are compared as the rules name them. Days are ISO dates,
    the last one included.
    """

    words: str = ""
    part: str = ""
    skin: str = ""
    damage: str = ""
    lead: str = ""
    verdict: str = ""
    outcome: str = ""
    customer: str = ""
    """Words of the customer's name or reference."""
    since: str = ""
    until: str = ""
    vehicle: int | None = None
    in_bin: bool = False

    def form(self) -> str:
        """As JSON, without what is empty."""
        return json.dumps({name: value for name, value in asdict(self).items() if value})

    @classmethod
    def of_form(cls, form: str) -> Search:
        """What `form` gave; what a newer program added is passed over."""
        known = {field.name for field in fields(cls)}
        return cls(**{name: value for name, value in json.loads(form).items() if name in known})


@dataclass(frozen=True)
class CaseLine:
    """One case in a list. Times are milliseconds since 1970, UTC."""

    id: int
    key: str
    name: str
    called: str
    part: str | None
    skin: str | None
    damage: str | None
    lead: str | None
    verdict: str | None
    hold: float | None
    outcome: str | None
    begun: int
    changed: int
    follow_up: int | None
    version: int
