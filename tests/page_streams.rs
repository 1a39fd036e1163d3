//! A page of a PDF is drawn by three streams: its own, its frame, and the rulers that all pages share.

mod support;

use std::collections::BTreeSet;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};
use support::Shop;

/// Few sheets, and so many that they are put into streams by several workers.
const COMMANDS: [&str; 2] = [
    "saddle --branch 48.3mm_x_2mm --header 114.3mm --angle 60 --stations 360",
    "saddle --branch 600mm_x_8mm --header 900mm --angle 50",
];

fn document(command: &str) -> Document {
    let shop = Shop::open();
    shop.run(&format!("{command} --out a.pdf")).succeeds();
    Document::load_mem(&shop.read("a.pdf")).expect("a PDF")
}

/// The streams of a page, by their ids.
fn streams(document: &Document, page: ObjectId) -> Vec<ObjectId> {
    let page = document.get_dictionary(page).expect("a page");
    let contents = page.get(b"Contents").and_then(Object::as_array).expect("streams");
    contents.iter().map(|id| id.as_reference().expect("a stream")).collect()
}

fn operations(document: &Document, stream: ObjectId) -> Content {
    let stream = document
        .get_object(stream)
        .and_then(Object::as_stream)
        .expect("a stream");
    Content::decode(&stream.get_plain_content().expect("plain")).expect("operations")
}

fn dictionary<'a>(document: &'a Document, within: &'a Dictionary, key: &[u8]) -> &'a Dictionary {
    let (_, object) = document
        .dereference(within.get(key).expect("a key"))
        .expect("an object");
    object.as_dict().expect("a dictionary")
}

fn names(dictionary: &Dictionary) -> BTreeSet<Vec<u8>> {
    dictionary.iter().map(|(name, _)| name.clone()).collect()
}

#[test]
fn all_pages_share_the_stream_of_the_rulers_and_no_other() {
    for command in COMMANDS {
        let document = document(command);
        let pages: Vec<_> = document.page_iter().map(|page| streams(&document, page)).collect();
        assert!(pages.len() > 1, "{command}");
        let rulers = pages[0][2];
        let mut seen = BTreeSet::new();
        for page in &pages {
            assert_eq!((page.len(), page[2]), (3, rulers), "{command}");
            assert!(seen.insert(page[0]) && seen.insert(page[1]), "{command}");
        }
        let layers = operations(&document, rulers).operations.into_iter();
        let layers: Vec<_> = layers.filter(|operation| operation.operator == "BDC").collect();
        assert_eq!(layers.len(), 1, "{command}");
        assert_eq!(layers[0].operands[1].as_name().expect("a name"), b"rulers", "{command}");
    }
}

/// A reader puts the streams of a page one after the other: none may leave its pen or its layer to the next.
#[test]
fn every_stream_is_complete_by_itself() {
    for command in COMMANDS {
        let document = document(command);
        for stream in document.page_iter().flat_map(|page| streams(&document, page)) {
            let (mut states, mut layers, mut drawn_outside) = (0, 0, 0);
            for operation in operations(&document, stream).operations {
                match operation.operator.as_str() {
                    "q" => states += 1,
                    "Q" => states -= 1,
                    "BDC" => layers += 1,
                    "EMC" => layers -= 1,
                    _ if states == 0 || layers == 0 => drawn_outside += 1,
                    _ => {}
                }
                assert!((0..=1).contains(&states) && (0..=1).contains(&layers), "{command}");
            }
            assert_eq!((states, layers, drawn_outside), (0, 0, 0), "{command}");
        }
    }
}

#[test]
fn a_page_lists_the_layers_that_its_streams_use_and_no_others_and_all_their_letters() {
    for command in COMMANDS {
        let document = document(command);
        let mut without_a_cut = 0;
        for page in document.page_iter() {
            let (mut layers, mut letters) = (BTreeSet::new(), BTreeSet::new());
            for stream in streams(&document, page) {
                for operation in operations(&document, stream).operations {
                    let name = |at: usize| operation.operands[at].as_name().expect("a name").to_vec();
                    match operation.operator.as_str() {
                        "BDC" => drop(layers.insert(name(1))),
                        "Tf" => drop(letters.insert(name(0))),
                        _ => {}
                    }
                }
            }
            let page = document.get_dictionary(page).expect("a page");
            let resources = dictionary(&document, page, b"Resources");
            assert_eq!(
                names(dictionary(&document, resources, b"Properties")),
                layers,
                "{command}"
            );
            assert!(
                names(dictionary(&document, resources, b"Font")).is_superset(&letters),
                "{command}"
            );
            assert_eq!(letters.len(), 2, "{command}: plain and bold");
            without_a_cut += usize::from(!layers.contains(b"cut-line".as_slice()));
        }
        assert!(
            without_a_cut > 0,
            "{command}: no page without a layer shows that it isn't listed"
        );
    }
}
