"""One JSON object of a shape or part, read field by field with units and good sentences."""

from collections.abc import Mapping
from typing import Any, NoReturn

from benchmate.nearest import or_nearest
from benchmate.quantities import QuantityError, quote
from benchmate.quantities.show import Units
from benchmate.quantities.worded import Worded, WordedAmount
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.asking.reading import bound_text
from benchmate.reckon.asking.suffixes import number_in, unit_of


class Fields:
    """The fields of a JSON object; `where` names it in refusals ("pocket", "parts[2]").

    Numbers may be JSON numbers in the unit of the key's suffix, or texts with units ("3/4 in").
    """

    def __init__(self, data: object, where: str) -> None:
        """Raise Refused when the data is no object."""
        if not isinstance(data, Mapping):
            raise Refused(f"{where} must be an object like {{…}}; {quote(str(data)[:80])} is not")
        self.data: Mapping[str, Any] = data
        self.where = where

    def only(self, *keys: str) -> None:
        """Refuse any field but these, with the nearest right one."""
        for key in self.data:
            if key not in keys:
                raise Refused(
                    f"{self.where} has no field {quote(str(key))}{or_nearest(str(key), keys)}"
                )

    def number(
        self,
        key: str,
        *,
        low: float | None = None,
        above: float | None = None,
        high: float | None = None,
    ) -> float:
        """Return a number that must be there, in the unit of its suffix and in range, or refuse."""
        value = self.maybe(key, low=low, above=above, high=high)
        if value is None:
            raise Refused(f"{self.where} lacks {key}")
        return value

    def maybe(
        self,
        key: str,
        *,
        low: float | None = None,
        above: float | None = None,
        high: float | None = None,
        unit: str | None = None,
    ) -> float | None:
        """Return a number in range, or None when the field is not there; raises Refused.

        `unit` is that of a key without a suffix ("min").
        """
        raw = self.data.get(key)
        if raw is None:
            return None
        try:
            value = number_in(unit_of(key, unit), raw)
        except QuantityError as error:
            raise Refused(f"{self.where}.{key}: {error}") from error
        if low is not None and value < low:
            self._refuse(key, unit, "at least", low, value)
        if above is not None and value <= above:
            self._refuse(key, unit, "above", above, value)
        if high is not None and value > high:
            self._refuse(key, unit, "at most", high, value)
        return value

    def _refuse(
        self, key: str, unit: str | None, bound: str, limit: float, value: float
    ) -> NoReturn:
        def show(amount: float, units: Units) -> str:
            return bound_text(amount, unit_of(key, unit).shown, units)

        raise Refused(
            Worded(
                "{where} must be {bound} {limit}; {value} is not",
                where=f"{self.where}.{key}",
                bound=bound,
                limit=WordedAmount(limit, show),
                value=WordedAmount(value, show),
            )
        )

    def word(self, key: str, choices: tuple[str, ...] = (), default: str | None = None) -> str:
        """Return a text, one of `choices` if any are named, or refuse."""
        raw = self.data.get(key, default)
        if not isinstance(raw, str):
            raise Refused(
                f"{self.where} lacks {key}" if raw is None else f"{self.where}.{key} must be a text"
            )
        if choices and raw.casefold() not in choices:
            raise Refused(f"{self.where}.{key} can't be {quote(raw)}{or_nearest(raw, choices)}")
        return raw.casefold() if choices else raw

    def items(self, key: str, *, at_most: int = 10_000) -> list[Any]:
        """Return a list, [] when the field is not there; raises Refused."""
        raw = self.data.get(key, [])
        if not isinstance(raw, list | tuple) or len(raw) > at_most:
            raise Refused(f"{self.where}.{key} must be a list of at most {at_most}")
        return list(raw)

    def part(self, key: str) -> "Fields | None":
        """Return the object in a field, or None when it is not there."""
        raw = self.data.get(key)
        return None if raw is None else Fields(raw, f"{self.where}.{key}")
