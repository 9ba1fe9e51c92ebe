"""The homes that tests of exposure share, built once in a run."""

from pathlib import Path

import pytest

from tests import portfolios
from tests.exposure.homes import HOMES


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The result of the homes in `homes`."""
    stock = [
        {"Property Ref": name, "Address": f"{number} Elm Road", "Post Code": "ZZ1 1AA", "Area": "North"}
        | {"Dwelling Type": "House", "Year Built": year}
        for number, (name, (year, _)) in enumerate(HOMES.items(), start=1)
    ]
    blank = {"Extent": "", "Accessibility": "", "Comments": ""}
    register = [
        portfolios.row(Property_Ref=name, **blank | cells | {"Comments": str(number)})
        for name, (_, rows) in HOMES.items()
        for number, cells in enumerate(rows or [])
    ]
    folder = portfolios.write(tmp_path_factory.mktemp("homes"), {"register.csv": register}, stock)
    return portfolios.build(folder)
