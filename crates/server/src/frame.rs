//! Cuts a stream of bytes into message bodies. Forgiving: header names in any case, unknown headers, bare line feeds
//! and rubbish between messages are all taken, since one odd header must not cost a maker the whole session.

use std::io::{self, BufRead, Read};

/// The longest body that is taken in. A book of 100,000 lines takes about 4 MB.
const LONGEST_BODY: u64 = 128 << 20;
/// The longest header line that is looked at; the rest of it is skipped.
const LONGEST_HEADER: usize = 8 << 10;

/// What came next in the stream.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Frame {
    /// The body of a message.
    Body(Vec<u8>),
    /// Headers, or rubbish, without a usable length.
    NoLength,
    /// A message that is too long; it has been skipped.
    TooLong,
}

/// Reads up to the end of the next message. None at the end of the stream, also in the midst of a message.
pub(crate) fn read_frame(input: &mut impl BufRead) -> io::Result<Option<Frame>> {
    let mut length = None;
    let mut any = false;
    loop {
        let Some(line) = read_line(input)? else { return Ok(None) };
        let line = line.trim_ascii();
        if line.is_empty() {
            match length {
                Some(length) => return read_body(input, length),
                None if any => return Ok(Some(Frame::NoLength)),
                None => {}
            }
        } else {
            any = true;
            length = content_length(line).or(length);
        }
    }
}

fn read_body(input: &mut impl BufRead, length: u64) -> io::Result<Option<Frame>> {
    if length > LONGEST_BODY {
        let skipped = io::copy(&mut input.take(length), &mut io::sink())?;
        return Ok((skipped == length).then_some(Frame::TooLong));
    }
    let mut body = Vec::with_capacity(length.min(1 << 20) as usize);
    let taken = input.take(length).read_to_end(&mut body)?;
    Ok((taken as u64 == length).then_some(Frame::Body(body)))
}

/// A line with its end, cut to a sane length. None at the end of the stream.
fn read_line(input: &mut impl BufRead) -> io::Result<Option<Vec<u8>>> {
    let mut line = Vec::new();
    let mut ended = false;
    let mut any = false;
    while !ended {
        let (used, end) = {
            let seen = input.fill_buf()?;
            if seen.is_empty() {
                break;
            }
            let upto = seen.iter().position(|&byte| byte == b'\n').map(|at| at + 1);
            let used = upto.unwrap_or(seen.len());
            let room = LONGEST_HEADER.saturating_sub(line.len());
            line.extend(seen.iter().take(used.min(room)));
            (used, upto.is_some())
        };
        input.consume(used);
        any = true;
        ended = end;
    }
    Ok(any.then_some(line))
}

/// The length that a header line tells. The name may stand behind rubbish: the rest of a message whose own length
/// was wrong runs into the header of the next.
fn content_length(line: &[u8]) -> Option<u64> {
    let line = String::from_utf8_lossy(line).to_ascii_lowercase();
    let (_, value) = line.rsplit_once("content-length")?;
    value.trim_start().strip_prefix(':')?.trim().parse().ok()
}

/// A body with its header.
pub(crate) fn framed(body: &[u8]) -> Vec<u8> {
    let mut out = format!("Content-Length: {}\r\n\r\n", body.len()).into_bytes();
    out.extend_from_slice(body);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frames(mut bytes: &[u8]) -> Vec<Frame> {
        std::iter::from_fn(|| read_frame(&mut bytes).unwrap()).collect()
    }

    fn body(text: &str) -> Frame {
        Frame::Body(text.as_bytes().to_vec())
    }

    #[test]
    fn headers_in_every_shape() {
        for head in [
            "Content-Length: 2\r\n\r\n",
            "content-length:2\r\n\r\n",
            "CONTENT-LENGTH : 2\n\n",
            "Content-Type: application/vscode-jsonrpc\r\nX-Other: 1\r\nContent-Length: 2\r\nMore: x\r\n\r\n",
            "\r\n\r\nContent-Length: 2\r\n\r\n",
        ] {
            assert_eq!(
                frames(format!("{head}{{}}{head}[]").as_bytes()),
                [body("{}"), body("[]")],
                "{head:?}"
            );
        }
    }

    #[test]
    fn rubbish_is_told_and_passed_over() {
        let rubbish = "Content-Length: two\r\n\r\n{}Content-Length: 2\r\n\r\n[]";
        assert_eq!(frames(rubbish.as_bytes()), [Frame::NoLength, body("[]")]);
        let long = format!("{}\r\nContent-Length: 2\r\n\r\n[]", "x".repeat(100_000));
        assert_eq!(frames(long.as_bytes()), [body("[]")]);
    }

    #[test]
    fn a_message_cut_short_ends_the_stream() {
        for bytes in
            ["", "Content-Length: 5", "Content-Length: 5\r\n\r\n{", "Content-Length: 99999999999\r\n\r\n{"]
        {
            assert_eq!(frames(bytes.as_bytes()), [], "{bytes:?}");
        }
    }
}
