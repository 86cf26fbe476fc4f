"""What all events carry."""

import msgspec

from benchmate.moment import Moment


class Event(
    msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True, tag_field="kind", gc=False
):
    """What all events carry: when it happened and when it was written down."""

    happened: Moment
    recorded: Moment
    schema: int = 1
