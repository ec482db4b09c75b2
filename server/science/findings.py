"""One thing the science has to say: a code, the values it rests on, and its source.

Words are made elsewhere (command line, phone), so that they can be translated.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

PROJECT_POLICY = "this project's policy, not a finding of science"
COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Finding:
    """A refusal, caution or reason.

    code: fixed word, lower case with underscores. values: JSON values that fill the sentence.
    source: where it comes from; a source only remembered says "from memory".
    """

    code: str
    values: Mapping[str, Any] = field(default_factory=dict)
    source: str = PROJECT_POLICY

    def as_json(self) -> dict[str, Any]:
        """Return the finding as a JSON object."""
        return {"code": self.code, "values": dict(self.values), "source": self.source}
