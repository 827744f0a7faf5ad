//! Bytes to cells: which signs the letters are, and what divides the cells.

/// A table in cells.
#[derive(Debug)]
pub(super) struct Sheet {
    /// What divides the cells.
    pub(super) delimiter: char,
    /// The lines that hold anything, each with its number in the file.
    pub(super) lines: Vec<(usize, Vec<String>)>,
    /// Whether the bytes were not UTF-8.
    pub(super) is_western: bool,
}

impl Sheet {
    pub(super) fn read(bytes: &[u8]) -> Result<Sheet, String> {
        let (text, is_western) = letters(bytes);
        // What a heading stands above, in files with remarks before it.
        let first = text.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#'));
        let first = first.ok_or("the file is empty")?;
        let delimiter = ['\t', ';', ','].into_iter().find(|sign| first.contains(*sign));
        let delimiter = delimiter.ok_or(
            "the first line has neither tabs, `;` nor `,` between its cells; save the table as CSV",
        )?;
        let mut reader = csv::ReaderBuilder::new();
        reader.has_headers(false).flexible(true).delimiter(delimiter as u8);
        let mut reader = reader.from_reader(text.as_bytes());
        let mut lines = Vec::new();
        for record in reader.records() {
            let record =
                record.map_err(|error| format!("a line cannot be taken apart: {error}"))?;
            let line = record.position().map_or(0, |position| position.line() as usize);
            let plain = |cell: &str| cell.replace(['\u{a0}', '\u{202f}'], " ").trim().to_owned();
            let cells: Vec<String> = record.iter().map(plain).collect();
            let is_remark = cells[0].starts_with('#');
            if !is_remark && cells.iter().any(|cell| !cell.is_empty()) {
                lines.push((line, cells));
            }
        }
        Ok(Sheet { delimiter, lines, is_western })
    }

    /// The line whose cells are the headings.
    pub(super) fn headings(&self) -> &[String] {
        self.lines.first().map_or(&[], |(_, cells)| cells)
    }

    /// The lines below the headings.
    pub(super) fn below(&self) -> &[(usize, Vec<String>)] {
        self.lines.get(1..).unwrap_or_default()
    }

    /// How the cells are divided, in words.
    pub(super) fn form(&self) -> String {
        let between = match self.delimiter {
            '\t' => "tabs".to_owned(),
            sign => format!("`{sign}`"),
        };
        let letters = if self.is_western { "; not UTF-8, read as Windows-1252" } else { "" };
        format!("{between} between the cells{letters}")
    }
}

/// UTF-8 or UTF-16 by their marks, else UTF-8 if it is; what is left is the encoding of western Windows.
fn letters(bytes: &[u8]) -> (String, bool) {
    let pairs = |of: fn([u8; 2]) -> u16| -> String {
        let units: Vec<u16> = bytes[2..].chunks_exact(2).map(|two| of([two[0], two[1]])).collect();
        String::from_utf16_lossy(&units)
    };
    match bytes {
        [0xff, 0xfe, ..] => return (pairs(u16::from_le_bytes), false),
        [0xfe, 0xff, ..] => return (pairs(u16::from_be_bytes), false),
        _ => {}
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => (text.trim_start_matches('\u{feff}').to_owned(), false),
        Err(_) => (
            bytes.iter().map(|byte| if *byte == 0x80 { '€' } else { *byte as char }).collect(),
            true,
        ),
    }
}
