"""What can go wrong in words a person can act on. Imports nothing, so everything may import it."""


class BadInput(ValueError):
    """A value that was handed in cannot be used.

    field: path of the value as the caller wrote it, e.g. ``foods[0].kcal_per_kg``.
    message: what is allowed, starting with a verb ("must be ...").
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}")
        self.field = field
        self.message = message


class OutOfRange(BadInput):
    """A number outside what a formula or a field accepts, with the range it accepts."""

    def __init__(self, field: str, value: float, unit: str, low: float, high: float) -> None:
        span = f"{low:g} to {high:g} {unit}".rstrip()
        super().__init__(field, f"must be a number from {span}, not {value!r}")
        self.value = value
        self.unit = unit
        self.low = low
        self.high = high


class Rejected(Exception):
    """An operation that is understood but refused.

    code: short word for programs. text: a sentence for people. field: where, if one is to blame.
    """

    def __init__(self, code: str, text: str, field: str | None = None) -> None:
        super().__init__(text)
        self.code = code
        self.text = text
        self.field = field


class NotFound(Rejected):
    """There is no such thing, or none that this person may know of: the two look the same."""

    def __init__(self, text: str = "There is no such entry.", field: str | None = None) -> None:
        super().__init__("not_found", text, field)


class NotAllowed(Rejected):
    """This person sees the thing but may not do this with it."""

    def __init__(self, text: str = "You may not do this.", field: str | None = None) -> None:
        super().__init__("not_allowed", text, field)
