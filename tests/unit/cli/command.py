"""Running the command line inside the test, and the cases it is run on."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from advisor.cli import main

ROOT = Path(__file__).parents[3]
DEMOS = ROOT / "demo_cases"
SPLIT = DEMOS / "split_armrest.yaml"


@dataclass(frozen=True)
class Ran:
    """What a command did."""

    code: int
    out: str
    err: str

    @property
    def lines(self) -> list[str]:
        """Messages, one a line."""
        return self.err.splitlines()


@dataclass
class Command:
    """Runs the program as a shell would; standard output and error are kept apart."""

    capsys: pytest.CaptureFixture[str]
    folder: Path

    def __call__(self, *args: str | Path) -> Ran:
        self.capsys.readouterr()
        with pytest.raises(SystemExit) as left:
            main([str(arg) for arg in args])
        said = self.capsys.readouterr()
        return Ran(int(left.value.code or 0), said.out, said.err)

    def case(self, facts: str, name: str = "harbour.yaml") -> Path:
        """A case file with these lines of facts."""
        lines = "".join(f"  {line}\n" for line in facts.splitlines())
        return self.put(f"format: 1\ncase: HB-1\nfacts:\n{lines}", name)

    def put(self, content: str | bytes, name: str = "harbour.yaml") -> Path:
        """A file with this content."""
        path = self.folder / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path
