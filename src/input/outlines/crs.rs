//! What the places of a file are: degrees on the earth, metres of a grid, or not said.

/// What a file says of its places.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum System {
    /// Nothing: for `GeoJSON` that is degrees (RFC 7946).
    #[default]
    Unsaid,
    /// Longitude and latitude in degrees.
    Degrees,
    /// Metres of a grid or of a site of its own.
    Metres,
    /// Something else, by its name: feet, or a map that stretches lengths.
    Other(String),
}

/// Systems in longitude and latitude by their number in the registry of the geodetic parameter set (EPSG): these are its
/// geographic ones in use, the numbers 4001 to 4999 but for geocentric ones.
const GEOGRAPHIC: std::ops::RangeInclusive<u32> = 4001..=4999;

/// Spherical Mercator, whose metres are stretched with latitude.
const STRETCHED: [u32; 2] = [3857, 900_913];

impl System {
    /// From a name such as `urn:ogc:def:crs:EPSG::25832`, `EPSG:4326` or `urn:ogc:def:crs:OGC:1.3:CRS84`. A number alone
    /// does not say whether a grid is in metres: all but the known ones are taken to be.
    #[must_use]
    pub fn named(name: &str) -> Self {
        if name.ends_with("CRS84") || name.ends_with("CRS84h") {
            return Self::Degrees;
        }
        match name.rsplit(':').next().and_then(|code| code.parse().ok()) {
            Some(code) => Self::numbered(code),
            None => Self::Other(name.to_owned()),
        }
    }

    /// From a number of the registry.
    #[must_use]
    pub fn numbered(code: u32) -> Self {
        if GEOGRAPHIC.contains(&code) {
            Self::Degrees
        } else if STRETCHED.contains(&code) {
            Self::Other(format!("EPSG:{code}"))
        } else {
            Self::Metres
        }
    }

    /// From the JSON form of a system (PROJJSON), as `GeoParquet` has it: a geographic one is in degrees, a projected one in
    /// the unit of its axes.
    #[must_use]
    pub fn from_json(value: &serde_json::Value) -> Self {
        let name = || value["name"].as_str().unwrap_or("unnamed").to_owned();
        if value["id"]["code"].as_u64().is_some_and(|code| STRETCHED.iter().any(|known| u64::from(*known) == code)) {
            return Self::Other(name());
        }
        let axes = value["coordinate_system"]["axis"].as_array();
        let all = |unit: &str| axes.is_some_and(|axes| axes.iter().take(2).all(|axis| axis["unit"] == unit));
        match value["type"].as_str() {
            Some("GeographicCRS" | "GeodeticCRS") if axes.is_none() || all("degree") => Self::Degrees,
            Some("ProjectedCRS" | "EngineeringCRS") if all("metre") => Self::Metres,
            Some("BoundCRS") => Self::from_json(&value["source_crs"]),
            Some("CompoundCRS") => value["components"].get(0).map_or_else(|| Self::Other(name()), Self::from_json),
            _ => Self::Other(name()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_say_degrees_or_metres() {
        assert_eq!(System::named("urn:ogc:def:crs:OGC:1.3:CRS84"), System::Degrees);
        assert_eq!(System::named("urn:ogc:def:crs:EPSG::4258"), System::Degrees);
        assert_eq!(System::named("EPSG:25832"), System::Metres);
        assert_eq!(System::named("EPSG:3857"), System::Other("EPSG:3857".to_owned()));
        assert!(matches!(System::named("somewhere"), System::Other(_)));
    }
}
