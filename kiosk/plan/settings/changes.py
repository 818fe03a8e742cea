"""Changes to a panel that cannot be pressed, each solved and found to work."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kiosk.catalog.message import Message, say
from kiosk.catalog.model import Fabric, Policy
from kiosk.plan.settings.layer_changes import one_layer, other_materials, swapped_layers
from kiosk.plan.settings.order import Order


def working_changes(order: Order, fabrics: Mapping[str, Fabric]) -> tuple[Message, ...]:
    """Return the changes after which the last panel of `order` can be pressed.

    In order: another material of `order.sheets`, layers swapped, one layer, one closing more,
    another policy, another fabric of `fabrics`.
    """
    return (
        *other_materials(order),
        *swapped_layers(order),
        *one_layer(order),
        *_other_policies(order),
        *_other_fabrics(order, fabrics),
    )


def _other_policies(order: Order) -> list[Message]:
    policy = order.policy
    more = policy.max_closings + 1
    tried: list[tuple[Message, Policy]] = [
        (say("settings.change.closing", closings=more), replace(policy, max_closings=more)),
    ]
    if not policy.staged_peel:
        tried.append((say("settings.change.staged_peel"), replace(policy, staged_peel=True)))
    if not policy.bare_tack:
        tried.append((say("settings.change.bare_tack"), replace(policy, bare_tack=True)))
    return [message for message, other in tried if replace(order, policy=other).last_settings()]


def _other_fabrics(order: Order, fabrics: Mapping[str, Fabric]) -> list[Message]:
    works = tuple(
        key for key, fabric in fabrics.items() if replace(order, fabric=fabric).last_settings()
    )
    return [say("settings.change.fabric", fabrics=works)] if works else []
