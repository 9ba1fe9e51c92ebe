"""The sample portfolio that travels with the package."""

import shutil
from pathlib import Path

from pipelines.errors import FolderError

SAMPLE = Path(__file__).parent.parent / "sample_data" / "portfolio"
MARK = "portfolio.toml"


def copy(folder: Path) -> None:
    """Put the sample into `folder`. Raises FolderError rather than touch a folder that holds something else."""
    if folder.exists() and any(folder.iterdir()) and not _is_the_sample(folder):
        raise FolderError(
            str(folder),
            "the folder holds something else, so the sample is not put there",
            todo="Name an empty or a new folder: undisturbed demo FOLDER",
        )
    shutil.copytree(SAMPLE, folder, dirs_exist_ok=True)


def _is_the_sample(folder: Path) -> bool:
    mark = folder / MARK
    return mark.is_file() and mark.read_bytes() == (SAMPLE / MARK).read_bytes()
