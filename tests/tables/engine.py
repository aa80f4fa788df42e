"""The three queries beside `samepoint tables`, asked of an engine, held against `samepoint shop --json`.

    engine.py duckdb|spark TABLES ANSWER.json [TABLES ANSWER.json …]
    engine.py time TABLES FOLDER     the queries over Parquet and over the same rows as CSV in FOLDER, with DuckDB

Made to be run by .ci/tables, which installs the engines.
"""

import json
import math
import pathlib
import sys
import time

QUERIES = pathlib.Path(__file__).resolve().parents[2] / "crates" / "tables" / "queries"
NAMES = ["sessions", "rounds", "readings", "verdicts", "remedies", "checks", "studies", "troubles"]
# A query's name, the key of its answer, and by what a row is known.
ASKED = [
    ("first_pass", "first_pass", ["housing", "month"]),
    ("stations", "stations", ["station", "axis"]),
    ("shims", "shims", ["housing"]),
]


def query(name):
    return (QUERIES / f"{name}.sql").read_text()


def duckdb_ask():
    import duckdb

    engine = duckdb.connect()

    def opened(tables):
        for name in NAMES:
            parts = f"read_parquet('{tables}/{name}/*/*/part.parquet', hive_partitioning = true)"
            engine.execute(f"create or replace view {name} as select * from {parts}")

    def ask(text):
        done = engine.execute(text)
        columns = [column[0] for column in done.description]
        return [dict(zip(columns, row)) for row in done.fetchall()]

    return opened, ask, lambda: None


def spark_ask():
    from pyspark.sql import SparkSession

    # A master and two workers, each a process of its own, on this machine.
    engine = (
        SparkSession.builder.master("local-cluster[2,1,1024]")
        .appName("tables")
        .config("spark.ui.enabled", "false")
        .config("spark.sql.shuffle.partitions", "4")
        .getOrCreate()
    )
    engine.sparkContext.setLogLevel("ERROR")
    workers = engine.sparkContext._jsc.sc().getExecutorMemoryStatus().size() - 1
    for _ in range(100):
        if workers >= 2:
            break
        time.sleep(0.2)
        workers = engine.sparkContext._jsc.sc().getExecutorMemoryStatus().size() - 1
    assert workers == 2, f"{workers} workers"

    def opened(tables):
        for name in NAMES:
            engine.read.parquet(f"{tables}/{name}").createOrReplaceTempView(name)

    def ask(text):
        return [row.asDict() for row in engine.sql(text).collect()]

    return opened, ask, engine.stop


def same(expected, got):
    if isinstance(expected, bool) or isinstance(got, bool) or expected is None or got is None:
        return expected == got
    if isinstance(expected, (int, float)):
        # Sums taken in another order, and 1 - p of chances near 0.
        return math.isclose(expected, got, rel_tol=1e-9, abs_tol=1e-11)
    return expected == got


def compare(ask, answer):
    wrong = rows = 0
    for name, key, by in ASKED:
        began = time.monotonic()
        got = {tuple(row[column] for column in by): row for row in ask(query(name))}
        took = time.monotonic() - began
        expected = {tuple(row[column] for column in by): row for row in answer[key]}
        if got.keys() != expected.keys():
            print(f"{name}: rows {sorted(map(str, got.keys() ^ expected.keys()))} in one of both only")
            wrong += 1
        for known, row in expected.items():
            for column, value in row.items():
                # Which shims stand out asks for a quantile that engines do not have.
                if column == "standing_out" or known not in got:
                    continue
                if not same(value, got[known][column]):
                    print(f"{name} {known} {column}: {value} expected, {got[known][column]} got")
                    wrong += 1
        rows += len(expected)
        print(f"{name}: {len(expected)} rows, {took:.2f} s")
    assert rows > 0, "nothing was compared"
    return wrong


def timed(tables, folder):
    import duckdb

    engine = duckdb.connect()
    asked = {"first_pass": "sessions", "stations": "sessions", "shims": "remedies"}
    for name, table in asked.items():
        sources = {
            "parquet": f"read_parquet('{tables}/{table}/*/*/part.parquet', hive_partitioning = true)",
            "csv": f"read_csv('{folder}/{table}.csv', header = true, sample_size = 100000)",
        }
        best, answers = {}, {}
        for source, reader in sources.items():
            engine.execute(f"create or replace view {table} as select * from {reader}")
            times = []
            for _ in range(3):
                began = time.monotonic()
                answers[source] = engine.execute(query(name)).fetchall()
                times.append(time.monotonic() - began)
            best[source] = min(times)
        alike = len(answers["parquet"]) == len(answers["csv"])
        print(
            f"{name}: {len(answers['parquet'])} rows; Parquet {best['parquet']:.2f} s, CSV {best['csv']:.2f} s, CSV "
            f"{best['csv'] / best['parquet']:.1f} times as long"
        )
        assert alike, "as many rows of both"


def main():
    what, *rest = sys.argv[1:]
    if what == "time":
        timed(*rest)
        return
    opened, ask, stop = {"duckdb": duckdb_ask, "spark": spark_ask}[what]()
    wrong = 0
    try:
        for tables, answer in zip(rest[::2], rest[1::2]):
            opened(tables)
            wrong += compare(ask, json.loads(pathlib.Path(answer).read_text()))
    finally:
        stop()
    print(f"{what}: {'the same answers' if wrong == 0 else f'{wrong} differ'}")
    sys.exit(1 if wrong else 0)


main()
