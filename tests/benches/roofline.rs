//! What the machine can do at best: bytes read and written in a second, multiply-add steps in a second.

use std::hint::black_box;
use std::time::Instant;

use serde_json::{Value, json};

/// Passes of a measurement; the median is told, the best is what the machine can do.
const PASSES: usize = 41;

/// Values of a table that no cache of a core holds.
const FAR: usize = 16 << 20;

/// Multiply-add steps of a pass, and how many run beside each other so that none waits for the one before.
const STEPS: usize = 100_000;
const BESIDE: usize = 32;

/// Reading, filling and multiply-add, for a table of so many values and for one that lies in memory.
pub(super) fn measure(values: usize) -> Value {
    let near = |bytes_a_second: fn(&mut [f64]) -> f64| bytes_a_second(&mut vec![1.0; values]);
    let far = |bytes_a_second: fn(&mut [f64]) -> f64| bytes_a_second(&mut vec![1.0; FAR]);
    json!({
        "values": values,
        "read": near(read), "fill": near(fill),
        "read from memory": far(read), "fill memory": far(fill),
        "multiply-add": multiply_add(),
    })
}

fn best(mut pass: impl FnMut()) -> f64 {
    let time = |_| {
        let begun = Instant::now();
        pass();
        begun.elapsed().as_secs_f64()
    };
    (0..PASSES).map(time).fold(f64::INFINITY, f64::min)
}

fn bytes(table: &[f64]) -> f64 {
    budward::units::count(size_of_val(table))
}

fn read(table: &mut [f64]) -> f64 {
    let seconds = best(|| {
        let mut sums = [0.0; BESIDE];
        for block in black_box(&*table).chunks_exact(BESIDE) {
            for (sum, value) in sums.iter_mut().zip(block) {
                *sum += value;
            }
        }
        black_box(sums);
    });
    bytes(table) / seconds
}

fn fill(table: &mut [f64]) -> f64 {
    let seconds = best(|| black_box(&mut *table).fill(black_box(2.0)));
    bytes(table) / seconds
}

fn multiply_add() -> f64 {
    let (factor, step) = black_box((0.999, 0.001));
    let seconds = best(|| {
        let mut values: [f64; BESIDE] = black_box([1.0; BESIDE]);
        for _ in 0..STEPS {
            for value in &mut values {
                *value = *value * factor + step;
            }
        }
        black_box(values);
    });
    budward::units::count(STEPS * BESIDE) / seconds
}
