//! Finds numbers that JSON or a script would not carry: not finite, or beyond 2^53 − 1.
//!
//! `serde_json` writes a number that is not finite as `null`, so the check has to look at the
//! value before it is written. Nothing is produced; the walk ends at the first fault and names
//! where it stands.

use std::fmt::{self, Display};

use serde::{
    Serialize,
    ser::{self, Serializer},
};

/// The largest integer that a double carries exactly: 2^53 − 1 (ECMA-262, Number.MAX_SAFE_INTEGER).
const LARGEST_EXACT: u64 = (1 << 53) - 1;

/// Walks a value and names the first number that can't be carried.
pub(super) fn check(value: &impl Serialize) -> Result<(), Fault> {
    value.serialize(Walk)
}

/// The first number that can't be carried, and where it stands.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Fault {
    what: String,
    place: Vec<String>,
}

impl Fault {
    fn at(mut self, step: impl Display) -> Self {
        self.place.push(step.to_string());
        self
    }
}

impl Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)?;
        if self.place.is_empty() {
            return Ok(());
        }
        let steps: Vec<&str> = self.place.iter().rev().map(String::as_str).collect();
        write!(f, " at {}", steps.join("."))
    }
}

impl std::error::Error for Fault {}

impl ser::Error for Fault {
    fn custom<T: Display>(message: T) -> Self {
        Self {
            what: message.to_string(),
            place: Vec::new(),
        }
    }
}

struct Walk;

/// A walk through the parts of something, with the number or name of the part it is in.
struct Parts {
    next: usize,
    key: String,
}

type Found = Result<(), Fault>;

fn integer(fits: bool) -> Found {
    if fits {
        Ok(())
    } else {
        Err(ser::Error::custom(
            "a figure beyond 2^53 - 1, larger than anything that is measured (is its unit right?)",
        ))
    }
}

impl Serializer for Walk {
    type Ok = ();
    type Error = Fault;
    type SerializeSeq = Parts;
    type SerializeTuple = Parts;
    type SerializeTupleStruct = Parts;
    type SerializeTupleVariant = Parts;
    type SerializeMap = Parts;
    type SerializeStruct = Parts;
    type SerializeStructVariant = Parts;

    fn serialize_f64(self, number: f64) -> Found {
        if number.is_finite() {
            Ok(())
        } else {
            Err(ser::Error::custom("a number is not finite"))
        }
    }
    fn serialize_f32(self, number: f32) -> Found {
        self.serialize_f64(f64::from(number))
    }
    fn serialize_i64(self, number: i64) -> Found {
        integer(number.unsigned_abs() <= LARGEST_EXACT)
    }
    fn serialize_u64(self, number: u64) -> Found {
        integer(number <= LARGEST_EXACT)
    }
    fn serialize_i128(self, number: i128) -> Found {
        integer(number.unsigned_abs() <= u128::from(LARGEST_EXACT))
    }
    fn serialize_u128(self, number: u128) -> Found {
        integer(number <= u128::from(LARGEST_EXACT))
    }
    fn serialize_bool(self, _: bool) -> Found {
        Ok(())
    }
    fn serialize_i8(self, _: i8) -> Found {
        Ok(())
    }
    fn serialize_i16(self, _: i16) -> Found {
        Ok(())
    }
    fn serialize_i32(self, _: i32) -> Found {
        Ok(())
    }
    fn serialize_u8(self, _: u8) -> Found {
        Ok(())
    }
    fn serialize_u16(self, _: u16) -> Found {
        Ok(())
    }
    fn serialize_u32(self, _: u32) -> Found {
        Ok(())
    }
    fn serialize_char(self, _: char) -> Found {
        Ok(())
    }
    fn serialize_str(self, _: &str) -> Found {
        Ok(())
    }
    fn serialize_bytes(self, _: &[u8]) -> Found {
        Ok(())
    }
    fn serialize_none(self) -> Found {
        Ok(())
    }
    fn serialize_unit(self) -> Found {
        Ok(())
    }
    fn serialize_unit_struct(self, _: &'static str) -> Found {
        Ok(())
    }
    fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Found {
        Ok(())
    }
    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Found {
        value.serialize(self)
    }
    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Found {
        value.serialize(self)
    }
    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Found {
        value.serialize(self).map_err(|fault| fault.at(variant))
    }
    fn serialize_seq(self, _: Option<usize>) -> Result<Parts, Fault> {
        Ok(Parts::new())
    }
    fn serialize_tuple(self, _: usize) -> Result<Parts, Fault> {
        Ok(Parts::new())
    }
    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Parts, Fault> {
        Ok(Parts::new())
    }
    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Parts, Fault> {
        Ok(Parts::new())
    }
    fn serialize_map(self, _: Option<usize>) -> Result<Parts, Fault> {
        Ok(Parts::new())
    }
    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Parts, Fault> {
        Ok(Parts::new())
    }
    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Parts, Fault> {
        Ok(Parts::new())
    }
}

impl Parts {
    fn new() -> Self {
        Self {
            next: 0,
            key: String::new(),
        }
    }

    fn numbered<T: Serialize + ?Sized>(&mut self, value: &T) -> Found {
        let number = self.next;
        self.next += 1;
        value.serialize(Walk).map_err(|fault| fault.at(number))
    }

    fn named<T: Serialize + ?Sized>(name: &str, value: &T) -> Found {
        value.serialize(Walk).map_err(|fault| fault.at(name))
    }
}

impl ser::SerializeSeq for Parts {
    type Ok = ();
    type Error = Fault;
    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Found {
        self.numbered(value)
    }
    fn end(self) -> Found {
        Ok(())
    }
}

impl ser::SerializeTuple for Parts {
    type Ok = ();
    type Error = Fault;
    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Found {
        self.numbered(value)
    }
    fn end(self) -> Found {
        Ok(())
    }
}

impl ser::SerializeTupleStruct for Parts {
    type Ok = ();
    type Error = Fault;
    fn serialize_field<T: Serialize + ?Sized>(&mut self, value: &T) -> Found {
        self.numbered(value)
    }
    fn end(self) -> Found {
        Ok(())
    }
}

impl ser::SerializeTupleVariant for Parts {
    type Ok = ();
    type Error = Fault;
    fn serialize_field<T: Serialize + ?Sized>(&mut self, value: &T) -> Found {
        self.numbered(value)
    }
    fn end(self) -> Found {
        Ok(())
    }
}

impl ser::SerializeMap for Parts {
    type Ok = ();
    type Error = Fault;
    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Found {
        self.key = serde_json::to_value(key)
            .ok()
            .and_then(|key| key.as_str().map(str::to_owned))
            .unwrap_or_default();
        Ok(())
    }
    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Found {
        Self::named(&self.key, value)
    }
    fn end(self) -> Found {
        Ok(())
    }
}

impl ser::SerializeStruct for Parts {
    type Ok = ();
    type Error = Fault;
    fn serialize_field<T: Serialize + ?Sized>(&mut self, name: &'static str, value: &T) -> Found {
        Self::named(name, value)
    }
    fn end(self) -> Found {
        Ok(())
    }
}

impl ser::SerializeStructVariant for Parts {
    type Ok = ();
    type Error = Fault;
    fn serialize_field<T: Serialize + ?Sized>(&mut self, name: &'static str, value: &T) -> Found {
        Self::named(name, value)
    }
    fn end(self) -> Found {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::check;
    use serde::Serialize;
    use std::collections::BTreeMap;

    #[derive(Serialize)]
    #[serde(tag = "kind", rename_all = "camelCase")]
    enum Limit {
        Tension { newtons: f64 },
        Open,
    }

    #[derive(Serialize)]
    #[serde(rename_all = "camelCase")]
    struct Answer {
        bay_limits: Vec<Option<Limit>>,
        by_name: BTreeMap<String, (u8, f32)>,
    }

    fn answer(newtons: f64, second: f32) -> Answer {
        Answer {
            bay_limits: vec![None, Some(Limit::Open), Some(Limit::Tension { newtons })],
            by_name: BTreeMap::from([("A1".to_owned(), (1, second))]),
        }
    }

    #[test]
    fn finite_numbers_pass() {
        assert_eq!(check(&answer(1330.0, 0.5)), Ok(()));
    }

    #[test]
    fn a_nested_number_that_is_not_finite_is_named() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let fault = check(&answer(bad, 0.5)).expect_err("must be found");
            assert_eq!(
                fault.to_string(),
                "a number is not finite at bayLimits.2.newtons"
            );
        }
        let fault = check(&answer(1.0, f32::NAN)).expect_err("must be found");
        assert_eq!(fault.to_string(), "a number is not finite at byName.A1.1");
    }

    #[test]
    fn integers_that_a_double_rounds_are_named() {
        assert_eq!(check(&vec![9_007_199_254_740_991_i64]), Ok(()));
        assert_eq!(check(&vec![-9_007_199_254_740_991_i64]), Ok(()));
        for bad in [9_007_199_254_740_992_i64, -9_007_199_254_740_992, i64::MIN] {
            let fault = check(&vec![bad]).expect_err("must be found");
            assert_eq!(
                fault.to_string(),
                "a figure beyond 2^53 - 1, larger than anything that is measured (is its unit right?) at 0"
            );
        }
        assert!(check(&u64::MAX).is_err());
    }
}
