//! The cut list as comma-separated values (RFC 4180), for a spreadsheet.

use std::borrow::Cow;
use std::io::{self, Write};

use csv::{Terminator, WriterBuilder};

use super::contents::Contents;
use crate::measure::{Units, decimals};
use crate::plan::CutList;

/// A line of heads, then a line for each row of the list; lengths in the job's units, which their head names. Whatever a tube or a stock is called, no
/// cell is a formula.
pub struct Csv<'a> {
    /// What is sawn.
    pub list: &'a CutList,
    /// Those of the lengths.
    pub units: Units,
}

impl Contents for Csv<'_> {
    fn write_to(&mut self, file: &mut dyn Write) -> io::Result<()> {
        let Self { list, units } = *self;
        let mut file = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(file);
        let [length, weld] = ["length", "weld"].map(|what| format!("{what}_{}", units.name()));
        file.write_record([
            "number",
            "name",
            "quantity",
            "stock",
            "size",
            &length,
            "start",
            "end",
            "twist_deg",
            &weld,
        ])?;
        for row in &list.rows {
            let (stock, size) = &list.stock[row.stock];
            let twist = row.twist_deg.map_or_else(String::new, |twist| decimals(twist, 2));
            file.write_record([
                row.number.to_string().as_str(),
                &never_a_formula(&row.names),
                &row.quantity.to_string(),
                &never_a_formula(stock),
                &never_a_formula(size),
                &units.decimal(row.length_mm),
                &never_a_formula(&row.ends[0]),
                &never_a_formula(&row.ends[1]),
                &twist,
                &units.decimal(row.weld_mm),
            ])?;
        }
        file.flush()
    }
}

/// Words as they are, but for those that a spreadsheet would reckon with: these have an apostrophe before them, which it
/// takes for "this is text" (OWASP, CSV Injection, with the wide forms that some also reckon with).
fn never_a_formula(words: &str) -> Cow<'_, str> {
    const BEGIN: [char; 10] = ['=', '+', '-', '@', '\t', '\r', '＝', '＋', '－', '＠'];
    // Some leave out what stands before in white.
    if words.starts_with(BEGIN) || words.trim_start().starts_with(BEGIN) {
        Cow::Owned(format!("'{words}"))
    } else {
        Cow::Borrowed(words)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{AllWelds, CutRow};

    fn list(name: &str, stock: &str, twist_deg: f64) -> CutList {
        let row = CutRow {
            number: 1,
            name: name.to_owned(),
            names: name.to_owned(),
            quantity: 2,
            stock: 0,
            length_mm: 803.5,
            ends: ["drum, set-in".to_owned(), "square".to_owned()],
            twist_deg: Some(twist_deg),
            weld_mm: 153.25,
            is_made: false,
            patterns: Vec::new(),
        };
        CutList {
            rows: vec![row],
            sticks: Vec::new(),
            is_proved: true,
            stock: vec![(stock.to_owned(), "48.3 x 2 mm".to_owned())],
            total_mm: 1607.0,
            steel_kg: 3.7,
            welds: AllWelds::new(std::iter::empty(), None),
            clashes: Vec::new(),
        }
    }

    fn text(name: &str, stock: &str, twist_deg: f64) -> String {
        let (list, units) = (&list(name, stock, twist_deg), Units::Millimetres);
        let bytes = Csv { list, units }.bytes().expect("bytes");
        String::from_utf8(bytes).expect("text")
    }

    #[test]
    fn words_that_would_be_a_formula_are_text_and_numbers_stay_numbers() {
        for formula in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "＝1"] {
            let text = text(formula, formula, -12.5);
            let mut read = csv::Reader::from_reader(text.as_bytes());
            let row = read.records().next().expect("a row").expect("cells");
            assert_eq!((&row[1], &row[3]), (&*format!("'{formula}"), &*format!("'{formula}")));
            assert_eq!((&row[0], &row[5], &row[8]), ("1", "803.50", "-12.50"));
        }
        assert!(text("riser=1", "a-b", 0.0).contains("1,riser=1,2,a-b,"));
    }

    /// RFC 4180: what holds a comma, a quote or an end of line stands in quotes, quotes twice; lines end in CR LF.
    #[test]
    fn cells_are_quoted_where_they_must_be() {
        let text = text("3/4\" drain,\nlow", "riser", 0.0);
        let heads = "number,name,quantity,stock,size,length_mm,start,end,twist_deg,weld_mm\r\n";
        let row = "1,\"3/4\"\" drain,\nlow\",2,riser,48.3 x 2 mm,803.50,\"drum, set-in\",square,0.00,153.25\r\n";
        assert_eq!(text, format!("{heads}{row}"));
    }
}
