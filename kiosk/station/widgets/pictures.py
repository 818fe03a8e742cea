"""Which widget draws which picture of a page."""

from __future__ import annotations

from kiosk.station.boxes import Box
from kiosk.station.pages.report_picture import ChartPicture, TablePicture
from kiosk.station.pages.sheet import Picture
from kiosk.station.sizes import Scale
from kiosk.station.widgets.drawn import Drawn
from kiosk.station.widgets.heat_graph import HeatGraph
from kiosk.station.widgets.report_chart import ReportChart
from kiosk.station.widgets.report_table import ReportTable


def drawn(box: Box, scale: Scale, picture: Picture) -> Drawn:
    """Return the picture drawn into `box`."""
    if isinstance(picture, TablePicture):
        return ReportTable(box, scale, picture)
    if isinstance(picture, ChartPicture):
        return ReportChart(box, scale, picture)
    return HeatGraph(box, scale, picture)
