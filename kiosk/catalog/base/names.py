"""The names of the shop's files, and where in them the keys are the shop's own names."""

from collections.abc import Mapping

MATERIALS, FABRICS, SHOP = "materials.yaml", "fabrics.yaml", "shop.yaml"
# These files are optional.
CODES, PACKS, STOCK = "codes.yaml", "packs.yaml", "stock.yaml"
NUMBER_SIZES, SIGN_OFF, PLACEMENT = "number-sizes.yaml", "sign-off.yaml", "placement.yaml"
OWN_NAMES: Mapping[str, tuple[str, ...]] = {
    MATERIALS: (), FABRICS: (), CODES: (), PLACEMENT: (), NUMBER_SIZES: (),
    SHOP: ("presses",), PACKS: ("packs",),
}  # fmt: skip
"""For each file, the path of the map whose keys are the shop's own names."""
