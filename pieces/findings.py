"""What is wrong with a file: findings that name the file, the piece and the field."""

from __future__ import annotations

from dataclasses import dataclass

from pieces.errors import PieceError


@dataclass(frozen=True)
class Finding:
    """One thing wrong with an input file.

    `fatal` findings prevent planning; the others are questions that the user should look at.
    """

    file: str
    message: str
    piece: str | None = None
    field: str | None = None
    fix: str | None = None
    line: int | None = None
    fatal: bool = True

    @property
    def kind(self) -> str:
        """Word that is printed before it: error or question."""
        return "error" if self.fatal else "question"

    def __str__(self) -> str:
        """One line: place, what is wrong, what would be right."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        if self.piece:
            place += f", piece '{self.piece}'"
        if self.field:
            place += f", {self.field}"
        text = f"{place}: {self.message}"
        return f"{text} ({self.fix})" if self.fix else text


class InputError(PieceError):
    """Unreadable or contradictory input: carries every finding, not only the first."""

    def __init__(self, findings: list[Finding]) -> None:
        self.findings = tuple(findings)
        super().__init__("\n".join(str(finding) for finding in findings))
