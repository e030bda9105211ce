"""[papers] of a job file: what is printed on, and how true the printer is."""

from typing import Annotated, Literal

from pydantic import Field

from parts.kinds.fields import Config, Length, PositiveLength
from parts.paper.setting import Setting

Bar = Annotated[Length, Field(ge=90, le=110)]


class PapersConfig(Config):
    """[papers]: the paper you print on, and what your printer makes of 100 mm."""

    size: Literal["A4", "A3", "Letter", "roll"] = Field(
        default="A4",
        description="Paper of drawings and templates. A roll takes templates in one piece; the "
        "drawings then come on A4.",
        examples=["A4"],
    )
    roll_width: PositiveLength = Field(
        default=610.0,
        validate_default=True,
        description="Width of the roll, where size is roll.",
        examples=[610],
    )
    printed_bar: tuple[Bar, Bar] = Field(
        default=(100.0, 100.0),
        description="What your printer made of the two bars of 100 mm on a template: the one "
        "along the bottom, then the one up the side. Templates are corrected by it. Print once "
        "without, measure, and write it here.",
        examples=[[99.6, 100.2]],
    )

    def as_setting(self) -> Setting:
        """Paper and printer as the writers want them."""
        return Setting(self.size, self.roll_width, self.printed_bar)
