"""From survey registers to scored, ranked items: each stage is a module here and a folder of queries."""

from importlib.metadata import version

__version__ = version("undisturbed")
