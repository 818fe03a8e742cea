"""The pages that can fill the screen."""

from __future__ import annotations

from enum import Enum


class Page(Enum):
    """What fills the screen."""

    CHOOSE_PIN = "choose pin"
    REPEAT_PIN = "repeat pin"
    SIGN_ON = "sign on"
    INITIALS = "initials"
    JOBS = "jobs"
    FAULTS = "faults"
    SET_UP = "set up"
    HEAT = "heat"
    QUESTIONS = "questions"
    COLUMNS = "columns"
    DISPLAY = "display"
    WORK = "work"
    SKIP = "skip"
    PUT_ASIDE = "put aside"
    PIN = "pin"
    SUPERVISOR = "supervisor"
    GARMENTS = "garments"
    GARMENT = "garment"
    REASON = "reason"
    CUES = "cues"
    KEYS = "keys"
    LEARN_KEY = "learn key"
    SIGN_OFFS = "sign-offs"
    SIGN_OFF_OF = "sign-off of"
    SIGN_OFF_ONE = "sign-off one"
    PRACTICE_WHO = "practice who"
    PRACTICE_INITIALS = "practice initials"
    PRACTICE = "practice"
    PRACTICE_HOW = "practice how"
    PRACTISE = "practise"
    PRACTICE_ENDED = "practice ended"
    PROGRESS = "progress"
    PROGRESS_OF = "progress of"
    QUIZ = "quiz"
