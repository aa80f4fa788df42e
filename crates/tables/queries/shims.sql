-- Whether shims did as predicted, by housing: how far each circle's centre moved along the predicted shift, on that
-- shift's length, with a straight line through the shims of each unit's first shimmed visit; t-test of slope 1.
--
-- The same as shims of `samepoint shop FOLDER --json`. Below three shims nothing is told. For the chance beyond t see
-- stations.sql.
with visits as (
    select
        housing,
        predicted_shift_arcmin as predicted,
        measured_along_arcmin as measured,
        shop,
        file,
        seq,
        channel,
        rank() over (
            partition by housing, unit, case when unit is null then concat(shop, '/', file) end
            order by case when day is null then 1 else 0 end, day, shop, file
        ) as visit
    from remedies
    where counts and kind = 'shim' and predicted_shift_arcmin is not null and measured_along_arcmin is not null
),
later as (
    select housing, sum(case when visit > 1 then 1 else 0 end) as later_visits from visits group by housing
),
points as (
    select
        housing,
        predicted,
        measured,
        row_number() over (partition by housing order by shop, file, seq, channel) - 1 as k
    from visits
    where visit = 1
),
sums as (
    select
        housing,
        count(*) as shims,
        avg(predicted) as mean_x,
        avg(measured) as mean_y,
        regr_sxx(measured, predicted) as sxx,
        regr_sxy(measured, predicted) as sxy,
        regr_syy(measured, predicted) as syy
    from points
    group by housing
),
lines as (
    select
        housing,
        shims,
        case when shims >= 3 and sxx > 0 then sxy / sxx end as slope,
        case when shims >= 3 and sxx > 0 then mean_y - sxy / sxx * mean_x end as at_zero_arcmin,
        case when shims >= 3 and sxx > 0 then
            sqrt(greatest(syy - sxy * sxy / sxx, cast(0 as double)) / (shims - 2) / sxx)
        end as u,
        shims - 2 as freedom
    from sums
),
angles as (
    select
        *,
        case when u > 0 then atan(abs(slope - 1) / u / sqrt(freedom)) end as theta,
        case when u > 0 then ln(freedom / (freedom + (slope - 1) / u * (slope - 1) / u)) end as ln_cos2
    from lines
),
terms as (
    select
        housing,
        k,
        sum(case when k = 0 then cast(0 as double) else ln((2 * k - 1) / cast(2 * k as double)) end) over (
            partition by housing order by k rows between unbounded preceding and current row
        ) as ln_even,
        sum(case when k = 0 then cast(0 as double) else ln(2 * k / cast(2 * k + 1 as double)) end) over (
            partition by housing order by k rows between unbounded preceding and current row
        ) as ln_odd
    from points
),
inside as (
    select
        a.housing,
        sum(case when a.freedom % 2 = 0 and 2 * t.k <= a.freedom - 2 then exp(t.ln_even + t.k * a.ln_cos2)
            else 0 end) as even_sum,
        sum(case when a.freedom % 2 = 1 and 2 * t.k <= a.freedom - 3
            then exp(t.ln_odd + (2 * t.k + 1) * a.ln_cos2 / 2) else 0 end) as odd_sum
    from angles as a
    join terms as t on t.housing is not distinct from a.housing
    group by a.housing
),
tested as (
    select
        a.housing,
        a.shims,
        a.slope,
        a.at_zero_arcmin,
        case
            when a.slope is null then cast(null as double)
            when a.u = 0 then case when a.slope = 1 then cast(1 as double) else cast(0 as double) end
            when a.freedom % 2 = 0 then greatest(1 - sin(a.theta) * i.even_sum, cast(0 as double))
            else greatest(1 - 2 / pi() * (a.theta + sin(a.theta) * i.odd_sum), cast(0 as double))
        end as p_as_predicted
    from angles as a
    join inside as i on i.housing is not distinct from a.housing
)
select
    t.housing,
    t.shims,
    l.later_visits,
    t.slope,
    t.at_zero_arcmin,
    t.p_as_predicted,
    t.p_as_predicted >= 0.05 as as_predicted
from tested as t
join later as l on l.housing is not distinct from t.housing
order by t.housing nulls first
