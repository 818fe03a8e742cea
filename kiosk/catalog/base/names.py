"""The shop's files by name, and where their keys are names that the shop gave."""

from collections.abc import Mapping

MATERIALS, FABRICS, SHOP = "materials.yaml", "fabrics.yaml", "shop.yaml"
# A shop may do without these.
CODES, PACKS, STOCK = "codes.yaml", "packs.yaml", "stock.yaml"
NUMBER_SIZES, SIGN_OFF, PLACEMENT = "number-sizes.yaml", "sign-off.yaml", "placement.yaml"
OWN_NAMES: Mapping[str, tuple[str, ...]] = {
    MATERIALS: (), FABRICS: (), CODES: (), PLACEMENT: (), NUMBER_SIZES: (),
    SHOP: ("presses",), PACKS: ("packs",),
}  # fmt: skip
"""By file the place whose keys are the shop's own."""
