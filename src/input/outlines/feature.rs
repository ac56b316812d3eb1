//! One feature: its geometry, and what its properties say of its roof.

use crate::base::wkb;
use crate::input::card;
use crate::job::features::{Expected, Feature, FeatureFault};
use crate::job::outlines::{PlacedOutline, PlainOutline, Slopes, place};
use serde::Deserialize;
use serde_json::Value;
use serde_json::value::RawValue;
use std::borrow::Cow;

/// What holds where a feature says nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Defaults {
    /// The pitch, degrees; `None`: a feature must say.
    pub pitch: Option<f64>,
    /// The height of the eaves, metres.
    pub height: f64,
    /// The card.
    pub covering: Option<String>,
    /// Whether places are degrees of longitude and latitude; otherwise metres.
    pub is_degrees: bool,
}

/// A row of a table of features.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Its number, from 1.
    pub number: u64,
    /// What the file calls it, as JSON; empty where it has none.
    pub id: String,
    /// Its geometry as WKB; `None` where it has none.
    pub geometry: Option<Vec<u8>>,
    /// Its properties that mean something here, as JSON.
    pub properties: serde_json::Map<String, serde_json::Value>,
}

#[derive(Deserialize)]
struct FeatureText<'a> {
    #[serde(rename = "type", borrow, default)]
    kind: Cow<'a, str>,
    #[serde(borrow, default)]
    id: Option<&'a RawValue>,
    #[serde(borrow, default)]
    geometry: Option<GeometryText<'a>>,
    #[serde(borrow, default)]
    properties: Option<Properties<'a>>,
    #[serde(borrow, default)]
    coordinates: Option<&'a RawValue>,
}

#[derive(Deserialize)]
struct GeometryText<'a> {
    #[serde(rename = "type", borrow)]
    kind: Cow<'a, str>,
    #[serde(borrow, default)]
    coordinates: Option<&'a RawValue>,
}

#[derive(Default, Deserialize)]
struct Properties<'a> {
    #[serde(borrow, default)]
    id: Option<&'a RawValue>,
    #[serde(default)]
    pitch: Value,
    #[serde(default)]
    pitches: Value,
    #[serde(default)]
    height: Value,
    #[serde(default)]
    covering: Value,
}

/// A place, of which height and more are left out.
struct Place([f64; 2]);

impl<'de> Deserialize<'de> for Place {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Numbers;
        impl<'de> serde::de::Visitor<'de> for Numbers {
            type Value = Place;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("two numbers")
            }

            fn visit_seq<A: serde::de::SeqAccess<'de>>(self, mut numbers: A) -> Result<Place, A::Error> {
                let short = || serde::de::Error::invalid_length(0, &"two numbers");
                let x = numbers.next_element()?.ok_or_else(short)?;
                let y = numbers.next_element()?.ok_or_else(short)?;
                while numbers.next_element::<serde::de::IgnoredAny>()?.is_some() {}
                Ok(Place([x, y]))
            }
        }
        deserializer.deserialize_seq(Numbers)
    }
}

/// Reads a feature's text. O(its bytes).
#[must_use]
pub fn of_text(line: u64, text: &[u8], defaults: &Defaults) -> Feature {
    // The separator that RFC 8142 puts before each text.
    let text = text.trim_ascii().strip_prefix(b"\x1e").unwrap_or(text).trim_ascii();
    if text.is_empty() {
        return Feature { line, id: String::new(), outline: Err(FeatureFault::Blank) };
    }
    match serde_json::from_slice::<FeatureText>(text) {
        Err(error) => {
            let id = String::new();
            // A feature whose parts are wrong is JSON all the same.
            let outline = match serde_json::from_slice::<Value>(text) {
                Ok(value) if value.get("type") == Some(&"Feature".into()) => Err(malformed(&value)),
                Ok(value) => {
                    Err(FeatureFault::NotAFeature(value.get("type").map_or_else(|| kind(&value), ToString::to_string)))
                }
                Err(_) => Err(FeatureFault::Torn(error.to_string())),
            };
            Feature { line, id, outline }
        }
        Ok(feature) => {
            let own = feature.properties.as_ref().and_then(|properties| properties.id);
            let id = feature.id.or(own).map_or_else(String::new, |id| id.get().to_owned());
            let id = if id == "null" { String::new() } else { id };
            Feature { line, id, outline: outline(feature, defaults) }
        }
    }
}

/// What is wrong with a feature that is JSON.
fn malformed(value: &Value) -> FeatureFault {
    match value.get("geometry") {
        None | Some(Value::Null) => FeatureFault::NoGeometry,
        Some(geometry) => {
            FeatureFault::NotAPolygon(geometry.get("type").map_or_else(|| kind(geometry), ToString::to_string))
        }
    }
}

fn kind(value: &Value) -> String {
    let kind = match value {
        Value::Null => "null",
        Value::Bool(_) => "a boolean",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    };
    kind.to_owned()
}

fn outline(feature: FeatureText, defaults: &Defaults) -> Result<PlacedOutline, FeatureFault> {
    let geometry = match (feature.kind.as_ref(), feature.geometry, feature.coordinates) {
        ("Feature", geometry, _) => geometry.ok_or(FeatureFault::NoGeometry)?,
        // A geometry by itself.
        ("Polygon" | "MultiPolygon", _, coordinates) => GeometryText { kind: feature.kind, coordinates },
        (other, ..) => return Err(FeatureFault::NotAFeature(other.to_owned())),
    };
    let coordinates = geometry.coordinates.map_or("[]", RawValue::get);
    let torn = |error: serde_json::Error| FeatureFault::Torn(error.to_string());
    let polygons: Vec<Vec<Vec<Place>>> = match geometry.kind.as_ref() {
        "Polygon" => vec![serde_json::from_str(coordinates).map_err(torn)?],
        "MultiPolygon" => serde_json::from_str(coordinates).map_err(torn)?,
        other => return Err(FeatureFault::NotAPolygon(other.to_owned())),
    };
    let polygons = polygons
        .into_iter()
        .map(|polygon| polygon.into_iter().map(|ring| ring.into_iter().map(|place| place.0).collect()).collect());
    placed(&polygons.collect::<Vec<_>>(), &feature.properties.unwrap_or_default(), defaults)
}

/// Reads a row. O(its bytes).
#[must_use]
pub fn of_row(row: &Row, defaults: &Defaults) -> Feature {
    let value = |key: &str| row.properties.get(key).cloned().unwrap_or_default();
    let outline = match row.geometry.as_deref().map(wkb::read) {
        None => Err(FeatureFault::NoGeometry),
        Some(None) => Err(FeatureFault::NotWkb),
        Some(Some(wkb::Geometry::Other(kind))) => Err(FeatureFault::NotAPolygon(format!("kind {kind}"))),
        Some(Some(wkb::Geometry::Polygons(polygons))) => {
            let properties = Properties {
                id: None,
                pitch: value("pitch"),
                pitches: value("pitches"),
                height: value("height"),
                covering: value("covering"),
            };
            placed(&polygons, &properties, defaults)
        }
    };
    Feature { line: row.number, id: row.id.clone(), outline }
}

/// The properties that mean something, for readers of tables.
pub const KEYS: [&str; 5] = ["id", "pitch", "pitches", "height", "covering"];

fn placed(
    polygons: &wkb::Polygons,
    properties: &Properties,
    defaults: &Defaults,
) -> Result<PlacedOutline, FeatureFault> {
    let (frame, polygons) = place(polygons, defaults.is_degrees).map_err(FeatureFault::NotAPlace)?;
    let covering = match &properties.covering {
        Value::Null => defaults.covering.clone().map(Cow::Owned),
        Value::String(name) => Some(Cow::Owned(name.clone())),
        other => return Err(property("covering", other, Expected::Card)),
    };
    if let Some(name) = covering.as_deref().filter(|name| card::text(name).is_none()) {
        return Err(FeatureFault::UnknownCovering(name.to_owned()));
    }
    Ok(PlacedOutline {
        outline: PlainOutline {
            polygons,
            slopes: slopes(properties, defaults)?,
            height: number("height", &properties.height)?.unwrap_or(defaults.height),
        },
        frame,
        covering,
    })
}

fn slopes(properties: &Properties, defaults: &Defaults) -> Result<Slopes, FeatureFault> {
    match &properties.pitches {
        Value::Null => {}
        Value::Array(list) => {
            let expected = Expected::DegreesBySide;
            let degrees = list.iter().map(|value| value.as_f64().ok_or_else(|| property("pitches", value, expected)));
            return Ok(Slopes::Each(degrees.collect::<Result<_, _>>()?));
        }
        other => return Err(property("pitches", other, Expected::DegreesBySide)),
    }
    let pitch = number("pitch", &properties.pitch)?.or(defaults.pitch);
    pitch.map(Slopes::One).ok_or(FeatureFault::NoPitch)
}

fn number(key: &'static str, value: &Value) -> Result<Option<f64>, FeatureFault> {
    match value {
        Value::Null => Ok(None),
        value => value.as_f64().map(Some).ok_or_else(|| property(key, value, Expected::Number)),
    }
}

fn property(key: &'static str, found: &Value, expected: Expected) -> FeatureFault {
    let found: String = found.to_string().chars().take(80).collect();
    FeatureFault::Property { key, found, expected }
}
