"""Taking an order at the station: its file, the answers so far, the questions left."""

from dataclasses import replace
from functools import partial

from kiosk.catalog import roster
from kiosk.catalog.base import Fault, say
from kiosk.catalog.model import Recipe, colours_of
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs import order_reading as reading
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shift.files import Files
from kiosk.words import Words


class Ordering:
    """The order being taken at this desk.

    Every answer is on disk before the next question is shown; the order is read again beside the
    tapping, and `reading` is the latest result. `answered` are the questions answered since.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.sticks = reading.STICKS
        self.files: tuple[reading.OrderFile, ...] | None = None
        self.drafts: tuple[roster.OrderDraft, ...] = ()
        self.draft: roster.OrderDraft | None = None
        self.reading: reading.OrderReading | None = None
        self.answered: dict[str, roster.Answer] = {}
        self.column: str | None = None
        self.colour: str | None = None
        self.element = ""  # whose film is being chosen
        self.new_film = ""  # the film entered or chosen last
        self.films: dict[str, str] = {}
        self.typing = False
        self.row_by_row: set[str] = set()  # kinds of question to ask row by row
        self.together: set[str] = set()  # questions answered by one touch
        self.dropping = self.naming = False
        self.at = 0  # page of the proof

    # -- files ------------------------------------------------------------

    def show_files(self) -> None:
        """Turn to the files an order may come in, and the orders already begun."""
        self.draft, self.reading, self.files = None, None, None
        jobs = self._desk.library.jobs
        self.drafts = roster.drafts(jobs)
        inbox = jobs.parent / reading.INBOX
        search = partial(reading.order_files, inbox, self.sticks, jobs)
        self._desk.shell.wait_for(self, search, self._take_files)
        self._desk.go(PageKind.ORDER)

    def _take_files(self, files: object) -> None:
        self.files = files if isinstance(files, tuple) else self.files

    def begin(self, file: reading.OrderFile) -> None:
        """Begin the order from a file, of which a copy is kept."""
        library = self._desk.library
        with reading.RefusalNotice(self._desk.shell):
            self.go_on(roster.begin(file.path, library.jobs, file.path.stem, library.catalog))

    def go_on(self, draft: roster.OrderDraft) -> None:
        """Resume an order that was begun."""
        self.draft, self.reading, self.at = draft, None, 0
        self.answered, self.films, self.row_by_row = {}, {}, set()
        self.column, self.colour, self.element, self.new_film = None, None, "", ""
        self.typing = self.dropping = self.naming = False
        self._read()

    def leave(self) -> None:
        """Leave the order for later; it is kept."""
        self.draft = None
        self._desk.go(PageKind.JOBS)

    def ask_to_drop(self) -> None:
        """Ask before throwing the order away."""
        self.dropping = True

    def drop(self) -> None:
        """Throw the order away."""
        if self.draft is not None:
            self.draft.delete()
        self.show_files()

    # -- questions ---------------------------------------------------------

    @property
    def step(self) -> reading.OrderStep:
        """The step to ask next."""
        self._desk.shell.take_results()
        latest = self.reading
        if self.draft is None or latest is None:
            return reading.OrderStep.FILE if self.draft is None else reading.OrderStep.READING
        if self.dropping or latest.problem is not None:
            return reading.OrderStep.DROPPING if self.dropping else reading.OrderStep.FAULTS
        if reading.COLUMNS_RIGHT in latest.answers:
            return self._missing_fact(latest.order) or self._after_columns(latest)
        if self.doubts:
            return reading.OrderStep.DOUBT
        if self.naming:
            return reading.OrderStep.NAME
        return reading.OrderStep.COLUMNS if self.column is None else reading.OrderStep.COLUMN

    def _missing_fact(self, order: roster.OrderDetails) -> reading.OrderStep | None:
        """Return the next fact that the order lacks, or None if it has all."""
        for name in reading.FACTS:
            if not getattr(order, name):
                return reading.OrderStep(name)
        if set(self.colours) <= order.colours.keys():
            return None
        if self.element:
            return reading.OrderStep.FILM
        return reading.OrderStep.COLOURS if self.colour is None else reading.OrderStep.COLOUR

    def _after_columns(self, latest: reading.OrderReading) -> reading.OrderStep:
        if self.doubts:
            return reading.OrderStep.DOUBT
        if latest.status is None or self._desk.shell.is_waiting(self):
            return reading.OrderStep.READING
        return reading.OrderStep.PROOF if latest.proof else reading.OrderStep.FAULTS

    @property
    def doubts(self) -> tuple[Fault, ...]:
        """The open questions, except those about cells answered just now."""
        return () if self.reading is None else reading.still_open(self.reading, self.answered)

    # -- answers ----------------------------------------------------------

    def assign(self, header: str, field: str) -> None:
        """Assign a column to a field, "" for none."""
        order = self._order()
        columns = {f: h for f, h in order.columns.items() if f != field and h != header}
        unused = tuple(each for each in order.unused if each != header)
        if field:
            columns[field] = header
        else:
            unused = (*unused, header)
        self.column = None
        self._save_order(replace(order, columns=columns, unused=unused))

    def ask_name(self) -> None:
        """Type the job's name, starting from its current one."""
        self.naming = True
        self._desk.entry = self._order().title

    def name(self) -> None:
        """Give the job the name that was typed."""
        title = self._desk.entry.strip()
        self.naming = False
        if title:
            self._save_order(replace(self._order(), title=title))

    def confirm_columns(self) -> None:
        """Confirm the columns as they are shown now."""
        latest = self.reading
        if latest is None or latest.table is None or self.draft is None:
            return
        order = latest.order
        columns = {each.field: each.header for each in latest.table.columns if each.field}
        with reading.RefusalNotice(self._desk.shell):
            self.draft.save(replace(order, columns=columns))
            confirmed = (reading.COLUMNS_RIGHT, *latest.above)
            answers = dict.fromkeys(confirmed, roster.Answer(decision=roster.KEEP))
            self.draft.save_answers({**self.draft.answers(), **answers})
        self._read()

    def choose(self, name: str, key: str) -> None:
        """Set the order's recipe, fabric or press."""
        if name == "recipe" and self.draft is not None:
            with reading.RefusalNotice(self._desk.shell):
                self.draft.save_answers(reading.without_films(self.draft.answers()))
        self._save_order(reading.with_fact(self._order(), name, key))

    def type_instead(self, fault: Fault) -> None:
        """Type the right value; a name starts as it was read."""
        self.typing = True
        self._desk.entry = roster.fault_read_as(fault) if fault.key == "name" else ""

    @property
    def recipe(self) -> Recipe | None:
        """The recipe, in the chosen films."""
        key, catalog = self._order().recipe, self._desk.library.catalog
        films = {} if self.reading is None else reading.films_of(self.reading.answers)
        return reading.with_films(catalog, key, films).recipes.get(key)

    @property
    def colours(self) -> tuple[str, ...]:
        """The recipe's colours."""
        recipe = self.recipe
        return () if recipe is None else colours_of(recipe)

    def make_of(self, elements: tuple[str, ...], film: str) -> None:
        """Make these elements from a film."""
        self.element, self.new_film = "", film
        if self.draft is not None:
            chosen = {f"{reading.FILM}{element}": roster.Answer(text=film) for element in elements}
            self._save_answers({**self.draft.answers(), **chosen})

    def film(self, colour: str, film: str) -> None:
        """Use a film in place of the recipe's colour."""
        self.films[colour] = film
        self.colour = None

    def type_colour(self) -> None:
        """Type a colour that none of the shop's films has yet."""
        self.typing, self._desk.entry = True, ""

    def use_typed_colour(self) -> None:
        """Use the colour that was typed."""
        typed = " ".join(self._desk.entry.lower().split())
        self.typing = False
        if typed and self.colour is not None:
            self.film(self.colour, typed)

    def confirm_colours(self) -> None:
        """Confirm the colours as they are shown now."""
        films = {each: self.films.get(each, each) for each in self.colours}
        self._save_order(replace(self._order(), colours=films))

    def answer(self, *pairs: tuple[Fault, roster.Answer]) -> None:
        """Answer a question, or several equal ones."""
        if self.draft is not None:
            self.typing, self._desk.entry = False, ""
            with reading.RefusalNotice(self._desk.shell):
                self.draft.answer(*pairs)
                self.together = {fault.id for fault, _ in pairs}
                self.answered.update((fault.id, answer) for fault, answer in pairs)
        self._read()

    def back(self) -> None:
        """Take the last answer back; before the first one go to the files."""
        subpages = (self.column, self.colour, self.element, self.typing, self.dropping, self.naming)
        if any(subpages):
            self.column, self.colour, self.element = None, None, ""
            self.typing = self.dropping = self.naming = False
            return
        if self.draft is None or self.reading is None or self.reading.problem is not None:
            self.show_files()
            return
        order, answers = self._order(), self.draft.answers()
        facts = [name for name in (*reading.FACTS, "colours") if getattr(order, name)]
        confirmed = {reading.COLUMNS_RIGHT, *self.reading.above}
        questions = [n for n in reading.without_films(answers) if n not in confirmed]
        if questions:
            last_ones = self.together if questions[-1] in self.together else {questions[-1]}
            self._save_answers({n: a for n, a in answers.items() if n not in last_ones})
            self.row_by_row = set()
        elif facts:
            self._save_order(reading.without(order, facts[-1]))
        elif answers:
            self._save_answers({})
        else:
            self.show_files()

    def finish(self) -> None:
        """Make the order a job."""
        desk, status = self._desk, None if self.reading is None else self.reading.status
        if self.draft is None or status is None or status.job is None:
            return
        with reading.RefusalNotice(self._desk.shell):
            recipes, catalog = desk.library.recipes, desk.library.catalog
            roster.remember(recipes, self.draft, catalog)
            reading.own_recipe(self.draft, recipes, catalog, Words(catalog.station.language))
            desk.of(Files).record_changes(on_screen=True)
            answers = self.draft.answers()
            folder = self.draft.finish()
            desk.shell.do(reading.order_command(status.job, folder.name, answers))
            self.draft = None
            desk.go(PageKind.JOBS)
            desk.shell.say(say("order.made", title=status.job.title))

    def _order(self) -> roster.OrderDetails:
        return roster.OrderDetails() if self.reading is None else self.reading.order

    def _save_order(self, order: roster.OrderDetails) -> None:
        if self.draft is not None:
            with reading.RefusalNotice(self._desk.shell):
                self.draft.save(order)
        self._read()

    def _save_answers(self, answers: dict[str, roster.Answer]) -> None:
        if self.draft is not None:
            with reading.RefusalNotice(self._desk.shell):
                self.draft.save_answers(answers)
        self.answered = {}
        self._read()

    # -- reading, in the background ----------------------------------------

    def _read(self) -> None:
        draft, catalog = self.draft, self._desk.library.catalog
        if draft is not None:
            read = partial(reading.read, draft, catalog)
            self._desk.shell.wait_for(self, read, self._take_reading)

    def _take_reading(self, latest: object) -> None:
        if isinstance(latest, reading.OrderReading):
            self.reading = latest
            self.answered = {}
