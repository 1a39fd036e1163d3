//! Facts as sentences, the same ones for sheet, terminal, report and page.

mod hole;
