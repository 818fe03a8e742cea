"""What a person must read from a garment or the press before heat, and only when it changed."""

from __future__ import annotations

from kiosk.run.model import JobRun, Question


def question_at_hand(job: JobRun) -> Question | None:
    """Return the question to answer now: the setting first, then those of the slot's ticket.

    The SETTING question is not stored: it stands whenever the slot's next hot step asks for
    another temperature than `job.setting`; it has no choices and is answered by ReadSetting.
    """
    raise NotImplementedError
