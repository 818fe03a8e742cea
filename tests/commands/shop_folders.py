"""Real recipes folders and jobs for the tests of the command line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

ROSTER = "line,size,name,number\n1,AL,KOVA,31\n2,YM,OKORO,13\n3,AS,BRANNOCK,00\n"
NAMES = ("KOVA", "OKORO", "BRANNOCK")

FILM = {
    "title": "Plain cut film",
    "temperature": {"low": "260 F", "high": "300 F", "normal": "280 F"},
    "dwell": [{"from": "260 F", "to": "300 F", "low": "10 s", "high": "15 s", "normal": "15 s"}],
    "pressure": {"low": "medium", "high": "medium-firm"},
    "peel": [{"from": "260 F", "to": "300 F", "allowed": ["hot", "warm"]}],
    "cover_sheet": {"carrier_on": "optional", "carrier_off": "required"},
    "carrier": True,
    "tack": {"low": "1 s", "high": "3 s", "normal": "2 s", "peel": ["hot"]},
    "surface": "smooth",
    "goes_on": ["fabric", "smooth"],
    "accepts_on_top": True,
    "total_heat": "60 s",
    "blocks_dye": False,
    "source": "shop trial",
}
KNIT = {
    "title": "Plain knit",
    "temperature_max": "320 F",
    "dwell_max": [{"from": "0 F", "to": "320 F", "at_most": "20 s"}],
    "total_heat": "60 s",
    "pressure_max": "firm",
    "dye_risk": "none",
    "dye_cap": None,
    "pre_press": "5 s",
}
BENCH = {
    "set_temperature": "300 F",
    "tolerance": "5 F",
    "opens": "itself",
    "loads": "collar toward operator",
    "platen": "16 in x 20 in",
}
TWO_ONE_LAYER = {
    "title": "Name and number",
    "panels": [
        {
            "panel": "back",
            "elements": [
                {"element": e, "layers": [{"material": "film", "colour": "red"}]}
                for e in ("name", "number")
            ],
        }
    ],
}


def write(path: Path, content: object) -> None:
    """Write one YAML file; create its folder if missing."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(yaml.safe_dump(content, sort_keys=False, allow_unicode=True), "utf-8")


def write_shop(
    root: Path,
    *,
    materials: Any = None,
    fabrics: Any = None,
    shop: Any = None,
    recipe: Any = None,
    roster: str = ROSTER,
) -> list[str]:
    """Write `root`/recipes and `root`/jobs/ferry; return the arguments `JOB --recipes DIR`."""
    recipes, job = root / "recipes", root / "jobs" / "ferry"
    cloths = fabrics or {"knit": KNIT}
    benches = shop or {"presses": {"press-one": BENCH}}
    write(recipes / "materials.yaml", materials or {"film": FILM})
    write(recipes / "fabrics.yaml", cloths)
    write(recipes / "shop.yaml", benches)
    write(recipes / "one.yaml", recipe or TWO_ONE_LAYER)
    names = {
        "title": "Ferry order, away",
        "recipe": "one",
        "fabric": next(iter(cloths)),
        "press": next(iter(benches["presses"])),
        "roster": "roster.csv",
    }
    write(job / "job.yaml", names)
    (job / "roster.csv").write_text(roster, "utf-8")
    return [str(job), "--recipes", str(recipes)]
