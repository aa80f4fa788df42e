-- Which stations wander: the middle of both circles' centres in the first round of each unit's first visit, against
-- time, with a straight line through it; t-test of the slope, corrected by Holm for all stations and axes.
--
-- The same as stations of `samepoint shop FOLDER --json`. Stations of two shops are two stations. Below eight units
-- nothing is told. The chance beyond t for a whole number of degrees of freedom is a finite sum (Abramowitz and
-- Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4); the station's own points, numbered, number its terms.
with visits as (
    select
        shop,
        station,
        day_number,
        file,
        middle_x_arcmin,
        middle_y_arcmin,
        row_number() over (
            partition by shop, station, unit, housing, case when unit is null then file end
            order by day_number, file
        ) as visit
    from sessions
    where counts and station is not null and day_number is not null and middle_x_arcmin is not null
),
both_axes as (
    select shop, station, 'x' as axis, day_number, file, visit, middle_x_arcmin as zero from visits
    union all
    select shop, station, 'y' as axis, day_number, file, visit, middle_y_arcmin as zero from visits
),
later as (
    select shop, station, axis, sum(case when visit > 1 then 1 else 0 end) as later_visits
    from both_axes
    group by shop, station, axis
),
points as (
    select
        shop,
        station,
        axis,
        cast(day_number - min(day_number) over (partition by shop, station, axis) as double) as at_day,
        zero,
        row_number() over (partition by shop, station, axis order by day_number, file) - 1 as k
    from both_axes
    where visit = 1
),
sums as (
    select
        shop,
        station,
        axis,
        count(*) as units,
        regr_sxx(zero, at_day) as sxx,
        regr_sxy(zero, at_day) as sxy,
        regr_syy(zero, at_day) as syy
    from points
    group by shop, station, axis
),
lines as (
    select
        shop,
        station,
        axis,
        units,
        case when units >= 8 and sxx > 0 then sxy / sxx end as slope,
        case when units >= 8 and sxx > 0 then
            sqrt(greatest(syy - sxy * sxy / sxx, cast(0 as double)) / (units - 2) / sxx)
        end as u,
        units - 2 as freedom
    from sums
),
angles as (
    select
        *,
        case when u > 0 then atan(abs(slope) / u / sqrt(freedom)) end as theta,
        case when u > 0 then ln(freedom / (freedom + slope / u * slope / u)) end as ln_cos2
    from lines
),
terms as (
    select
        shop,
        station,
        axis,
        k,
        sum(case when k = 0 then cast(0 as double) else ln((2 * k - 1) / cast(2 * k as double)) end) over (
            partition by shop, station, axis order by k rows between unbounded preceding and current row
        ) as ln_even,
        sum(case when k = 0 then cast(0 as double) else ln(2 * k / cast(2 * k + 1 as double)) end) over (
            partition by shop, station, axis order by k rows between unbounded preceding and current row
        ) as ln_odd
    from points
),
inside as (
    select
        a.shop,
        a.station,
        a.axis,
        sum(case when a.freedom % 2 = 0 and 2 * t.k <= a.freedom - 2 then exp(t.ln_even + t.k * a.ln_cos2)
            else 0 end) as even_sum,
        sum(case when a.freedom % 2 = 1 and 2 * t.k <= a.freedom - 3
            then exp(t.ln_odd + (2 * t.k + 1) * a.ln_cos2 / 2) else 0 end) as odd_sum
    from angles as a
    join terms as t on t.shop = a.shop and t.station = a.station and t.axis = a.axis
    group by a.shop, a.station, a.axis
),
tested as (
    select
        a.shop,
        a.station,
        a.axis,
        a.units,
        a.slope,
        a.u,
        case
            when a.slope is null then cast(null as double)
            when a.u = 0 then case when a.slope = 0 then cast(1 as double) else cast(0 as double) end
            when a.freedom % 2 = 0 then greatest(1 - sin(a.theta) * i.even_sum, cast(0 as double))
            else greatest(1 - 2 / pi() * (a.theta + sin(a.theta) * i.odd_sum), cast(0 as double))
        end as p
    from angles as a
    join inside as i on i.shop = a.shop and i.station = a.station and i.axis = a.axis
),
ranked as (
    select
        *,
        least(p * (count(p) over () - row_number() over (order by p nulls last, shop, station, axis) + 1),
            cast(1 as double)) as times
    from tested
),
corrected as (
    select
        *,
        case when p is not null then max(times) over (
            order by p nulls last, shop, station, axis rows between unbounded preceding and current row
        ) end as corrected_p
    from ranked
)
select
    c.shop,
    c.station,
    c.axis,
    c.units,
    l.later_visits,
    30 * c.slope as in_30_days_arcmin,
    30 * c.u as u_in_30_days_arcmin,
    c.corrected_p,
    coalesce(c.corrected_p < 0.05, false) as wanders
from corrected as c
join later as l on l.shop = c.shop and l.station = c.station and l.axis = c.axis
order by c.shop, c.station, c.axis
