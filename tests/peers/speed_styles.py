"""The work of the side-by-side run as an analyst does it in Python: with NumPy, with pandas, with xclim.

For one place, from the daily extremes of 1991 to 2020 in tenths of a degree Celsius:

1. degree days of a single sine above 10 C, cut off at 30 C, summed from each 1 January on;
2. the last freeze before 1 August and the first one from then on at 36, 32, 28, 24, 20 and 16 F, as days of the year, and
   their 10th to 90th percentiles (NumPy's linear ones) over the years that have a freeze. A record in tenths of C counts
   as frozen up to 0.045 K above a threshold in whole degrees Fahrenheit, or 28 F would miss -2.2 C;
3. 50 members of 15 days, each continued by the 45 days from 25 April of each of 30 years: in which share of these 1500
   futures it has been -2.2 C or colder within N days, N from 1 to 60.

Every style gives the same four answers as arrays: sums (10958), spring and autumn (6 x 9), chances (60). What does not
depend on a place (the calendar) is made beforehand and not timed.
"""

import numpy as np

FIRST, LAST = "1991-01-01", "2020-12-31"
YEARS = np.arange(1991, 2021)
LOWER, UPPER, DAMAGE = 10.0, 30.0, -2.2
THRESHOLDS = (np.array([36.0, 32.0, 28.0, 24.0, 20.0, 16.0]) - 32.0) / 1.8 + 0.045
SHARES = np.arange(1, 10) / 10.0
MEMBERS, FORECAST_DAYS, CONTINUED_DAYS = 50, 15, 45

DATES = np.arange(FIRST, np.datetime64(LAST) + 1, dtype="datetime64[D]")
DAYS = DATES.size
NEW_YEARS = np.array([f"{year}-01-01" for year in YEARS], dtype="datetime64[D]")
STARTS = (NEW_YEARS - DATES[0]).astype(int)
LENGTHS = np.diff(np.append(STARTS, DAYS))
APRIL_25 = np.array([(np.datetime64(f"{year}-04-25") - DATES[0]).astype(int) for year in YEARS])
# A calendar of 30 rows and 366 columns in which 1 August is the same column of every year.
COLUMN = np.concatenate([np.r_[0:59, 60:366] if n == 365 else np.r_[0:366] for n in LENGTHS])
ROW = np.repeat(np.arange(30), LENGTHS)
AUGUST = 213
DAY_OF_YEAR = np.zeros((30, 366))
DAY_OF_YEAR[ROW, COLUMN] = np.concatenate([np.arange(1, n + 1) for n in LENGTHS])


def above(low, high, threshold):
    """Degree days of a sine between two extremes above a threshold."""
    mean, half = (low + high) / 2.0, (high - low) / 2.0
    with np.errstate(divide="ignore", invalid="ignore"):
        x = np.clip((threshold - mean) / half, -1.0, 1.0)
    crossed = ((mean - threshold) * (np.pi / 2.0 - np.arcsin(x)) + half * np.sqrt(1.0 - x * x)) / np.pi
    return np.where(low >= threshold, mean - threshold, np.where(high <= threshold, 0.0, crossed))


def degree_days(low, high):
    return above(low, high, LOWER) - above(low, high, UPPER)


def chances(low, members):
    history = low[APRIL_25[:, None] + np.arange(CONTINUED_DAYS)]
    futures = np.empty((MEMBERS, 30, FORECAST_DAYS + CONTINUED_DAYS))
    futures[:, :, :FORECAST_DAYS] = members[:, None, :]
    futures[:, :, FORECAST_DAYS:] = history
    coldest = np.minimum.accumulate(futures.reshape(MEMBERS * 30, -1), axis=1)
    return (coldest <= DAMAGE).mean(axis=0)


def with_numpy(low, high, members):
    running = np.cumsum(degree_days(low, high))
    before = np.concatenate([[0.0], running])[STARTS]
    sums = running - np.repeat(before, LENGTHS)
    calendar = np.full((30, 366), np.inf)
    calendar[ROW, COLUMN] = low
    spring, autumn = np.full((6, 30), np.nan), np.full((6, 30), np.nan)
    years = np.arange(30)
    for row, threshold in enumerate(THRESHOLDS):
        frozen = calendar <= threshold
        early, late = frozen[:, AUGUST - 1 :: -1], frozen[:, AUGUST:]
        last, first = AUGUST - 1 - early.argmax(axis=1), AUGUST + late.argmax(axis=1)
        spring[row] = np.where(early.any(axis=1), DAY_OF_YEAR[years, last], np.nan)
        autumn[row] = np.where(late.any(axis=1), DAY_OF_YEAR[years, first], np.nan)
    spring, autumn = (np.nanquantile(dates, SHARES, axis=1).T for dates in (spring, autumn))
    return sums, spring, autumn, chances(low, members)


def with_pandas(low, high, members):
    import pandas as pd

    index = pd.DatetimeIndex(DATES)
    frame = pd.DataFrame({"low": low, "high": high}, index=index)
    frame["heat"] = degree_days(frame["low"].to_numpy(), frame["high"].to_numpy())
    sums = frame["heat"].groupby(frame.index.year).cumsum()
    day, month = frame.index.day_of_year, frame.index.month
    spring, autumn = [], []
    for threshold in THRESHOLDS:
        frozen = frame["low"] <= threshold
        for part, table, pick in ((month < 8, spring, "max"), (month >= 8, autumn, "min")):
            chosen = (frozen & part).to_numpy()
            days = pd.Series(day[chosen], index=frame.index[chosen])
            table.append(days.groupby(days.index.year).agg(pick).quantile(SHARES).to_numpy())
    history = [frame.loc[f"{year}-04-25":f"{year}-06-08", "low"].to_numpy() for year in YEARS]
    futures = pd.DataFrame([np.concatenate([member, past]) for member in members for past in history])
    chance = (futures.cummin(axis=1) <= DAMAGE).mean(axis=0).to_numpy()
    return sums.to_numpy(), np.array(spring), np.array(autumn), chance


def with_xclim(low, high, members):
    import pandas as pd
    import xarray
    from xclim import indices

    time = {"time": pd.DatetimeIndex(DATES)}
    series = [xarray.DataArray(values, dims="time", coords=time, attrs={"units": "degC"}) for values in (low, high)]
    heat = xarray.apply_ufunc(degree_days, *series)
    sums = heat.groupby("time.year").cumsum(dim="time")
    spring, autumn = [], []
    for threshold in THRESHOLDS:
        limit = f"{threshold:.17g} degC"
        last = indices.last_spring_frost(series[0], thresh=limit, op="<=", before_date="07-31", window=1, freq="YS")
        first = indices.first_day_temperature_below(series[0], thresh=limit, op="<=", after_date="08-01", window=1, freq="YS")
        spring.append(last.quantile(SHARES, dim="time").to_numpy())
        autumn.append(first.quantile(SHARES, dim="time").to_numpy())
    return sums.to_numpy(), np.array(spring), np.array(autumn), chances(low, members)


STYLES = {"numpy": with_numpy, "pandas": with_pandas, "xclim": with_xclim}


def made_up(places):
    """The weather of made-up places, the same in every run: lowest, highest, members."""
    dice = np.random.default_rng(20)
    season = 10.0 - 11.0 * np.cos(2.0 * np.pi * (DAY_OF_YEAR[ROW, COLUMN] - 21.0) / 365.25)
    drift = dice.normal(0.0, 2.3, (places, DAYS))
    for day in range(1, DAYS):
        drift[:, day] += 0.7 * drift[:, day - 1]
    middle = season + drift + dice.normal(0.0, 1.5, (places, 1))
    half = np.abs(dice.normal(5.5, 1.6, (places, DAYS)))
    low, high = np.round(middle - half, 1), np.round(middle + half, 1)
    start = APRIL_25[-1] - FORECAST_DAYS
    spread = dice.normal(0.0, 0.8, (places, MEMBERS, FORECAST_DAYS)).cumsum(axis=2)
    members = np.round(low[:, None, start : start + FORECAST_DAYS] + spread, 1)
    return low, high, members


def write(path, places):
    """A place after the other, each its lowest, its highest and its members, as little-endian doubles."""
    low, high, members = made_up(places)
    rows = [np.concatenate([low[i], high[i], members[i].ravel()]) for i in range(places)]
    np.concatenate(rows).astype("<f8").tofile(path)


def read(path):
    rows = np.fromfile(path, dtype="<f8").reshape(-1, 2 * DAYS + MEMBERS * FORECAST_DAYS)
    shape = (-1, MEMBERS, FORECAST_DAYS)
    return rows[:, :DAYS].copy(), rows[:, DAYS : 2 * DAYS].copy(), rows[:, 2 * DAYS :].reshape(shape).copy()
