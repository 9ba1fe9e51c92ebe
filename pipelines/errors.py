"""What can go wrong that a person can mend.

    PortfolioError            one clear message, exit 2
    ├── FolderError           the portfolio folder, or what it must hold, is missing
    ├── SettingsError         portfolio.toml or a command's option is not usable
    ├── NotBuiltError         nothing to read yet: the portfolio was never built, or by another version
    └── CorrectionError       what a person decided cannot be written down as it is, or not here

Bad data in a row is no error: it becomes a row of `set_aside_rows` or `doubts`. A bug is a traceback, exit 1.
"""


class PortfolioError(Exception):
    """`<where>: <what is wrong> (got ...; expected ...). <what to do>`"""

    def __init__(self, where: str, wrong: str, *, got: str = "", expected: str = "", todo: str) -> None:
        facts = "; ".join(f"{label} {fact}" for label, fact in (("got", got), ("expected", expected)) if fact)
        super().__init__(f"{where}: {wrong}{f' ({facts})' if facts else ''}. {todo}")


class FolderError(PortfolioError):
    """The portfolio folder, or what it must hold, is missing."""


class SettingsError(PortfolioError):
    """portfolio.toml or a command's option is not usable."""


class NotBuiltError(PortfolioError):
    """The portfolio was never built, or by another version."""


class CorrectionError(PortfolioError):
    """What a person decided cannot be written down as it is, or not here."""
