//! A place in a JSON document that knows its own path, so that a complaint names it.

use serde_json::Value;

/// A value of a document, with its path.
#[derive(Clone, Debug)]
pub struct Node<'a> {
    path: String,
    value: &'a Value,
}

impl<'a> Node<'a> {
    /// The whole document.
    pub fn root(value: &'a Value) -> Node<'a> {
        Node {
            path: String::new(),
            value,
        }
    }

    /// The value here.
    pub fn value(&self) -> &'a Value {
        self.value
    }

    /// What stands under a key, if anything does.
    pub fn find(&self, key: &str) -> Option<Node<'a>> {
        self.value.get(key).map(|value| self.child(key, value))
    }

    /// What stands under a key.
    ///
    /// # Errors
    /// When nothing does.
    pub fn need(&self, key: &str) -> Result<Node<'a>, String> {
        self.find(key)
            .ok_or_else(|| format!("{} is missing", join(&self.path, key)))
    }

    /// The number here.
    ///
    /// # Errors
    /// When it is none.
    pub fn number(&self) -> Result<f64, String> {
        self.value
            .as_f64()
            .ok_or_else(|| self.complaint("a number"))
    }

    /// The whole number here, 0 or more.
    ///
    /// # Errors
    /// When it is none.
    pub fn count(&self) -> Result<usize, String> {
        self.value
            .as_u64()
            .and_then(|count| usize::try_from(count).ok())
            .ok_or_else(|| self.complaint("a whole number"))
    }

    /// The amount here, 0 or more.
    ///
    /// # Errors
    /// When it is none.
    pub fn amount(&self) -> Result<f64, String> {
        match self.number()? {
            amount if amount >= 0.0 => Ok(amount),
            _ => Err(self.complaint("0 or more")),
        }
    }

    /// The text here.
    ///
    /// # Errors
    /// When it is none.
    pub fn text(&self) -> Result<&'a str, String> {
        self.value.as_str().ok_or_else(|| self.complaint("a text"))
    }

    /// Whether this is `false`.
    pub fn is_false(&self) -> bool {
        self.value.as_bool() == Some(false)
    }

    /// The items of the list here.
    ///
    /// # Errors
    /// When it is no list.
    pub fn items(&self) -> Result<Vec<Node<'a>>, String> {
        let list = self
            .value
            .as_array()
            .ok_or_else(|| self.complaint("a list"))?;
        let items = list.iter().enumerate();
        Ok(items
            .map(|(index, value)| self.child(&index.to_string(), value))
            .collect())
    }

    /// Keys and values here.
    ///
    /// # Errors
    /// When it is no object.
    pub fn entries(&self) -> Result<Vec<(&'a str, Node<'a>)>, String> {
        let object = self
            .value
            .as_object()
            .ok_or_else(|| self.complaint("an object"))?;
        Ok(object
            .iter()
            .map(|(key, value)| (key.as_str(), self.child(key, value)))
            .collect())
    }

    /// What is wrong here, when something else was expected.
    pub fn complaint(&self, expected: &str) -> String {
        format!("{}: expected {expected}, read {}", self.path, self.value)
    }

    fn child(&self, key: &str, value: &'a Value) -> Node<'a> {
        Node {
            path: join(&self.path, key),
            value,
        }
    }
}

fn join(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        format!("{path}.{key}")
    }
}
