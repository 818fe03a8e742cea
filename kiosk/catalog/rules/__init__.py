"""Read the rules of leagues and sports, packs, stock and faces."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.catalog.rules.faces import Face, Glyph, face_characters, read_face, all_characters
    from kiosk.catalog.rules.leagues import season

__getattr__ = face(__name__)
