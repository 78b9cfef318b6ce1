"""Who is rung up for what: suppliers, and which quantities come from each."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Supplier:
    """Who is rung up, and the keys of quantities that come from there."""

    title: str
    keys: tuple[str, ...]


SUPPLIERS = (
    Supplier("Block yard", ("blocks", "forms.straps", "forms.ties", "forms.adhesive", "radius.tape")),
    Supplier("Reinforcing steel", ("bars", "dowels", "footing.bars")),
    Supplier("Ready-mix", ("footing.concrete", "wall.concrete")),
    Supplier("Membrane and drain", ("membrane", "board", "drain.pipe", "drain.fabric", "drain.bend", "drain.tee",
                                    "drain.cleanout", "drain.coupler", "drain")),
    Supplier("Stone and earth", ("drain.stone", "backfill", "excavation")),
    Supplier("Lumber, braces and the rest", ("footing", "braces", "")),
)  # fmt: skip
READY_MIX = SUPPLIERS[2]


def supplier_of(key: str) -> Supplier:
    """The supplier whose list names the key most closely; what nobody lists goes on the last."""
    best = max(
        ((len(own), supplier) for supplier in SUPPLIERS for own in supplier.keys if _under(key, own)),
        key=lambda hit: hit[0],
    )
    return best[1]


def _under(key: str, own: str) -> bool:
    return not own or key == own or key.startswith((f"{own}.", f"{own}_"))
