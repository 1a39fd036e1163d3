//! Words of one's own, on the sheets and in every message: all that can be printed is, and nothing else gets through.

mod support;

use lopdf::{Document, Object};
use support::{Pdf, Shop};

const TITLE: &str = "Đường ống σωλήνας труба ścięcie ½″";

fn job(title: &str, tube: &str) -> String {
    let job = serde_json::json!({
        "title": title, "units": "mm",
        "stock": { "riser": { "size": "48.3mm x 2mm" } },
        "bodies": { "drum": { "shape": "cylinder", "size": "600mm x 2mm", "from": [0, 0, 0], "to": [0, 800, 0], "zero": [0, 0, 1] } },
        "tubes": { tube: { "stock": "riser", "path": [ { "on": "drum", "along": 300 }, { "step": [0, 0, 400] } ] } },
    });
    job.to_string()
}

#[test]
fn letters_of_other_languages_are_printed_and_read_back() {
    let shop = Shop::open();
    shop.write("job.json", job(TITLE, "Größe тройник").as_bytes());
    shop.run_words(&[
        "batch", "job.json", "--out", "a.pdf", "--svg", "a.svg", "--dxf", "a.dxf", "--label", "Żółw",
    ])
    .succeeds();
    let pdf = Pdf::read(&shop.read("a.pdf"));
    assert!(pdf.says("Żółw") && pdf.says("Đường ống σωλήνας") && pdf.says("Größe тройник"));
    assert!(pdf.words.iter().all(|words| !words.text.contains('?')));
    // The same by the PDF's own map of its codes.
    let document = Document::load_mem(&shop.read("a.pdf")).expect("a PDF");
    let text = document.extract_text(&[1]).expect("text");
    assert!(text.contains("Đường ống σωλήνας труба"), "{text}");
    let svg = String::from_utf8(shop.read("a.svg")).expect("text");
    assert!(svg.contains("Größe тройник"));
}

/// Every letter of every page is in a file within the PDF: no reader has to find one of its own.
#[test]
fn all_letters_are_in_the_pdf_and_it_claims_nothing_that_it_is_not() {
    let shop = Shop::open();
    shop.run("saddle --branch 48.3mm_x_2mm --header 114.3mm --angle 60 --out a.pdf")
        .succeeds();
    let bytes = shop.read("a.pdf");
    assert!(bytes.len() < 40_000, "{}", bytes.len());
    let document = Document::load_mem(&bytes).expect("a PDF");
    let dictionaries = || document.objects.values().filter_map(|object| object.as_dict().ok());
    let of_type = |kind: &str, value: &str| {
        let is = |object: &Object| object.as_name().is_ok_and(|name| name == value.as_bytes());
        dictionaries()
            .filter(|dict| dict.get(kind.as_bytes()).is_ok_and(is))
            .count()
    };
    assert_eq!((of_type("Subtype", "Type0"), of_type("Subtype", "Type1")), (2, 0));
    let with_file = dictionaries().filter(|dict| dict.has(b"FontFile2")).count();
    assert_eq!(with_file, 2);
    assert!(dictionaries().all(|dict| !dict.has(b"GTS_PDFXVersion") && !dict.has(b"OutputIntents")));
}

#[test]
fn what_cannot_be_printed_is_refused_with_its_place_at_every_door() {
    let shop = Shop::open();
    for (title, tube, place) in [("bank \u{1b}[31m", "riser", "title"), ("bank", "riser \u{7}", "tubes")] {
        shop.write("job.json", job(title, tube).as_bytes());
        let run = shop.run("batch job.json --out a.pdf --svg a.svg");
        assert_eq!(run.code(), 2);
        let said = run.err();
        assert!(
            said.contains("the sheets can't print the control character U+00"),
            "{said}"
        );
        assert!(
            said.contains("job.json:1:") && said.contains(place) && said.contains("help:"),
            "{said}"
        );
        assert!(
            said.chars().all(|letter| letter == '\n' || !letter.is_control()),
            "{said:?}"
        );
    }
    shop.write("job.json", job("管 bank", "riser").as_bytes());
    let said = shop.run("batch job.json").err();
    assert!(
        said.contains("can't print '管' (U+7BA1)") && said.contains("character 1 of"),
        "{said}"
    );
    let said = shop
        .run("saddle --branch 48.3mm_x_2mm --header 60.3mm --label a\u{9b}b")
        .err();
    assert!(said.contains("U+009B") && said.contains("--label"), "{said}");
    assert_eq!(shop.files(), ["job.json"]);
}

#[test]
fn nothing_that_a_terminal_obeys_reaches_it() {
    let shop = Shop::open();
    let strange = "a\u{1b}]0;b\u{7}\u{202e}";
    let runs = [
        shop.run_words(&["batch", strange]),
        shop.run_words(&["saddle", "--branch", strange, "--header", "60.3mm"]),
        shop.run_words(&["saddle", strange]),
        shop.run_words(&[strange]),
        shop.run_words(&["ruler", "--out", &format!("{strange}.pdf")])
            .succeeds(),
    ];
    for run in runs {
        let said = run.out() + &run.err();
        assert!(said.contains("\\u{202e}"), "{said:?}");
        let obeyed = |letter: char| (letter.is_control() && letter != '\n') || letter == '\u{202e}';
        assert!(!said.contains(obeyed), "{said:?}");
    }
}
