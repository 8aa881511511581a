//! A finished PDF, read by lopdf, which shares no code with the writer.

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};

/// A finished PDF.
pub struct Paper {
    document: Document,
    pages: Vec<ObjectId>,
}

/// From a page's points to tenths of a millimetre.
const TENTHS: f64 = 254.0 / 72.0;

fn number(object: &Object) -> f64 {
    object.as_float().map(f64::from).expect("a number")
}

impl Paper {
    pub fn read(bytes: &[u8]) -> Self {
        let document = Document::load_mem(bytes).expect("a PDF");
        let pages = document.get_pages().into_values().collect();
        Self { document, pages }
    }

    pub fn pages(&self) -> usize {
        self.pages.len()
    }

    /// Width and height of a page, tenths of a millimetre.
    pub fn size(&self, page: usize) -> [f64; 2] {
        let dictionary = self.document.get_dictionary(self.pages[page]).unwrap();
        let media = dictionary.get(b"MediaBox").and_then(Object::as_array);
        let sides: Vec<f64> = media.expect("a size").iter().map(number).collect();
        [
            (sides[2] - sides[0]) * TENTHS,
            (sides[3] - sides[1]) * TENTHS,
        ]
    }

    /// Where pieces of paths begin and straight lines end, tenths of a
    /// millimetre from the upper left corner.
    pub fn points(&self, page: usize) -> Vec<[f64; 2]> {
        let content = self.document.get_page_content(self.pages[page]);
        let content = Content::decode(&content).expect("a content stream");
        let height = self.size(page)[1];
        let mut now = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
        let mut kept = Vec::new();
        let mut out = Vec::new();
        for step in &content.operations {
            let n: Vec<f64> = step
                .operands
                .iter()
                .filter_map(|o| o.as_float().ok().map(f64::from))
                .collect();
            match step.operator.as_str() {
                "q" => kept.push(now),
                "Q" => now = kept.pop().expect("balanced"),
                // ISO 32000-1, 8.4.4: the new matrix comes first.
                "cm" => {
                    let (m, c) = (&n, now);
                    now = [
                        m[0] * c[0] + m[1] * c[2],
                        m[0] * c[1] + m[1] * c[3],
                        m[2] * c[0] + m[3] * c[2],
                        m[2] * c[1] + m[3] * c[3],
                        m[4] * c[0] + m[5] * c[2] + c[4],
                        m[4] * c[1] + m[5] * c[3] + c[5],
                    ];
                }
                "m" | "l" => {
                    let x = n[0] * now[0] + n[1] * now[2] + now[4];
                    let y = n[0] * now[1] + n[1] * now[3] + now[5];
                    out.push([x * TENTHS, height - y * TENTHS]);
                }
                _ => {}
            }
        }
        out
    }

    /// How many fonts there are, and how many of them carry their program.
    pub fn fonts(&self) -> [usize; 2] {
        let of_kind = |dictionary: &Dictionary, kind: &[u8]| {
            dictionary
                .get(b"Type")
                .and_then(Object::as_name)
                .is_ok_and(|name| name == kind)
        };
        let dictionaries = || {
            self.document
                .objects
                .values()
                .filter_map(|object| object.as_dict().ok())
        };
        let fonts = dictionaries()
            .filter(|d| of_kind(d, b"Font") && d.has(b"FontDescriptor"))
            .count();
        let carried = dictionaries()
            .filter(|d| of_kind(d, b"FontDescriptor"))
            .filter(|d| d.has(b"FontFile2") || d.has(b"FontFile3"))
            .count();
        [fonts, carried]
    }

    /// The text of a page, as it can be selected.
    pub fn text(&self, page: usize) -> String {
        self.document
            .extract_text(&[page as u32 + 1])
            .expect("text that can be read")
    }

    /// True where something in it is to run or to be fetched.
    pub fn acts(&self) -> bool {
        self.document.objects.values().any(|object| {
            object.as_dict().is_ok_and(|d| {
                [&b"JS"[..], b"JavaScript", b"URI", b"Launch", b"OpenAction"]
                    .iter()
                    .any(|key| d.has(key))
            })
        })
    }
}
