-- How many units pass in their first round, by housing and month: of the units that came to a verdict, each with its
-- first session of the month, the share, with the 95 % interval of Wilson's score (JASA 22 (1927) 209-212).
--
-- The same as first_pass of `samepoint shop FOLDER --json`. Of several shops a unit is one unit wherever it came.
with decided as (
    select
        housing,
        substr(cast(day as string), 1, 7) as month,
        passed_first,
        row_number() over (
            partition by
                housing,
                substr(cast(day as string), 1, 7),
                unit,
                case when unit is null then concat(shop, '/', file) end
            order by day, shop, file
        ) as visit
    from sessions
    where counts and decided and day is not null
),
counted as (
    select
        housing,
        month,
        count(*) as units,
        sum(case when passed_first then 1 else 0 end) as passed_first,
        cast(count(*) as double) as n,
        cast(sum(case when passed_first then 1 else 0 end) as double) / cast(count(*) as double) as share,
        cast(1.959963984540054 as double) as z
    from decided
    where visit = 1
    group by housing, month
),
scored as (
    select
        *,
        (share + z * z / (2 * n)) / (1 + z * z / n) as middle,
        z * sqrt(share * (1 - share) / n + z * z / (4 * n * n)) / (1 + z * z / n) as half
    from counted
)
select
    housing,
    month,
    units,
    passed_first,
    share,
    case when passed_first = 0 then cast(0 as double) else greatest(middle - half, cast(0 as double)) end as low,
    case when passed_first = units then cast(1 as double) else least(middle + half, cast(1 as double)) end as high
from scored
order by housing nulls first, month
