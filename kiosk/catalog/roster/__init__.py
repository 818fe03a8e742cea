"""Read rosters: tables, headings, cells, the questions they raise, and the answers."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.catalog.roster.cells import may_record_name, stops_job
    from kiosk.catalog.roster.rows_alike import question_groups, answer_to, group_id, rows_of
    from kiosk.catalog.roster.answers import (
        EACH, KEEP, LEAVE_OUT, NO_GARMENT, QUANTITY, Allowed, Answer, allowed, fault_read_as,
        of_whole_file, read_answers,
    )
    from kiosk.catalog.roster.upside_down import has_twin, twin, twins
    from kiosk.catalog.roster.forget import (
        JOB_FILE, PROOF, CannotForget, Forgotten, forget_names, note_named_file,
    )
    from kiosk.catalog.roster.headers import COLUMNS, is_made, is_remark
    from kiosk.catalog.roster.job import PASSING, free_key, sweep
    from kiosk.catalog.roster.order import ENDINGS, OrderDetails, OrderDraft, OrderStatus
    from kiosk.catalog.roster.order_columns import CannotOrder, OrderColumns
    from kiosk.catalog.roster.order_start import begin, drafts, remember

__getattr__ = face(__name__)
