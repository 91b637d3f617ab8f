//! Measures that were written without quotes on the command line: `scant work --seam 1/4 in "3 * seam"`.

use std::ffi::OsString;

use crate::recipe::inputs::read_value;

/// The options that take a measure.
const MEASURES: &[&str] = &["--seam", "--ruler", "--shop"];

/// A measure has at most so many words: `6 ft 2 1/2 in`.
const WORDS: usize = 5;

/// Options of every command: those with a value, and those without.
const VALUED: &[&str] = &["--errors", "--limit"];
const PLAIN: &[&str] = &["--quiet", "--help", "-h"];

/// The arguments; of `scant work` the options come first, the words of a measure joined to one, then the sum, whatever
/// it begins with.
pub fn joined(args: impl Iterator<Item = OsString>) -> Vec<OsString> {
    let args: Vec<OsString> = args.collect();
    let Some(work) = args.iter().position(|arg| arg == "work") else { return args };
    let (before, mut rest) = args.split_at(work.saturating_add(1));
    let mut options = before.to_vec();
    let mut sum: Vec<OsString> = Vec::new();
    while let Some((arg, behind)) = rest.split_first() {
        rest = behind;
        let text = arg.to_str().unwrap_or("");
        let (option, first) =
            text.split_once('=').map_or((text, None), |(option, first)| (option, Some(first)));
        if MEASURES.contains(&option) {
            let words = behind.iter().map_while(|arg| arg.to_str()).take(WORDS);
            let words: Vec<&str> = first.into_iter().chain(words).collect();
            let count = measure(&words);
            rest = behind.get(count.saturating_sub(usize::from(first.is_some()))..).unwrap_or(&[]);
            // The option and its measure are one argument, so that `-1 in` is no option of its own.
            match words.get(..count) {
                Some(words) if count > 0 => options.push(format!("{option}={}", words.join(" ")).into()),
                _ => options.push(arg.clone()),
            }
        } else if VALUED.contains(&option) || PLAIN.contains(&text) {
            options.push(arg.clone());
            if let (None, false, [value, behind @ ..]) = (first, PLAIN.contains(&text), behind) {
                options.push(value.clone());
                rest = behind;
            }
        } else if text != "--" {
            sum.push(arg.clone());
        }
    }
    options.push("--".into());
    options.extend(sum);
    options
}

/// How many words make the longest measure; one where none does.
fn measure(words: &[&str]) -> usize {
    // A word with a blank in it was in quotes: it is whole.
    let loose = words.iter().take_while(|word| !word.contains(char::is_whitespace)).count();
    let longest = (1..=loose)
        .rev()
        .find(|count| words.get(..*count).is_some_and(|words| read_value(&words.join(" "), false).is_ok()));
    longest.unwrap_or(1).min(words.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arguments(line: &[&str]) -> Vec<String> {
        let args = ["scant"].iter().chain(line).map(OsString::from);
        joined(args).into_iter().skip(1).map(|arg| arg.into_string().unwrap()).collect()
    }

    #[test]
    fn the_words_of_a_measure_are_joined() {
        for line in [
            &["work", "--seam", "1/4", "in", "3 * seam"][..],
            &["work", "--seam", "1/4 in", "3 * seam"],
            &["work", "--seam=1/4", "in", "3 * seam"],
            &["work", "--seam=1/4 in", "3 * seam"],
            &["work", "3 * seam", "--seam", "1/4", "in"],
        ] {
            assert_eq!(arguments(line), ["work", "--seam=1/4 in", "--", "3 * seam"], "{line:?}");
        }
        let line =
            ["work", "x", "--shop", "10", "cm", "--ruler", "1", "1/16", "in", "--seam", "6mm", "2", "in"];
        assert_eq!(
            arguments(&line),
            ["work", "--shop=10 cm", "--ruler=1 1/16 in", "--seam=6mm", "--", "x", "2", "in"]
        );
        assert_eq!(arguments(&["work", "--seam", "-1", "in", "x"]), ["work", "--seam=-1 in", "--", "x"]);
        assert_eq!(arguments(&["work", "--seam", "wide", "x"]), ["work", "--seam=wide", "--", "x"]);
    }

    #[test]
    fn a_sum_may_begin_with_a_sign_and_stand_before_the_options() {
        assert_eq!(
            arguments(&["--quiet", "work", "-3 in", "--errors", "json", "--limit=work=9"]),
            ["--quiet", "work", "--errors", "json", "--limit=work=9", "--", "-3 in"]
        );
        assert_eq!(arguments(&["work", "-3", "in", "--help"]), ["work", "--help", "--", "-3", "in"]);
    }

    #[test]
    fn other_commands_stay_as_they_are() {
        for line in [&["run", "--seam", "1/4", "in"][..], &["help", "seam"], &[]] {
            assert_eq!(arguments(line), line);
        }
        assert_eq!(arguments(&["work", "--seam"]), ["work", "--seam", "--"]);
    }
}
