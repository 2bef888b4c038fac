//! MP4 files as a telephone writes them (ISO/IEC 14496-12 and 14496-15): a film in H.264, sound, a track of places, and
//! notes about place, device and time in every corner. The pictures are no pictures: nobody here decodes them.

/// What must never be kept, by what it is.
pub const TRACES: [(&str, &[u8]); 11] = [
    ("the position", b"+59.9139+010.7522/"),
    ("the position in a track", b"GPS 59.9139 10.7522"),
    ("the position in a description", b"<exif:GPSLatitude>59,54.8"),
    ("the device", b"Example Phone 12"),
    ("the name of the coder", b"Example Coder"),
    ("a title", b"Amina walks, Hillside"),
    ("a text among the pictures", b"taken by Example Phone"),
    ("the handler's name", b"Handler of Example"),
    ("sound", b"SPOKEN-NAME-"),
    ("a thumbnail", b"THUMBNAIL-OF-A-FACE"),
    ("the time, 3 March 2025, 08:05 UTC", &TAKEN.to_be_bytes()),
];
/// Seconds since 1904: 3,823,833,900 is 1,740,989,100 in seconds since 1970, plus 2,082,844,800.
pub const TAKEN: u32 = 3_823_833_900;
/// The same since 1970.
pub const TAKEN_UNIX: i64 = 1_740_989_100;

pub fn one(name: &[u8], body: &[u8]) -> Vec<u8> {
    let mut out = (body.len() as u32 + 8).to_be_bytes().to_vec();
    out.extend(name);
    out.extend(body);
    out
}

pub fn many(name: &[u8], parts: &[Vec<u8>]) -> Vec<u8> {
    one(name, &parts.concat())
}

pub fn words(words: &[u32]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_be_bytes()).collect()
}

/// A unit of H.264 behind its length.
fn unit(kind: u8, body: &[u8]) -> Vec<u8> {
    let mut out = (body.len() as u32 + 1).to_be_bytes().to_vec();
    out.push(kind);
    out.extend(body);
    out
}

/// The slice of a picture: type 5 where it can be decoded by itself.
pub fn slice(number: u8) -> Vec<u8> {
    unit(if number.is_multiple_of(4) { 0x65 } else { 0x41 }, &vec![0x30 + number; 90 + usize::from(number)])
}

/// A picture with a unit for the user in front of it (type 6: message 5, size, 16 bytes of id, text).
fn picture(number: u8) -> Vec<u8> {
    let text = b"taken by Example Phone";
    let mut message = vec![5, 16 + text.len() as u8];
    message.extend([0xab; 16]);
    message.extend(text);
    message.push(0x80);
    [unit(0x06, &message), slice(number)].concat()
}

fn sound(number: u8) -> Vec<u8> {
    format!("SPOKEN-NAME-{number:04}").into_bytes()
}

/// What of a file can be changed by a test.
#[derive(Debug, Clone)]
pub struct Movie {
    pub pictures: u8,
    /// Ticks of a picture; 600 are a second.
    pub ticks: u32,
    pub width: u16,
    pub height: u16,
    pub entry: [u8; 4],
    pub film: bool,
    pub sound: bool,
    /// Whether the description comes before the pictures.
    pub fast: bool,
    /// Turned by a quarter, as a telephone held upright writes it.
    pub turned: bool,
    /// By how many bytes the first picture is longer.
    pub padding: usize,
}

impl Default for Movie {
    fn default() -> Self {
        Self {
            pictures: 12,
            ticks: 50,
            width: 640,
            height: 480,
            entry: *b"avc1",
            film: true,
            sound: true,
            fast: false,
            turned: false,
            padding: 0,
        }
    }
}

impl Movie {
    pub fn bytes(&self) -> Vec<u8> {
        let kind = one(b"ftyp", b"qt  \x20\x05\x03\0qt  mp42");
        let description = one(
            b"uuid",
            &[&[0xbe; 16][..], b"<x:xmpmeta><exif:GPSLatitude>59,54.8N</x>Example Phone 12"].concat(),
        );
        // Picture, sound and place alternate, so that each track lies between the others.
        let (mut media, mut places) = (Vec::new(), [Vec::new(), Vec::new(), Vec::new()]);
        for number in 0..self.pictures {
            let picture = self.picture(number);
            for (track, bytes) in [picture, sound(number), b"GPS 59.9139 10.7522".to_vec()].iter().enumerate()
            {
                places[track].push(media.len() as u32);
                media.extend(bytes);
            }
        }
        let empty = self.description(&places, 0);
        let first = if self.fast { kind.len() + description.len() + empty.len() + 8 } else { kind.len() + 8 };
        let movie = self.description(&places, first as u32);
        let media = one(b"mdat", &media);
        let parts =
            if self.fast { [kind, description, movie, media] } else { [kind, media, description, movie] };
        parts.concat()
    }

    fn picture(&self, number: u8) -> Vec<u8> {
        let mut picture = picture(number);
        if number == 0 && self.padding > 0 {
            picture.extend(unit(0x41, &vec![0x5a; self.padding]));
        }
        picture
    }

    fn description(&self, places: &[Vec<u32>; 3], first: u32) -> Vec<u8> {
        let ticks = u32::from(self.pictures) * self.ticks;
        let head = [
            words(&[0, TAKEN, TAKEN, 600, ticks, 0x1_0000, 0x0100_0000, 0, 0]),
            matrix(false),
            words(&[0; 7]),
        ];
        let place = one(b"\xa9xyz", b"\0\x12\x15\xc7+59.9139+010.7522/");
        let about = [
            place,
            one(b"\xa9mod", b"\0\x10\x15\xc7Example Phone 12"),
            one(b"titl", b"\0\0\0\0\x15\xc7Amina walks, Hillside\0"),
            one(b"meta", b"com.apple.quicktime.location.ISO6709 +59.9139+010.7522/ THUMBNAIL-OF-A-FACE"),
        ];
        let at = |track: usize| places[track].iter().map(|place| place + first).collect::<Vec<_>>();
        let lengths =
            |of: &dyn Fn(u8) -> Vec<u8>| (0..self.pictures).map(|n| of(n).len() as u32).collect::<Vec<_>>();
        let mut parts = vec![one(b"mvhd", &head.concat())];
        if self.sound {
            parts.push(self.track(1, (b"soun", b"mp4a"), &lengths(&sound), &at(1)));
        }
        if self.film {
            parts.push(self.track(2, (b"vide", &self.entry), &lengths(&|n| self.picture(n)), &at(0)));
        }
        parts.push(self.track(3, (b"meta", b"gpmd"), &lengths(&|_| vec![0; 19]), &at(2)));
        parts.push(many(b"udta", &about));
        many(b"moov", &parts)
    }

    fn track(
        &self,
        id: u32,
        (kind, entry): (&[u8; 4], &[u8; 4]),
        lengths: &[u32],
        places: &[u32],
    ) -> Vec<u8> {
        let ticks = u32::from(self.pictures) * self.ticks;
        let sides = [u32::from(self.width) << 16, u32::from(self.height) << 16];
        let head = [
            words(&[0xf, TAKEN, TAKEN, id, 0, ticks, 0, 0, 0, 0]),
            matrix(self.turned && kind == b"vide"),
            words(&sides),
        ];
        let media_head = words(&[0, TAKEN, TAKEN, 600, ticks, 0x15c7_0000]);
        let handler =
            [b"\0\0\0\0mhlr".as_slice(), kind, b"Exam\0\0\0\0\0\0\0\0\x12Handler of Example"].concat();
        let count = lengths.len() as u32;
        let keys: Vec<u32> = (0..count).filter(|n| n % 4 == 0).map(|n| n + 1).collect();
        let description = [words(&[0, 1]), self.entry(entry)].concat();
        let mut tables = vec![
            one(b"stsd", &description),
            one(b"stts", &words(&[0, 1, count, self.ticks])),
            one(b"stsc", &words(&[0, 1, 1, 1, 1])),
            one(b"stsz", &words(&[vec![0, 0, count], lengths.to_vec()].concat())),
            one(b"stco", &words(&[vec![0, count], places.to_vec()].concat())),
        ];
        if kind == b"vide" {
            tables.push(one(b"stss", &words(&[vec![0, keys.len() as u32], keys].concat())));
        }
        let place = one(b"dref", &[words(&[0, 1]), one(b"alis", &words(&[1]))].concat());
        let information = many(b"minf", &[many(b"dinf", &[place]), many(b"stbl", &tables)]);
        let media = many(b"mdia", &[one(b"mdhd", &media_head), one(b"hdlr", &handler), information]);
        let name = one(b"udta", &one(b"name", b"Example Phone 12"));
        many(b"trak", &[one(b"tkhd", &head.concat()), media, name])
    }

    fn entry(&self, name: &[u8; 4]) -> Vec<u8> {
        let mut body = vec![0, 0, 0, 0, 0, 0, 0, 1];
        if !matches!(name, b"avc1" | b"encv" | b"mp4v") {
            return one(name, &[body, vec![0; 20]].concat());
        }
        body.extend(b"\0\0\0\0Exam\0\0\0\0\0\0\0\0");
        body.extend(self.width.to_be_bytes());
        body.extend(self.height.to_be_bytes());
        body.extend(words(&[72 << 16, 72 << 16, 0]));
        body.extend(b"\0\x01\x0dExample Coder");
        body.extend([0; 18]);
        body.extend([0, 24, 0xff, 0xff]);
        body.extend(one(b"avcC", &config()));
        body.extend(one(b"colr", b"profExample Phone 12"));
        body.extend(one(b"colr", b"nclx\0\x01\0\x01\0\x01\0"));
        body.extend(one(b"pasp", &words(&[1, 1])));
        one(name, &body)
    }
}

/// Parameter sets of H.264 with lengths of four bytes.
pub fn config() -> Vec<u8> {
    let mut out = vec![1, 66, 0, 30, 0xff, 0xe1, 0, 4, 0x67, 66, 0, 30, 1, 0, 2, 0x68];
    out.push(0xce);
    out
}

fn matrix(turned: bool) -> Vec<u8> {
    let one = 0x1_0000;
    let minus = 0_u32.wrapping_sub(one);
    if turned {
        words(&[0, one, 0, minus, 0, 0, 480 << 16, 0, 0x4000_0000])
    } else {
        words(&[one, 0, 0, 0, one, 0, 0, 0, 0x4000_0000])
    }
}

/// A film of four pictures in two fragments with sound between them, as a recorder in a browser writes it.
pub fn fragmented() -> Vec<u8> {
    let movie = Movie { pictures: 0, ..Movie::default() };
    let whole = movie.description(&[Vec::new(), Vec::new(), Vec::new()], 0);
    let extends: Vec<Vec<u8>> = [1, 2].iter().map(|id| one(b"trex", &words(&[0, *id, 1, 0, 0, 0]))).collect();
    let movie = one(b"moov", &[&whole[8..], &many(b"mvex", &extends)].concat());
    let mut out = [one(b"ftyp", b"iso5\0\0\x02\0iso5avc1"), movie].concat();
    for first in [0_u8, 2] {
        let pictures = [picture(first), picture(first + 1)];
        let fragment = |offset: u32| fragment(first, &pictures, offset);
        let length = fragment(0).len() as u32;
        out.extend(fragment(length + 8));
        out.extend(one(b"mdat", &[sound(first), pictures.concat()].concat()));
    }
    out.extend(one(b"mfra", b"Example Phone 12"));
    out
}

fn fragment(first: u8, pictures: &[Vec<u8>; 2], offset: u32) -> Vec<u8> {
    let said = sound(first).len() as u32;
    let tracks = [
        many(
            b"traf",
            &[one(b"tfhd", &words(&[0x2_0000, 1])), one(b"trun", &words(&[0x301, 1, offset, 100, said]))],
        ),
        many(
            b"traf",
            &[
                one(b"tfhd", &words(&[0x2_0008, 2, 50])),
                one(b"tfdt", &words(&[0, u32::from(first) * 50])),
                // The first picture can be decoded by itself, the others cannot.
                one(
                    b"trun",
                    &words(&[
                        0xe01,
                        2,
                        offset + said,
                        pictures[0].len() as u32,
                        0x0200_0000,
                        0,
                        pictures[1].len() as u32,
                        0x0101_0000,
                        25,
                    ]),
                ),
            ],
        ),
    ];
    many(b"moof", &[one(b"mfhd", &words(&[0, 1])), tracks.concat()])
}

/// The boxes of a file, those within the usual ones too: path and contents.
pub fn boxes(bytes: &[u8], path: &str) -> Vec<(String, Vec<u8>)> {
    let (mut at, mut found) = (0, Vec::new());
    while at < bytes.len() {
        let size = u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
        let name = String::from_utf8(bytes[at + 4..at + 8].to_vec()).unwrap();
        let path = format!("{path}/{name}");
        let body = bytes[at + 8..at + size].to_vec();
        if ["moov", "trak", "mdia", "minf", "dinf", "stbl"].contains(&name.as_str()) {
            found.extend(boxes(&body, &path));
        }
        if name == "stsd" {
            found.extend(boxes(&body[8..], &path));
        }
        if name == "avc1" {
            found.extend(boxes(&body[78..], &path));
        }
        found.push((path, body));
        at += size;
    }
    found
}

/// The contents of the one box with a name.
pub fn body(file: &[u8], name: &str) -> Vec<u8> {
    let mut found = boxes(file, "").into_iter().filter(|(path, _)| path.ends_with(&format!("/{name}")));
    let (_, body) = found.next().unwrap();
    assert!(found.next().is_none(), "{name} is there twice");
    body
}

/// The pictures of a file with one chunk, by its own tables.
pub fn pictures(file: &[u8]) -> Vec<Vec<u8>> {
    let word = |bytes: &[u8], place: usize| {
        u32::from_be_bytes(bytes[4 * place..4 * place + 4].try_into().unwrap()) as usize
    };
    let (lengths, places) = (body(file, "stsz"), body(file, "stco"));
    assert_eq!(word(&places, 1), 1);
    let mut at = word(&places, 2);
    let one = |n: usize| {
        let length = word(&lengths, 3 + n);
        at += length;
        file[at - length..at].to_vec()
    };
    (0..word(&lengths, 2)).map(one).collect()
}
