//! Polygons in the well-known binary form (OGC 06-103r4, with or without further dimensions, as ISO 13249-3 and its extension
//! number them).

use nalgebra::Point2;

/// Polygons of rings of places.
pub type Polygons = Vec<Vec<Vec<[f64; 2]>>>;

/// What bytes hold.
#[derive(Clone, Debug, PartialEq)]
pub enum Geometry {
    /// Polygons, or several.
    Polygons(Polygons),
    /// Another kind, by its number.
    Other(u32),
}

struct Bytes<'a> {
    rest: &'a [u8],
    is_little: bool,
}

impl Bytes<'_> {
    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (first, rest) = self.rest.split_first_chunk::<N>()?;
        self.rest = rest;
        Some(*first)
    }

    fn count(&mut self) -> Option<u32> {
        let bytes = self.take()?;
        Some(if self.is_little { u32::from_le_bytes(bytes) } else { u32::from_be_bytes(bytes) })
    }

    fn number(&mut self) -> Option<f64> {
        let bytes = self.take()?;
        Some(if self.is_little { f64::from_le_bytes(bytes) } else { f64::from_be_bytes(bytes) })
    }

    /// The kind, and how many numbers a place has.
    fn head(&mut self) -> Option<(u32, usize)> {
        let [order] = self.take()?;
        self.is_little = order == 1;
        let kind = self.count()?;
        let flagged = usize::from(kind & 0x8000_0000 != 0) + usize::from(kind & 0x4000_0000 != 0);
        if kind & 0x2000_0000 != 0 {
            self.count()?;
        }
        let kind = kind & 0x0fff_ffff;
        let numbered = match kind / 1000 {
            1 | 2 => 1,
            3 => 2,
            _ => 0,
        };
        Some((kind % 1000, 2 + flagged.max(numbered)))
    }

    fn polygon(&mut self, numbers: usize) -> Option<Vec<Vec<[f64; 2]>>> {
        let rings = self.count()?;
        let mut polygon = Vec::new();
        for _ in 0..rings {
            let places = self.count()? as usize;
            if self.rest.len() < places.checked_mul(8 * numbers)? {
                return None;
            }
            let mut ring = Vec::with_capacity(places);
            for _ in 0..places {
                ring.push([self.number()?, self.number()?]);
                for _ in 2..numbers {
                    self.number()?;
                }
            }
            polygon.push(ring);
        }
        Some(polygon)
    }
}

/// Reads a geometry; `None` for bytes that are none. O(bytes).
#[must_use]
pub fn read(bytes: &[u8]) -> Option<Geometry> {
    let mut bytes = Bytes { rest: bytes, is_little: true };
    let (kind, numbers) = bytes.head()?;
    match kind {
        3 => Some(Geometry::Polygons(vec![bytes.polygon(numbers)?])),
        6 => {
            let count = bytes.count()?;
            let mut polygons = Vec::new();
            for _ in 0..count {
                let (kind, numbers) = bytes.head()?;
                if kind != 3 {
                    return None;
                }
                polygons.push(bytes.polygon(numbers)?);
            }
            Some(Geometry::Polygons(polygons))
        }
        other => Some(Geometry::Other(other)),
    }
}

/// Writes polygons: one as a polygon, others as several. O(places).
#[must_use]
pub fn write(polygons: &[Vec<Vec<Point2<f64>>>]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let count = |value: usize| u32::try_from(value).unwrap_or(u32::MAX).to_le_bytes();
    let head = |bytes: &mut Vec<u8>, kind: u32| {
        bytes.push(1);
        bytes.extend(kind.to_le_bytes());
    };
    if polygons.len() != 1 {
        head(&mut bytes, 6);
        bytes.extend(count(polygons.len()));
    }
    for polygon in polygons {
        head(&mut bytes, 3);
        bytes.extend(count(polygon.len()));
        for ring in polygon {
            bytes.extend(count(ring.len()));
            for place in ring {
                bytes.extend(place.x.to_le_bytes());
                bytes.extend(place.y.to_le_bytes());
            }
        }
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read() {
        let ring = vec![Point2::new(0.0, 0.0), Point2::new(4.0, 0.0), Point2::new(4.0, 3.0), Point2::new(0.0, 0.0)];
        for polygons in [vec![vec![ring.clone()]], vec![vec![ring.clone()], vec![ring.clone(), ring.clone()]]] {
            let bytes = write(&polygons);
            let Some(Geometry::Polygons(read)) = read(&bytes) else { panic!("not read") };
            assert_eq!(read.len(), polygons.len());
            assert_eq!(read[0][0][2], [4.0, 3.0]);
            for cut in 0..bytes.len() {
                assert_eq!(super::read(&bytes[..cut]), None);
            }
        }
        // A point, big endian.
        assert_eq!(read(&[0, 0, 0, 0, 1]), Some(Geometry::Other(1)));
    }
}
