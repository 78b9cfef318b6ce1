"""Reading the parts of a plan document that are not walked: sections, pads, form systems, site and specification."""

from __future__ import annotations

from dataclasses import MISSING, Field, fields
from enum import StrEnum
from typing import Any, TypeVar, get_type_hints

from takeoff.fields import TEXT_LONGEST, Fields, each, words
from takeoff.forms import GENERIC_SYSTEMS, CornerLegs, FormSystem
from takeoff.plan import OddCourse, Pad, RestWay, Section
from takeoff.site import Site, Specification
from takeoff.soils import lateral_loads, soils
from takeoff.units import Length, format_length

T = TypeVar("T")

MOST_SECTIONS, MOST_FORMS, MOST_CORNERS, MOST_PADS = 40, 20, 12, 60
#: Stock lengths beside the usual one.
MOST_STOCK = 8
ZERO = Length(0)


# -- sections and form systems ---------------------------------------------------------------------
def read_sections(doc: Fields) -> tuple[tuple[Section, ...], dict[str, Fields]]:
    """The wall sections and the leg defaults of each; one section 'main' where the document has none."""
    sections, defaults = [], {}
    for item in each(doc, "sections", MOST_SECTIONS, "sections", "Section"):
        key = item.text("key") or ""
        sections.append(
            Section(
                key=key,
                name=item.text("name", key) or key,
                datum=item.length("datum", required=False),
                odd_course=item.choice("odd_course", OddCourse, default=OddCourse.TOP) or OddCourse.TOP,
                slab_top=item.length("slab_top", required=False),
                slab_thickness=item.length(
                    "slab_thickness", required=False, least=ZERO, most=Length.feet(4), default=Length.inches(4)
                )
                or ZERO,
                rest_way=item.choice("rest_way", RestWay, default=RestWay.RIP) or RestWay.RIP,
            )
        )
        legs = item.child("leg_defaults", f"{item.label}, defaults for legs")
        if legs is not None:
            defaults[key] = legs
        item.unknown()
    return (tuple(sections) or (Section("main", "Main"),)), defaults


def read_pads(doc: Fields, sections: tuple[Section, ...]) -> tuple[Pad, ...]:
    """Pad footings under posts; a plan with one section need not name it."""
    only = sections[0].key if len(sections) == 1 else None
    return tuple(_pad(item, only) for item in each(doc, "pads", MOST_PADS, "pads", "Pad"))


def _pad(item: Fields, only_section: str | None) -> Pad:
    smallest, widest = Length.inches(6), Length.feet(40)
    pad = Pad(
        name=item.text("name") or "",
        section=item.text("section", only_section) or "",
        length=item.length("length", least=smallest, most=widest) or smallest,
        width=item.length("width", least=smallest, most=widest) or smallest,
        thickness=item.length("thickness", least=Length.inches(4), most=Length.feet(8)) or smallest,
        top=item.length("top") or ZERO,
        count=item.whole("count", 1, 200, 1) or 1,
        bars_each_way=_or(item.whole("bars_each_way", 0, 40, 3), 3),
        bar_size=item.whole("bar_size", 3, 8, 4) or 4,
    )
    item.unknown()
    return pad


def read_forms(doc: Fields) -> tuple[FormSystem, ...]:
    """Form systems of the document; the shipped generic ones where it has none."""
    if not doc.has("forms"):
        return GENERIC_SYSTEMS
    return tuple(_form(item) for item in each(doc, "forms", MOST_FORMS, "form systems", "Form system"))


def _form(item: Fields) -> FormSystem:
    corners = _corners(item, "corners", "corner")
    if not corners:
        item.needed("corners", "one line for each core, with both corner legs,")
    face = item.length("face_height", least=Length.inches(6), most=Length.inches(48))
    corners_45 = _corners(item, "corners_45", "45 degree corner")
    form = FormSystem(
        key=item.text("key") or "",
        name=item.text("name") or "",
        face_height=face or Length.inches(16),
        length=item.length("length", least=Length.inches(12), most=Length.feet(20)) or Length.inches(48),
        foam=item.length("foam", least=Length.inches("0.5"), most=Length.inches(12)) or Length.inches(2),
        web_spacing=item.length("web_spacing", least=Length.inches(2), most=Length.inches(24)) or Length.inches(6),
        corners=corners,
        handed=item.flag("handed", True),
        half_height=item.length("half_height", required=False, least=Length.inches(2), most=Length.inches(24)),
        corners_45=corners_45,
        ledge_projection=item.length(
            "ledge_projection", required=False, least=Length.inches(1), most=Length.inches(24)
        ),
        ledge_height=item.length("ledge_height", required=False, least=Length.inches(2), most=Length.inches(48)),
        least_radius=item.length("least_radius", required=False, least=Length.inches(6), most=Length.feet(200)),
        units_per_bundle=item.whole("units_per_bundle", 1, 500, 12) or 12,
        corners_per_bundle=item.whole("corners_per_bundle", 1, 500, 8) or 8,
        rated_pressure_psf=item.number("rated_pressure_psf", 1, 5000, 600.0, " psf") or 600.0,
        web_displacement=item.number("web_displacement", 0, 0.3, 0.0) or 0.0,
        foam_r_per_in=item.number("foam_r_per_in", 0.5, 10, 4.0) or 4.0,
        note=item.text("note", "", TEXT_LONGEST) or "",
    )
    item.unknown()
    if not any(p.path.startswith(item.address("corners")) for p in item.problems):
        _corners_fit(item, form)
    return form


def _corners(item: Fields, name: str, what: str) -> tuple[CornerLegs, ...]:
    return tuple(_corner(part) for part in each(item, name, MOST_CORNERS, f"{what}s", f"{item.label}, {what}"))


def _corners_fit(item: Fields, form: FormSystem) -> None:
    """One line for each core; a 45 degree corner unit only for a core the system is made in, and with legs that leave
    something of the inside face: that face is shorter by the wall's thickness times tan 22.5 degrees."""
    for name, rows in (("corners", form.corners), ("corners_45", form.corners_45)):
        for k, legs in enumerate(rows):
            if any(legs.core == other.core for other in rows[:k]):
                sentence = f"{item.label}: the {_inches(legs.core)} core has two lines of corner legs; take one out."
                item.complain(f"{name}.{k}.core", sentence)
    for k, legs in enumerate(form.corners_45):
        if form.corners and legs.core not in form.cores():
            sentence = (
                f"{item.label}: a 45 degree corner for a {_inches(legs.core)} core, but the system is not made with it"
            )
            item.complain(f"corners_45.{k}.core", f"{sentence}; give its square corner first.")
        shorter = form.shorter_inside_45(legs.core)
        if legs.short <= shorter:
            sentence = (
                f"{item.label}, 45 degree corner {k + 1}: the short leg {_inches(legs.short)} leaves nothing inside"
            )
            item.complain(f"corners_45.{k}.short", f"{sentence}; it must be longer than {_inches(shorter)}.")


def _inches(length: Length) -> str:
    return format_length(length, "in")


def _corner(part: Fields) -> CornerLegs:
    legs = CornerLegs(
        core=part.length("core", least=Length.inches(2), most=Length.inches(24)) or Length.inches(8),
        long=part.length("long", least=Length.inches(6), most=Length.feet(10)) or Length.inches(36),
        short=part.length("short", least=Length.inches(6), most=Length.feet(10)) or Length.inches(20),
    )
    if legs.short > legs.long:
        part.complain("short", f"{part.label}: the short leg {legs.short} is longer than the long leg {legs.long}.")
    part.unknown()
    return legs


# -- site and specification ------------------------------------------------------------------------
def read_site(doc: Fields) -> Site:
    item = doc.child("site", "Site")
    if item is None:
        return Site()
    usual = Site()
    soil = item.text("soil_class", usual.soil_class) or usual.soil_class
    if soil not in soils() and soil not in lateral_loads():
        item.complain("soil_class", f"Site: soil class “{soil}” is not in the tables; use one of {', '.join(soils())}.")
    site = Site(
        soil_class=soil,
        equivalent_fluid_pcf=item.number("equivalent_fluid_pcf", 1, 200, usual.equivalent_fluid_pcf, " pcf") or 45.0,
        bearing_psf=item.number("bearing_psf", 100, 50000, usual.bearing_psf, " psf") or 2000.0,
        frost_depth=_or(item.length("frost_depth", False, ZERO, Length.feet(20), usual.frost_depth), usual.frost_depth),
        ground_water=item.length("ground_water", required=False),
        exterior_grade=item.length("exterior_grade", required=False),
        code_edition=item.text("code_edition", usual.code_edition) or usual.code_edition,
    )
    item.unknown()
    return site


def _or(value: T | None, instead: T) -> T:
    return instead if value is None else value


def read_specification(doc: Fields) -> Specification:
    """Every part of the specification, each field checked against :data:`LIMITS`; what is left out is the usual."""
    item = doc.child("spec", "Specification")
    if item is None:
        return Specification()
    parts: dict[str, Any] = {}
    for part, cls in get_type_hints(Specification).items():
        values = item.child(part, f"Specification, {words(part)}")
        if values is not None:
            parts[part] = _record(values, cls, part)
    item.unknown()
    return Specification(**parts)


#: Limits of the specification's fields, least and most. Lengths in inches, others in the field's own unit. What is not
#: listed: lengths 1 to 1200 in, other numbers 0 to 1000. A field's name alone, or behind the name of its part.
LIMITS: dict[str, tuple[float, float]] = {
    **dict.fromkeys(("key_width", "key_depth", "projection", "cover", "top_cover", "step_riser_thickness"), (0, 48)),
    **dict.fromkeys(("membrane_side_lap", "membrane_end_lap", "membrane_onto_footing", "board_lap"), (0, 36)),
    **dict.fromkeys(("membrane_above_grade", "membrane_detail_strip", "capillary_lap"), (0, 36)),
    "drain_outlet": (0, 12000),
    **dict.fromkeys(("stone_beyond_footing", "stone_over_footing", "stone_under_pipe"), (0, 120)),
    **dict.fromkeys(("bar_size", "vertical_size", "horizontal_size", "dowel_size", "opening_bar_size"), (3, 11)),
    **dict.fromkeys(("membrane_roll_width", "board_roll_width"), (6, 600)),
    **dict.fromkeys(("membrane_roll_length", "board_roll_length", "pipe_coil"), (60, 12000)),
    **dict.fromkeys(("waste_wall", "waste_footing", "spare_fraction", "swell"), (0, 1)),
    **dict.fromkeys(("truck_yd3", "truck_loose_yd3"), (0.5, 40)),
    **dict.fromkeys(
        ("working_space", "opening_bar_reach", "opening_edge_within", "from_corner", "dowel_foot"), (0, 240)
    ),
    "bars_along": (0, 12),
    "grade_ksi": (40, 80),
    "horizontal_every_courses": (1, 12),
    "stock_length": (60, 1200),
    "vertical_spacing": (3, 144),
    "spacing": (6, 240),
    "per_opening": (0, 10),
    "shrink": (0, 0.5),
    "slope_run": (0, 5),
    "order_step_yd3": (0.01, 10),
    "strength_psi": (500, 15000),
    "minimum_temperature_f": (32, 100),
    "slump_in": (0, 12),
    "bracing_waived_below": (0, 120),
    "also_stock": (60, 1200),
    "inside_cover": (0.5, 12),
    "buck": (0, 12),
    "lift_height": (12, 240),
    "unit_weight_pcf": (80, 200),
    "aggregate_in": (0.25, 2),
    "air_percent": (0, 12),
    "primer_ft2_per_gal": (10, 2000),
    "capillary_mil": (0, 250),
    "board_top_fasteners": (2, 96),
    "plank_length": (36, 480),
    "plank_lap": (0, 60),
    "owned": (0, 10000),
    "stories": (0, 3),
    "building.width": (0, 2400),
    "snow_psf": (-1, 400),
    "climate_zone": (0, 8),
    "mean_temperature_f": (-20, 120),
    **dict.fromkeys(("inside_lining_r", "outside_cladding_r"), (0, 60)),
}


def limits_of(part: str, name: str, usual: tuple[float, float]) -> tuple[float, float]:
    """Least and most of a field of a part of the specification."""
    return LIMITS.get(f"{part}.{name}", LIMITS.get(name, usual))


def _record(item: Fields, cls: type[T], part: str) -> T:
    """Read a flat frozen record by the types of its fields."""
    hints = get_type_hints(cls)
    values = {f.name: _entry(item, f, hints[f.name], part) for f in fields(cls)}  # type: ignore[arg-type]
    item.unknown()
    return cls(**values)


def _entry(item: Fields, entry: Field[Any], hint: Any, part: str) -> Any:
    """One field of a record; its usual value where it is left out or wrong."""
    usual = entry.default_factory() if entry.default_factory is not MISSING else entry.default
    if not item.has(entry.name, *(f"{entry.name}_{u}" for u in ("in", "ft", "mm", "m"))):
        return usual
    kinds = getattr(hint, "__args__", (hint,))
    if Length in kinds:
        least, most = (Length.from_inches(x) for x in limits_of(part, entry.name, (1, 1200)))
        if Ellipsis in kinds:
            return _or(item.lengths(entry.name, MOST_STOCK, least, most), usual)
        length = item.length(entry.name, False, least, most)
        return length if length is not None or type(None) in kinds else usual
    if hint is bool:
        return item.flag(entry.name, bool(usual))
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return item.choice(entry.name, hint) or usual
    if hint is str:
        return item.text(entry.name, str(usual), TEXT_LONGEST)
    low, high = limits_of(part, entry.name, (0, 1000))
    number = item.whole(entry.name, int(low), int(high)) if hint is int else item.number(entry.name, low, high)
    return usual if number is None else number
