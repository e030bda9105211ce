"""[nesting] of a job file: how blanks are laid on sheets, to count what to buy."""

from collections.abc import Sequence
from typing import Annotated

from pydantic import Field

from parts.job.models import ShopConfig
from parts.kinds.fields import Config, Length, PositiveLength
from parts.nesting.given import Given
from parts.trade.cutter import Cutter


class NestingConfig(Config):
    """[nesting]: how blanks are laid on sheets, to count the sheets to buy."""

    gap: PositiveLength | None = Field(
        default=None,
        description="Least distance between two blanks on a sheet. Left out: one and a half "
        "thicknesses, at least 6 mm, and no less than least_gap of [shop].",
        examples=[6],
    )
    margin: Annotated[Length, Field(ge=0)] | None = Field(
        default=None,
        description="Least distance from a blank to the edge of the sheet. Left out: one "
        "thickness, at least 10 mm.",
        examples=[10],
    )
    true_shape: bool = Field(
        default=False,
        description="Lay blanks by their true shape instead of by the box round each. It takes "
        "longer, and a library that is got by pip install 'tinwright[nest]'.",
        examples=[False],
    )
    seconds: Annotated[int, Field(strict=True, ge=1, le=600)] = Field(
        default=5,
        description="Time spent on each sheet that is laid by true shape.",
        examples=[5],
    )

    def as_given(self, shop: ShopConfig, cutters: Sequence[Cutter]) -> Given:
        """What the layout wants to know; sheets of the first cutter that names any."""
        return Given(
            gap=self.gap,
            margin=self.margin,
            true_shape=self.true_shape,
            seconds=self.seconds,
            shop_sheets=tuple(shop.sheets),
            cutter_sheets=next((c.limits.sheets for c in cutters if c.limits.sheets), ()),
            least_gap=shop.least_gap,
        )
