"""What every reader needs: messages, quantities, files, YAML nodes, faults."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.catalog.base.frozen import changer, dataclass
    from kiosk.catalog.base.fields import LEFT_OUT, Field, FieldTable, Prompt, rising
    from kiosk.catalog.base.files import (
        COPY, EVENTS, GARMENTS, MOST_BYTES, OWNERS_ALONE, PICK_PAGE, PICTURE, PLAN_PAGE, PROOF_PAGE,
        REPORT_PAGE, TABLES, BrokenSideFile, FileKind, NotOurFile, behind_links, folder_problem,
        html_head, is_own, matching, must_be_free, must_be_own, read_bytes, read_side_file,
        read_text, stamp_of, surely, sync_folder, unreadable_folder, write_own, write_whole,
    )
    from kiosk.catalog.base.fresh import alone_in, in_place_of, temporary_paths
    from kiosk.catalog.base.names import (
        CODES, FABRICS, MATERIALS, NUMBER_SIZES, OWN_NAMES, PACKS, PLACEMENT, SHOP, SIGN_OFF, STOCK,
    )
    from kiosk.catalog.base.notes import Celsius, FileKey, FileValue, Inches, Message, Value
    from kiosk.catalog.base.notes import AsWritten, recorded_word, say
    from kiosk.catalog.base.notes import (
        Doubt, Fault, Notes, Unsound, characters, is_plain, nearest_word, question_id, readable,
        one_line, without_accents, word_problem,
    )
    from kiosk.catalog.base.quantities import (
        MM_PER_INCH, Degrees, Length, Pressure, Seconds, Temperature, TemperatureStep, converted,
        decimal, degrees, fahrenheit_step, nearest, step_converted,
    )
    from kiosk.catalog.base.system_faults import why_of
    from kiosk.catalog.base.spots import Spot
    from kiosk.catalog.base.tree import Leaf, leaves, values_by_path, with_entry, with_value

__getattr__ = face(__name__)
