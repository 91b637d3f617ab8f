#!/usr/bin/env bash
# One fuzz target for so many seconds, by libFuzzer on a stable compiler: tests/fuzz/run.sh reader 1200
# What it finds stands in artifacts/; make it small and keep it in corpus/.
set -euo pipefail
cd "$(dirname "$0")"
target="$1"
seconds="${2:-1200}"
# As `cargo fuzz run -s none` does, without the tool.
export RUSTFLAGS="-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
-Cllvm-args=-sanitizer-coverage-trace-compares --cfg fuzzing -Ccodegen-units=1"
host="$(rustc -vV | sed -n 's/^host: //p')"
cargo build --release --bin "$target" --target "$host"
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT
mkdir -p "artifacts/$target"
seeds=("corpus/$target")
case "$target" in reader | pipeline) seeds+=(../../examples ../hostile) ;; esac
"target/$host/release/$target" -max_total_time="$seconds" -timeout=5 -rss_limit_mb=1024 -max_len=4096 \
    -artifact_prefix="artifacts/$target/" "$work" "${seeds[@]}"
