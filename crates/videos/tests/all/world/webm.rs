//! WebM files as a recorder writes them (RFC 8794 and RFC 9559): a film in VP8, sound, tags, a title, an attachment.

/// What must never be kept, by what it is.
pub const TRACES: [(&str, &[u8]); 7] = [
    ("the position", b"+59.9139+010.7522/"),
    ("the device", b"Example Phone 12"),
    ("the program", b"Example Recorder"),
    ("a title", b"Amina walks, Hillside"),
    ("an attachment", b"THUMBNAIL-OF-A-FACE"),
    ("sound", b"SPOKEN-NAME-"),
    ("the time, 3 March 2025, 08:05 UTC", &TAKEN_NS.to_be_bytes()),
];
/// 1,740,989,100 seconds since 1970 are 762,681,900 since 2001 (978,307,200 later).
const TAKEN_NS: i64 = 762_681_900_000_000_000;
/// The same since 1970, in seconds.
pub const TAKEN_UNIX: i64 = 1_740_989_100;

/// An element with a length of eight bytes; `None` for one that is not known.
pub fn element(id: u32, body: Option<&[u8]>) -> Vec<u8> {
    let mut out: Vec<u8> = id.to_be_bytes().into_iter().skip_while(|byte| *byte == 0).collect();
    match body {
        Some(body) => {
            out.extend((1_u64 << 56 | body.len() as u64).to_be_bytes());
            out.extend(body);
        }
        None => out.extend([0x01, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff]),
    }
    out
}

pub fn some(id: u32, body: &[u8]) -> Vec<u8> {
    element(id, Some(body))
}

/// A picture of VP8, as far as anybody looks here.
pub fn picture(number: u8) -> Vec<u8> {
    vec![0x30 + number; 70 + usize::from(number)]
}

/// What of a file can be changed by a test.
#[derive(Debug, Clone)]
pub struct Recording {
    pub pictures: u8,
    /// Milliseconds of a picture.
    pub ms: i16,
    pub codec: &'static str,
    pub film: bool,
    /// Whether lengths of the file and of its clusters are known.
    pub known: bool,
    /// Whether pictures are in groups.
    pub grouped: bool,
    /// Flags of the blocks of pictures, besides that of the first.
    pub flags: u8,
    /// What else the track of the film has.
    pub in_track: Vec<u8>,
    /// What else the information about the file has.
    pub in_info: Vec<u8>,
}

impl Default for Recording {
    fn default() -> Self {
        let codec = "V_VP8";
        Self {
            pictures: 10,
            ms: 40,
            codec,
            film: true,
            known: false,
            grouped: false,
            flags: 0,
            in_track: Vec::new(),
            in_info: Vec::new(),
        }
    }
}

impl Recording {
    pub fn bytes(&self) -> Vec<u8> {
        let kind = [some(0x42f2, &[4]), some(0x42f3, &[8]), some(0x4282, b"webm")].concat();
        let info = [
            some(0x2a_d7b1, &1_000_000_u32.to_be_bytes()),
            some(0x4461, &TAKEN_NS.to_be_bytes()),
            some(0x7ba9, b"Amina walks, Hillside"),
            some(0x4d80, b"Example Recorder"),
            some(0x5741, b"Example Recorder"),
            self.in_info.clone(),
        ];
        let sides = [some(0xb0, &[2, 128]), some(0xba, &[1, 224])].concat();
        let film = [
            some(0xd7, &[1]),
            some(0x73c5, &[7]),
            some(0x83, &[1]),
            some(0x536e, b"Example Phone 12"),
            some(0x86, self.codec.as_bytes()),
            some(0xe0, &sides),
            self.in_track.clone(),
        ];
        let sound = [some(0xd7, &[2]), some(0x73c5, &[8]), some(0x83, &[2]), some(0x86, b"A_OPUS")];
        let film = if self.film { some(0xae, &film.concat()) } else { Vec::new() };
        let tracks = some(0x1654_ae6b, &[film, some(0xae, &sound.concat())].concat());
        let tag = [some(0x45a3, b"LOCATION"), some(0x4487, b"+59.9139+010.7522/ Example Phone 12")].concat();
        let tags = some(0x1254_c367, &some(0x7373, &some(0x67c8, &tag)));
        let file = [some(0x466e, b"face.jpg"), some(0x465c, b"THUMBNAIL-OF-A-FACE")].concat();
        let attached = some(0x1941_a469, &some(0x61a7, &file));
        let parts = [some(0x1549_a966, &info.concat()), tracks, tags, attached, self.clusters()].concat();
        let segment = element(0x1853_8067, self.known.then_some(parts.as_slice()));
        let rest = if self.known { Vec::new() } else { parts };
        [some(0x1a45_dfa3, &kind), segment, rest].concat()
    }

    /// Clusters of five pictures each, with sound between them.
    fn clusters(&self) -> Vec<u8> {
        let mut out = Vec::new();
        for first in (0..self.pictures).step_by(5) {
            let begin = i64::from(first) * i64::from(self.ms);
            let mut body = some(0xe7, &begin.to_be_bytes());
            for number in first..self.pictures.min(first + 5) {
                let after = i16::from(number - first) * self.ms;
                let said = format!("SPOKEN-NAME-{number:04}");
                body.extend(some(0xa3, &block(2, after, 0x80, said.as_bytes())));
                body.extend(self.of_picture(number, number == first, after));
            }
            out.extend(element(0x1f43_b675, self.known.then_some(body.as_slice())));
            if !self.known {
                out.extend(body);
            }
        }
        out
    }

    fn of_picture(&self, number: u8, is_key: bool, after: i16) -> Vec<u8> {
        let key = if is_key { 0x80 } else { 0 };
        if !self.grouped {
            return some(0xa3, &block(1, after, key | self.flags, &picture(number)));
        }
        let reference = if is_key { Vec::new() } else { some(0xfb, &(-self.ms).to_be_bytes()) };
        let duration = some(0x9b, &(self.ms * 2).to_be_bytes());
        some(
            0xa0,
            &[some(0xa1, &block(1, after, self.flags, &picture(number))), duration, reference].concat(),
        )
    }
}

fn block(track: u8, after: i16, flags: u8, body: &[u8]) -> Vec<u8> {
    let mut out = vec![0x80 | track];
    out.extend(after.to_be_bytes());
    out.push(flags);
    out.extend(body);
    out
}

/// The elements of a file, those within the usual ones too: identifier and contents.
pub fn elements(bytes: &[u8]) -> Vec<(u32, Vec<u8>)> {
    const OUTER: [u32; 8] =
        [0x1853_8067, 0x1549_a966, 0x1654_ae6b, 0xae, 0xe0, 0x1f43_b675, 0x1c53_bb6b, 0xbb];
    let (mut at, mut found) = (0, Vec::new());
    while at < bytes.len() {
        let id_bytes = bytes[at].leading_zeros() as usize + 1;
        let id = bytes[at..at + id_bytes].iter().fold(0, |id, byte| id << 8 | u32::from(*byte));
        at += id_bytes;
        assert_eq!(bytes[at], 1, "every length has eight bytes");
        let length = bytes[at + 1..at + 8].iter().fold(0, |length, byte| length << 8 | usize::from(*byte));
        at += 8;
        let body = bytes[at..at + length].to_vec();
        if OUTER.contains(&id) {
            found.extend(elements(&body));
        }
        found.push((id, body));
        at += length;
    }
    found
}

/// The blocks of a file: time of their cluster and their own, flags, picture.
pub fn blocks(file: &[u8]) -> Vec<(i64, u8, Vec<u8>)> {
    let (mut time, mut blocks) = (0, Vec::new());
    for (id, body) in elements(file) {
        match id {
            0xe7 => time = i64::from_be_bytes(body.try_into().unwrap()),
            0xa3 => {
                assert_eq!(body[0], 0x81);
                let after = i16::from_be_bytes([body[1], body[2]]);
                blocks.push((time + i64::from(after), body[3], body[4..].to_vec()));
            }
            _ => {}
        }
    }
    blocks
}
