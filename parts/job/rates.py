"""[rates] of a job file: what you pay and charge, from which the cost of the parts follows."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from parts.kinds.fields import Config, FieldProblem, FieldProblems, NameOf, OneLine, StockName
from parts.kinds.problems import did_you_mean
from parts.trade.cost import Rates

WORD = r"^\S{1,12}$"
MOST = 1e9


def _parts(context: Mapping[str, Any]) -> Mapping[str, str] | None:
    known: Mapping[str, str] | None = context.get("parts")
    return known


Amount = Annotated[float, Field(strict=True, ge=0, le=MOST, allow_inf_nan=False)]
Over0 = Annotated[float, Field(strict=True, gt=0, le=MOST, allow_inf_nan=False)]
Share = Annotated[float, Field(strict=True, ge=0, le=10, allow_inf_nan=False)]
Yield = Annotated[float, Field(strict=True, gt=0, le=1)]
PartName = Annotated[str, NameOf("part", _parts)]
Operation = Annotated[OneLine, Field(min_length=1, max_length=40)]


class RatesConfig(Config):
    """[rates]: your own prices; none comes with tinwright, and the numbers shown are no advice."""

    currency: Annotated[OneLine, Field(pattern=WORD)] = Field(
        description="Word for the currency of all the prices below.", examples=["EUR"]
    )
    sheet_per_kg: dict[StockName, Amount] = Field(
        default={}, description="Price of a kilogram of sheet, by stock.", examples=[{"plate": 1}]
    )
    sheet_each: dict[StockName, Amount] = Field(
        default={},
        description="Price of one sheet, by stock; it goes before sheet_per_kg.",
        examples=[{"plate": 100}],
    )
    sheet_yield: Yield | None = Field(
        default=None,
        description="Share of the sheet that the boxes round the blanks make up, where sheet is "
        "paid by the kilogram. Left out: sheets are counted by laying the blanks on them.",
        examples=[0.7],
    )
    sheets: Literal["share", "whole"] = Field(
        default="share",
        description="Whether sheets that are counted are paid for whole, or the strip left of the "
        "last one goes back on the rack.",
        examples=["share"],
    )
    waste: Share | None = Field(
        default=None,
        description="Share added to the sheet for parts that go wrong; 0.05 is 5 %.",
        examples=[0.05],
    )
    cut_per_metre: dict[StockName, Amount] = Field(
        default={}, description="Price of a metre of cut, by stock.", examples=[{"plate": 1}]
    )
    cut_feed: dict[StockName, Over0] = Field(
        default={},
        description="Speed of the cut in metres a minute, by stock, for cutting paid by the hour, "
        "where cut_per_metre is not given.",
        examples=[{"plate": 2}],
    )
    cut_per_hour: Amount | None = Field(
        default=None, description="Price of an hour of the cutting machine.", examples=[100]
    )
    pierce_each: dict[StockName, Amount] = Field(
        default={},
        description="Price of a pierce, by stock: one for the outline and one for every opening.",
        examples=[{"plate": 1}],
    )
    pierce_seconds: dict[StockName, Amount] = Field(
        default={},
        description="Seconds of a pierce, by stock, for cutting paid by the hour, where "
        "pierce_each is not given.",
        examples=[{"plate": 1}],
    )
    cut_set_up: Amount | None = Field(
        default=None,
        description="Price of setting up the cutting of one stock, once however many are cut.",
        examples=[10],
    )
    cut_minimum: Amount | None = Field(
        default=None, description="Least charge of the cutter for an order.", examples=[10]
    )
    bend_each: Amount | None = Field(default=None, description="Price of one bend.", examples=[1])
    bend_set_up: Amount | None = Field(
        default=None,
        description="Price of setting up the bending of one piece, once however many are bent.",
        examples=[10],
    )
    bend_minimum: Amount | None = Field(
        default=None, description="Least charge of the bender for an order.", examples=[10]
    )
    per_hour: dict[Operation, Amount] = Field(
        default={},
        description="Price of an hour of work, by operation, in your own words.",
        examples=[{"welding": 10}],
    )
    hours: dict[PartName, dict[Operation, Amount]] = Field(
        default={},
        description="Hours of work on one part, by part and operation.",
        examples=[{"mount": {"welding": 1}}],
    )
    consumables: Amount | None = Field(
        default=None, description="Gas, wire, discs and paint for one part.", examples=[1]
    )
    margin: Share | None = Field(
        default=None, description="Share of the cost added to it; 0.2 is 20 %.", examples=[0.2]
    )
    tax: Share | None = Field(
        default=None, description="Share of the price added as tax; 0.2 is 20 %.", examples=[0.2]
    )

    @model_validator(mode="after")
    def _all_paid(self) -> Self:
        problems = list(self._unpaid())
        if problems:
            raise FieldProblems(*problems)
        return self

    def _unpaid(self) -> Iterator[FieldProblem]:
        for part, hours in self.hours.items():
            for operation in hours:
                if operation not in self.per_hour:
                    near = did_you_mean(operation, self.per_hour) if self.per_hour else ""
                    remedy = f"add it to per_hour; {near}".removesuffix("; ")
                    at = ("hours", part, operation)
                    yield FieldProblem(at, "has no price of an hour", remedy)

    def as_rates(self) -> Rates:
        """The rates as the reckoning wants them."""
        return Rates(
            currency=self.currency,
            sheet_per_kg=self.sheet_per_kg,
            sheet_each=self.sheet_each,
            sheet_yield=self.sheet_yield,
            whole_sheets=self.sheets == "whole",
            waste=self.waste,
            cut_per_metre=self.cut_per_metre,
            cut_feed=self.cut_feed,
            cut_per_hour=self.cut_per_hour,
            pierce_each=self.pierce_each,
            pierce_seconds=self.pierce_seconds,
            cut_set_up=self.cut_set_up,
            cut_minimum=self.cut_minimum,
            bend_each=self.bend_each,
            bend_set_up=self.bend_set_up,
            bend_minimum=self.bend_minimum,
            per_hour=self.per_hour,
            hours=self.hours,
            consumables=self.consumables,
            margin=self.margin,
            tax=self.tax,
        )
