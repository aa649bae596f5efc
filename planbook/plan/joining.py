"""When a part is first held to another."""

from __future__ import annotations

from planbook.plan import joints
from planbook.plan.claims import Claims
from planbook.plan.draft import Draft


def first_joined(draft: Draft, claims: Claims, name: str) -> int | None:
    """Return the first step that joins a part to another or sets it in place."""
    found = [claims.set_in[name]] if name in claims.set_in else []
    for key, joint in draft.facts.joints.items():
        members = {part for part, _ in joints.receiving(draft, key)}
        if joint.butt or joint.for_:
            members |= set(joints.entering(draft, key))
        if name in members and str(key) in claims.joined_in:
            found.append(claims.joined_in[str(key)])
    return min(found, default=None)
