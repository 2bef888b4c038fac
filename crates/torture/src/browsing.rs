//! A browser as small as a harness needs: one request at a time, cookies, and the fields of a form.

use std::{
    collections::BTreeMap,
    io::{self, Read, Write},
    net::{SocketAddr, TcpStream},
    time::Duration,
};

/// How long an answer may take. The server is killed meanwhile, which ends the connection at once.
const PATIENCE: Duration = Duration::from_secs(60);

/// An answer.
#[derive(Debug, Clone, Default)]
pub struct HttpAnswer {
    /// The status.
    pub status: u16,
    /// Where it leads.
    pub location: String,
    /// The page.
    pub text: String,
}

/// Cookies, and where to ask.
#[derive(Debug, Clone)]
pub struct Browsing {
    address: SocketAddr,
    cookies: BTreeMap<String, String>,
}

impl Browsing {
    /// Without cookies.
    #[must_use]
    pub const fn at(address: SocketAddr) -> Self {
        Self { address, cookies: BTreeMap::new() }
    }

    /// Turns to another address, with the cookies.
    pub const fn turn_to(&mut self, address: SocketAddr) {
        self.address = address;
    }

    /// Asks for a page.
    ///
    /// # Errors
    /// When the server does not answer.
    pub fn get(&mut self, path: &str) -> io::Result<HttpAnswer> {
        self.ask("GET", path, "")
    }

    /// Sends a form.
    ///
    /// # Errors
    /// When the server does not answer.
    pub fn post(&mut self, path: &str, fields: &BTreeMap<String, String>) -> io::Result<HttpAnswer> {
        let pairs: Vec<String> =
            fields.iter().map(|(name, value)| format!("{}={}", escaped(name), escaped(value))).collect();
        self.ask("POST", path, &pairs.join("&"))
    }

    /// Opens a page, fills in its form and sends it.
    ///
    /// # Errors
    /// When the server does not answer.
    pub fn send(&mut self, path: &str, filled: &[(&str, &str)]) -> io::Result<HttpAnswer> {
        let mut fields = form(&self.get(path)?.text, path);
        fields.extend(filled.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
        self.post(path, &fields)
    }

    fn ask(&mut self, method: &str, path: &str, body: &str) -> io::Result<HttpAnswer> {
        let mut stream = TcpStream::connect(self.address)?;
        stream.set_read_timeout(Some(PATIENCE))?;
        let cookies: Vec<String> =
            self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
        // HTTP/1.0: the answer comes in one piece and ends with the connection (RFC 1945, section 7.2.2).
        let request = format!(
            "{method} {path} HTTP/1.0\r\nHost: {}\r\nOrigin: http://{}\r\nSec-Fetch-Site: same-origin\r\n\
             Cookie: {}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            self.address,
            self.address,
            cookies.join("; "),
            body.len()
        );
        stream.write_all(request.as_bytes())?;
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes)?;
        self.answer(&String::from_utf8_lossy(&bytes))
    }

    fn answer(&mut self, text: &str) -> io::Result<HttpAnswer> {
        let cut = || io::Error::new(io::ErrorKind::UnexpectedEof, "the answer was cut off");
        let (head, page) = text.split_once("\r\n\r\n").ok_or_else(cut)?;
        let mut lines = head.lines();
        let status = lines.next().and_then(|line| line.split(' ').nth(1)).and_then(|word| word.parse().ok());
        let mut answer =
            HttpAnswer { status: status.ok_or_else(cut)?, location: String::new(), text: page.to_owned() };
        for (name, value) in lines.filter_map(|line| line.split_once(": ")) {
            match name.to_ascii_lowercase().as_str() {
                "location" => value.clone_into(&mut answer.location),
                "set-cookie" => self.keep(value),
                _ => {}
            }
        }
        Ok(answer)
    }

    fn keep(&mut self, cookie: &str) {
        let value = cookie.split(';').next().unwrap_or_default();
        if let Some((name, value)) = value.split_once('=') {
            self.cookies.insert(name.to_owned(), value.to_owned());
        }
    }
}

/// The fields of the form that is sent to a path, as they are filled in, without choices.
#[must_use]
pub fn form(page: &str, path: &str) -> BTreeMap<String, String> {
    let begin = format!("action=\"{path}\"");
    let form = page.split(&begin).nth(1).and_then(|rest| rest.split("</form>").next()).unwrap_or_default();
    let inputs = form.split("<input").skip(1).filter_map(|rest| rest.split('>').next());
    let chosen = |input: &&str| input.contains("type=\"radio\"") || input.contains("type=\"checkbox\"");
    inputs
        .filter(|input| !chosen(input))
        .filter_map(|input| Some((attribute(input, "name")?, attribute(input, "value").unwrap_or_default())))
        .collect()
}

fn attribute(tag: &str, name: &str) -> Option<String> {
    let value = tag.split(&format!(" {name}=\"")).nth(1)?.split('"').next()?;
    Some(value.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&"))
}

/// As a form writes it (URL standard, section 5).
fn escaped(text: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    text.bytes()
        .map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") })
        .collect()
}
