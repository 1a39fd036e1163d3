//! A peer: the least that a program with the same library does, one empty page. `empty_page OUT.pdf`.

use printpdf::{Mm, PdfDocument, PdfPage, PdfSaveOptions};

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    // Run by `cargo bench` without a file there is nothing to do.
    let [out] = words.as_slice() else { return };
    let mut document = PdfDocument::new("empty");
    document.pages = vec![PdfPage::new(Mm(210.0), Mm(297.0), Vec::new())];
    let bytes = document.save(&PdfSaveOptions::default(), &mut Vec::new());
    std::fs::write(out, bytes).expect("a file");
}
