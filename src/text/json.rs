//! JSON that a terminal may show.

use std::io;

use super::is_harmful;

/// What the formatter inside does.
macro_rules! as_it_is {
    ($($method:ident($($arg:ident: $kind:ty)?)),+) => {
        $(fn $method<W: ?Sized + io::Write>(&mut self, writer: &mut W $(, $arg: $kind)?) -> io::Result<()> {
            self.0.$method(writer $(, $arg)?)
        })+
    };
}

/// JSON with every harmful character as an escape, so that a terminal may show it.
pub(crate) struct HarmlessJson<F>(pub F);

impl<F: serde_json::ser::Formatter> serde_json::ser::Formatter for HarmlessJson<F> {
    fn write_string_fragment<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        let mut rest = fragment;
        while let Some(at) = rest.find(is_harmful) {
            let (before, behind) = rest.split_at(at);
            writer.write_all(before.as_bytes())?;
            let mut letters = behind.chars();
            let mut units = [0; 2];
            for unit in letters.next().map_or(&mut [] as &mut [u16], |c| c.encode_utf16(&mut units)) {
                write!(writer, "\\u{unit:04x}")?;
            }
            rest = letters.as_str();
        }
        writer.write_all(rest.as_bytes())
    }

    as_it_is! {
        begin_array(), end_array(), begin_array_value(first: bool), end_array_value(), begin_object(), end_object(),
        begin_object_key(first: bool), begin_object_value(), end_object_value()
    }
}
