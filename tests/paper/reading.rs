//! A PDF read back.

use lopdf::{Dictionary, Document, Object};

pub(crate) struct Report {
    document: Document,
}

impl Report {
    pub(crate) fn read(bytes: &[u8]) -> Self {
        Self { document: Document::load_mem(bytes).unwrap() }
    }

    pub(crate) fn pages(&self) -> usize {
        self.document.get_pages().len()
    }

    /// Width and height of every page, points.
    pub(crate) fn sizes_pt(&self) -> Vec<[f32; 2]> {
        let pages = self.document.get_pages();
        let corners = pages.values().map(|id| {
            let page = self.document.get_dictionary(*id).unwrap();
            let corners = page.get(b"MediaBox").unwrap().as_array().unwrap();
            corners.iter().map(|corner| corner.as_float().unwrap()).collect::<Vec<f32>>()
        });
        corners.map(|corners| [corners[2] - corners[0], corners[3] - corners[1]]).collect()
    }

    /// A page's text without its white space, since lines are cut where they must be.
    pub(crate) fn page(&self, number: u32) -> String {
        squeezed(&self.document.extract_text(&[number]).unwrap())
    }

    /// All text, with the line breaks the reader finds.
    pub(crate) fn raw(&self) -> String {
        let pages = (1..=self.pages() as u32).collect::<Vec<_>>();
        self.document.extract_text(&pages).unwrap()
    }

    pub(crate) fn text(&self) -> String {
        (1..=self.pages() as u32).map(|number| self.page(number)).collect()
    }

    #[track_caller]
    pub(crate) fn says(&self, part: &str) {
        let text = self.text();
        assert!(text.contains(&squeezed(part)), "{part:?} is not in\n{text}");
    }

    fn dictionaries(&self) -> impl Iterator<Item = &Dictionary> {
        self.document.objects.values().filter_map(|object| match object {
            Object::Dictionary(dictionary) => Some(dictionary),
            Object::Stream(stream) => Some(&stream.dict),
            _ => None,
        })
    }

    /// The names of embedded faces, and the bytes they take in the file.
    pub(crate) fn faces(&self) -> Vec<(String, usize)> {
        let mut faces: Vec<(String, usize)> = self
            .dictionaries()
            .filter(|dictionary| dictionary.has_type(b"FontDescriptor"))
            .map(|face| {
                let name = face.get(b"FontName").unwrap().as_name().unwrap();
                let file = face.get(b"FontFile2").or_else(|_| face.get(b"FontFile3")).unwrap();
                let file = self.document.get_object(file.as_reference().unwrap()).unwrap();
                let length = file.as_stream().unwrap().content.len();
                (String::from_utf8(name.to_vec()).unwrap(), length)
            })
            .collect();
        faces.sort();
        faces
    }

    /// Whether it holds anything that is neither line nor letter.
    pub(crate) fn has_images(&self) -> bool {
        self.dictionaries().any(|dictionary| {
            dictionary.get(b"Subtype").and_then(Object::as_name).is_ok_and(|name| name == b"Image")
        })
    }

    /// When it says it was made, as PDF writes it: `D:20261123083818…`.
    pub(crate) fn made(&self) -> Vec<String> {
        let dates = self.dictionaries().filter_map(|dictionary| {
            let date = dictionary.get(b"CreationDate").ok()?.as_str().ok()?;
            Some(String::from_utf8_lossy(date).into_owned())
        });
        dates.collect()
    }
}

pub(crate) fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}
