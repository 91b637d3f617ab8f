//! Currencies by their ISO 4217 codes.
//!
//! The list and its minor units are those of ISO 4217 (list one, funds and metals left out), from
//! memory.

use std::fmt;
use std::sync::LazyLock;

/// A currency.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency([u8; 3]);

/// Every code, by the digits that its minor unit takes after the point.
const LISTS: [(u32, &str); 4] = [
    (
        2,
        "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF \
         CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF \
         IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR \
         MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD \
         SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG \
         YER ZAR ZMW ZWG",
    ),
    (0, "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"),
    (3, "BHD IQD JOD KWD LYD OMR TND"),
    (4, "CLF UYW"),
];

/// Every code with its digits, in alphabetical order.
static TABLE: LazyLock<Vec<(Currency, u32)>> = LazyLock::new(|| {
    // Three letters and a space each.
    let codes = |(digits, codes): &(u32, &'static str)| {
        let digits = *digits;
        let code = move |code: &[u8]| Some((Currency(code.get(..3)?.try_into().ok()?), digits));
        codes.as_bytes().chunks(4).filter_map(code)
    };
    let mut table: Vec<_> = LISTS.iter().flat_map(codes).collect();
    table.sort_unstable();
    table
});

impl Currency {
    /// The euro.
    pub const EUR: Currency = Currency(*b"EUR");
    /// The pound sterling.
    pub const GBP: Currency = Currency(*b"GBP");

    /// The currency of a code in capitals.
    pub fn find(code: &str) -> Option<Currency> {
        Currency::find_bytes(code.as_bytes().try_into().ok()?)
    }

    pub(super) fn find_bytes(code: [u8; 3]) -> Option<Currency> {
        let currency = Currency(code);
        currency.index().map(|_| currency)
    }

    fn index(self) -> Option<usize> {
        if !self.0.iter().all(u8::is_ascii_uppercase) {
            return None;
        }
        TABLE.binary_search_by_key(&self, |row| row.0).ok()
    }

    /// Where it is in the alphabetical list.
    pub(super) fn place(self) -> u8 {
        self.index().and_then(|place| u8::try_from(place).ok()).unwrap_or(u8::MAX)
    }

    /// The one at that place of the list.
    pub(super) fn at(place: usize) -> Option<Currency> {
        TABLE.get(place).map(|row| row.0)
    }

    /// The three letters of its code.
    pub const fn code(self) -> [u8; 3] {
        self.0
    }

    /// How many digits its minor unit has after the point: 2 for EUR, 0 for JPY.
    pub fn digits(self) -> u32 {
        self.index().and_then(|place| TABLE.get(place)).map_or(2, |row| row.1)
    }

    /// Every code.
    pub fn codes() -> impl Iterator<Item = &'static str> {
        LISTS.iter().flat_map(|(_, codes)| codes.split_whitespace())
    }

    pub(super) fn push(self, out: &mut String) {
        out.extend(self.0.map(char::from));
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|letter| fmt::Write::write_char(f, char::from(*letter)))
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}
