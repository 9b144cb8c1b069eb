//! Reads a document that the engine wrote back into its type, by serde. What does not fit is named
//! with its path. The engine writes every key, null where there is nothing to say, so every key
//! must be there and no other.

use std::fmt;

use serde::de::value::{BorrowedStrDeserializer, StrDeserializer};
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, Error, Expected, IntoDeserializer, MapAccess,
    SeqAccess, Unexpected, Visitor,
};
use serde::forward_to_deserialize_any;
use serde_json::{Number, Value, map};

use super::kind::listed;
use super::path::Path;
use super::written::shown;
use crate::error::{Code, Problem};
use crate::quantity::quoted;

/// Largest number of a document: far beyond every brewhouse and every fit, and no sum of them is
/// infinite.
const LARGEST: f64 = 1e15;

/// The value as a `T`.
///
/// # Errors
/// The first thing that does not fit.
pub(super) fn read_back<T: DeserializeOwned>(value: &Value) -> Result<T, Problem> {
    T::deserialize(Node(value)).map_err(|misfit| misfit.0)
}

/// A problem whose path grows as it passes up through lists and objects.
#[derive(Debug)]
struct Misfit(Problem);

impl Misfit {
    fn new(code: Code, read: String, expected: impl Into<String>) -> Misfit {
        Misfit(Problem {
            code,
            path: String::new(),
            read,
            expected: expected.into(),
            mend: "Give the document as the engine wrote it.".to_owned(),
        })
    }

    fn within(mut self, outer: &str) -> Misfit {
        let path = self.0.path;
        let point = if path.is_empty() || path.starts_with('[') {
            ""
        } else {
            "."
        };
        self.0.path = format!("{outer}{point}{path}");
        self
    }

    fn within_field(self, key: &str) -> Misfit {
        self.within(&Path::field(&Path::ROOT, key).to_string())
    }
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl std::error::Error for Misfit {}

impl Error for Misfit {
    fn custom<T: fmt::Display>(told: T) -> Misfit {
        let read = "a value that does not fit".to_owned();
        Misfit::new(Code::WrongType, read, told.to_string())
    }

    fn invalid_value(read: Unexpected<'_>, expected: &dyn Expected) -> Misfit {
        let read = match read {
            Unexpected::Unsigned(number) => number.to_string(),
            Unexpected::Float(number) => number.to_string(),
            other => other.to_string(),
        };
        Misfit::new(Code::OutOfRange, read, expected.to_string())
    }

    fn unknown_variant(name: &str, known: &'static [&'static str]) -> Misfit {
        let expected = format!("one of: {}", listed(known.iter().copied()));
        Misfit::new(Code::UnknownName, quoted(name), expected)
    }

    fn unknown_field(key: &str, _: &'static [&'static str]) -> Misfit {
        let read = format!("the key {}", quoted(key));
        Misfit::new(Code::UnknownKey, read, "a key of this document").within_field(key)
    }

    fn missing_field(key: &'static str) -> Misfit {
        Misfit::new(Code::MissingKey, "nothing".to_owned(), "a value").within_field(key)
    }
}

/// A value about to be read.
#[derive(Clone, Copy)]
struct Node<'a>(&'a Value);

impl Node<'_> {
    fn misfit(self, expected: &str) -> Misfit {
        match self.0 {
            Value::Null => Misfit::new(Code::MissingKey, "nothing".to_owned(), expected),
            value => Misfit::new(Code::WrongType, shown(value), expected),
        }
    }

    fn whole(self) -> Result<u64, Misfit> {
        let whole = self.0.as_u64();
        whole.ok_or_else(|| self.misfit("a whole number, not negative"))
    }
}

impl<'de> Deserializer<'de> for Node<'de> {
    type Error = Misfit;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Misfit> {
        // The kinds of values that documents hold have methods of their own.
        Err(self.misfit("a value of another kind"))
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Value::Bool(flag) => visitor.visit_bool(*flag),
            _ => Err(self.misfit("true or false")),
        }
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let Some(number) = self.0.as_number().and_then(Number::as_f64) else {
            return Err(self.misfit("a number"));
        };
        if number.abs() <= LARGEST {
            return visitor.visit_f64(number);
        }
        let expected = format!("a number up to {LARGEST:e}");
        Err(Misfit::new(Code::OutOfRange, shown(self.0), expected))
    }

    fn deserialize_u32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let whole = self.whole()?;
        let expected = format!("a whole number up to {}", u32::MAX);
        let whole = u32::try_from(whole)
            .map_err(|_| Misfit::new(Code::OutOfRange, shown(self.0), expected))?;
        visitor.visit_u32(whole)
    }

    fn deserialize_u64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        visitor.visit_u64(self.whole()?)
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Value::String(text) => visitor.visit_borrowed_str(text),
            _ => Err(self.misfit("text")),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Value::Null => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        known: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        let Value::String(name) = self.0 else {
            let expected = format!("one of: {}", listed(known.iter().copied()));
            return Err(self.misfit(&expected));
        };
        let name: StrDeserializer<'_, Misfit> = name.as_str().into_deserializer();
        visitor.visit_enum(name)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Value::Array(items) => visitor.visit_seq(Items {
                rest: items.iter(),
                next: 0,
            }),
            _ => Err(self.misfit("a list")),
        }
    }

    fn deserialize_tuple<V: Visitor<'de>>(
        self,
        length: usize,
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        match self.0 {
            Value::Array(items) if items.len() == length => self.deserialize_seq(visitor),
            _ => Err(self.misfit(&format!("a list of {length}"))),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        known: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        let Value::Object(fields) = self.0 else {
            return Err(self.misfit("an object"));
        };
        if let Some(key) = known.iter().find(|key| !fields.contains_key(**key)) {
            return Err(Misfit::missing_field(key));
        }
        if let Some(key) = fields.keys().find(|key| !known.contains(&key.as_str())) {
            return Err(Misfit::unknown_field(key, known));
        }
        visitor.visit_map(Fields {
            rest: fields.iter(),
            value: None,
        })
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u128 f32 char str bytes byte_buf unit unit_struct newtype_struct
        tuple_struct map identifier ignored_any
    }
}

/// The items of a list.
struct Items<'a> {
    rest: std::slice::Iter<'a, Value>,
    next: usize,
}

impl<'de> SeqAccess<'de> for Items<'de> {
    type Error = Misfit;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, Misfit> {
        let place = self.next;
        self.next += 1;
        let item = self.rest.next().map(|item| seed.deserialize(Node(item)));
        item.transpose()
            .map_err(|misfit| misfit.within(&format!("[{place}]")))
    }
}

/// The fields of an object.
struct Fields<'a> {
    rest: map::Iter<'a>,
    value: Option<(&'a str, &'a Value)>,
}

impl<'de> MapAccess<'de> for Fields<'de> {
    type Error = Misfit;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Misfit> {
        self.value = self.rest.next().map(|(key, value)| (key.as_str(), value));
        let key = self.value.map(|(key, _)| BorrowedStrDeserializer::new(key));
        key.map(|key| seed.deserialize(key)).transpose()
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Misfit> {
        // Serde asks for a value only where it was given the key.
        let (key, value) = self.value.unwrap_or(("", &Value::Null));
        let value = seed.deserialize(Node(value));
        value.map_err(|misfit| misfit.within_field(key))
    }
}
