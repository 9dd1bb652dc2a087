//! The parser of expressions: precedence, and which units go together.

use super::{Across, Compare, Expr, Join, Node, Read, Sort};
use crate::engine::Key;
use crate::lesson::error::TextError;
use crate::lesson::eval::Shows;
use crate::lesson::fact::{self, Fact, RingFact};
use crate::lesson::lexer::{Token, tokens};
use crate::quantity::{Kind, Unit};
use crate::schema::bounds::{EXPRESSION, alternatives, grouped};

/// Greatest depth of nesting.
const MAX_DEPTH: usize = 40;

impl Expr {
    /// Reads an expression; `names` are further names with their expressions.
    ///
    /// # Errors
    /// What is wrong and in which column: a name that is not known, units that
    /// don't go together, a bracket that is missing.
    pub fn parse(text: &str, names: &[(String, Self)]) -> Result<Self, TextError> {
        let end = text.chars().count() + 1;
        let mut parser = Parser { tokens: tokens(text)?, next: 0, end, names, depth: 0, nodes: 0 };
        let expr = parser.either()?;
        match parser.tokens.get(parser.next) {
            None => Ok(expr),
            Some((column, token)) => {
                Err(TextError::at(*column, format!("{} is one too many", token.shown())))
            }
        }
    }
}

struct Parser<'a> {
    tokens: Vec<(usize, Token)>,
    next: usize,
    /// The column after the last letter.
    end: usize,
    names: &'a [(String, Expr)],
    depth: usize,
    /// Operations so far, names written out.
    nodes: usize,
}

type Parsed = Result<Expr, TextError>;

impl Parser<'_> {
    fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.next).map(|(_, token)| token)
    }

    fn column(&self) -> usize {
        self.tokens.get(self.next).map_or(self.end, |(column, _)| *column)
    }

    /// Counts operations: an expression of any length would take any time,
    /// and any depth of the stack.
    fn count(&mut self, nodes: usize) -> Result<(), TextError> {
        self.nodes = self.nodes.saturating_add(nodes);
        if self.nodes <= EXPRESSION.most {
            return Ok(());
        }
        let what =
            format!("this has more than {} operations, its names written out", grouped(EXPRESSION.most));
        Err(TextError::at(self.column(), what))
    }

    fn take_sign(&mut self, sign: &str) -> bool {
        let found = matches!(self.peek(), Some(Token::Sign(s)) if *s == sign);
        self.next += usize::from(found);
        found
    }

    fn take_word(&mut self, word: &str) -> bool {
        let found = matches!(self.peek(), Some(Token::Name(name)) if name == word);
        self.next += usize::from(found);
        found
    }

    fn wanted(&mut self, sign: &str) -> Result<(), TextError> {
        if self.take_sign(sign) {
            return Ok(());
        }
        let found = self.peek().map_or_else(|| "the end".to_owned(), Token::shown);
        Err(TextError::at(self.column(), format!("‘{sign}’ is wanted here, not {found}")))
    }

    fn truth(&self, expr: &Expr, column: usize) -> Result<(), TextError> {
        if expr.sort == Sort::Truth {
            Ok(())
        } else {
            Err(TextError::at(column, format!("a truth is wanted here, and this is {}", expr.sort.words())))
        }
    }

    fn either(&mut self) -> Parsed {
        self.depth += 1;
        if self.depth > MAX_DEPTH {
            return Err(TextError::at(self.column(), format!("this nests deeper than {MAX_DEPTH}")));
        }
        let mut left = (self.column(), self.both()?);
        while self.take_word("or") {
            self.count(1)?;
            let right = (self.column(), self.both()?);
            self.truth(&left.1, left.0)?;
            self.truth(&right.1, right.0)?;
            left.1 = truth(Node::Either(left.1.into(), right.1.into()));
        }
        self.depth -= 1;
        Ok(left.1)
    }

    fn both(&mut self) -> Parsed {
        let mut left = (self.column(), self.not()?);
        while self.take_word("and") {
            self.count(1)?;
            let right = (self.column(), self.not()?);
            self.truth(&left.1, left.0)?;
            self.truth(&right.1, right.0)?;
            left.1 = truth(Node::Both(left.1.into(), right.1.into()));
        }
        Ok(left.1)
    }

    fn not(&mut self) -> Parsed {
        if !self.take_word("not") {
            return self.compared();
        }
        let column = self.column();
        let inner = self.compared()?;
        self.truth(&inner, column)?;
        Ok(truth(Node::Not(inner.into())))
    }

    fn compared(&mut self) -> Parsed {
        let left = self.sum()?;
        let compare = match self.peek() {
            Some(Token::Sign("<")) => Compare::Less,
            Some(Token::Sign("<=")) => Compare::AtMost,
            Some(Token::Sign("==")) => Compare::Same,
            Some(Token::Sign("!=")) => Compare::Other,
            Some(Token::Sign(">=")) => Compare::AtLeast,
            Some(Token::Sign(">")) => Compare::More,
            _ => return Ok(left),
        };
        self.next += 1;
        let column = self.column();
        let right = self.sum()?;
        common(&left, &right, column)?;
        Ok(truth(Node::Compared(compare, left.into(), right.into())))
    }

    fn sum(&mut self) -> Parsed {
        let mut left = self.product()?;
        loop {
            let join = match self.peek() {
                Some(Token::Sign("+")) => Join::Plus,
                Some(Token::Sign("-")) => Join::Minus,
                _ => return Ok(left),
            };
            self.next += 1;
            self.count(1)?;
            let column = self.column();
            let right = self.product()?;
            let mut sort = common(&left, &right, column)?;
            // The difference of two gaps has no side.
            if join == Join::Minus && left.sort == Sort::Gap && right.sort == Sort::Gap {
                sort = Sort::Length;
            }
            left = Expr { node: Node::Joined(join, left.into(), right.into()), sort };
        }
    }

    fn product(&mut self) -> Parsed {
        let mut left = self.unary()?;
        loop {
            let join = match self.peek() {
                Some(Token::Sign("*")) => Join::Times,
                Some(Token::Sign("/")) => Join::Over,
                _ => return Ok(left),
            };
            self.next += 1;
            self.count(1)?;
            let column = self.column();
            let right = self.unary()?;
            let refused = || {
                let what =
                    format!("{} and {} can't be taken together so", left.sort.words(), right.sort.words());
                Err(TextError::at(column, what))
            };
            if !left.sort.is_number() || !right.sort.is_number() {
                return refused();
            }
            let sort = match (join, left.sort.kind(), right.sort.kind()) {
                (_, _, None) if right.sort == Sort::Plain => left.sort,
                (Join::Times, None, Some(_)) => right.sort,
                (_, Some(_), None) => left.sort,
                (_, None, None) => Sort::Plain,
                (Join::Over, Some(a), Some(b)) if a == b => Sort::Plain,
                _ => return refused(),
            };
            left = Expr { node: Node::Joined(join, left.into(), right.into()), sort };
        }
    }

    fn unary(&mut self) -> Parsed {
        if !self.take_sign("-") {
            return self.single();
        }
        let column = self.column();
        let inner = self.single()?;
        if !inner.sort.is_number() {
            return Err(TextError::at(column, "a number is wanted behind a minus"));
        }
        Ok(Expr { sort: inner.sort, node: Node::Negative(inner.into()) })
    }

    fn single(&mut self) -> Parsed {
        let column = self.column();
        let token = self.peek().cloned();
        self.next += 1;
        self.count(1)?;
        match token {
            Some(Token::Number(number, unit)) => Ok(literal(number, unit)),
            Some(Token::Sign("(")) => {
                let inner = self.either()?;
                self.wanted(")")?;
                Ok(inner)
            }
            Some(Token::Name(name)) => {
                if matches!(self.peek(), Some(Token::Sign("("))) {
                    self.next += 1;
                    let call = self.call(&name, column)?;
                    self.wanted(")")?;
                    Ok(call)
                } else {
                    self.named(&name, column)
                }
            }
            Some(other) => {
                Err(TextError::at(column, format!("a value is wanted here, not {}", other.shown())))
            }
            None => Err(TextError::at(self.end, "the expression ends too early")),
        }
    }

    fn named(&mut self, name: &str, column: usize) -> Parsed {
        if let Some((_, expr)) = self.names.iter().find(|(known, _)| known == name) {
            self.count(expr.nodes())?;
            return Ok(expr.clone());
        }
        if let Some(key) = Key::from_id(name) {
            return Ok(Expr { node: Node::Dimension(key), sort: Sort::of_key(key) });
        }
        if let Some(fact) = Fact::from_id(name) {
            return Ok(Expr { node: Node::Fact(fact), sort: fact.sort() });
        }
        match name {
            "true" | "false" => Ok(truth(Node::Truth(name == "true"))),
            _ => Err(TextError::at(column, unknown(name, "a fact", fact::ids()))),
        }
    }

    fn call(&mut self, name: &str, column: usize) -> Parsed {
        let across =
            |across, sort: Sort, inner: Expr| Expr { node: Node::Across(across, inner.into()), sort };
        let start = self.column();
        match name {
            "abs" => {
                let x = self.number()?;
                let sort = if x.sort == Sort::Gap { Sort::Length } else { x.sort };
                Ok(Expr { node: Node::Abs(x.into()), sort })
            }
            "min" | "max" | "round" => {
                let x = self.number()?;
                self.wanted(",")?;
                let column = self.column();
                let y = self.number()?;
                let sort = common(&x, &y, column)?;
                let join = match name {
                    "min" => Join::Min,
                    "max" => Join::Max,
                    _ => Join::Round,
                };
                Ok(Expr { node: Node::Joined(join, x.into(), y.into()), sort })
            }
            "start" => {
                let x = self.either()?;
                Ok(Expr { sort: x.sort, node: Node::Start(x.into()) })
            }
            "cylinder" => {
                let Some(Token::Text(label)) = self.peek().cloned() else {
                    return Err(TextError::at(
                        start,
                        "the label of a cylinder in quotes is wanted here: '5'",
                    ));
                };
                self.next += 1;
                self.wanted(",")?;
                let x = self.either()?;
                Ok(Expr { sort: x.sort, node: Node::Cylinder(label, x.into()) })
            }
            "with" => {
                let key = self.key()?;
                self.wanted(",")?;
                let column = self.column();
                let value = self.number()?;
                let own = Expr { node: Node::Dimension(key), sort: Sort::of_key(key) };
                common(&own, &value, column)?;
                self.wanted(",")?;
                let x = self.either()?;
                Ok(Expr { sort: x.sort, node: Node::With(key, value.into(), x.into()) })
            }
            "turned" => {
                let angle = self.number()?;
                if !(angle.sort == Sort::Angle || is_zero(&angle)) {
                    return Err(TextError::at(start, "an angle is wanted here, such as 10 deg"));
                }
                self.wanted(",")?;
                let x = self.either()?;
                Ok(Expr { sort: x.sort, node: Node::Turned(angle.into(), x.into()) })
            }
            "dwell" => {
                let depth = self.number()?;
                if depth.sort != Sort::Length {
                    return Err(TextError::at(start, "a length is wanted here, such as 0.02 mm"));
                }
                Ok(Expr { sort: Sort::Angle, node: Node::Dwell(depth.into()) })
            }
            "least" | "most" => {
                let x = self.number()?;
                Ok(across(if name == "least" { Across::Least } else { Across::Most }, x.sort, x))
            }
            "spread" => {
                let x = self.number()?;
                let sort = if x.sort == Sort::Gap { Sort::Length } else { x.sort };
                Ok(across(Across::Spread, sort, x))
            }
            "all" | "any" => {
                let x = self.either()?;
                self.truth(&x, start)?;
                Ok(across(if name == "all" { Across::All } else { Across::Any }, Sort::Truth, x))
            }
            "read" | "times" | "struck" | "odd" | "spread_read" | "doubt_read" => {
                let key = self.key()?;
                let (read, sort) = match name {
                    "read" => (Read::Value, Sort::of_key(key)),
                    "times" => (Read::Times, Sort::Count),
                    "struck" => (Read::Struck, Sort::Count),
                    "odd" => (Read::Odd, Sort::Count),
                    "spread_read" => (Read::Spread, without_side(Sort::of_key(key))),
                    _ => (Read::Doubt, without_side(Sort::of_key(key))),
                };
                Ok(Expr { node: Node::Read(read, key), sort })
            }
            "edge" | "edge_times" => {
                let (column, word) = self.word()?;
                let place = fact::place(&word).ok_or_else(|| {
                    TextError::at(column, unknown(&word, "a place", fact::PLACES.iter().map(|(id, _)| *id)))
                })?;
                Ok(if name == "edge" {
                    Expr { node: Node::Edge(place), sort: Sort::Gap }
                } else {
                    Expr { node: Node::EdgeTimes(place), sort: Sort::Count }
                })
            }
            "share" => {
                let key = self.key()?;
                self.wanted(",")?;
                let (column, word) = self.word()?;
                let figure = fact::figure(&word).ok_or_else(|| {
                    TextError::at(column, unknown(&word, "a figure", fact::FIGURES.iter().map(|(id, _)| *id)))
                })?;
                Ok(Expr { node: Node::Share(key, figure), sort: Sort::Share })
            }
            "ring" => {
                let number = match self.peek() {
                    Some(Token::Number(number, None))
                        if (1.0..=9.0).contains(number) && number.fract() == 0.0 =>
                    {
                        *number as usize
                    }
                    _ => {
                        return Err(TextError::at(
                            start,
                            "the number of a ring is wanted here, 1 for the top one",
                        ));
                    }
                };
                self.next += 1;
                self.wanted(",")?;
                let (column, word) = self.word()?;
                let fact = RingFact::from_id(&word).ok_or_else(|| {
                    TextError::at(
                        column,
                        unknown(&word, "what a ring has", RingFact::ALL.iter().map(|f| f.id())),
                    )
                })?;
                Ok(Expr { node: Node::Ring(number - 1, fact), sort: fact.sort() })
            }
            "shows" => {
                let (column, word) = self.word()?;
                let shows = Shows::from_id(&word).ok_or_else(|| {
                    TextError::at(column, unknown(&word, "a view", Shows::ALL.iter().map(|s| s.id())))
                })?;
                Ok(truth(Node::Shows(shows)))
            }
            _ => Err(TextError::at(column, format!("there is no function ‘{name}’"))),
        }
    }

    fn number(&mut self) -> Parsed {
        let column = self.column();
        let expr = self.either()?;
        if expr.sort.is_number() { Ok(expr) } else { Err(TextError::at(column, "a number is wanted here")) }
    }

    fn word(&mut self) -> Result<(usize, String), TextError> {
        let column = self.column();
        match self.peek().cloned() {
            Some(Token::Name(word)) => {
                self.next += 1;
                Ok((column, word))
            }
            _ => Err(TextError::at(column, "a name is wanted here")),
        }
    }

    fn key(&mut self) -> Result<Key, TextError> {
        let (column, word) = self.word()?;
        Key::from_id(&word)
            .ok_or_else(|| TextError::at(column, unknown(&word, "a dimension", Key::all().map(Key::id))))
    }
}

fn truth(node: Node) -> Expr {
    Expr { node, sort: Sort::Truth }
}

fn literal(number: f64, unit: Option<Unit>) -> Expr {
    let (value, sort) = match unit {
        None => (number, Sort::Plain),
        Some(unit) => {
            let sort = match unit.kind() {
                Kind::Length => Sort::Length,
                Kind::Volume => Sort::Volume,
                Kind::Angle => Sort::Angle,
            };
            (unit.to_base(number), sort)
        }
    };
    Expr { node: Node::Number(value), sort }
}

fn is_zero(expr: &Expr) -> bool {
    matches!(expr.node, Node::Number(0.0)) && expr.sort == Sort::Plain
}

fn without_side(sort: Sort) -> Sort {
    if sort == Sort::Gap { Sort::Length } else { sort }
}

/// Returns the sort of two numbers that are added, compared or chosen from.
fn common(left: &Expr, right: &Expr, column: usize) -> Result<Sort, TextError> {
    let (a, b) = (left.sort, right.sort);
    if !a.is_number() || !b.is_number() {
        return Err(TextError::at(column, "numbers are wanted here"));
    }
    // 0 is 0 in every unit.
    if is_zero(left) {
        return Ok(b);
    }
    if is_zero(right) {
        return Ok(a);
    }
    if a.kind() != b.kind() {
        return Err(TextError::at(column, format!("{} stands against {}", b.words(), a.words())));
    }
    Ok(match (a, b) {
        (Sort::Gap, _) | (_, Sort::Gap) => Sort::Gap,
        (Sort::Plain, other) => other,
        (other, _) => other,
    })
}

/// Returns "‘x’ is not known; a fact is one of a, b, c".
fn unknown<'a>(found: &str, wanted: &str, known: impl Iterator<Item = &'a str>) -> String {
    format!("‘{found}’ is not known; {wanted} is one of {}", alternatives(known))
}
