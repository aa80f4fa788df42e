#!/usr/bin/env bash
# Ten million executions, shared out among the targets; stops at the first that fails.
#
#   tests/fuzz/long.sh            all of them
#   tests/fuzz/long.sh 100        a hundredth of each
#
# Needs cargo-fuzz. Nothing here is unsafe, so no sanitizer is used: it would find nothing more and take
# ten times as long. A hang is 10 s on one input; memory may not pass 1 GiB.
set -euo pipefail
cd "$(dirname "$0")"
export RUSTC_BOOTSTRAP=1
share=${1:-1}
found=$(mktemp -d)
trap 'rm -rf "$found"' EXIT
began=$SECONDS
for job in csv:5000000 session:3000000 fold:1000000 solve:1000000; do
    target=${job%:*}
    runs=$((${job#*:} / share))
    start=$SECONDS
    mkdir "$found/$target"
    cargo fuzz run --fuzz-dir . --sanitizer none "$target" "$found/$target" "corpus/$target" -- \
        -runs="$runs" -max_len=800 -timeout=10 -rss_limit_mb=1024 -verbosity=0
    echo "$target: $runs executions, $((SECONDS - start)) s"
done
echo "all: $((10000000 / share)) executions, $((SECONDS - began)) s"
