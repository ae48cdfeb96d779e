"""Customers and vehicles: apart from the cases, and erased without breaking a chain.

A revision holds SHA-256 of a salt of 32 random bytes and what was told; salt and text are in
the customer's own row alone. Without the row nothing can be read from a revision, nor guessed:
without a salt a telephone number is found in a hundred tries.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Table, delete, select, update

from advisor.casebook.cases.chain import canonical
from advisor.casebook.database.engine import upsert
from advisor.casebook.database.tables import cases, customers, outcomes, settings, vehicles
from advisor.casebook.outcomes.entries import YEAR_MS, State
from advisor.facts.case import EarlierRepair

#: What a setting is called that notes an erased customer or vehicle.
_ERASED = "erased "


@dataclass(frozen=True)
class Customer:
    """Whoever brought the job."""

    name: str
    contact: str = ""
    reference: str = ""
    """An order number, or what the customer calls the job."""


@dataclass(frozen=True)
class Vehicle:
    """What the part belongs to, so that the same one is known again."""

    name: str
    mark: str = ""
    """Fleet number, hull number or plate."""


def commitment(salt: bytes, told: Mapping[str, Any]) -> str:
    """What stands for a customer or vehicle in a revision."""
    return hashlib.sha256(salt + canonical(dict(told))).hexdigest()


def add(connection: Connection, whom: Customer | Vehicle) -> int:
    """Store a customer or vehicle, or find the one told just so; its number."""
    table: Table = customers if isinstance(whom, Customer) else vehicles
    told = asdict(whom)
    same = [table.c[name] == value for name, value in told.items()]
    found: int | None = connection.execute(select(table.c.id).where(*same)).scalar()
    if found is not None:
        return found
    salt = secrets.token_bytes(32)
    values = {**told, "salt": salt, "commitment": commitment(salt, told)}
    key: Any = connection.execute(table.insert().values(values)).inserted_primary_key
    return int(key[0])


def belongs_to(
    connection: Connection, key: str, customer: int | None = None, vehicle: int | None = None
) -> None:
    """Note whose a case is; what is None stays as it is. Raises KeyError."""
    given = {"customer_id": customer, "vehicle_id": vehicle}
    values = {name: value for name, value in given.items() if value is not None}
    if values:
        done = connection.execute(update(cases).where(cases.c.key == key).values(values))
        if done.rowcount != 1:
            raise KeyError(key)


def customer_of(connection: Connection, number: int) -> Customer | None:
    """A customer; None once erased."""
    return customers_known(connection).get(number)


def vehicle_of(connection: Connection, number: int) -> Vehicle | None:
    """A vehicle; None once erased."""
    return vehicles_known(connection).get(number)


def customers_known(connection: Connection) -> dict[int, Customer]:
    """All customers by number, in the order of their names."""
    rows = connection.execute(select(customers).order_by(customers.c.name)).mappings()
    names = [field.name for field in fields(Customer)]
    return {row["id"]: Customer(**{name: row[name] for name in names}) for row in rows}


def vehicles_known(connection: Connection) -> dict[int, Vehicle]:
    """All vehicles by number, in the order of their names."""
    rows = connection.execute(select(vehicles).order_by(vehicles.c.name)).mappings()
    names = [field.name for field in fields(Vehicle)]
    return {row["id"]: Vehicle(**{name: row[name] for name in names}) for row in rows}


def people_of(connection: Connection, key: str) -> tuple[int | None, int | None]:
    """Numbers of the customer and the vehicle that a case belongs to."""
    asked = select(cases.c.customer_id, cases.c.vehicle_id).where(cases.c.key == key)
    row = connection.execute(asked).first()
    return (None, None) if row is None else (row.customer_id, row.vehicle_id)


def erase_customer(connection: Connection, number: int) -> None:
    """Delete a customer; the cases stay, and say no more whose they were.

    The bytes are gone from the file once `forget_for_good` ran; backups and archives keep them.
    """
    _erase(connection, customers, number)


def erase_vehicle(connection: Connection, number: int) -> None:
    """Delete a vehicle; the cases stay."""
    _erase(connection, vehicles, number)


def _erase(connection: Connection, table: Table, number: int) -> None:
    asked = select(table.c.commitment).where(table.c.id == number)
    stood: str | None = connection.execute(asked).scalar()
    if stood is not None:
        # It says nothing without its salt; an older casebook taken over leaves the name out.
        upsert(connection, settings, {"name": f"{_ERASED}{short(stood)}", "value": ""})
        connection.execute(delete(table).where(table.c.id == number))


def short(stood: str) -> str:
    """As much of what stands for a customer or vehicle as is noted once it is erased."""
    return stood[:40]


def erased(connection: Connection) -> frozenset[str]:
    """What stood for customers and vehicles that were erased, shortened."""
    asked = select(settings.c.name).where(settings.c.name.startswith(_ERASED))
    return frozenset(name.removeprefix(_ERASED) for name in connection.execute(asked).scalars())


def erase_again(connection: Connection, gone: frozenset[str]) -> int:
    """Erase those that were erased elsewhere; how many there were here."""
    count = 0
    for table in (customers, vehicles):
        for row in connection.execute(select(table.c.id, table.c.commitment)).all():
            if short(row.commitment) in gone:
                _erase(connection, table, row.id)
                count += 1
    return count


def earlier_for(connection: Connection, key: str, now: int) -> tuple[EarlierRepair, ...]:
    """What was done before to the part and vehicle of a case; nothing where either is open."""
    asked = select(cases.c.vehicle_id, cases.c.part).where(cases.c.key == key)
    row = connection.execute(asked).first()
    if row is None or row.vehicle_id is None or row.part is None:
        return ()
    return earlier_repairs(connection, row.vehicle_id, row.part, now, besides=key)


def earlier_repairs(
    connection: Connection, vehicle: int, part: str, now: int, besides: str = ""
) -> tuple[EarlierRepair, ...]:
    """What was done before to a part of this vehicle, for a new case, the last one first.

    ``besides`` is the key of the new case itself. Only cases with a plan count. Each says that
    it is from the casebook, and whether anybody noted that the job was done; how long it
    lasted is what was entered as outcome.
    """
    asked = (
        select(cases)
        .where(cases.c.vehicle_id == vehicle, cases.c.part == part, cases.c.key != besides,
               cases.c.lead.is_not(None), cases.c.binned.is_(None))
        .order_by(cases.c.begun.desc())
    )  # fmt: skip
    found = []
    for row in connection.execute(asked).mappings():
        last = connection.execute(
            select(outcomes).where(outcomes.c.case_id == row["id"]).order_by(outcomes.c.at.desc())
        ).mappings().first()  # fmt: skip
        ago = _time((now - row["begun"]) / YEAR_MS)
        noted = last is not None or row["follow_up"] is not None
        result = f"done {ago} ago" if noted else f"advised {ago} ago, not noted as done"
        if last is not None and last["state"] == State.BACK:
            result = f"came back: {last['failed']}".rstrip(": ")
        lasted = _time(last["years"]) if last is not None and last["years"] is not None else ""
        begun = datetime.fromtimestamp(row["begun"] / 1000)
        what = f"{row['called']} (casebook, {begun:%b %Y})"
        found.append(EarlierRepair(row["lead"], what, result, lasted))
    return tuple(found)


def _time(years: float) -> str:
    if years >= 1:
        count, unit = round(years), "year"
    elif years >= 1 / 12:
        count, unit = round(years * 12), "month"
    else:
        count, unit = max(1, round(years * 365.25 / 7)), "week"
    return f"{count} {unit}{'' if count == 1 else 's'}"

