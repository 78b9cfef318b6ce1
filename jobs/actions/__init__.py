"""Everything that can be done to houses, people and form systems. Each action is keyword-only, knows who does it
(``by=``), is atomic, and leaves an event in the same transaction; a ``client_id`` sent twice counts once.

``houses`` a house and its ground · ``stages`` its stages · ``people`` invitations and roles · ``firms`` a builder's
firm · ``colleagues`` who builds for it · ``offers`` what all invitations have in common · ``form_systems`` what its
forms measure. Actions are called through this package: ``actions.add_house(...)``.
"""

from jobs.actions.colleagues import (
    end_membership,
    invite_colleague,
    join_firm,
    join_firm_as_new_person,
    withdraw_colleague,
)
from jobs.actions.firms import add_firm, count_braces, start_firm
from jobs.actions.form_systems import add_form_system, edit_form_system, restore_form_system, retire_form_system
from jobs.actions.houses import add_house, edit_house, edit_site
from jobs.actions.people import accept_invitation, end_role, invite, join, withdraw_invitation
from jobs.actions.stages import add_stage, date_stage, move_stage, remove_stage

__all__ = [
    "accept_invitation",
    "add_firm",
    "add_form_system",
    "add_house",
    "add_stage",
    "count_braces",
    "date_stage",
    "edit_form_system",
    "edit_house",
    "edit_site",
    "end_membership",
    "end_role",
    "invite",
    "invite_colleague",
    "join",
    "join_firm",
    "join_firm_as_new_person",
    "move_stage",
    "remove_stage",
    "restore_form_system",
    "retire_form_system",
    "start_firm",
    "withdraw_colleague",
    "withdraw_invitation",
]
