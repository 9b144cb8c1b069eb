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
use serde_json::{Number, Value};

use super::path::Path;
use super::written::shown;
use crate::document::Attached;
use crate::error::{ErrorCode, Problem};
use crate::naming::listed;
use crate::quantity::quoted;

/// Largest number of a document: far beyond every brewhouse and every fit, and no sum of them is
/// infinite.
const LARGEST: f64 = 1e15;

/// The value as a `T`.
///
/// # Errors
/// The first thing that does not fit.
pub(super) fn read_back<T: DeserializeOwned>(
    value: &Value,
    keys: &'static [&'static str],
) -> Result<T, Problem> {
    T::deserialize(Root { value, keys }).map_err(|misfit| misfit.0)
}

/// The document itself: its own keys, which must be there, then those of its head. What a user
/// attached is no part of it.
struct Root<'a> {
    value: &'a Value,
    keys: &'static [&'static str],
}

impl<'de> Deserializer<'de> for Root<'de> {
    type Error = Misfit;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let Value::Object(fields) = self.value else {
            return Err(Node(Some(self.value)).misfit("an object"));
        };
        let own = self.keys.iter().filter(|key| **key != HEAD);
        let own = own.map(|key| (*key, fields.get(*key)));
        let rest = fields
            .iter()
            .filter(|(key, _)| *key == HEAD || !self.keys.contains(&key.as_str()))
            .filter(|(key, _)| !key.starts_with(Attached::PREFIX));
        let rest = rest.map(|(key, value)| (key.as_str(), Some(value)));
        visitor.visit_map(Fields {
            rest: own.chain(rest),
            value: None,
        })
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option
        unit unit_struct newtype_struct seq tuple tuple_struct map struct enum identifier
        ignored_any
    }
}

/// The field of a document that holds its head, whose keys are beside those of the document.
const HEAD: &str = "head";

/// A problem whose path grows as it passes up through lists and objects.
#[derive(Debug)]
struct Misfit(Problem);

impl Misfit {
    fn new(code: ErrorCode, found: String, expected: impl Into<String>) -> Misfit {
        Misfit(Problem {
            code,
            path: String::new(),
            found,
            expected: expected.into(),
            hint: "Give the document as the engine wrote it.".to_owned(),
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
    fn custom<T: fmt::Display>(message: T) -> Misfit {
        let expected = "a value as the engine writes it here";
        Misfit::new(ErrorCode::WrongType, message.to_string(), expected)
    }

    fn invalid_type(read: Unexpected<'_>, expected: &dyn Expected) -> Misfit {
        Misfit::new(ErrorCode::WrongType, read.to_string(), expected.to_string())
    }

    fn invalid_length(length: usize, expected: &dyn Expected) -> Misfit {
        Misfit::new(
            ErrorCode::WrongType,
            format!("{length} items"),
            expected.to_string(),
        )
    }

    fn invalid_value(read: Unexpected<'_>, expected: &dyn Expected) -> Misfit {
        let read = match read {
            Unexpected::Unsigned(number) => number.to_string(),
            Unexpected::Float(number) => number.to_string(),
            other => other.to_string(),
        };
        Misfit::new(ErrorCode::OutOfRange, read, expected.to_string())
    }

    fn unknown_variant(name: &str, known: &'static [&'static str]) -> Misfit {
        let expected = format!("one of: {}", listed(known.iter().copied()));
        Misfit::new(ErrorCode::UnknownName, quoted(name), expected)
    }

    fn missing_field(key: &'static str) -> Misfit {
        Misfit::new(ErrorCode::MissingKey, "nothing".to_owned(), "a value").within_field(key)
    }

    fn unknown_field(key: &str, _: &'static [&'static str]) -> Misfit {
        let read = format!("the key {}", quoted(key));
        Misfit::new(ErrorCode::UnknownKey, read, "a key of this document").within_field(key)
    }
}

/// A value about to be read; none where its key is missing. What is missing is refused by what its
/// type expects.
#[derive(Clone, Copy)]
struct Node<'a>(Option<&'a Value>);

impl Node<'_> {
    fn misfit(self, expected: &str) -> Misfit {
        match self.0 {
            None | Some(Value::Null) => {
                Misfit::new(ErrorCode::MissingKey, "nothing".to_owned(), expected)
            }
            Some(value) => Misfit::new(ErrorCode::WrongType, shown(value), expected),
        }
    }

    fn too_large(self, largest: impl fmt::Display) -> Misfit {
        let read = self.0.map_or_else(String::new, shown);
        Misfit::new(
            ErrorCode::OutOfRange,
            read,
            format!("a number up to {largest}"),
        )
    }

    fn whole(self) -> Result<u64, Misfit> {
        let whole = self.0.and_then(Value::as_u64);
        whole.ok_or_else(|| self.misfit("a whole number, not negative"))
    }
}

impl<'de> Deserializer<'de> for Node<'de> {
    type Error = Misfit;

    /// By the kind of the value: for types without a method of their own below.
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            None => Err(self.misfit(&(&visitor as &dyn Expected).to_string())),
            Some(Value::Null) => visitor.visit_unit(),
            Some(Value::Bool(flag)) => visitor.visit_bool(*flag),
            Some(Value::Number(number)) => match (number.as_u64(), number.as_i64()) {
                (Some(whole), _) => visitor.visit_u64(whole),
                (None, Some(whole)) => visitor.visit_i64(whole),
                (None, None) => self.deserialize_f64(visitor),
            },
            Some(Value::String(text)) => visitor.visit_borrowed_str(text),
            Some(Value::Array(_)) => self.deserialize_seq(visitor),
            Some(Value::Object(_)) => self.deserialize_map(visitor),
        }
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Some(Value::Bool(flag)) => visitor.visit_bool(*flag),
            _ => Err(self.misfit("true or false")),
        }
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let Some(number) = self.0.and_then(Value::as_number).and_then(Number::as_f64) else {
            return Err(self.misfit("a number"));
        };
        if number.abs() <= LARGEST {
            return visitor.visit_f64(number);
        }
        Err(self.too_large(format_args!("{LARGEST:e}")))
    }

    fn deserialize_u32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let whole = u32::try_from(self.whole()?).map_err(|_| self.too_large(u32::MAX))?;
        visitor.visit_u32(whole)
    }

    fn deserialize_u64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        visitor.visit_u64(self.whole()?)
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Some(Value::String(text)) => visitor.visit_borrowed_str(text),
            _ => Err(self.misfit("a text")),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Some(Value::Null) => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        known: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        let Some(Value::String(name)) = self.0 else {
            let expected = format!("one of: {}", listed(known.iter().copied()));
            return Err(self.misfit(&expected));
        };
        let name: StrDeserializer<'_, Misfit> = name.as_str().into_deserializer();
        visitor.visit_enum(name)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Some(Value::Array(items)) => visitor.visit_seq(Items {
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
            Some(Value::Array(items)) if items.len() == length => self.deserialize_seq(visitor),
            _ => Err(self.misfit(&format!("a list of {length}"))),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        known: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        let Some(Value::Object(fields)) = self.0 else {
            return Err(self.misfit("an object"));
        };
        let read = visitor.visit_map(Fields {
            rest: known.iter().map(|key| (*key, fields.get(*key))),
            value: None,
        })?;
        match fields.keys().find(|key| !known.contains(&key.as_str())) {
            Some(key) => Err(Misfit::unknown_field(key, known)),
            None => Ok(read),
        }
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let Some(Value::Object(fields)) = self.0 else {
            return Err(self.misfit("an object"));
        };
        visitor.visit_map(Fields {
            rest: fields
                .iter()
                .map(|(key, value)| (key.as_str(), Some(value))),
            value: None,
        })
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        visitor.visit_newtype_struct(self)
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u128 f32 char str bytes byte_buf unit unit_struct
        tuple_struct identifier ignored_any
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
        let item = self
            .rest
            .next()
            .map(|item| seed.deserialize(Node(Some(item))));
        item.transpose()
            .map_err(|misfit| misfit.within(&format!("[{place}]")))
    }
}

/// The fields of an object, each with its value where it is there.
struct Fields<'a, I> {
    rest: I,
    value: Option<(&'a str, Option<&'a Value>)>,
}

impl<'de, I> MapAccess<'de> for Fields<'de, I>
where
    I: Iterator<Item = (&'de str, Option<&'de Value>)>,
{
    type Error = Misfit;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Misfit> {
        self.value = self.rest.next();
        let key = self.value.map(|(key, _)| BorrowedStrDeserializer::new(key));
        key.map(|key| seed.deserialize(key)).transpose()
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Misfit> {
        // Serde asks for a value only where it was given the key.
        let (key, value) = self.value.unwrap_or_default();
        let value = seed.deserialize(Node(value));
        value.map_err(|misfit| misfit.within_field(key))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use serde::Deserialize;
    use serde_json::json;

    use super::*;

    #[derive(Debug, PartialEq, Deserialize)]
    struct Litres(f64);

    #[derive(Debug, PartialEq, Deserialize)]
    struct Tanks {
        by_name: BTreeMap<String, Litres>,
        drift: Option<i64>,
        label: String,
    }

    fn read(value: &Value) -> Result<Tanks, [String; 3]> {
        let Problem {
            path,
            found,
            expected,
            ..
        } = match Tanks::deserialize(Node(Some(value))).map_err(|misfit| misfit.0) {
            Ok(tanks) => return Ok(tanks),
            Err(problem) => problem,
        };
        Err([path, found, expected])
    }

    #[test]
    fn maps_and_new_types_are_read() {
        let value = json!({"by_name": {"a.b": 7, "c": 0.5}, "drift": -2, "label": "cold"});
        let by_name = [("a.b", 7.0), ("c", 0.5)];
        let tanks = Tanks {
            by_name: by_name
                .map(|(name, litres)| (name.to_owned(), Litres(litres)))
                .into(),
            drift: Some(-2),
            label: "cold".to_owned(),
        };
        assert_eq!(read(&value), Ok(tanks));
    }

    #[test]
    fn what_is_expected_is_said_of_every_kind() {
        let whole = json!({"by_name": {"c": 0.5}, "drift": null, "label": "cold"});
        assert!(read(&whole).is_ok());
        for (pointer, value, path, found, expected) in [
            (
                "/by_name",
                json!([]),
                "by_name",
                "an empty list",
                "an object",
            ),
            ("/by_name/c", json!("x"), "by_name.c", "\"x\"", "a number"),
            (
                "/by_name/c",
                json!(1e16),
                "by_name.c",
                "1e+16",
                "a number up to 1e15",
            ),
            ("/drift", json!(true), "drift", "boolean `true`", "i64"),
            ("/label", json!(null), "label", "nothing", "a text"),
        ] {
            let mut broken = whole.clone();
            *broken.pointer_mut(pointer).expect("a value") = value;
            let problem = [path, found, expected].map(str::to_owned);
            assert_eq!(read(&broken), Err(problem));
        }
        for (key, expected) in [
            ("by_name", "an object"),
            ("drift", "i64"),
            ("label", "a text"),
        ] {
            let mut broken = whole.clone();
            broken.as_object_mut().expect("an object").remove(key);
            let problem = [key, "nothing", expected].map(str::to_owned);
            assert_eq!(read(&broken), Err(problem));
        }
    }
}
