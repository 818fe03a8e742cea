"""What is done about a file that is damaged, moved or gone."""

# fmt: off
# isort: skip_file
from kiosk.log.rescue.copies import back_up, written_log
from kiosk.log.rescue.mend import Mended, past_damage, without_bad
from kiosk.log.rescue.walk import Patrol
