//! `[[camera]]` and `[[photo]]`.

use super::files::{Files, unread};
use super::image_facts::{ImageFacts, image_facts};
use super::names::Names;
use super::nearest::nearest;
use super::node::{Item, Table};
use super::picture::is_cut_off;
use super::reader::Reader;
use super::reported::Reported;
use super::schema::limits;
use super::schema::photos::{EDGES, LINES, MARKS};
use super::sheets::no_camera;
use super::source_map::SourceMap;
use crate::base::ids::PointId;
use crate::base::place::Place;
use crate::base::schema::Table as Shape;
use crate::job::reading::{Bearers, Expected, Fault, Named, Problem};
use crate::survey::model::{Camera, Mark, Measured, Photo, SeenLine};
use crate::survey::sigma;
use std::io::ErrorKind;
use std::ops::Range;
use toml::de::DeValue;

/// Focal length of a phone's main camera over its picture's diagonal, where nothing else is known: 26 mm of 43.3.
/// Common practice, no source.
const USUAL_FOCAL: f64 = 0.6;
/// How sure that is.
const USUAL_FOCAL_SIGMA: f64 = 0.3;

/// A camera as the file states it.
struct CameraRead {
    name: String,
    place: Range<usize>,
    focal: Option<f64>,
    /// Relative.
    focal_sigma: Option<f64>,
    centre: Option<[f64; 2]>,
    centre_sigma: f64,
    k1: Measured,
    k2: Measured,
    is_used: bool,
}

impl<'d> Reader<'d> {
    /// Reads cameras and photos. A camera counts once for each size of picture taken with it.
    pub fn photos(
        &mut self,
        root: &Table<'d>,
        names: &mut Names,
        map: &mut SourceMap,
        files: &dyn Files,
    ) -> (Vec<Camera>, Vec<Photo>) {
        let mut stated = self.cameras(root, names);
        let mut cameras: Vec<(Camera, [f64; 2])> = Vec::new();
        let mut photos = Vec::new();
        for (index, table) in self.tables(root, "photo").iter().enumerate() {
            map.insert(Place::Photo(index), table.span.clone());
            let read = self.photo(index, table, &mut stated, names, map, files);
            let Some((mut photo, camera)) = read else { continue };
            let same = |(other, size): &(Camera, [f64; 2])| other.name == camera.name && *size == photo.size;
            photo.camera = cameras.iter().position(same).unwrap_or(cameras.len());
            if photo.camera == cameras.len() {
                cameras.push((camera, photo.size));
            }
            photos.push(photo);
        }
        // Where something is wrong, the photo that would use it may be among it.
        let is_fine = !self.has_errors();
        for camera in stated.iter().filter(|camera| is_fine && !camera.is_used) {
            let fault = Fault::UnusedCamera { name: camera.name.clone() };
            self.report(Problem::warning(camera.place.clone(), fault));
        }
        (cameras.into_iter().map(|(camera, _)| camera).collect(), photos)
    }

    fn cameras(&mut self, root: &Table<'d>, names: &mut Names) -> Vec<CameraRead> {
        let mut cameras: Vec<CameraRead> = Vec::new();
        for table in self.tables(root, "camera") {
            let item = self.required(&table, "name");
            let name = item.as_ref().and_then(|item| self.name(item));
            if name.is_none() {
                names.incomplete = true;
            }
            if let (Some(item), Some(name)) = (&item, &name)
                && let Some(first) = cameras.iter().find(|camera| camera.name == *name)
            {
                let place = first.place.clone();
                self.taken(item, Bearers::Cameras, Some(place));
            }
            let focal = self.maybe(&table, "focal");
            let pixels = focal.as_ref().ok().copied().flatten();
            let focal_sigma = self.optional(&table, "focal_sigma", |reader, item| reader.focal_sigma(item, pixels));
            let centre = self.maybe_list(&table, "centre");
            let centre_sigma = self.value(&table, "centre_sigma");
            let k1 = self.value(&table, "k1");
            let k1_sigma = self.maybe(&table, "k1_sigma");
            let k2 = self.value(&table, "k2");
            let k2_sigma = self.maybe(&table, "k2_sigma");
            // Who states how well the first coefficient is known has looked at the lens: then that is the lens.
            let usual_k2 = if matches!(k1_sigma, Ok(None)) { sigma::K2 } else { 0.0 };
            let Some(name) = name else { continue };
            // A camera with a mistake still counts as known; the mistake is told.
            cameras.push(CameraRead {
                name,
                place: table.span.clone(),
                focal: pixels,
                focal_sigma: focal_sigma.ok().flatten(),
                centre: centre.ok().flatten(),
                centre_sigma: centre_sigma.unwrap_or(sigma::CENTRE),
                k1: Measured { value: k1.unwrap_or(0.0), sigma: k1_sigma.ok().flatten().unwrap_or(sigma::K1) },
                k2: Measured { value: k2.unwrap_or(0.0), sigma: k2_sigma.ok().flatten().unwrap_or(usual_k2) },
                is_used: false,
            });
        }
        cameras
    }

    /// A share such as `3 %`, or pixels: relative.
    fn focal_sigma(&mut self, item: &Item<'d>, focal: Option<f64>) -> Option<f64> {
        if matches!(item.value, DeValue::String(_)) {
            return self.share(item, &limits::SHARE);
        }
        let pixels = self.number(item, &limits::FOCAL_SIGMA)?;
        if let Some(focal) = focal {
            return Some(pixels / focal);
        }
        let written = self.written(&item.span);
        self.report(Problem::error(item.key_span.clone(), Fault::FocalSigmaAlone).written(written));
        None
    }

    fn photo(
        &mut self,
        index: usize,
        table: &Table<'d>,
        stated: &mut [CameraRead],
        names: &mut Names,
        map: &mut SourceMap,
        files: &dyn Files,
    ) -> Option<(Photo, Camera)> {
        let sheet = self.plan_of(table);
        // What is wrong with a plan is told: of a camera it needs no focal length.
        let is_plan = !matches!(sheet, Ok(None));
        let camera = self.optional(table, "camera", |reader, item| reader.camera_named(item, stated, names));
        let camera_index = camera.as_ref().ok().copied().flatten();
        if let Some(used) = camera_index {
            stated[used].is_used = true;
        }
        let stated_camera = camera_index.map(|index| &stated[index]);
        let size = self.maybe_list(table, "size");
        let file_item = table.get("file");
        let file = file_item.as_ref().map(|item| self.words(item, Expected::PhotoFile));
        let knows_enough = matches!(size, Ok(Some(_)))
            && (is_plan || stated_camera.is_some_and(|camera| camera.focal.is_some()) || camera.is_err());
        let facts = match (&file_item, &file) {
            (Some(item), Some(Some(name))) => self.facts(item, name, files, knows_enough),
            (None, _) if !knows_enough => {
                self.required_as(table, "file", Expected::PhotoFileOrSize);
                Err(Reported)
            }
            (Some(_), _) => Err(Reported),
            (None, _) => Ok(ImageFacts::default()),
        };
        let size = self.photo_size(table, size, &facts);
        let marks = self.marks(index, table, size.as_ref().ok().copied(), names, map);
        let known = size.as_ref().ok().copied();
        let lines = self.lines(table, &LINES, known, names);
        let edges = self.lines(table, &EDGES, known, names);
        let lines = lines.zip(edges).map(|(lines, edges)| [lines, edges].concat());
        camera.ok()?;
        let (facts, size) = (facts.ok()?, size.ok()?);
        let sheet = sheet.ok()?;
        let camera = match sheet {
            Some(_) => no_camera(index),
            None => self.camera_of(index, table, stated_camera, &facts, size),
        };
        let (marks, lines, plumb, plumb_sigma) = (marks?, lines?, Vec::new(), sigma::LINE);
        let compass = facts.compass.filter(|_| sheet.is_none());
        let file = file.flatten().map(str::to_owned);
        Some((Photo { camera: 0, sheet, compass, file, size, marks, lines, plumb, plumb_sigma }, camera))
    }

    fn camera_named(&mut self, item: &Item<'d>, stated: &[CameraRead], names: &Names) -> Option<usize> {
        let name = self.words(item, Expected::Camera)?;
        let found = stated.iter().position(|camera| camera.name == name);
        if found.is_none() && !names.incomplete {
            let known: Vec<String> = stated.iter().map(|camera| camera.name.clone()).collect();
            let near = nearest(name, known.iter().map(String::as_str)).map(str::to_owned);
            self.wrong(item, Fault::UnknownName { of: Named::Camera, name: name.to_owned(), known, near });
        }
        found
    }

    /// What the file says of itself. A file that is not there is no mistake where the roof file says enough.
    fn facts(
        &mut self,
        item: &Item<'d>,
        name: &str,
        files: &dyn Files,
        knows_enough: bool,
    ) -> Result<ImageFacts, Reported> {
        let bytes = match files.read(name) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == ErrorKind::NotFound && knows_enough => return Ok(ImageFacts::default()),
            Err(error) => {
                self.wrong(item, Fault::PhotoFile { name: name.to_owned(), why: unread(&error) });
                return Err(Reported);
            }
        };
        let facts = image_facts(&bytes);
        if facts.is_unknown && !knows_enough {
            self.wrong(item, Fault::PhotoFormat { name: name.to_owned() });
            return Err(Reported);
        }
        if is_cut_off(&bytes) {
            let written = self.written(&item.span);
            let fault = Fault::PhotoCutOff { name: name.to_owned() };
            self.report(Problem::warning(item.span.clone(), fault).written(written));
        }
        if facts.is_heif {
            let written = self.written(&item.span);
            let fault = Fault::PhotoHeif { name: name.to_owned() };
            self.report(Problem::warning(item.span.clone(), fault).written(written));
        }
        Ok(facts)
    }

    fn photo_size(
        &mut self,
        table: &Table<'d>,
        stated: Result<Option<[f64; 2]>, Reported>,
        facts: &Result<ImageFacts, Reported>,
    ) -> Result<[f64; 2], Reported> {
        let stated = stated?;
        let facts = match facts {
            Ok(facts) => facts,
            Err(Reported) => return stated.ok_or(Reported),
        };
        match (stated, facts.size) {
            (Some(stated), Some(real)) if stated != real && !facts.is_heif => {
                let item = table.get("size").ok_or(Reported)?;
                self.wrong(&item, Fault::PhotoSize { size: real });
                Err(Reported)
            }
            (Some(size), _) | (None, Some(size)) => Ok(size),
            (None, None) => {
                self.required_as(table, "size", Expected::PhotoSize);
                Err(Reported)
            }
        }
    }

    fn camera_of(
        &mut self,
        index: usize,
        table: &Table<'d>,
        stated: Option<&CameraRead>,
        facts: &ImageFacts,
        size: [f64; 2],
    ) -> Camera {
        let from_exif = if facts.is_cropped { sigma::FOCAL_FROM_CROPPED_EXIF } else { sigma::FOCAL_FROM_EXIF };
        let (focal, usual_sigma) = match (stated.and_then(|camera| camera.focal), facts.focal) {
            (Some(focal), _) | (None, Some(focal)) => (focal, from_exif),
            (None, None) => {
                let focal = USUAL_FOCAL * size[0].hypot(size[1]);
                self.report(Problem::warning(table.span.clone(), Fault::FocalAssumed { focal }));
                (focal, USUAL_FOCAL_SIGMA)
            }
        };
        let middle = [size[0] / 2.0, size[1] / 2.0];
        Camera {
            name: stated.map_or_else(|| format!("photo {}", index + 1), |camera| camera.name.clone()),
            focal: Measured {
                value: focal,
                sigma: stated.and_then(|camera| camera.focal_sigma).unwrap_or(usual_sigma),
            },
            centre: stated.and_then(|camera| camera.centre).unwrap_or(middle),
            centre_sigma: stated.map_or(sigma::CENTRE, |camera| camera.centre_sigma),
            k1: stated.map_or(Measured { value: 0.0, sigma: sigma::K1 }, |camera| camera.k1),
            k2: stated.map_or(Measured { value: 0.0, sigma: sigma::K2 }, |camera| camera.k2),
        }
    }

    fn marks(
        &mut self,
        index: usize,
        table: &Table<'d>,
        size: Option<[f64; 2]>,
        names: &mut Names,
        map: &mut SourceMap,
    ) -> Option<Vec<Mark>> {
        let stated = self.maybe(table, "mark_sigma");
        let soft_item = table.get("soft");
        let soft = match &soft_item {
            Some(item) => self.points(names, item, 1)?,
            None => Vec::new(),
        };
        let item = self.required_as(table, "marks", Expected::Marks)?;
        let DeValue::Table(entries) = item.value else {
            self.wrong_type(&item, Expected::MarkTable);
            return None;
        };
        let entries = Table { shape: &MARKS, entries: Some(entries), span: item.span.clone() };
        let mut marks: Vec<Mark> = Vec::new();
        let mut ids: Vec<Option<PointId>> = Vec::new();
        let mut keys = Vec::new();
        let mut fine = true;
        for entry in entries.items() {
            let key = Item { span: entry.key_span.clone(), ..entry.clone() };
            let point = self.point_named(names, entry.key, &key);
            let seen = self.seen(&MARKS, &entry);
            let at = seen.map(|(at, _)| at);
            let inside = at.is_none_or(|at| self.inside(&entry, at, size));
            ids.push(point);
            keys.push(key);
            if let (Some(point), Some(at), true) = (point, at, inside) {
                let name = names.points[point.index()].name.clone();
                map.insert(
                    Place::Mark { photo: index, point: name },
                    super::measures::through(&entry.key_span, &entry.span),
                );
                let width = size.map_or(sigma::MARK_WIDTH, |size| size[0].max(size[1]));
                let sigma = seen.and_then(|(_, own)| own).or(stated.as_ref().ok().copied().flatten());
                let sigma = sigma.unwrap_or_else(|| sigma::mark(width, soft.contains(&point)));
                marks.push(Mark { point, at, sigma });
            } else {
                fine = false;
            }
        }
        self.all_different(&keys, &ids)?;
        stated.ok()?;
        fine.then_some(marks)
    }

    /// Places along edges: `lines`, which a person sets, or `edges`, which the program finds.
    fn lines(
        &mut self,
        table: &Table<'d>,
        shape: &'static Shape,
        size: Option<[f64; 2]>,
        names: &mut Names,
    ) -> Option<Vec<SeenLine>> {
        let stated = self.maybe(table, "line_sigma");
        let Some(item) = table.get(shape.name) else {
            return stated.ok().map(|_| Vec::new());
        };
        let DeValue::Table(entries) = item.value else {
            self.wrong_type(&item, Expected::LineTable);
            return None;
        };
        let entries = Table { shape, entries: Some(entries), span: item.span.clone() };
        let width = size.map_or(sigma::MARK_WIDTH, |size| size[0].max(size[1]));
        let usual = stated.as_ref().ok().copied().flatten().unwrap_or_else(|| sigma::line(width));
        let mut lines = Vec::new();
        let mut fine = true;
        for entry in entries.items() {
            let key = Item { span: entry.key_span.clone(), ..entry.clone() };
            let ends = self.ends(names, entry.key, &key);
            let places = self.list(&entry, Expected::LinePlaces);
            let (mut at, mut sigmas) = (Vec::new(), Vec::new());
            for place in places.iter().flatten() {
                let Some((read, own)) = self.seen(shape, place) else { continue };
                if self.inside(place, read, size) {
                    at.push(read);
                    sigmas.push(own.unwrap_or(usual));
                }
            }
            match (ends, places) {
                (Some(ends), Some(places)) if at.len() == places.len() => {
                    lines.push(SeenLine { ends, at, sigmas, is_measured: shape.name == EDGES.name });
                }
                _ => fine = false,
            }
        }
        stated.ok()?;
        fine.then_some(lines)
    }

    /// A place in the photo, `[x, y]`, or `[x, y, sigma]` with its own standard deviation.
    fn seen(&mut self, shape: &'static Shape, item: &Item<'d>) -> Option<([f64; 2], Option<f64>)> {
        let own = shape.names?;
        let DeValue::Array(list) = item.value else { return self.numbers(own.values, item).map(|at| (at, None)) };
        if list.len() != 3 {
            return self.numbers(own.values, item).map(|at| (at, None));
        }
        let parts: Vec<Item<'d>> = list.iter().map(|value| item.element(value)).collect();
        let [x, y] = [0, 1].map(|part| self.number(&parts[part], &limits::PIXEL));
        let sigma = self.number(&parts[2], &limits::MARK_SIGMA);
        Some(([x?, y?], Some(sigma?)))
    }

    /// The two points of `A-B`; a name may have a hyphen itself.
    fn ends(&mut self, names: &mut Names, text: &str, item: &Item<'d>) -> Option<[PointId; 2]> {
        let halves = || text.match_indices('-').map(|(at, _)| (&text[..at], &text[at + 1..]));
        let is_known = |(a, b): &(&str, &str)| names.is_point(a) && names.is_point(b);
        let Some((a, b)) = halves().find(is_known).or_else(|| halves().next()) else {
            self.report(Problem::error(item.span.clone(), Fault::NotEnds).written(text));
            return None;
        };
        let (a, b) = (self.point_named(names, a, item), self.point_named(names, b, item));
        let (a, b) = (a?, b?);
        if a == b {
            self.report(Problem::error(item.span.clone(), Fault::EdgeToItself).written(text));
            return None;
        }
        Some([a, b])
    }

    fn inside(&mut self, entry: &Item<'d>, at: [f64; 2], size: Option<[f64; 2]>) -> bool {
        let Some(size) = size else { return true };
        let inside = (0.0..=size[0]).contains(&at[0]) && (0.0..=size[1]).contains(&at[1]);
        if !inside {
            self.wrong(entry, Fault::MarkOutside { point: entry.key.to_owned(), size });
        }
        inside
    }
}
