"""A lot of material as the hand-over record tells it: the material and its burn certificates."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.papers.handover.record import Certificate, HandoverRecord, MaterialUsed
from advisor.papers.materials.lot import Lot


def material_of(lot: Lot, amount: str = "") -> MaterialUsed:
    """What was used, with what the lot's own papers say."""
    conformity = next((one for one in lot.certificates if one.kind == "conformity"), None)
    last = lot.last_day
    shelf_life = f"use by {last.isoformat()}" if last else "none stated" if lot.life_known else None
    return MaterialUsed(
        what=lot.material, layer=lot.layer, lot=lot.lot, maker=lot.maker, reference=lot.reference,
        batch=lot.batch, conformity=conformity.number if conformity else None,
        conformity_batch=conformity.batch if conformity else None, shelf_life=shelf_life,
        amount=amount or None,
    )  # fmt: skip


def certificates_of(lot: Lot) -> tuple[Certificate, ...]:
    """The lot's burn certificates, for it alone. Which rule they are to is not in the lot."""
    return tuple(
        Certificate(
            number=one.number, covers=(lot.material,), issued_by=one.issued_by, date=one.date,
            test=one.test, says=one.says, finish=one.finish, batch=one.batch,
            thickness=one.thickness.written if one.thickness else None,
        )
        for one in lot.certificates if one.kind == "burn_test"
    )  # fmt: skip


def filled(record: HandoverRecord, lots: Mapping[str, Lot]) -> HandoverRecord:
    """The record with what the lots say where it says nothing itself."""
    materials = []
    certificates = list(record.certificates)
    for material in record.materials:
        lot = lots.get(material.lot or "")
        if lot is not None:
            told = material_of(lot)
            blanks = {
                name: getattr(told, name) for name in MaterialUsed.model_fields
                if getattr(material, name) is None
            }  # fmt: skip
            material = material.model_copy(update=blanks)
            named = {one.number for one in certificates}
            certificates += [one for one in certificates_of(lot) if one.number not in named]
        materials.append(material)
    both = {"materials": tuple(materials), "certificates": tuple(certificates)}
    return record.model_copy(update=both)


def with_lot(record: HandoverRecord, lot: Lot, amount: str = "") -> HandoverRecord:
    """The record with a lot as one more material; one that is there already is written anew."""
    rest = tuple(one for one in record.materials if one.lot != lot.lot)
    listed = (*rest, material_of(lot, amount))
    return filled(record.model_copy(update={"materials": listed}), {lot.lot: lot})
