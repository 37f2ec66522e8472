//! A file's tokens, as the library itself cuts them: nothing is read one way
//! when it is taken in, and another way when it is explained. The only file
//! that names `toml_parser`.

use std::ops::Range;
use toml_parser::Source;
pub use toml_parser::lexer::TokenKind as Kind;

#[derive(Clone, Debug)]
pub struct Token {
    pub kind: Kind,
    pub at: Range<usize>,
}

impl Token {
    pub fn said<'a>(&self, text: &'a str) -> &'a str {
        &text[self.at.clone()]
    }
}

/// The tokens of a file, without its blanks.
pub fn tokens(text: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut from = 0;
    let mut lexer = Source::new(text).lex();
    while let Some(token) = lexer.next() {
        let (mut kind, span) = (token.kind(), token.span());
        let mut at = from + span.start()..from + span.end();
        match kind {
            Kind::Whitespace | Kind::Eof => continue,
            // Half a line end ends no line.
            Kind::Newline if !text[at.clone()].ends_with('\n') => kind = Kind::Atom,
            // A text of several lines that is never closed would swallow the
            // rest of the file: it goes as far as its line.
            Kind::MlBasicString | Kind::MlLiteralString if !closed(&text[at.clone()]) => {
                at.end = text[at.clone()].find('\n').map_or(at.end, |length| at.start + length);
                from = at.end;
                lexer = Source::new(&text[from..]).lex();
            }
            _ => {}
        }
        tokens.push(Token { kind, at });
    }
    tokens
}

/// Whether a text in quotes has its closing mark.
pub fn closed(said: &str) -> bool {
    let mark = if said.starts_with("\"\"\"") || said.starts_with("'''") { 3 } else { 1 };
    let inner = said.get(mark..).and_then(|inner| inner.strip_suffix(&said[..mark]));
    inner.is_some_and(|inner| {
        let escapes = inner.bytes().rev().take_while(|byte| *byte == b'\\').count();
        said.starts_with('\'') || escapes % 2 == 0
    })
}

/// The lines that the tokens stand on, each with its end.
pub fn lines(tokens: &[Token]) -> impl Iterator<Item = &[Token]> {
    tokens.split_inclusive(|token| token.kind == Kind::Newline)
}

/// Where the comments stand.
pub fn comments(text: &str) -> Vec<Range<usize>> {
    let tokens = tokens(text).into_iter();
    tokens.filter(|token| token.kind == Kind::Comment).map(|token| token.at).collect()
}
