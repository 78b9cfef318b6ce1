"""Soils and lateral loads as the codes print them.

IRC 2021 Table R405.1; IBC 2021 Table 1610.1. Seen in: public repository thexqin/us-building-codes-dataset,
state-codes-full/arkansas. The rows below were typed apart from the product's tables.
"""

import pytest

from takeoff.site import Site
from takeoff.soils import lateral_load, lateral_loads, soil, soils

R405_1 = ["GW", "GP", "SW", "SP", "GM", "SM", "GC", "SC", "ML", "CL", "CH", "MH", "OL", "OH", "Pt"]
IBC_1610_1 = {
    "GW": (30, 60),
    "GP": (30, 60),
    "GM": (40, 60),
    "GC": (45, 60),
    "SW": (30, 60),
    "SP": (30, 60),
    "SM": (45, 60),
    "SM-SC": (45, 100),
    "SC": (60, 100),
    "ML": (45, 100),
    "ML-CL": (60, 100),
    "CL": (60, 100),
    "OL": (None, None),
    "MH": (None, None),
    "CH": (None, None),
    "OH": (None, None),
}


def test_symbols_of_irc_r405_1_in_the_order_printed():
    assert list(soils()) == R405_1


@pytest.mark.parametrize(
    ("symbol", "group", "drainage", "heave"),
    [
        ("GW", "Group I", "Good", "Low"),
        ("ML", "Group II", "Medium", "High"),
        ("Pt", "Group IV", "Unsatisfactory", "Medium"),
    ],
    ids=lambda v: f"IRC-R405.1-{v}",
)
def test_rows_of_irc_r405_1(symbol, group, drainage, heave):
    row = soil(symbol)
    assert (row.group, row.drainage, row.frost_heave) == (group, drainage, heave)


@pytest.mark.parametrize("symbol", IBC_1610_1, ids=lambda v: f"IBC-1610.1-{v}")
def test_rows_of_ibc_1610_1(symbol):
    row = lateral_load(symbol)
    assert (row.active_psf_per_ft, row.at_rest_psf_per_ft) == IBC_1610_1[symbol]


def test_nothing_is_invented_for_soils_the_tables_leave_out():
    assert len(lateral_loads()) == len(IBC_1610_1)
    assert lateral_load("Pt") is None
    with pytest.raises(KeyError):
        soil("SM-SC")


def test_the_default_site_agrees_with_the_table():
    site = Site()
    assert lateral_load(site.soil_class).active_psf_per_ft == site.equivalent_fluid_pcf
