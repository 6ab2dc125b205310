"""The program's own data files, found alike in a checkout, a wheel and a frozen program."""

from pathlib import Path

__all__ = ["STANDARD_SCENARIO", "demo_session", "demo_sessions", "resource"]

STANDARD_SCENARIO = "walk-in-cooler"
"""The scenario that the simulated bench plays unless another is named."""

_PACKAGE = Path(__file__).resolve().parent.parent


def _root(name: str) -> Path:
    inside = _PACKAGE / f"_{name}"  # where the wheel maps the folder
    return inside if inside.is_dir() else _PACKAGE.parent / name


def resource(path: str) -> Path:
    """A file or folder below `resources/`, e.g. `resource("instruments")`.

    Raises:
        FileNotFoundError: no such file: a broken installation.
    """
    found = _root("resources") / path
    if not found.exists():
        raise FileNotFoundError(found)
    return found


def demo_sessions() -> Path:
    """The folder with the scenarios of the simulated bench."""
    return _root("demo_sessions")


def demo_session(name: str) -> Path:
    """A scenario file by its name without ending."""
    return demo_sessions() / f"{name}.toml"
