"""From a job file to the bench: points solved, stock and bend book laid ready."""

from __future__ import annotations

from parts.job import JobFile
from parts.job.solving import spots_of
from parts.kinds.bench import Bench
from parts.sheet.shop import Rack


def bench_of(job: JobFile) -> Bench:
    """What every kind of the job is given; raises JobError where the points do not agree."""
    spots, measurements = spots_of(job)
    racks = {
        name: Rack(stock.as_stock(name), stock.die, stock.inside_radius, stock.sheet)
        for name, stock in job.stock.items()
    }
    gears = {}
    if job.axles:
        from parts.job.gear import gears_of  # numpy-heavy: only for jobs that have an axle

        gears = gears_of(job, spots)
    shop = job.shop.as_shop()
    return Bench(job.head.name, racks, spots, job.book(), shop, measurements, job.head.date, gears)
