//! A long script read and checked before a line of it runs, and one a tenth as long.

use std::fmt::Write;
use std::time::Duration;

use scant::eval::limits::Limits;
use scant::fault::Files;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;

use super::clock::{Whose, taken};

/// Each line hangs on the one before, through rules without kinds.
fn chain(lines: usize) -> String {
    let mut text = String::from("rule both(x, y) = x + y\nrule area(a, b) = a * b\nv0 = 1 in\n");
    for at in 4..=lines {
        let _ = writeln!(text, "v{} = sqrt(area(both(v{}, 1 in), 2 in))", at - 3, at - 4);
    }
    text
}

/// Lines as they stand in recipes, ten at a time.
fn recipe(lines: usize) -> String {
    let mut text = String::new();
    for n in 0..lines / 10 {
        let _ = write!(
            text,
            "given width{n} = {} in from 1 in to 100 in\n\
             rule hemmed{n}(x: length, hem: length = 1 in) = x + 2 * hem\n\
             cloth{n} = cloth(\"linen {n}\", width: 54 in, selvage: 0 in, shop: 1/8 yd)\n\
             piece{n} = hemmed{n}(width{n}) by width{n} * 2 nearest 1/8 in\n\
             folds{n} = each k from 1 to 5: k * width{n} / 6\n\
             strip{n} = double_binding_cut(3/8 in) + sum(folds{n}) / 8\n\
             cut 2 \"panel {n}\" from cloth{n}: piece{n}\n\
             show \"round {n}\": perimeter(piece{n}) + strip{n}\n\
             step \"Cut {{piece{n}}} and mark {{each f in folds{n}: f}}.\"\n\
             check piece{n}.across < cloth{n}.usable: \"too wide\"\n",
            10 + n % 40,
        );
    }
    text
}

/// Processor time to read and check a script that is sound.
fn checked(text: &str) -> Duration {
    let start = taken(Whose::Own);
    let recipe = compile("long.scant", text, &mut Files::new(), &NoFiles, &Limits::default());
    assert!(recipe.is_ok(), "{:?}", recipe.err().and_then(|faults| faults.into_iter().next()));
    taken(Whose::Own) - start
}

/// A script of so many lines.
type Script = fn(usize) -> String;

pub fn task() {
    let kinds: [(&str, Script); 2] = [("a chain", chain), ("recipes", recipe)];
    for (name, script) in kinds {
        let (few, many) = (script(1_000), script(10_000));
        let (mut short, mut long) = (Duration::MAX, Duration::MAX);
        for _ in 0..5 {
            short = short.min(checked(&few));
            long = long.min(checked(&many));
        }
        println!(
            "checking, {name:<10} 1,000 lines {:.1} ms, 10,000 lines {:.1} ms (1,000 at most): {:.1} times",
            short.as_secs_f64() * 1e3,
            long.as_secs_f64() * 1e3,
            long.as_secs_f64() / short.as_secs_f64(),
        );
    }
}
