//! Videos of gait on a phone: a film that a browser records is sent, interrupted, taken up again, named, played after it
//! was written anew, and hidden when the consent is taken back.

use crate::{
    TODAY,
    clinic::Clinic,
    run, screens,
    stops::child,
    tab::{Browsing, Finger, Tab},
};

const PHONE: (u32, u32) = (390, 844);
/// A child whose videos nobody has asked about yet.
const WALKS: u32 = 25;

/// The bytes of a part.
const PART: u64 = 256 << 10;

/// Two feet that walk over a noisy floor, with a tone, recorded for some seconds: base64, or nothing where the browser
/// does not record this kind of file. The noise makes the file large enough to be sent in several parts.
fn recording(kind: &str) -> String {
    format!(
        "(async () => {{
          if (!MediaRecorder.isTypeSupported('{kind}')) return '';
          const canvas = document.createElement('canvas');
          canvas.width = 320; canvas.height = 240;
          const ink = canvas.getContext('2d');
          const draw = (time) => {{
            const noise = ink.createImageData(320, 240);
            const words = new Uint32Array(noise.data.buffer);
            let word = time | 1;
            for (let n = 0; n < words.length; n += 1) {{ word = Math.imul(word, 1664525) + 1013904223; words[n] = 0xff000000 | (word >>> 9); }}
            ink.putImageData(noise, 0, 0);
            ink.fillStyle = '#f2d2b0';
            for (const side of [0, 1]) ink.fillRect(60 + 125 * side, 90 + 45 * Math.sin(time / 180 + Math.PI * side), 70, 75);
          }};
          draw(0);
          const stream = canvas.captureStream(25);
          const sound = new AudioContext();
          const tone = sound.createOscillator();
          const out = sound.createMediaStreamDestination();
          tone.connect(out); tone.start();
          stream.addTrack(out.stream.getAudioTracks()[0]);
          const recorder = new MediaRecorder(stream, {{ mimeType: '{kind}', videoBitsPerSecond: 8e6 }});
          const parts = [];
          recorder.ondataavailable = (event) => parts.push(event.data);
          const ended = new Promise((done) => {{ recorder.onstop = done; }});
          const begun = performance.now();
          recorder.start(200);
          while (performance.now() - begun < 3000) {{
            draw(Math.round(performance.now() - begun));
            await new Promise((next) => setTimeout(next, 40));
          }}
          recorder.stop();
          await ended;
          const bytes = new Uint8Array(await new Blob(parts).arrayBuffer());
          let text = '';
          for (let at = 0; at < bytes.length; at += 32768) text += String.fromCharCode(...bytes.subarray(at, at + 32768));
          return btoa(text);
        }})()"
    )
}

/// Bytes of base64.
fn decoded(text: &str) -> Vec<u8> {
    let value = |byte: u8| match byte {
        b'A'..=b'Z' => byte - b'A',
        b'a'..=b'z' => byte - b'a' + 26,
        b'0'..=b'9' => byte - b'0' + 52,
        b'+' => 62,
        _ => 63,
    };
    let digits: Vec<u8> = text.bytes().filter(|byte| *byte != b'=').collect();
    digits
        .chunks(4)
        .flat_map(|four| {
            let word = four.iter().fold(0_u32, |word, byte| word << 6 | u32::from(value(*byte)));
            let word = word << (6 * (4 - four.len()));
            word.to_be_bytes()[1..four.len()].to_vec()
        })
        .collect()
}

/// Has parts beyond a share of the file fail as without a network, and counts those that are sent.
async fn network_until(tab: &Tab, share: f64) {
    let broken = format!(
        "(() => {{
          const real = globalThis.fetch;
          globalThis.partsSent = 0;
          globalThis.fetch = (address, how) => {{
            const asked = new URL(address, location.href).searchParams;
            if (how?.method !== 'POST' || !asked.has('start')) return real(address, how);
            if (Number(asked.get('start')) / Number(asked.get('total')) >= {share}) return Promise.reject(new TypeError('offline'));
            globalThis.partsSent += 1;
            sessionStorage.setItem('parts', globalThis.partsSent);
            return real(address, how);
          }};
          return null; }})()"
    );
    tab.eval::<()>(&broken).await;
}

async fn fits(tab: &Tab) {
    let over: i32 = tab.eval("document.documentElement.scrollWidth - innerWidth").await;
    assert!(over <= 0, "{} is {over} px wider than the phone", tab.path().await);
}

async fn answer(tab: &Tab, summary: &str, button: &str) {
    tab.press(Finger::Touch, &tab.named(summary).await).await;
    tab.type_into("#f-relation", "mother").await;
    tab.press_on(Finger::Touch, &tab.named(button).await).await;
}

/// What a browser says of the film on the page after it has jumped to its middle: seconds, width, height, whether it
/// shows a picture there, and how many bytes of sound it has decoded.
async fn plays(tab: &Tab) -> (f64, u32, u32, bool, u32) {
    tab.until("the film to be there", "document.querySelector('.gait-player video')?.readyState >= 1").await;
    tab.eval(
        "(async () => {
          const film = document.querySelector('.gait-player video');
          const seeked = new Promise((done) => film.addEventListener('seeked', done, { once: true }));
          film.currentTime = film.duration / 2;
          await seeked;
          const canvas = document.createElement('canvas');
          canvas.width = 64; canvas.height = 48;
          const ink = canvas.getContext('2d');
          ink.drawImage(film, 0, 0, 64, 48);
          const seen = ink.getImageData(0, 0, 64, 48).data.some((value, place) => place % 4 < 3 && value > 60);
          return [film.duration, film.videoWidth, film.videoHeight, seen, film.webkitAudioDecodedByteCount ?? 0];
        })()",
    )
    .await
}

async fn named(tab: &Tab) {
    tab.until("the film to arrive", "location.pathname.includes('/videos/upload/')").await;
    tab.says("The sound was removed.").await;
    fits(tab).await;
    let (seconds, width, height, seen, sound) = plays(tab).await;
    // Three seconds, and what a busy computer adds or drops.
    assert!((0.3..8.0).contains(&seconds), "{seconds} s");
    assert_eq!((width, height, seen, sound), (320, 240, true, 0));
    screens::keep("video-names-phone.png", &tab.whole_picture(PHONE).await);
    tab.eval::<()>(
        "(() => { for (const [name, value] of [['activity', 'walking'], ['view', 'front']]) {
            const menu = document.querySelector(`[name=${name}]`);
            menu.value = value;
            menu.dispatchEvent(new Event('change', { bubbles: true })); } return null; })()",
    )
    .await;
    tab.type_day("#f-on", TODAY).await;
    tab.press_on(Finger::Touch, &tab.named("Save for").await).await;
    // What the browser writes of its time, if it does, is another day than the invented clinic's.
    if tab.path().await.contains("/upload/") {
        tab.press(Finger::Touch, "#f-sure").await;
        tab.press_on(Finger::Touch, &tab.named("Save for").await).await;
    }
    tab.says("The video is saved.").await;
}

/// Sends a file, loses the network at three fifths of it, loads the page anew and goes on where it stopped.
async fn sent_with_a_break(tab: &Tab, page: &str, path: &str) {
    tab.choose_file("#f-video", path).await;
    network_until(tab, 0.6).await;
    tab.press(Finger::Touch, &tab.named("Send the video of").await).await;
    tab.says("Waiting for the network").await;
    let first: u32 = tab.eval("Number(sessionStorage.getItem('parts'))").await;
    tab.go(page).await;
    tab.choose_file("#f-video", path).await;
    network_until(tab, 2.0).await;
    tab.press(Finger::Touch, &tab.named("Send the video of").await).await;
    tab.until("the film to arrive", "location.pathname.includes('/videos/upload/')").await;
    let second: u32 = tab.eval("Number(sessionStorage.getItem('parts'))").await;
    let bytes = std::fs::metadata(path).unwrap().len();
    let starts: Vec<u64> = (0..bytes.div_ceil(PART)).map(|part| part * PART).collect();
    let before = starts.iter().filter(|start| **start * 10 < bytes * 6).count();
    assert!(before < starts.len(), "a file of {bytes} bytes is too small to be interrupted");
    assert_eq!((first, second), (before as u32, (starts.len() - before) as u32), "each part is sent once");
}

/// A film of each kind that this browser records, the largest first.
async fn recorded(tab: &Tab, folder: &std::path::Path) -> Vec<String> {
    let mut films = Vec::new();
    for (name, kind) in [
        ("walk.webm", "video/webm;codecs=vp8,opus"),
        ("walk.mp4", "video/mp4;codecs=avc1.42E01E,opus"),
        ("other.mp4", "video/mp4;codecs=vp9,opus"),
    ] {
        let text: String = tab.eval(&recording(kind)).await;
        if !text.is_empty() {
            let (path, bytes) = (folder.join(name), decoded(&text));
            std::fs::write(&path, &bytes).unwrap();
            films.push((bytes.len(), path.to_str().unwrap().to_owned()));
        }
    }
    assert!(!films.is_empty(), "this browser records nothing");
    films.sort();
    films.into_iter().rev().map(|(_, path)| path).collect()
}

#[test]
fn a_recorded_film_is_sent_in_spite_of_a_break_named_played_and_hidden_again() {
    run(async {
        let folder = tempfile::tempdir().unwrap();
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(PHONE.0, PHONE.1).await;
        tab.touch().await;
        tab.go(&clinic.link).await;
        let path = child(&tab, WALKS).await;
        let page = clinic.at(&format!("{path}/videos"));
        tab.go(&page).await;
        tab.says("No answer of the family about videos is recorded").await;
        answer(&tab, "Record the family’s answer", "Consent given").await;
        tab.says("The consent to videos is recorded.").await;
        fits(&tab).await;

        let films = recorded(&tab, folder.path()).await;
        for (number, film) in films.iter().enumerate() {
            // The largest first: it has the most parts.
            if number == 0 {
                sent_with_a_break(&tab, &page, film).await;
            } else {
                tab.choose_file("#f-video", film).await;
                tab.press(Finger::Touch, &tab.named("Send the video of").await).await;
            }
            named(&tab).await;
            fits(&tab).await;
        }
        let kinds = films.len();
        let films: usize = tab.eval("document.querySelectorAll('.gait-player video').length").await;
        assert_eq!(films, kinds);
        screens::keep("videos-phone.png", &tab.whole_picture(PHONE).await);
        played_slowly(&tab).await;
        let src: String = tab.eval("document.querySelector('.gait-player video').src").await;

        answer(&tab, "The family takes its consent back", "Consent taken back").await;
        tab.says("No video is shown from now on.").await;
        let films: usize = tab.eval("document.querySelectorAll('video').length").await;
        assert_eq!(films, 0);
        let status: u16 = tab.eval(&format!("fetch('{src}').then((answer) => answer.status)")).await;
        assert_eq!(status, 404, "whoever has the address of one sees it no more");
        let export = format!("fetch('{path}/record-file/record.csv').then((answer) => answer.text())");
        let text: String = tab.eval(&export).await;
        assert!(text.contains("gait") && text.len() < 200_000, "the file of the record has the entry alone");
        browsing.close().await;
    });
}

/// Half speed, and one picture back and on.
async fn played_slowly(tab: &Tab) {
    tab.press(Finger::Touch, &tab.named("Half speed").await).await;
    let rate: f64 = tab.eval("document.querySelector('.gait-player video').playbackRate").await;
    assert!((rate - 0.5).abs() < 1e-9, "{rate}");
    tab.eval::<()>("(() => { document.querySelector('.gait-player video').play(); return null; })()").await;
    tab.until("the film to play", "document.querySelector('.gait-player video').currentTime > 0.2").await;
    tab.press(Finger::Touch, &tab.named("One picture on").await).await;
    let stands = "document.querySelector('.gait-player video').currentTime";
    let before: f64 = tab.eval(stands).await;
    tab.press(Finger::Touch, &tab.named("One picture back").await).await;
    let after: f64 = tab.eval(stands).await;
    assert!((before - after - 1.0 / 30.0).abs() < 1e-3, "{before} then {after}");
}
