"""The station's colours, contrast between them, and ink that shows on its ground."""

from typing import NamedTuple

from kiosk.catalog.base import dataclass


class Colour(NamedTuple):
    """An sRGB colour, 0..255 each."""

    red: int
    green: int
    blue: int

    @property
    def rgba(self) -> tuple[float, float, float, float]:
        """The colour in Kivy's form."""
        return (self.red / 255, self.green / 255, self.blue / 255, 1.0)


def from_hex(text: str) -> Colour:
    """Return the colour that `#RRGGBB` names."""
    return Colour(*(int(text[i : i + 2], 16) for i in (1, 3, 5)))


PAPER = from_hex("#F7F4EC")  # light: your turn
INK = from_hex("#15171C")
NIGHT = from_hex("#12151B")  # dark: the press's turn
SNOW = from_hex("#F4F1E8")
AMBER = from_hex("#F2B233")  # only for over time or late
MUTED = from_hex("#4A463D")  # secondary words on paper
DIM = from_hex("#B9BDC6")  # secondary words on night
SLATE = from_hex("#262B36")  # bar and buttons on night
WHITE = from_hex("#FFFFFF")  # the face of a paper button, bare platen
CLOTH = from_hex("#EBE4D6")  # the garment in drawings
CLOTH_EDGE = from_hex("#8C8168")


def luminance(colour: Colour) -> float:
    """Return the relative luminance 0..1 (WCAG 2.2)."""
    red, green, blue = (_linear(part / 255) for part in (colour.red, colour.green, colour.blue))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4


def contrast(one: Colour, other: Colour) -> float:
    """Return the contrast ratio 1..21 of two colours, unrounded (WCAG 2.2)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


DRAWN_APART = 3.0  # a drawing from its ground (WCAG 2.2, 1.4.11)
NUMBER_APART = 2.0  # a large number from the cloth drawn behind it


def edge_on(ground: Colour, ink: Colour | None) -> Colour:
    """Return the outline colour of an ink: its own if it shows on the ground, otherwise INK."""
    return ink if ink is not None and contrast(ink, ground) >= DRAWN_APART else INK


def cloth_under(ink: Colour) -> Colour:
    """Return the cloth to draw under an ink so that the ink shows."""
    return CLOTH if contrast(ink, CLOTH) >= NUMBER_APART else MUTED


def ink_on(cloth: Colour, ink: Colour) -> Colour:
    """Return the ink, or INK or PAPER if it does not show on a cloth chosen for another ink."""
    if contrast(ink, cloth) >= NUMBER_APART:
        return ink
    return max(INK, PAPER, key=lambda plain: contrast(plain, cloth))


@dataclass(frozen=True, slots=True)
class Shade:
    """Light or dark colours; `accent` is for the move and the time on a dark screen."""

    ground: Colour
    text: Colour
    second: Colour
    accent: Colour


LIGHT = Shade(PAPER, INK, MUTED, INK)
DARK = Shade(NIGHT, SNOW, DIM, SNOW)
LATE = Shade(NIGHT, SNOW, DIM, AMBER)
"""Dark, and over time: what is late is amber, the rest stays snow."""

# Film colours by the trade's words; a swatch is never shown without its word.
FILMS: dict[str, Colour] = {
    "black": from_hex("#101010"),
    "white": from_hex("#FFFFFF"),
    "red": from_hex("#C22329"),
    "maroon": from_hex("#6B1C2A"),
    "burgundy": from_hex("#6B1C2A"),
    "orange": from_hex("#E0661C"),
    "gold": from_hex("#C9982B"),
    "vegas gold": from_hex("#B9A26A"),
    "yellow": from_hex("#F3D13B"),
    "green": from_hex("#1F7A3D"),
    "dark green": from_hex("#14472B"),
    "kelly": from_hex("#1E8A4C"),
    "lime": from_hex("#9BCB3C"),
    "teal": from_hex("#117A7A"),
    "sky": from_hex("#7FB7E0"),
    "light blue": from_hex("#7FB7E0"),
    "blue": from_hex("#2458A6"),
    "royal": from_hex("#2348A0"),
    "navy": from_hex("#18244A"),
    "purple": from_hex("#4F2A80"),
    "pink": from_hex("#E58BB0"),
    "brown": from_hex("#5A3A22"),
    "grey": from_hex("#8C9097"),
    "gray": from_hex("#8C9097"),
    "silver": from_hex("#B9BDC3"),
    "charcoal": from_hex("#3B3E44"),
    "cream": from_hex("#F1E7CC"),
    "tan": from_hex("#C7AE84"),
}

# A shop may write its colours in Spanish; they are shown as written.
SPANISH = {
    "negro": "black", "blanco": "white", "rojo": "red", "granate": "maroon", "vino": "burgundy",
    "naranja": "orange", "dorado": "gold", "oro": "gold", "oro viejo": "vegas gold",
    "amarillo": "yellow", "verde": "green", "verde oscuro": "dark green", "verde lima": "lime",
    "turquesa": "teal", "celeste": "sky", "azul claro": "light blue", "azul": "blue",
    "azul rey": "royal", "azul marino": "navy", "marino": "navy", "morado": "purple",
    "rosa": "pink", "marrón": "brown", "café": "brown", "gris": "grey", "plata": "silver",
    "plateado": "silver", "gris oscuro": "charcoal", "crema": "cream", "beige": "tan",
}  # fmt: skip


def film(word: str) -> Colour | None:
    """Return the colour of a film by its word, None if the word is not in the table."""
    key = " ".join(word.casefold().split())
    return FILMS.get(SPANISH.get(key, key))
